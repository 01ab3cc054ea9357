"""Exact ways to say where an area is: a band along an edge, or offsets from a datum line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.boundary import BoundaryPiece
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import square_off
from bodymap.geometry.validity import shape_fault
from bodymap.model.shapes import Shape

Side = Literal["left", "right"]
_TOUCH_MM = 1e-6
_STEP_MM = 0.01
# Round a corner of radius R a circle of radius r holds 1/2 − r / 3πR of the zone: 0.46 at R = 15 mm, which is still a
# corner, and 0.48 at R = 18 mm, where a bend begins.
_CORNER_MM = 6.0
_HALF = 0.47


def band_along_edge(zone_shape: Shape, piece: BoundaryPiece, width_mm: float) -> Shape:
    """The part of a zone that lies within `width_mm` of one piece of its boundary, reached without crossing a gap.

    At a corner that points out of the zone the band goes on to the next edge; at one that points into it the band is cut
    square, so that it does not run round the corner.

    Raises:
        BodymapError: the width is not greater than 0, or nothing of the zone lies along the piece.
    """
    band, _ = band_and_rest(zone_shape, piece, width_mm)
    return band


def band_and_rest(zone_shape: Shape, piece: BoundaryPiece, width_mm: float) -> tuple[Shape, Shape | None]:
    """`band_along_edge`, and what is left of the zone beside it; None where nothing is.

    Raises:
        BodymapError: a width [mm] not above 0, or a piece along which nothing of the zone lies.
    """
    if not width_mm > 0 or not math.isfinite(width_mm):
        raise BodymapError(f"width: found {width_mm:g} mm; allowed: greater than 0")
    zone, edge = to_shapely(zone_shape), shapely.LineString(piece.coordinates)
    reach: BaseGeometry = edge.buffer(width_mm, quad_segs=QUARTER_SEGMENTS, cap_style="flat")
    if not piece.closed:
        ends = [edge.coords[0], edge.coords[-1]]
        into = [
            shapely.Point(end).buffer(width_mm, quad_segs=QUARTER_SEGMENTS)
            for end in ends
            if _points_out(zone, end, width_mm)
        ]
        reach = shapely.union_all([reach, *into])
    # Another arm of the zone within reach across a gap is not along this edge.
    rim = edge.buffer(_TOUCH_MM)
    parts = _surfaces(shapely.intersection(reach, zone))
    along = [part for part in parts if part.intersection(rim).area > _TOUCH_MM * _STEP_MM]
    if not along:
        raise BodymapError("band: found nothing of the zone along this edge; allowed: a piece of the zone's own boundary")
    across = [part for part in parts if part not in along]
    # from the same two operands as the band, so that no sliver is left between them
    rest = _surfaces(shapely.union_all([shapely.difference(zone, reach), *across]))
    return _joined(along), _joined(rest) if rest else None


def shape_from_offsets(datum: Shape, rows: Sequence[tuple[float, float, float]], side: Side = "left") -> Shape:
    """The surface between a near and a far offset from a datum line.

    Between stations both offsets change evenly along the datum, so that equal offsets follow a bent datum all along.

    Args:
        datum: a LineString.
        rows: (station, near, far) in mm: place along the datum, and both offsets square to it. Two rows at least, each
            at another station, in any order.
        side: the side of the datum, seen in its direction, on which an offset is plus.

    Raises:
        BodymapError: what is wrong with the rows, or that they enclose nothing.
    """
    line = to_shapely(datum)
    if not isinstance(line, shapely.LineString):
        raise BodymapError(f"datum: found a {line.geom_type}; allowed: a line")
    stations, near, far = _checked(rows, line.length)
    sign = {"left": 1.0, "right": -1.0}[side]
    steps = shapely.get_coordinates(line)
    vertices = np.cumsum(np.hypot(*np.diff(steps, axis=0).T))
    places = np.union1d(stations, vertices[(vertices > stations[0] + _STEP_MM) & (vertices < stations[-1] - _STEP_MM)])
    edges = [
        [
            square_off(line, place, sign * offset)
            for place, offset in zip(places, np.interp(places, stations, told), strict=True)
        ]
        for told in (near, far)
    ]
    ring = list(dict.fromkeys([*edges[0], *reversed(edges[1])]))
    surface = shapely.Polygon(ring) if len(ring) > 2 else shapely.Polygon()
    if not surface.is_valid or surface.area <= 0:
        why = "" if len(ring) < 3 else f" ({shape_fault(Shape.model_validate(shapely.geometry.mapping(surface)))})"
        raise BodymapError(
            f"offsets: found near and far lines that cross or enclose nothing{why}; allowed: near on one side of far all "
            "along, and no offset longer than the datum's bends let it be"
        )
    return from_shapely(surface)


def clipped(shape: Shape, zone_shapes: Sequence[Shape]) -> Shape:
    """The part of a surface that lies in zones.

    Raises:
        BodymapError: none does.
    """
    zones = shapely.union_all([to_shapely(zone) for zone in zone_shapes])
    parts = _surfaces(shapely.intersection(to_shapely(shape), zones))
    if not parts:
        raise BodymapError("shape: found nothing of it in a zone; allowed: one that lies over zones")
    return _joined(parts)


def _checked(rows: Sequence[tuple[float, float, float]], length_mm: float) -> tuple[list[float], list[float], list[float]]:
    """Stations in order with their offsets."""
    if not all(math.isfinite(value) for row in rows for value in row):
        raise BodymapError("offsets: found a value that is no finite number; allowed: mm")
    ordered = sorted(rows)
    if len({station for station, _, _ in ordered}) != len(ordered) or len(ordered) < 2:
        raise BodymapError(f"stations: found {[row[0] for row in rows]}; allowed: two or more, each once")
    off = [station for station, _, _ in ordered if not 0 <= station <= length_mm]
    if off:
        raise BodymapError(f"station: found {off[0]:g} mm; allowed: 0 to {length_mm:.1f} mm, the length of the datum")
    stations, near, far = (list(column) for column in zip(*ordered, strict=True))
    return stations, near, far


def _surfaces(geometry: BaseGeometry) -> list[shapely.Polygon]:
    """Its polygons; what has no area (lines and points of contact) is left out."""
    parts = shapely.get_parts(geometry)
    if any(part.geom_type.startswith(("Multi", "Geometry")) for part in parts):
        parts = shapely.get_parts(parts)
    return [part for part in parts if isinstance(part, shapely.Polygon) and part.area > 0]


def _joined(polygons: Sequence[shapely.Polygon]) -> Shape:
    return from_shapely(polygons[0] if len(polygons) == 1 else shapely.MultiPolygon(polygons))


def _points_out(zone: BaseGeometry, corner: tuple[float, ...], width_mm: float) -> bool:
    """Whether a corner of a zone points out of it: clearly less than half of a small circle round it lies in the zone."""
    round_it = shapely.Point(corner).buffer(min(width_mm, _CORNER_MM), quad_segs=QUARTER_SEGMENTS)
    return bool(round_it.intersection(zone).area < _HALF * round_it.area)
