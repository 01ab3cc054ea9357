"""What a piece of a boundary lies along: the edge of a zone, the edge of a part, a line on the body."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.boundary import BoundaryPiece
from bodymap.geometry.convert import to_shapely
from bodymap.model import Record

# Within this a boundary drawn by hand and the edge it was drawn on are one: a pencil line on the panel.
TOLERANCE_MM = 1.0
_LINES = ("body_line", "shut_line")
# Nearly all of a piece: its ends may leave the edge by the tolerance.
_NEARLY_ALL = 0.95


@dataclass(frozen=True)
class Along:
    """Something that nearly all of a piece runs along.

    Attributes:
        kind: the edge of a zone, of a part (of its zones on this drawing together), or a line of the outline.
        ident: zone_id or part_id; for a line its name, else its kind.
        share: how much of the piece lies within the tolerance of it, up to 1.
    """

    kind: Literal["zone edge", "part edge", "body_line", "shut_line"]
    ident: str
    share: float


def lies_along(
    record: Record, drawing_id: str, piece: BoundaryPiece, tolerance_mm: float = TOLERANCE_MM
) -> tuple[Along, ...]:
    """What a piece of a boundary runs along, body lines first, then parts, then zones; empty: it crosses open surface."""
    line = shapely.LineString(piece.coordinates)
    found = []
    for outline in record.outline:
        if outline.drawing_id == drawing_id and outline.kind in _LINES:
            share = _share(line, _edge(to_shapely(outline.shape)), tolerance_mm)
            found.append(Along(outline.kind, outline.name or outline.kind, share))  # type: ignore[arg-type]
    zones = record.zones_on.get(drawing_id, ())
    for part_id in dict.fromkeys(zone.part_id for zone in zones):
        whole = shapely.union_all([to_shapely(zone.shape) for zone in zones if zone.part_id == part_id])
        found.append(Along("part edge", part_id, _share(line, whole.boundary, tolerance_mm)))
    found += [
        Along("zone edge", zone.zone_id, _share(line, to_shapely(zone.shape).boundary, tolerance_mm)) for zone in zones
    ]
    return tuple(along for along in found if along.share >= _NEARLY_ALL)


def _edge(geometry: BaseGeometry) -> BaseGeometry:
    return geometry.boundary if geometry.geom_type in ("Polygon", "MultiPolygon") else geometry


def _share(line: shapely.LineString, edge: BaseGeometry, tolerance_mm: float) -> float:
    if line.length == 0 or edge.distance(line) > tolerance_mm:
        return 0.0
    return float(line.intersection(edge.buffer(tolerance_mm)).length / line.length)
