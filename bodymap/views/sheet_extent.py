"""Which part of a sheet to look at: all of it, one drawing, or the zones that are chosen."""

from __future__ import annotations

from collections.abc import Collection

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record
from bodymap.views.sheet import Bounds, SheetLayout

# Nearer than this a hand-drawn line would look more exact than it is.
_LEAST_MM = 300.0


def bounds_of(record: Record, layout: SheetLayout, drawing_id: str, zone_ids: Collection[str]) -> Bounds:
    """Bounds (x0, y0, x1, y1) in sheet mm: of the zones on this sheet; else of the drawing; else of all."""
    boxes: list[Bounds] = []
    for zone in (record.zone[zone] for zone in zone_ids if zone in record.zone):
        if layout.has(zone.drawing_id):
            x0, y0, x1, y1 = to_shapely(zone.shape).bounds
            boxes.append((*layout.to_sheet(zone.drawing_id, x0, y0), *layout.to_sheet(zone.drawing_id, x1, y1)))
    if not boxes:
        return layout.bounds_of(drawing_id) if drawing_id and layout.has(drawing_id) else layout.bounds
    return bounds_round([(x, y) for x0, y0, x1, y1 in boxes for x, y in ((x0, y0), (x1, y1))])


def bounds_round(places: Collection[tuple[float, float]]) -> Bounds:
    """Bounds of places on the sheet [mm], not nearer than a hand can draw."""
    x0, y0 = min(x for x, _ in places), min(y for _, y in places)
    x1, y1 = max(x for x, _ in places), max(y for _, y in places)
    grow_x, grow_y = max(0.0, _LEAST_MM - (x1 - x0)) / 2, max(0.0, _LEAST_MM - (y1 - y0)) / 2
    return x0 - grow_x, y0 - grow_y, x1 + grow_x, y1 + grow_y
