"""A strip sheet as plain data for the typesetter: texts ready to print, long ones cut, which is said on the sheet."""

from __future__ import annotations

from typing import Any

from bodymap.briefs.drawn import drawn
from bodymap.briefs.mask_pages import issue_of, shortened
from bodymap.model.journal import Head
from bodymap.release.strip_areas import Amount
from bodymap.units import mm2_to_m2
from bodymap.views.ladder import SUBSTRATE_WORDS
from bodymap.views.strip_sheet import LeafPicture, SheetKeep, SheetZone, StripLeaf, StripSheetView

Data = dict[str, Any]

NOT_RELEASED = "NOT RELEASED – do not strip"
_STATE = {
    "released": "RELEASED",
    "signed but blocked": "SIGNED, BUT BLOCKED",
    "ready to sign": "NOT RELEASED",
    "blocked": "NOT RELEASED",
}
_ZONES_NAMED = 6
_KEEPS_NAMED = 3


def strip_pages(view: StripSheetView, head: Head | None, printed_on: str) -> Data:
    """The whole sheet as data, its texts as they stand in the record."""
    wide, high = (210, 297) if view.paper == "a4" else (297, 420)
    return {
        "title": f"Strip sheet: {view.vehicle}",
        "vehicle": shortened(view.vehicle, 80),
        "issue": issue_of(head),
        "printed": printed_on,
        "paper": {"width": wide, "height": high, "text": 8.6 if view.paper == "a4" else 11.5},
        "zones": view.zones,
        "released": view.released,
        "list": [_listed(number, leaf) for number, leaf in enumerate(view.leaves, start=1)],
        "tape": f"{view.tape_m:.1f} m",
        "foil": f"{view.foil_m2:.2f} m²",
        "figures": [f"{one.meaning}: {one.value:g} {one.unit} ({one.basis}; {one.source})" for one in view.figures],
        "leaves": [_leaf(number, leaf) for number, leaf in enumerate(view.leaves, start=1)],
    }


def _listed(number: int, leaf: StripLeaf) -> Data:
    free = sum(zone.free for zone in leaf.zones)
    total = leaf.totals
    return {
        "number": number,
        "part": shortened(leaf.part, 60),
        "free": free == len(leaf.zones),
        "state": "RELEASED" if free == len(leaf.zones) else f"{free} of {len(leaf.zones)} released",
        "how": "; ".join(_methods(leaf)),
        "strip": _square_m(total.strip, leaf),
        "hand": _square_m(total.hand, leaf),
        "keep": _square_m(total.keep, leaf),
    }


def _methods(leaf: StripLeaf) -> tuple[str, ...]:
    return tuple(dict.fromkeys(how.split(" (step")[0] for zone in leaf.zones for how in zone.how))


def _loud(leaf: StripLeaf) -> list[list[str]]:
    """What is read from two metres: how it is stripped, and what must never be touched; label and words."""
    kept = [f"{keep.area_id} {shortened(keep.title, 40)}" for keep in leaf.keeps]
    more = f" and {len(kept) - _KEEPS_NAMED} more, see below" if len(kept) > _KEEPS_NAMED else ""
    touch = [["Never touch:", "; ".join(kept[:_KEEPS_NAMED]) + more]] if kept else []
    return [["How:", shortened("; ".join(_methods(leaf)), 80)], *touch]


def _leaf(number: int, leaf: StripLeaf) -> Data:
    locked = [zone for zone in leaf.zones if not zone.free]
    total = leaf.totals
    return {
        "number": number,
        "part": shortened(leaf.part, 80),
        "substrate": SUBSTRATE_WORDS[leaf.substrate],  # type: ignore[index]
        "free": leaf.free,
        "none_free": len(locked) == len(leaf.zones),
        "locked": [f"{zone.number} {shortened(zone.title, 50)}" for zone in locked[:_ZONES_NAMED]],
        "locked_more": max(len(locked) - _ZONES_NAMED, 0),
        "banner": NOT_RELEASED,
        "loud": _loud(leaf),
        "zones": [_zone(zone, leaf) for zone in leaf.zones],
        "sums": {
            "strip": _square_m(total.strip, leaf),
            "hand": _square_m(total.hand, leaf),
            "keep": _square_m(total.keep, leaf),
        },
        "keeps": [_keep(keep) for keep in leaf.keeps],
        "never": [shortened(line, 120) for line in leaf.never],
        "rules": list(leaf.rules),
        "masks": [shortened(line, 420) for line in leaf.masks],
        "cautions": list(leaf.cautions),
        "pictures": [_picture(one) for one in leaf.pictures],
        "estimate": leaf.estimate,
    }


def _zone(zone: SheetZone, leaf: StripLeaf) -> Data:
    said = [f"against it: {'; '.join(zone.against)}"] if zone.against else []
    said += [f"overruled: {shortened(line, 160)}" for line in zone.overruled]
    return {
        "number": str(zone.number),
        "title": shortened(zone.title, 80),
        "zone_id": zone.zone_id,
        "free": zone.free,
        "state": _STATE[zone.state],
        "signed": "; ".join(shortened(one, 60) for one in zone.signed) or "signed by nobody",
        "said": said,
        "how": "; ".join(zone.how),
        "strip": _square_m(zone.amounts.strip, leaf),
        "hand": _square_m(zone.amounts.hand, leaf),
        "keep": _square_m(zone.amounts.keep, leaf),
    }


def _keep(keep: SheetKeep) -> Data:
    margin = "margin NOT STATED" if keep.margin_mm is None else f"{keep.margin_mm:g} mm round it by hand only"
    cover = keep.cover
    layers = f"{cover.layers} layers" if cover and cover.layers > 1 else "1 layer"
    return {
        "area_id": keep.area_id,
        "title": shortened(keep.title, 70),
        "reason": shortened(keep.reason or "reason not stated", 200),
        "edge": keep.edge,
        "make": keep.edge_make,
        "margin": margin,
        "masks": f"Mask: {shortened('; '.join(keep.masks), 80)}" if keep.masks else "No mask of the record covers it",
        "cover": (
            f"Cover it with its margin, {cover.surface_m2:.3f} m²: foil, {layers}, {cover.foil_m2:.2f} m²; "
            f"tape {cover.tape_m:.1f} m"
            if cover
            else ""
        ),
        "endangered": keep.endangered,
    }


def _picture(one: LeafPicture) -> Data:
    picture = one.picture
    return {
        "drawing": shortened(one.drawing, 60),
        "estimate": one.estimate,
        "scale": f"1 : {picture.scale:g}",
        **drawn(picture),
        "alarms": [vars(alarm) for alarm in one.alarms],
    }


def _square_m(amount: Amount, leaf: StripLeaf) -> str:
    if not amount.surface_mm2:
        return "–"
    area_m2 = mm2_to_m2(amount.surface_mm2)
    return f"{'≈' if leaf.estimate else ''}{area_m2:.{2 if area_m2 >= 0.1 else 3}f}"
