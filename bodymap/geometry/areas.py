"""Areas from the polygons: drawn and true, kept, and the margin that is worked by hand only.

Drawn area is the area on the flat drawing; true area is drawn area times the zone's surface ratio. Kept is the zone
within the union of the kept areas of its drawing, so that overlapping kept areas count once. The margin is the band
round each kept area, as wide as that area says (a blank counts as none stated: no band), inside zones and outside
every kept area. Masks are not kept areas. Zones on a schematic drawing give estimates.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.model.shapes import Shape
from bodymap.model.zone import Zone

# Segments per quarter circle of a margin's round corners. Their area comes out (2n/π)·sin(π/2n) of the true one:
# 1 part in 10 000 too small at 64.
QUARTER_SEGMENTS = 64

Floats = NDArray[np.float64]
Geometries = NDArray[np.object_]


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

    @property
    def kept_pct(self) -> float | None:
        """Share of the true surface that is kept [%]; None where there is no surface."""
        return 100 * self.kept_surface_mm2 / self.surface_mm2 if self.surface_mm2 > 0 else None

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
    """Areas of every zone of a record, and their sums; parts without a zone have no sum."""
    zones: dict[str, ZoneAreas] = {}
    for drawing_id, on_drawing in record.zones_on.items():
        kept, margin = _kept_and_margin(record, drawing_id)
        for measured in _measured(on_drawing, kept, margin, estimate=record.drawing[drawing_id].schematic):
            zones[measured.zone_id] = measured
    ordered = {zone.zone_id: zones[zone.zone_id] for zone in record.zones}
    report = AreasReport(ordered, totals(ordered.values()), {})
    return replace(report, by_part=totals_by(record, report, lambda zone: zone.part_id))


def totals(zones: Iterable[ZoneAreas]) -> Totals:
    """Sums over zones."""
    held = list(zones)
    return Totals(**{name: sum(getattr(zone, name) for zone in held) for name in vars(Totals())})


def totals_by(record: Record, report: AreasReport, key: Callable[[Zone], str]) -> Mapping[str, Totals]:
    """Sums over zones that are alike: by face, by drawing, by what a key says of each; in the order of the zones."""
    groups: dict[str, list[ZoneAreas]] = {}
    for zone in record.zones:
        groups.setdefault(key(zone), []).append(report.zones[zone.zone_id])
    return {name: totals(group) for name, group in groups.items()}


def area_preview(record: Record, drawing_id: str, shape: Shape) -> Mapping[str, ZoneShare]:
    """What a shape takes of each zone of a drawing, by zone_id; zones it does not reach are left out."""
    zones = record.zones_on.get(drawing_id, ())
    taken = _within(_geometries(zones), to_shapely(shape)).tolist()
    return {
        zone.zone_id: ZoneShare(zone.zone_id, drawn, drawn * zone.ratio)
        for zone, drawn in zip(zones, taken, strict=True)
        if drawn > 0
    }


def _kept_and_margin(record: Record, drawing_id: str) -> tuple[BaseGeometry, BaseGeometry]:
    """The union of a drawing's kept areas, and the bands round each of them outside that union."""
    keeps = [area for area in record.areas if area.purpose == "keep" and area.drawing_id == drawing_id]
    kept = shapely.union_all([to_shapely(area.shape) for area in keeps])
    bands = [to_shapely(area.shape).buffer(area.margin, quad_segs=QUARTER_SEGMENTS) for area in keeps if area.margin]
    return kept, shapely.difference(shapely.union_all(bands), kept)


def _measured(zones: Sequence[Zone], kept: BaseGeometry, margin: BaseGeometry, *, estimate: bool) -> Iterable[ZoneAreas]:
    shapes = _geometries(zones)
    columns = (shapely.area(shapes), _within(shapes, kept), _within(shapes, margin))
    for zone, drawn_mm2, kept_mm2, margin_mm2 in zip(zones, *(column.tolist() for column in columns), strict=True):
        yield ZoneAreas(
            zone.zone_id, drawn_mm2, drawn_mm2 * zone.ratio, kept_mm2, kept_mm2 * zone.ratio, margin_mm2, estimate
        )


def _geometries(zones: Sequence[Zone]) -> Geometries:
    return np.array([to_shapely(zone.shape) for zone in zones], dtype=object)


def _within(shapes: Geometries, cover: BaseGeometry) -> Floats:
    """Area of each shape within a cover [mm²]. The parts of a valid cover do not overlap, so their shares add up."""
    parts = shapely.get_parts(cover)
    shape, part = shapely.STRtree(parts).query(shapes, predicate="intersects")
    shared = shapely.area(shapely.intersection(shapes[shape], parts[part]))
    shares = np.zeros(len(shapes))
    np.add.at(shares, shape, shared)
    return shares
