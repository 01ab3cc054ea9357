"""What a piece of a mask's boundary lies along: a body line, a shut line, the edge of a panel; or nothing that is drawn.

The kind of edge is stated for an area as a whole; where it meets the edge of a part or a line of the body, the painter
makes that piece there, whatever the rest is.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record, Zone
from bodymap.settings import Settings

_LINES = {"body_line": "body line", "shut_line": "shut line"}
# How much of a piece has to lie on a line to count as lying along it.
_SHARE = 0.9


def along(record: Record, area: Area, coordinates: Sequence[tuple[float, float]], settings: Settings) -> str | None:
    """What one boundary piece of an area lies along, in words; None: nothing that is drawn.

    Args:
        record: the record.
        area: the area the piece bounds.
        coordinates: the piece, positions in drawing mm.
        settings: figures in force; `edge_on_line_mm` says how near counts as on it.
    """
    piece = shapely.LineString(coordinates)
    near = settings.value("edge_on_line_mm")

    def lies_on(line: BaseGeometry) -> bool:
        if line.is_empty or piece.distance(line) > near:
            return False
        return piece.intersection(line.buffer(near)).length >= _SHARE * piece.length

    for kind, word in _LINES.items():
        for one in record.outline:
            if one.drawing_id == area.drawing_id and one.kind == kind and lies_on(to_shapely(one.shape)):
                return word
    touching = [zone for zone in record.zones_on.get(area.drawing_id, ()) if lies_on(to_shapely(zone.shape).boundary)]
    return _seam(touching)


def _seam(zones: Sequence[Zone]) -> str | None:
    """The edge of a panel, the joint of two parts, or the border of two zones of one part."""
    if not zones:
        return None
    if len({zone.part_id for zone in zones}) > 1:
        return "part joint"
    return "zone border" if len(zones) > 1 else "panel edge"
