"""The legend: what each fill, texture, line and sign on the sheet means, only for what is there to see."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from bodymap.model import Record
from bodymap.views.palette import CIVIDIS, FILM_KNOTS_UM
from bodymap.views.sheet_parts import AreaMark, FindingMark, LegendItem, LineMark, PointMark, Ramp
from bodymap.views.sheet_zones import TintedZone
from bodymap.views.tints import NOT_SEEN, STATE_WORDS

FILM_RAMP = Ramp("Film, median of the usable readings as found", "µm", FILM_KNOTS_UM, CIVIDIS)


def zone_legend(zones: Sequence[TintedZone], tint: str) -> tuple[LegendItem, ...]:
    """One item for each state on the sheet, the largest surface first; what was not seen comes last."""
    if tint == "plain":
        return ()
    sizes: dict[LegendItem, float] = {}
    for zone in sorted(zones, key=lambda zone: -zone.area_mm2):
        view = zone.view
        if tint == "film" and view.paint.startswith("#"):
            continue
        # The same coat over another ground looks a little different: the largest zone stands for it.
        like = next((known for known in sizes if (known.words, known.texture) == (view.state, view.texture)), None)
        paint = zone.texture.paint if zone.texture else ""
        item = like or LegendItem(view.state, view.paint, view.texture, texture_paint=paint)
        sizes[item] = sizes.get(item, 0.0) + zone.area_mm2
    order = {words: number for number, words in enumerate(STATE_WORDS.values())} if tint == "coat" else {}
    return tuple(sorted(sizes, key=lambda item: (item.words == NOT_SEEN, order.get(item.words, 0), -sizes[item])))


def mark_legend(
    areas: Sequence[AreaMark], findings: Sequence[FindingMark], lines: Sequence[LineMark], points: Sequence[PointMark]
) -> tuple[LegendItem, ...]:
    """One item for each kind of mark on the sheet."""
    items = []
    if any(area.purpose == "keep" for area in areas):
        items.append(LegendItem("kept, never stripped", style="kept"))
    if any(area.margin for area in areas):
        items.append(LegendItem("margin: by hand only", style="margin"))
    if any(area.purpose == "mask" for area in areas):
        items.append(LegendItem("mask", style="mask"))
    if any(finding.lit for finding in findings):
        items.append(LegendItem("ghost: stands up in relief", style="relief"))
    signed = dict.fromkeys(finding.kind for finding in findings if not finding.lit)
    items += [LegendItem(kind, "finding", sign=kind) for kind in signed]
    if lines:
        items.append(LegendItem("painted line, drawn wider", style="painted_line"))
    items += _point_items({point.sign for point in points})
    return tuple(items)


def _point_items(signs: Collection[str]) -> Iterable[LegendItem]:
    if "spot" in signs:
        yield LegendItem("stack: layers looked at", "stack", sign="spot")
    if "reading" in signs:
        yield LegendItem("film reading, µm", "reading", sign="reading")
    if "refused" in signs:
        yield LegendItem("reading not counted", "refused", sign="refused")
    if "datum" in signs:
        yield LegendItem("datum", "datum", sign="datum")
    if "no_photo" in signs:
        yield LegendItem("no photo", "ink_soft", sign="no_photo")
    if "no_reading" in signs:
        yield LegendItem("no usable reading", "ink_soft", sign="no_reading")


def sheet_notes(
    record: Record, shown: Collection[str], *, placeless_readings: int, missed: int, coat_id: str | None
) -> list[str]:
    """What the picture alone does not say."""
    notes = []
    if coat_id is not None and coat_id in record.coat and not any(layer.coat_id == coat_id for layer in record.layers):
        notes.append(f"No stack speaks of {coat_id} {record.coat[coat_id].name}: it is not seen anywhere.")
    if "findings" in shown:
        without = [finding.finding_id for finding in record.findings if finding.shape is None]
        if without:
            notes.append(f"Findings without a place: {', '.join(without)}.")
    if placeless_readings:
        notes.append(f"Readings without a place, not drawn: {placeless_readings}.")
    if missed:
        notes.append(f"Names left out for want of room: {missed}. Look closer, or point at a mark.")
    return notes
