"""The spots of a plan on the sheet in the order of the route, with the readings of a gauge file laid on them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import fmean

from bodymap.film.fitness import refusal
from bodymap.film.mapping import Laid, Preview
from bodymap.film.spot_plan import PlannedSpot, SpotPlan
from bodymap.model import Record, Zone
from bodymap.model.part import Substrate
from bodymap.model.reading import Principle
from bodymap.views.film_sheet import Dressing, FilmChoice, dressed, scale_of
from bodymap.views.layout import SheetLayout, lay_out
from bodymap.views.legend import FILM_RAMP
from bodymap.views.palette import film_colour
from bodymap.views.sheet import SheetView
from bodymap.views.sheet_parts import LegendItem, Path, PointMark, Stroke
from bodymap.views.tints import Tinter, ZoneTint

# The gauge that is meant for a substrate first of all.
GAUGES: Mapping[Substrate, Principle | None] = {
    "steel": "magnetic", "aluminium": "eddy", "grp": "ultrasonic", "other": "ultrasonic",
}  # fmt: skip


@dataclass(frozen=True)
class ZoneLaid:
    """What a gauge file brings to one zone; `refused`: why its gauge cannot read there, None where it can."""

    zone_id: str
    spots: int
    readings: int
    mean_um: float
    refused: str | None


def zones_laid(record: Record, preview: Preview, principle: Principle) -> tuple[ZoneLaid, ...]:
    """By zone, in the order of the route: the spots and readings a preview brings, and whether its gauge can read there."""
    held: dict[str, list[Laid]] = {}
    for laid in preview.laid:
        held.setdefault(laid.spot.zone_id, []).append(laid)
    found = []
    for zone_id, spots in held.items():
        values = [um for one in spots for um in one.values_um]
        why = refusal(principle, record.part[record.zone[zone_id].part_id].substrate)
        found.append(ZoneLaid(zone_id, len(spots), len(values), fmean(values), why))
    return tuple(found)


def spot_map(
    record: Record,
    choice: FilmChoice,
    plan: SpotPlan,
    preview: Preview | None = None,
    principle: Principle | None = None,
) -> SheetView:
    """The sheet with the spots of a plan.

    Args:
        record: the record.
        choice: which sheet, how near.
        plan: the spots.
        preview: readings laid on them: spots that have some take the colour of their mean.
        principle: of the gauge; where it cannot read, spots are crossed and take no colour.
    """
    layout = lay_out(record, choice.kind)
    scale = scale_of(layout, choice.mm_per_px, choice.window)
    laid = {one.spot.number: one for one in preview.laid} if preview else {}
    seen = [spot for spot in plan.spots if layout.has(spot.drawing_id)]
    points = tuple(_mark(record, layout, spot, laid.get(spot.number), principle) for spot in seen)
    legend = (LegendItem("spot to be read, with its number", "accent", sign="to_read"),) if seen else ()
    dressing = Dressing(
        strokes=(Stroke("route", tuple(_route(layout, seen))),) if len(seen) > 1 else (),
        points=points,
        ramp=replace(FILM_RAMP, title="Film, mean at the spot")
        if any(point.sign == "reading" for point in points)
        else None,
        legend=legend,
        notes=_elsewhere(plan, len(seen)),
    )
    return dressed(record, layout, choice, _tinter(record, plan, principle), dressing, scale)


def _tinter(record: Record, plan: SpotPlan, principle: Principle | None) -> Tinter:
    def tint(zone: Zone) -> ZoneTint:
        count = plan.counts.get(zone.zone_id)
        if count is None:
            return ZoneTint("zone", "solid", "not in the plan", ("not in the plan",))
        substrate = record.part[zone.part_id].substrate
        said = (f"{count.spots} spots, {count.repeats} readings at each", count.why)
        why = refusal(principle, substrate) if principle else None
        if why:
            return ZoneTint("not_made", "not_made", "this gauge cannot read here: kept, never counted", (*said, why))
        return ZoneTint("seen", "solid", "in the plan", (*said, f"gauge for {substrate}: {GAUGES[substrate]}"))

    return tint


def _mark(
    record: Record, layout: SheetLayout, spot: PlannedSpot, laid: Laid | None, principle: Principle | None
) -> PointMark:
    x, y = layout.to_sheet(spot.drawing_id, spot.x, spot.y)
    zone = record.zone[spot.zone_id]
    words = [f"spot {spot.number}, {zone.title}", f"{spot.edge_mm:.0f} mm from the nearest edge of its zone"]
    if spot.twin:
        words.append(f"its twin on the other side: spot {spot.twin}")
    if laid is None:
        return PointMark("to_read", x, y, "accent", tuple(words), spot.zone_id, f"{spot.number}")
    mean = fmean(laid.values_um)
    words.insert(1, f"{mean:.0f} µm, mean of " + ", ".join(f"{um:g}" for um in laid.values_um))
    words.insert(2, "from row " + ", ".join(str(row.row) for row in laid.rows))
    why = refusal(principle, record.part[zone.part_id].substrate) if principle else None
    if why:
        return PointMark("refused", x, y, "refused", (*words, f"never counted: {why}"), spot.zone_id, f"{spot.number}")
    return PointMark("reading", x, y, film_colour(mean), tuple(words), spot.zone_id, f"{spot.number}: {mean:.0f}")


def _route(layout: SheetLayout, spots: Sequence[PlannedSpot]) -> list[Path]:
    """The way from spot to spot, broken where it goes to another drawing."""
    return [
        (layout.to_sheet(one.drawing_id, one.x, one.y), layout.to_sheet(other.drawing_id, other.x, other.y))
        for one, other in pairwise(spots)
        if one.drawing_id == other.drawing_id
    ]


def _elsewhere(plan: SpotPlan, seen: int) -> tuple[str, ...]:
    rest = len(plan.spots) - seen
    notes = (
        ["Dashed: the route. Numbers that have no room are found by looking closer, or by touching a spot."] if seen else []
    )
    return (*notes, *([f"{rest} spots of the plan lie on the other sheet."] if rest else []))
