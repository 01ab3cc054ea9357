"""Exact ways to say where an area is: a band along an edge, or offsets from a datum line."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from bodymap.errors import BodymapError
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.boundary import BoundaryPiece
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import direction_at
from bodymap.model.shapes import Shape

_TOUCH_MM = 1e-6


def band_along_edge(zone_shape: Shape, piece: BoundaryPiece, width_mm: float) -> Shape:
    """The part of a zone within `width_mm` of one piece of its boundary, cut square at the ends of the piece.

    Raises:
        BodymapError: the width is not greater than 0, or nothing of the zone lies along the piece.
    """
    if not width_mm > 0:
        raise BodymapError(f"width: found {width_mm:g} mm; allowed: greater than 0")
    zone, edge = to_shapely(zone_shape), shapely.LineString(piece.coordinates)
    strip = shapely.intersection(edge.buffer(width_mm, quad_segs=QUARTER_SEGMENTS, cap_style="flat"), zone)
    # Another arm of the zone within reach across a gap is not along this edge.
    rim = edge.buffer(_TOUCH_MM)
    along = [part for part in shapely.get_parts(strip) if part.geom_type == "Polygon" and part.intersects(rim)]
    if not along:
        raise BodymapError("band: found nothing of the zone along this edge; allowed: a piece of the zone's own boundary")
    return from_shapely(along[0] if len(along) == 1 else shapely.MultiPolygon(along))


def shape_from_offsets(datum: Shape, rows: Sequence[tuple[float, float, float]]) -> Shape:
    """The surface between a near and a far offset from a datum line.

    Args:
        datum: a LineString.
        rows: (station, near, far) in mm: place along the datum, and both offsets square to it; plus is on the left of the
            datum's direction. Two rows at least, each at another station, in any order.

    Raises:
        BodymapError: what is wrong with the rows, or that they enclose nothing.
    """
    line = to_shapely(datum)
    if not isinstance(line, shapely.LineString):
        raise BodymapError(f"datum: found a {line.geom_type}; allowed: a line")
    ordered = sorted(rows)
    if len({station for station, _, _ in ordered}) != len(ordered) or len(ordered) < 2:
        raise BodymapError(f"stations: found {[row[0] for row in rows]}; allowed: two or more, each once")
    off = [station for station, _, _ in ordered if not 0 <= station <= line.length]
    if off:
        raise BodymapError(f"station: found {off[0]:g} mm; allowed: 0 to {line.length:.1f} mm, the length of the datum")
    near = [_square_off(line, station, offset) for station, offset, _ in ordered]
    far = [_square_off(line, station, offset) for station, _, offset in ordered]
    ring = list(dict.fromkeys([*near, *reversed(far)]))
    surface = shapely.Polygon(ring) if len(ring) > 2 else shapely.Polygon()
    if not surface.is_valid or surface.area <= 0:
        raise BodymapError(
            "offsets: found near and far lines that cross or enclose nothing; allowed: near on one side of far"
        )
    return from_shapely(surface)


def _square_off(line: shapely.LineString, station_mm: float, offset_mm: float) -> tuple[float, float]:
    spot = line.interpolate(station_mm)
    ahead_x, ahead_y = direction_at(line, station_mm)
    return spot.x - ahead_y * offset_mm, spot.y + ahead_x * offset_mm
