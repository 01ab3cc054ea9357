"""Textures that tell states apart without colour: the same lines on screen and in print, cut to the surface.

Each pattern lies on one grid through the origin of the sheet, so that neighbours of one state are textured through. On a
surface too narrow for its pattern the grid is drawn closer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.views.hatch import hatch_lines
from bodymap.views.sheet_parts import Path, Texture

Array = npt.NDArray[np.float64]

_LEAST_PX = 3.0
# Of a surface's width (twice its area by its perimeter) a grid takes at most this much, so that something of it shows.
_OF_WIDTH = 0.7
# However close one looks, a square surface has at most this many strokes from side to side.
_MOST_ACROSS = 45


def texture_paths(shape: BaseGeometry, texture: Texture, mm_per_px: float) -> tuple[Path, ...]:
    """Lines of a texture within a surface.

    Args:
        shape: Polygon or MultiPolygon [mm].
        texture: `solid` has none.
        mm_per_px: mm on the surface for one pixel of 1/96 inch, greater than 0.
    """
    if texture == "solid" or shape.is_empty or shape.area <= 0:
        return ()
    step_px, draw = _PATTERNS[texture]
    narrow = _OF_WIDTH * 2 * shape.area / shape.length
    step = max(min(step_px * mm_per_px, narrow), _LEAST_PX * mm_per_px * step_px / 12)
    paths = draw(shape, max(step, math.sqrt(shape.area) / _MOST_ACROSS))
    return paths or _one_stroke(shape)


def hatch(shape: BaseGeometry, step_mm: float, angle_deg: float) -> tuple[Path, ...]:
    """Parallel lines within a surface, closer where it is narrow."""
    narrow = _OF_WIDTH * 2 * shape.area / shape.length
    step = max(min(step_mm, narrow), math.sqrt(shape.area) / _MOST_ACROSS)
    return tuple(hatch_lines(shape, step, angle_deg))


def _lines(angle_deg: float) -> Callable[[BaseGeometry, float], tuple[Path, ...]]:
    return lambda shape, step: tuple(hatch_lines(shape, step, angle_deg))


def _crossed(shape: BaseGeometry, step: float) -> tuple[Path, ...]:
    return (*hatch_lines(shape, step, 45), *hatch_lines(shape, step, 135))


def _grid(shape: BaseGeometry, step: float) -> Array:
    """Places of a staggered grid within the bounds of a surface, (n, 2)."""
    left, low, right, high = shape.bounds
    rows = np.arange(np.floor(low / step) - 1, np.ceil(high / step) + 1)
    columns = np.arange(np.floor(left / step) - 1, np.ceil(right / step) + 1)
    x, y = np.meshgrid(columns * step, rows * step)
    x = x + (rows % 2 * step / 2)[:, None]
    return np.column_stack([x.ravel(), y.ravel()])


def _strokes(*ways: tuple[float, float]) -> Callable[[BaseGeometry, float], tuple[Path, ...]]:
    """Short strokes on the grid, each `ways` half as long as it says in steps (across, up)."""

    def draw(shape: BaseGeometry, step: float) -> tuple[Path, ...]:
        at = _grid(shape, step)
        at = at[shapely.contains_xy(shape, at[:, 0], at[:, 1])]
        if not len(at):
            spot = shape.representative_point()
            at = np.array([[spot.x, spot.y]])
        ends = np.concatenate([np.stack([at - np.array(w) * step, at + np.array(w) * step], axis=1) for w in ways])
        return _cut(ends, shape)

    return draw


def _teeth(shape: BaseGeometry, step: float) -> tuple[Path, ...]:
    """Rows of saw teeth, as an abraded surface looks."""
    left, low, right, high = shape.bounds
    half, tooth = step / 3, 0.55 * step
    x = np.arange(np.floor(left / half) - 1, np.ceil(right / half) + 2)
    rows = np.arange(np.floor(low / step), np.ceil(high / step) + 1)
    lines = np.stack([np.column_stack([x * half, row * step + (x % 2) * tooth]) for row in rows])
    return _cut(lines, shape)


def _one_stroke(shape: BaseGeometry) -> tuple[Path, ...]:
    """A level stroke across a surface so small that the grid misses it."""
    spot = shape.representative_point()
    left, _, right, _ = shape.bounds
    return _cut(np.array([[[left, spot.y], [right, spot.y]]]), shape)


def _cut(lines: Array, shape: BaseGeometry) -> tuple[Path, ...]:
    """Lines (n, points, 2) within a surface."""
    parts = shapely.get_parts(shapely.intersection(shapely.linestrings(lines), shape))
    kept = parts[(shapely.get_type_id(parts) == shapely.GeometryType.LINESTRING) & (shapely.length(parts) > 0)]
    return tuple(tuple(map(tuple, shapely.get_coordinates(part).tolist())) for part in kept)


# Step of each pattern in pixels, and what draws it.
_PATTERNS: Mapping[Texture, tuple[float, Callable[[BaseGeometry, float], tuple[Path, ...]]]] = {
    "mist": (8.0, _strokes((0.13, 0.0))),
    "absent": (17.0, _strokes((0.16, 0.16), (0.16, -0.16))),
    "unseen": (16.0, _strokes((0.3, -0.3))),
    "cut_back": (13.0, _teeth),
    "not_made": (9.0, _lines(0)),
    "partly": (13.0, _lines(45)),
    "open": (14.0, _crossed),
}
