"""Totals of the vehicle or of some zones: area drawn and true, what is kept, what nobody looked at; and what comes next."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from bodymap.geometry.areas import AreasReport
from bodymap.model import Record, Zone


@dataclass(frozen=True)
class PartTotals:
    """One part [mm²]: what of it is in the choice, and how much of that is kept."""

    part_id: str
    name: str
    substrate: str
    surface_mm2: float
    kept_surface_mm2: float


@dataclass(frozen=True)
class Totals:
    """Totals of zones [mm²]. `unseen`: titles of zones without a stack. `estimates`: zones on schematic drawings."""

    zones: int
    drawn_mm2: float
    surface_mm2: float
    kept_surface_mm2: float
    unseen: tuple[str, ...]
    readings: int
    estimates: int
    parts: tuple[PartTotals, ...]


def totals_of(record: Record, areas: AreasReport, chosen: Collection[str] | None = None) -> Totals:
    """Totals of the chosen zones; None: of all."""
    zones = [zone for zone in record.zones if chosen is None or zone.zone_id in chosen]
    reports = [areas.zones[zone.zone_id] for zone in zones]
    return Totals(
        zones=len(zones),
        drawn_mm2=sum(report.drawn_mm2 for report in reports),
        surface_mm2=sum(report.surface_mm2 for report in reports),
        kept_surface_mm2=sum(report.kept_surface_mm2 for report in reports),
        unseen=tuple(zone.title for zone in zones if not record.stacks_of.get(zone.zone_id)),
        readings=sum(len(record.readings_of.get(zone.zone_id, ())) for zone in zones),
        estimates=sum(report.estimate for report in reports),
        parts=_by_part(record, areas, zones),
    )


def _by_part(record: Record, areas: AreasReport, zones: list[Zone]) -> tuple[PartTotals, ...]:
    rows = []
    for part in record.parts:
        reports = [areas.zones[zone.zone_id] for zone in zones if zone.part_id == part.part_id]
        if reports:
            surface, kept = (sum(getattr(r, name) for r in reports) for name in ("surface_mm2", "kept_surface_mm2"))
            rows.append(PartTotals(part.part_id, part.name, part.substrate, surface, kept))
    return tuple(rows)


def next_step(record: Record) -> str:
    """What to do next, in one line: survey before keeping, keeping before stripping."""
    unseen = [zone for zone in record.zones if not record.stacks_of.get(zone.zone_id)]
    if not record.zones:
        return "Draw the zones: nothing can be looked up before there is one."
    if unseen:
        more = f" and {len(unseen) - 1} more" if len(unseen) > 1 else ""
        return f"Look at the finish where nobody has yet: {unseen[0].title}{more}."
    if not any(stack.reaches_substrate for stack in record.stacks):
        return "Open one stack down to the substrate: none reaches it yet."
    placeless = [finding.finding_id for finding in record.findings if finding.shape is None]
    if placeless:
        return f"Draw where finding {placeless[0]} is: it has no place yet."
    keep = [area for area in record.areas if area.purpose == "keep"]
    if not keep:
        return "Mark what must never be stripped."
    for area in keep:
        lacking = [what for what, value in (("reason", area.reason), ("kind of edge", area.edge)) if not value]
        if lacking:
            return f"Complete kept area {area.title}: {' and '.join(lacking)} not stated."
    return "Check the mask brief, and have each kept area signed off."
