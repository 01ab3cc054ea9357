"""Places at which a touch or a pointer finds a zone: near every edge, to tell neighbours apart, and all through it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.shapes import Shape
from bodymap.views.sheet_parts import Point

PLACES_MOST = 2_500
ALONG_MOST = 1000
# The row along an edge stands this deep inside; through the middle no place is farther from the next than a pointer reaches.
DEPTH_PX, INSIDE_PX = 6.0, 28.0
# At an even edge a touch this far inside is nearer to the row of its own zone than to that of the neighbour.
TRUE_FROM_PX = 1.5
_LEAST_STEP_PX = 3.0
_KEPT = 4_000


def picks_in(surface: BaseGeometry, mm_per_px: float) -> tuple[Point, ...]:
    """Places within a surface, at least one for each of its parts: a row inside every edge, a grid through the middle.

    `mm_per_px`: how many mm of the surface one pixel shows. Two rows at depths t on both sides of an edge, their places s
    apart, tell the sides apart from a depth d on where (d - t)² + (s/2)² = (d + t)², that is s² = 16 d t.
    """
    found: list[Point] = []
    for part in shapely.get_parts(surface).tolist():
        if part.geom_type == "Polygon" and part.area > 0:
            found += _picks_of_part(part, mm_per_px)
    return tuple(found)


@lru_cache(maxsize=_KEPT)
def zone_picks(shape: Shape, mm_per_px: float) -> tuple[Point, ...]:
    """Places within a zone [drawing mm]."""
    return picks_in(to_shapely(shape), mm_per_px)


@lru_cache(maxsize=_KEPT // 10)
def place_grid(shape: Shape, step_mm: float) -> tuple[Point, ...]:
    """Places all through a zone for a touch that tells where [drawing mm], at least one.

    They stand about `step_mm` apart, wider where the zone would need more than `PLACES_MOST` of them.
    """
    surface = to_shapely(shape)
    x0, y0, x1, y1 = surface.bounds
    # A long strip narrower than a step still takes one place for every step of its length.
    step = max(step_mm, float(np.sqrt(surface.area / PLACES_MOST)), (x1 - x0 + y1 - y0) / ALONG_MOST, 0.5)
    x, y = np.meshgrid(_middles(x0, x1, step), _middles(y0, y1, step))
    places = np.column_stack([x.ravel(), y.ravel()])
    inside = places[shapely.contains_xy(surface, places[:, 0], places[:, 1])]
    if not len(inside):
        spot = surface.representative_point()
        return ((round(spot.x, 1), round(spot.y, 1)),)
    return tuple((px, py) for px, py in inside.round(1).tolist())


def _middles(low: float, high: float, step: float) -> np.ndarray:
    """Middles of the fewest equal lengths, none longer than a step."""
    many = int(np.ceil((high - low) / step))
    return np.asarray(low + (np.arange(many) + 0.5) * (high - low) / max(many, 1))


@lru_cache(maxsize=_KEPT)
def middle_of(shape: Shape) -> tuple[float, float, float]:
    """The point of a surface farthest from its edge and that distance, (x, y, mm); where signs and figures stand."""
    surface = to_shapely(shape)
    largest = max(shapely.get_parts(surface).tolist(), key=lambda part: part.area)
    radius = shapely.maximum_inscribed_circle(largest, tolerance=max(1.0, np.sqrt(largest.area) / 50))
    x, y = radius.coords[0]
    return x, y, radius.length


def _picks_of_part(part: BaseGeometry, mm_per_px: float) -> list[Point]:
    width = 2 * part.area / part.length
    depth = min(DEPTH_PX * mm_per_px, width / 3)
    inset = part.buffer(-depth, quad_segs=2)
    if inset.is_empty:
        spot = part.representative_point()
        return [(spot.x, spot.y)]
    apart = max(4 * float(np.sqrt(TRUE_FROM_PX * mm_per_px * depth)), _LEAST_STEP_PX * mm_per_px)
    rings = [ring for polygon in shapely.get_parts(inset).tolist() for ring in (polygon.exterior, *polygon.interiors)]
    edge = [_along(ring, apart) for ring in rings]
    return [(round(px, 1), round(py, 1)) for px, py in np.concatenate([*edge, _grid(inset, INSIDE_PX * mm_per_px)]).tolist()]


def _grid(surface: BaseGeometry, step: float) -> np.typing.NDArray[np.float64]:
    x0, y0, x1, y1 = surface.bounds
    x, y = np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    places = np.column_stack([x.ravel(), y.ravel()])
    return places[shapely.contains_xy(surface, places[:, 0], places[:, 1])]


def points_along(line: BaseGeometry, step_mm: float) -> list[Point]:
    """Places along a line, both ends among them."""
    return [(x, y) for x, y in _along(line, step_mm).tolist()]


def _along(line: BaseGeometry, step_mm: float) -> np.typing.NDArray[np.float64]:
    count = max(1, round(line.length / step_mm))
    at = np.linspace(0, 1, count, endpoint=False) if line.is_closed else np.linspace(0, 1, count + 1)
    return shapely.get_coordinates(shapely.line_interpolate_point([line], at, normalized=True))
