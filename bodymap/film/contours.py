"""Contours of values on a grid, cut to a shape, and volumes over it.

The grid goes one mesh beyond the shape and is never masked before it is contoured: a masked grid loses a strip along
every edge. Contours run straight between grid lines; a level exactly on a plateau is split arbitrarily, so levels of
whole µm are best set half a µm off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import contourpy
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError

Floats = NDArray[np.float64]

# Beyond this many nodes the mesh is widened: a contour gets no better, only slower.
NODES_MOST = 250_000


@dataclass(frozen=True)
class Grid:
    """Upright grid lines at `x_mm` (nx) and level ones at `y_mm` (ny) [drawing mm], even, one mesh beyond the shape."""

    x_mm: Floats
    y_mm: Floats

    @property
    def nodes_mm(self) -> Floats:
        """All nodes (ny·nx, 2), row by row from below."""
        x, y = np.meshgrid(self.x_mm, self.y_mm)
        return np.column_stack((x.ravel(), y.ravel()))

    @property
    def form(self) -> tuple[int, int]:
        """(ny, nx), the form of the values on it."""
        return len(self.y_mm), len(self.x_mm)


@dataclass(frozen=True)
class Band:
    """Where values lie between `low` and `high` within the shape: geometry [mm] and its area [mm²]."""

    low: float
    high: float
    geometry: BaseGeometry
    area_mm2: float


def grid_over(shape: BaseGeometry, mesh_mm: float) -> Grid:
    """The grid for a shape, of `mesh_mm` [mm] or wider where that gave too many nodes."""
    x0, y0, x1, y1 = shape.bounds
    mesh = max(mesh_mm, math.sqrt((x1 - x0) * (y1 - y0) / NODES_MOST))
    counts = [max(1, math.ceil(size / mesh)) for size in (x1 - x0, y1 - y0)]
    starts, steps = (x0, y0), [(x1 - x0) / counts[0] or mesh, (y1 - y0) / counts[1] or mesh]
    lines = [start + step * np.arange(-1, count + 2) for start, step, count in zip(starts, steps, counts, strict=True)]
    return Grid(np.asarray(lines[0], float), np.asarray(lines[1], float))


def bands(grid: Grid, values: Floats, shape: BaseGeometry, levels: Sequence[float]) -> tuple[Band, ...]:
    """The bands between ascending levels [unit of the values] within a shape [mm]; −∞ and ∞ are levels too.

    `values`: at the nodes of the grid, in its form (ny, nx). Empty bands are left out.

    Raises:
        BodymapError: levels that do not ascend, or values that are not finite or of another form than the grid.
    """
    if len(levels) < 2 or any(high <= low for low, high in pairwise(levels)):
        raise BodymapError(f"contour levels: found {list(levels)}; allowed: two or more, each above the one before")
    if values.shape != grid.form or not np.isfinite(values).all():
        raise BodymapError(f"contour values: found {values.shape}; allowed: finite numbers in the form {grid.form}")
    maker = contourpy.contour_generator(grid.x_mm, grid.y_mm, values, fill_type=contourpy.FillType.OuterOffset)
    found = []
    for low, high in pairwise(levels):
        geometry = _surface(shapely.union_all(_polygons(maker.filled(low, high))).intersection(shape))
        if not geometry.is_empty:
            found.append(Band(low, high, geometry, float(geometry.area)))
    return tuple(found)


def contour(grid: Grid, values: Floats, shape: BaseGeometry, level: float) -> BaseGeometry:
    """The lines along which values have a level, within a shape [mm]; empty where nowhere."""
    maker = contourpy.contour_generator(grid.x_mm, grid.y_mm, values, line_type=contourpy.LineType.Separate)
    found: Any = maker.lines(level)
    lines = shapely.MultiLineString([shapely.LineString(line) for line in found if len(line) > 1])
    parts: list[BaseGeometry] = shapely.get_parts(shapely.intersection(lines, shape)).tolist()
    return shapely.MultiLineString([part for part in parts if isinstance(part, shapely.LineString) and not part.is_empty])


def above(grid: Grid, values: Floats, shape: BaseGeometry, level: float) -> BaseGeometry:
    """Where values lie above a level within a shape [mm]; empty where nowhere."""
    found = bands(grid, values, shape, (level, math.inf))
    return found[0].geometry if found else shapely.Polygon()


def integral(grid: Grid, values: Floats, geometry: BaseGeometry) -> float:
    """Integral of the values over a geometry within the grid [value · mm²].

    Each mesh counts with its value in the middle of what of it lies inside, between its corners: exact for a plane.
    """
    if geometry.is_empty:
        return 0.0
    x0, y0 = np.meshgrid(grid.x_mm[:-1], grid.y_mm[:-1])
    x1, y1 = np.meshgrid(grid.x_mm[1:], grid.y_mm[1:])
    meshes = shapely.box(x0, y0, x1, y1)
    shapely.prepare(geometry)
    whole = np.asarray(shapely.contains_properly(geometry, meshes))
    edge = np.asarray(shapely.intersects(geometry, meshes)) & ~whole
    middle = (values[:-1, :-1] + values[1:, :-1] + values[:-1, 1:] + values[1:, 1:]) / 4
    total = float((middle * (x1 - x0) * (y1 - y0))[whole].sum())
    parts = shapely.intersection(meshes[edge], geometry)
    areas, centres = shapely.area(parts), shapely.centroid(parts)
    across = (shapely.get_x(centres) - x0[edge]) / (x1 - x0)[edge]
    up = (shapely.get_y(centres) - y0[edge]) / (y1 - y0)[edge]
    below = values[:-1, :-1][edge] * (1 - across) + values[:-1, 1:][edge] * across
    over = values[1:, :-1][edge] * (1 - across) + values[1:, 1:][edge] * across
    at_centre = np.where(areas > 0, below * (1 - up) + over * up, 0.0)
    return total + float((at_centre * areas).sum())


def _polygons(filled: Any) -> list[BaseGeometry]:
    """Outer rings with their holes (points and offsets) as polygons; slivers that cross themselves are mended."""
    polygons: list[BaseGeometry] = []
    for points, offsets in zip(*filled, strict=True):
        rings = [points[start:end] for start, end in pairwise(offsets)]
        polygon: BaseGeometry = shapely.Polygon(rings[0], rings[1:])
        if not polygon.is_valid:
            polygon = shapely.make_valid(polygon, method="structure", keep_collapsed=False)
        polygons.append(polygon)
    return polygons


def _surface(geometry: BaseGeometry) -> BaseGeometry:
    """The surfaces of a geometry, without the points and lines in which shapes only touch."""
    parts = [part for part in shapely.get_parts(geometry, return_index=False) if part.geom_type == "Polygon"]
    if geometry.geom_type == "GeometryCollection":
        return shapely.union_all(parts)
    return geometry if parts else shapely.Polygon()
