"""Points set by hand: typed or touched, drawn to what is there, closed to rings, run on to an edge.

Positions are (x, y) in the units of the sheet they are set on (mm of a drawing, pixels of a picture), y up.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.curves import Point
from bodymap.model import Record
from bodymap.model.shapes import Shape

Floats = NDArray[np.float64]
_RING_LEAST = 3
_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_PAIR = re.compile(rf"\s*\(?\s*({_NUMBER})\s*[\s,]\s*({_NUMBER})\s*\)?\s*")
_PAIRS_MOST = 5000
# How far beyond the surface a line is run on that has to cross it [mm].
_BEYOND_MM = 1.0


def points_of(text: str) -> tuple[Point, ...]:
    """Positions from text: x and y with a blank or comma between, the pairs parted by semicolons or new lines.

    Raises:
        BodymapError: what is no pair of finite numbers, with its number.

    >>> points_of("0 0; 1200, 0.5")
    ((0.0, 0.0), (1200.0, 0.5))
    """
    pairs = [pair for pair in re.split(r"[;\n]", text) if pair.strip()]
    if len(pairs) > _PAIRS_MOST:
        raise BodymapError(f"points: found {len(pairs)}; allowed: at most {_PAIRS_MOST}")
    points = []
    for number, pair in enumerate(pairs, start=1):
        found = _PAIR.fullmatch(pair)
        point = (float(found[1]), float(found[2])) if found else (math.nan, math.nan)
        if not all(map(math.isfinite, point)):
            raise BodymapError(f"point {number}: found {pair.strip()!r}; allowed: x and y, as in 1200 350")
        points.append(point)
    return tuple(points)


def text_of(points: Sequence[Point]) -> str:
    """Positions as `points_of` reads them, to a tenth.

    >>> text_of([(0, 0), (1200, 0.46)])
    '0 0; 1200 0.5'
    """
    return "; ".join(
        f"{round(x, 1):g} {round(y, 1):g}" if max(abs(x), abs(y)) < 1e5 else f"{x:.1f} {y:.1f}" for x, y in points
    )


def snapped(point: Point, corners: Sequence[Point], reach: float) -> Point:
    """The corner nearest to a point where one is within `reach`, else the point; all in one unit.

    >>> snapped((9.0, 1.0), [(10.0, 0.0), (20.0, 0.0)], 3)
    (10.0, 0.0)
    """
    if not corners:
        return point
    there = np.array(corners, dtype=float)
    apart = np.hypot(there[:, 0] - point[0], there[:, 1] - point[1])
    nearest = int(np.argmin(apart))
    return corners[nearest] if apart[nearest] <= reach else point


def pick_grid(bounds: tuple[float, float, float, float], step: float) -> tuple[Floats, Floats]:
    """Positions of an even grid that fills bounds (least x and y, greatest x and y), its edges among them.

    Raises:
        BodymapError: a step that is not greater than 0.
    """
    if not step > 0:
        raise BodymapError(f"grid: found a step of {step:g}; allowed: greater than 0")
    x0, y0, x1, y1 = bounds
    columns = np.linspace(x0, x1, max(2, math.ceil((x1 - x0) / step) + 1))
    rows = np.linspace(y0, y1, max(2, math.ceil((y1 - y0) / step) + 1))
    x, y = np.meshgrid(columns, rows)
    return x.ravel(), y.ravel()


def ring_of(points: Sequence[Point]) -> tuple[Point, ...]:
    """Points closed to a ring, points set twice in a row once.

    Raises:
        BodymapError: fewer than three different points.
    """
    kept = without_doubles(points)
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept = kept[:-1]
    if len(set(kept)) < _RING_LEAST:
        raise BodymapError(f"ring: found {len(set(kept))} different points; allowed: three or more")
    return (*kept, kept[0])


def without_doubles(points: Sequence[Point]) -> tuple[Point, ...]:
    """The points in their order, each that is the same as the one before it left out."""
    return tuple(point for number, point in enumerate(points) if number == 0 or point != points[number - 1])


def line_of(points: Sequence[Point]) -> Shape:
    """Points as a line.

    Raises:
        BodymapError: fewer than two different points.
    """
    kept = without_doubles(points)
    if len(kept) < 2:
        raise BodymapError(f"line: found {len(kept)} different points; allowed: two or more")
    return from_shapely(shapely.LineString(kept))


def mark_of(points: Sequence[Point]) -> Shape:
    """Points as what is measured from: one as a point, more as a line.

    Raises:
        BodymapError: no point.
    """
    if not points:
        raise BodymapError("mark: found no point; allowed: one or more")
    kept = without_doubles(points)
    return from_shapely(shapely.Point(kept[0])) if len(kept) == 1 else line_of(kept)


def run_on(line: Shape, surface: Shape) -> Shape:
    """A line run on straight at those ends that lie inside a surface, until they are outside of it."""
    points = [(float(x), float(y)) for x, y in line.coordinates]
    whole = to_shapely(surface)
    return from_shapely(shapely.LineString([*_before(points, whole), *points, *_before(points[::-1], whole)]))


def _before(points: Sequence[Point], surface: BaseGeometry) -> list[Point]:
    """The point to begin at so that a line begins outside; none where it does."""
    first, second = points[0], points[1]
    if not surface.intersects(shapely.Point(first)):
        return []
    x0, y0, x1, y1 = surface.bounds
    reach = math.dist((x0, y0), (x1, y1)) + _BEYOND_MM
    share = reach / math.dist(first, second)
    ray = shapely.LineString([first, (first[0] + (first[0] - second[0]) * share, first[1] + (first[1] - second[1]) * share)])
    # only as far as the next edge: beyond it may lie another part of the same surface
    inside = [part for part in shapely.get_parts(ray.intersection(surface)) if part.distance(shapely.Point(first)) == 0]
    length = max((part.length for part in inside), default=0.0) + _BEYOND_MM
    end = ray.interpolate(length)
    return [(end.x, end.y)]


def zone_crossed(record: Record, drawing_id: str, line: Shape) -> str | None:
    """The zone that most of a line lies in; None: it meets none."""
    drawn = to_shapely(line)
    within = {
        zone.zone_id: drawn.intersection(to_shapely(zone.shape)).length for zone in record.zones_on.get(drawing_id, ())
    }
    best = max(within, key=lambda ident: within[ident], default=None)
    return best if best is not None and within[best] > 0 else None


def zone_at(record: Record, drawing_id: str, point: Point) -> str | None:
    """The smallest zone of a drawing that holds a point; None: there is none."""
    spot = shapely.Point(point)
    held = [zone for zone in record.zones_on.get(drawing_id, ()) if to_shapely(zone.shape).intersects(spot)]
    return min(held, key=lambda zone: to_shapely(zone.shape).area).zone_id if held else None


def direction_of(first: Point, second: Point, lies: str) -> float | None:
    """Which way the second point lies from the first where the two are said to lie `level` or `upright`; else None.

    >>> direction_of((100, 10), (20, 14), "level")
    180.0
    """
    if lies == "level":
        return 0.0 if second[0] >= first[0] else 180.0
    if lies == "upright":
        return 90.0 if second[1] >= first[1] else -90.0
    return None
