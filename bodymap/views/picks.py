"""Places at which a touch or a pointer finds a zone: near every edge, to tell neighbours apart, and all through it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.shapes import Shape
from bodymap.views.sheet_parts import Point

INSIDE_MM = 110.0
ALONG_MM = 70.0
PLACES_MOST = 2_500
ALONG_MOST = 1000
_INSET_MM = 14.0
_KEPT = 4_000


def picks_in(surface: BaseGeometry) -> tuple[Point, ...]:
    """Places within a surface, at least one for each of its parts: a row inside every edge, a grid through the middle."""
    found: list[Point] = []
    for part in shapely.get_parts(surface).tolist():
        if part.geom_type == "Polygon" and part.area > 0:
            found += _picks_of_part(part)
    return tuple(found)


@lru_cache(maxsize=_KEPT)
def zone_picks(shape: Shape) -> tuple[Point, ...]:
    """Places within a zone [drawing mm]."""
    return picks_in(to_shapely(shape))


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


def _picks_of_part(part: BaseGeometry) -> list[Point]:
    width = 2 * part.area / part.length
    inset = part.buffer(-min(_INSET_MM, width / 3), quad_segs=2)
    if inset.is_empty:
        spot = part.representative_point()
        return [(spot.x, spot.y)]
    x0, y0, x1, y1 = inset.bounds
    x, y = np.meshgrid(np.arange(x0, x1, INSIDE_MM) + INSIDE_MM / 2, np.arange(y0, y1, INSIDE_MM) + INSIDE_MM / 2)
    places = np.column_stack([x.ravel(), y.ravel()])
    inside = places[shapely.contains_xy(inset, places[:, 0], places[:, 1])]
    rings = [ring for polygon in shapely.get_parts(inset).tolist() for ring in (polygon.exterior, *polygon.interiors)]
    edge = [_along(ring, ALONG_MM) for ring in rings]
    return [(round(px, 1), round(py, 1)) for px, py in np.concatenate([*edge, inside]).tolist()]


def points_along(line: BaseGeometry, step_mm: float) -> list[Point]:
    """Places along a line, both ends among them."""
    return [(x, y) for x, y in _along(line, step_mm).tolist()]


def _along(line: BaseGeometry, step_mm: float) -> np.typing.NDArray[np.float64]:
    count = max(1, round(line.length / step_mm))
    at = np.linspace(0, 1, count, endpoint=False) if line.is_closed else np.linspace(0, 1, count + 1)
    return shapely.get_coordinates(shapely.line_interpolate_point([line], at, normalized=True))
