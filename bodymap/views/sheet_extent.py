"""Which part of a sheet to look at: all of it, one drawing, or the zones that are chosen."""

from __future__ import annotations

from collections.abc import Collection

import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record
from bodymap.views.sheet import Bounds, SheetLayout

# Nearer than this a hand-drawn line would look more exact than it is.
_LEAST_MM = 300.0


def bounds_of(record: Record, layout: SheetLayout, drawing_id: str, zone_ids: Collection[str]) -> Bounds:
    """Bounds (x0, y0, x1, y1) in sheet mm: of the zones on this sheet; else of the drawing; else of all."""
    zones = [record.zone[zone] for zone in zone_ids if zone in record.zone]
    boxes = []
    for zone in zones:
        if layout.has(zone.drawing_id):
            x0, y0, x1, y1 = to_shapely(zone.shape).bounds
            boxes.append((*layout.to_sheet(zone.drawing_id, x0, y0), *layout.to_sheet(zone.drawing_id, x1, y1)))
    if not boxes:
        return layout.bounds_of(drawing_id) if drawing_id else layout.bounds
    x0, y0, x1, y1 = shapely.total_bounds(shapely.box(*zip(*boxes, strict=True)))
    grow_x, grow_y = max(0.0, _LEAST_MM - (x1 - x0)) / 2, max(0.0, _LEAST_MM - (y1 - y0)) / 2
    return float(x0 - grow_x), float(y0 - grow_y), float(x1 + grow_x), float(y1 + grow_y)
