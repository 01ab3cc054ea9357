"""Curves as lists of points: cubic Béziers, arcs, rounded corners; and regions cut and tiled. Drawing mm, x right, y up."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError

Point = tuple[float, float]
Corner = Point  # the same, where shapely's Point is about as well
CHORD_ERROR_MM = 0.12
GRID_MM = 0.1
# A face of a tiling below this is what is left where two lines nearly meet.
_FACE_LEAST_MM2 = 4.0
_OUTSIDE_MM = 0.2


def cubic(p0: Point, p1: Point, p2: Point, p3: Point, chord_error_mm: float = CHORD_ERROR_MM) -> list[Point]:
    """Points along one cubic, without its first; never further than the chord error [mm] from the curve.

    The number of steps is Wang's bound, √(3/4 · greatest second difference of the control points ÷ error)
    (G. Wang, The subdivision method for finding the intersection between two Bézier curves, 1984; from memory, not seen).
    """
    a, b, c, d = (np.array(p, float) for p in (p0, p1, p2, p3))
    bend = max(np.hypot(*(a - 2 * b + c)), np.hypot(*(b - 2 * c + d)))
    n = max(2, math.ceil(math.sqrt(0.75 * bend / chord_error_mm)))
    t = np.linspace(0, 1, n + 1)[1:, None]
    points = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
    return [(float(x), float(y)) for x, y in points]


class Pen:
    """Draws one line: straight pieces and cubics, one after the other."""

    def __init__(self, x: float, y: float) -> None:
        self.points: list[Point] = [(x, y)]

    def to(self, *points: Point) -> Pen:
        """Straight on to each of the points."""
        self.points.extend(points)
        return self

    def curve(self, c1: Point, c2: Point, end: Point) -> Pen:
        """A cubic with two control points."""
        self.points.extend(cubic(self.points[-1], c1, c2, end))
        return self

    def follow(self, points: Iterable[Point]) -> Pen:
        """On along points that are there already."""
        self.points.extend(points)
        return self

    def line(self) -> LineString:
        """What was drawn, as a line."""
        return LineString(self.points)

    def area(self) -> Polygon:
        """What was drawn, closed."""
        return Polygon(self.points)


def smooth(points: Sequence[Point]) -> list[Point]:
    """A line that runs smoothly through the points (cubic Hermite, tangents by chord length)."""
    p = np.array(points, float)
    step = np.maximum(np.hypot(*np.diff(p, axis=0).T), 1e-9)
    slope = np.diff(p, axis=0) / step[:, None]
    tangent = np.empty_like(p)
    tangent[1:-1] = (slope[:-1] * step[1:, None] + slope[1:] * step[:-1, None]) / (step[:-1] + step[1:])[:, None]
    tangent[0] = 1.5 * slope[0] - 0.5 * tangent[1]
    tangent[-1] = 1.5 * slope[-1] - 0.5 * tangent[-2]
    out = [_point(p[0])]
    for i in range(len(p) - 1):
        reach = step[i] / 3
        out += cubic(
            _point(p[i]), _point(p[i] + tangent[i] * reach), _point(p[i + 1] - tangent[i + 1] * reach), _point(p[i + 1])
        )
    return out


def circle(x: float, y: float, r: float) -> Polygon:
    """A disc."""
    return Polygon(arc(x, y, r, 0, 360)[:-1])


def arc(x: float, y: float, r: float, start_deg: float, end_deg: float) -> list[Point]:
    """Points along an arc, both ends with it."""
    step = 2 * math.acos(1 - min(CHORD_ERROR_MM / r, 1))
    n = max(4, math.ceil(abs(math.radians(end_deg - start_deg)) / step))
    angles = np.radians(np.linspace(start_deg, end_deg, n + 1))
    return [(x + r * math.cos(a), y + r * math.sin(a)) for a in angles]


def rounded(points: Sequence[Point], radius: float | Sequence[float]) -> Polygon:
    """A polygon with its corners rounded; one radius for all, or one for each corner."""
    radii = [float(radius)] * len(points) if isinstance(radius, (int, float)) else list(radius)
    out: list[Point] = []
    for i, (corner, r) in enumerate(zip(points, radii, strict=True)):
        out += _corner(points[i - 1], corner, points[(i + 1) % len(points)], r)
    return Polygon(out)


def _corner(before: Point, corner: Point, after: Point, r: float) -> list[Point]:
    if r <= 0:
        return [corner]
    c = np.array(corner, float)
    u, v = np.array(before, float) - c, np.array(after, float) - c
    u, v = u / np.hypot(*u), v / np.hypot(*v)
    half = math.acos(float(np.clip(u @ v, -1, 1))) / 2
    reach = r / math.tan(half)
    centre = c + (u + v) / np.hypot(*(u + v)) * (r / math.sin(half))
    a, b = c + u * reach - centre, c + v * reach - centre
    start, turn = math.atan2(a[1], a[0]), math.atan2(a[0] * b[1] - a[1] * b[0], a @ b)
    return arc(float(centre[0]), float(centre[1]), r, math.degrees(start), math.degrees(start + turn))


def box(x0: float, y0: float, x1: float, y1: float, radius: float = 0) -> Polygon:
    """An upright rectangle, its corners rounded."""
    return rounded([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], radius)


def mirror(shape: BaseGeometry, width: float) -> BaseGeometry:
    """The left-right twin of a shape on a drawing `width` mm wide."""
    return shapely.transform(shape, lambda xy: np.column_stack((width - xy[:, 0], xy[:, 1])))


def shift(shape: BaseGeometry, dx: float, dy: float) -> BaseGeometry:
    """A shape moved."""
    return shapely.transform(shape, lambda xy: xy + np.array((dx, dy)))


def cut(region: BaseGeometry, lines: Iterable[LineString], gap_mm: float) -> BaseGeometry:
    """What is left of a region when even gaps are taken along the lines."""
    slits = [line.buffer(gap_mm / 2, cap_style="flat", join_style="round", quad_segs=12) for line in lines]
    return region.difference(shapely.union_all(slits))


def tile(
    region: BaseGeometry, cutters: Iterable[LineString], names: Sequence[tuple[str, BaseGeometry]]
) -> dict[str, BaseGeometry]:
    """Cut a region along lines into named tiles which share their edges point for point.

    Each face goes to the first name whose mask holds a point inside it.

    Raises:
        BodymapError: a face that nobody claims.
    """
    faces: dict[str, list[Polygon]] = {name: [] for name, _ in names}
    for face in cut_faces(region, cutters):
        inside = face.representative_point()
        for name, mask in names:
            if mask.contains(inside):
                faces[name].append(face)
                break
        else:
            raise BodymapError(f"tiles: found one at {inside.wkt} that belongs to no zone; allowed: each in a mask")
    return {name: joined(parts) for name, parts in faces.items()}


def cut_faces(region: BaseGeometry, cutters: Iterable[BaseGeometry]) -> list[Polygon]:
    """The faces into which lines cut a region, on a grid of 0.1 mm, so that neighbours share their edges exactly."""
    work = list(shapely.get_parts(region))
    lines = [p.boundary for p in work] + [line.intersection(region.buffer(1)) for line in cutters]
    linework = shapely.unary_union([shapely.set_precision(line, GRID_MM) for line in lines], grid_size=GRID_MM)
    inside = region.buffer(_OUTSIDE_MM)
    return [
        face
        for face in shapely.get_parts(shapely.polygonize([*shapely.get_parts(linework)]))
        if face.area >= _FACE_LEAST_MM2 and inside.contains(face.representative_point())
    ]


def joined(parts: Sequence[Polygon]) -> BaseGeometry:
    """Faces joined along the edges they share, every corner kept."""
    merged = shapely.coverage_union_all(parts)
    return (
        MultiPolygon(shapely.get_parts(merged))
        if merged.geom_type == "MultiPolygon" and shapely.get_num_geometries(merged) > 1
        else (shapely.get_parts(merged)[0])
    )


def _point(values: Sequence[float] | np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> Point:
    return float(values[0]), float(values[1])
