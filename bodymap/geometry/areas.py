"""Areas from the polygons: drawn and true, kept, and the margin that is worked by hand only.

Drawn area is the area on the flat drawing; true area is drawn area times the zone's surface ratio. Kept is the zone
within the union of the kept areas of its drawing, so that overlapping kept areas count once. The margin is the band
round each kept area, as wide as that area says (a blank counts as none stated: no band), inside zones and outside
every kept area. Masks are not kept areas. Zones on a schematic drawing give estimates.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.model.shapes import Shape
from bodymap.model.zone import Zone

# Segments per quarter circle of a margin's round corners. Their area comes out (2n/π)·sin(π/2n) of the true one:
# 1 part in 10 000 too small at 64.
QUARTER_SEGMENTS = 64


@dataclass(frozen=True)
class ZoneAreas:
    """Areas of one zone [mm²]; `estimate`: the drawing is schematic."""

    zone_id: str
    drawn_mm2: float
    surface_mm2: float
    kept_drawn_mm2: float
    kept_surface_mm2: float
    margin_drawn_mm2: float
    estimate: bool


@dataclass(frozen=True)
class Totals:
    """Sums over zones [mm²]."""

    drawn_mm2: float = 0.0
    surface_mm2: float = 0.0
    kept_drawn_mm2: float = 0.0
    kept_surface_mm2: float = 0.0

    def as_json(self) -> dict[str, float]:
        """The keys of the `bodymap areas` command."""
        return dict(vars(self))


@dataclass(frozen=True)
class AreasReport:
    """Areas of every zone, summed for the vehicle and by part."""

    zones: Mapping[str, ZoneAreas]
    totals: Totals
    by_part: Mapping[str, Totals]

    def as_json(self) -> dict[str, Any]:
        """The object that the `bodymap areas` command prints."""
        return {
            "zones": {zone: {k: v for k, v in vars(areas).items() if k != "zone_id"} for zone, areas in self.zones.items()},
            "totals": self.totals.as_json(),
            "by_part": {part: totals.as_json() for part, totals in self.by_part.items()},
        }


@dataclass(frozen=True)
class ZoneShare:
    """What a shape not saved yet takes of one zone [mm²]."""

    zone_id: str
    drawn_mm2: float
    surface_mm2: float


def areas_of(record: Record) -> AreasReport:
    """Areas of every zone of a record, and their sums."""
    zones: dict[str, ZoneAreas] = {}
    for drawing_id, on_drawing in record.zones_on.items():
        keeps = [area for area in record.areas if area.purpose == "keep" and area.drawing_id == drawing_id]
        shapes = [to_shapely(area.shape) for area in keeps]
        kept = shapely.union_all(shapes)
        bands = [
            shape.buffer(area.margin, quad_segs=QUARTER_SEGMENTS)
            for area, shape in zip(keeps, shapes, strict=True)
            if area.margin
        ]
        margin = shapely.union_all(bands).difference(kept)
        for measured in _measured(on_drawing, kept, margin, estimate=record.drawing[drawing_id].schematic):
            zones[measured.zone_id] = measured
    ordered = {zone.zone_id: zones[zone.zone_id] for zone in record.zones}
    by_part = {part: totals(ordered[zone.zone_id] for zone in group) for part, group in record.zones_of_part.items()}
    return AreasReport(ordered, totals(ordered.values()), by_part)


def totals(zones: Iterable[ZoneAreas]) -> Totals:
    """Sums over zones."""
    held = list(zones)
    return Totals(**{name: sum(getattr(zone, name) for zone in held) for name in vars(Totals())})


def area_preview(record: Record, drawing_id: str, shape: Shape) -> Mapping[str, ZoneShare]:
    """What a shape takes of each zone of a drawing, by zone_id; zones it does not reach are left out."""
    geometry = to_shapely(shape)
    found = {}
    for zone in record.zones_on.get(drawing_id, ()):
        drawn = to_shapely(zone.shape).intersection(geometry).area
        if drawn > 0:
            found[zone.zone_id] = ZoneShare(zone.zone_id, drawn, drawn * zone.ratio)
    return found


def _measured(zones: Iterable[Zone], kept: BaseGeometry, margin: BaseGeometry, *, estimate: bool) -> Iterable[ZoneAreas]:
    held = list(zones)
    shapes = np.array([to_shapely(zone.shape) for zone in held])
    drawn, inside, round_it = (
        shapely.area(part) for part in (shapes, shapely.intersection(shapes, kept), shapely.intersection(shapes, margin))
    )
    for zone, drawn_mm2, kept_mm2, margin_mm2 in zip(held, drawn.tolist(), inside.tolist(), round_it.tolist(), strict=True):
        yield ZoneAreas(
            zone.zone_id, drawn_mm2, drawn_mm2 * zone.ratio, kept_mm2, kept_mm2 * zone.ratio, margin_mm2, estimate
        )
