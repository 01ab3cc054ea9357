"""What a mask brief says in words: where, why, whose decision, what is not stated. A blank is said to be one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Finding, Record, Zone
from bodymap.views.brief_plan import MaskPlan, parts_at
from bodymap.views.cautions import cautions_for
from bodymap.views.edge_words import EdgeWords

NOT_STATED = "not stated"
Fact = tuple[str, str]
FOUND, STEP_NOTES = "Found here", "Notes of its mask steps"
# Characters: of one note, and of all that is said under one label.
_NOTE_MOST, _NOTES_MOST = 150, 400
_BESIDE_MM = 1.0


def banners(record: Record, area: Area, plan: MaskPlan) -> tuple[str, ...]:
    """What must be read before anything else, in capitals where it begins."""
    said = []
    if area.origin == "recreated":
        said.append("RE-CREATED EDGE: made again by us, not original. Never show or record it as old.")
    elif lost_edge(record, area, plan):
        said.append("RE-CREATED EDGE: the original was stripped before this mask goes on. Never show it as old.")
    drawing = record.drawing.get(area.drawing_id)
    if drawing is not None and drawing.schematic:
        said.append("SCHEMATIC DRAWING: lengths are estimates; trust no dimension. Measure on the vehicle.")
    if area.edge is None:
        said.append("EDGE KIND NOT STATED: do not tape before somebody has decided it.")
    harming = [row for row in plan.coats if row.harms]
    if harming:
        steps = _joined(str(row.step) for row in harming)
        said.append(f"NOT MASKED IN STEP {steps}: the coat would hit the kept surface. Stop and ask.")
    return tuple(said)


def stays_words(area: Area) -> str:
    """Which side stays, for the line under the headline."""
    if area.purpose == "keep":
        return "Hatched: STAYS. Never strip, sand or paint."
    return "Hatched: COVERED. Outside the line: painted."


def margin_words(area: Area) -> str:
    """How near rough work may come to a kept area."""
    if area.purpose == "mask":
        return "none: the mask ends at its edge"
    if area.margin is None:
        return f"{NOT_STATED}: ask before blasting or stripping near it"
    if area.margin == 0:
        return "0 mm: stated as none"
    how = "by hand only, blade or fine abrasive. No blasting, no stripper, no power tool."
    return f"{area.margin:g} mm round it (dashed): {how}"


def facts(record: Record, area: Area, zones: Sequence[Zone], words: EdgeWords, plan: MaskPlan) -> tuple[Fact, ...]:
    """Label and value of everything else the painter asks for."""
    why = "Why it is kept" if area.purpose == "keep" else "Why it is masked"
    parts = [record.part[part] for part in parts_at(record, tuple(zone.zone_id for zone in zones)) if part in record.part]
    said = [
        (why, area.reason or NOT_STATED),
        (FOUND, _capped(map(_finding_words, findings_in(record, area))) or "no finding recorded"),
        *_step_notes(record, area),
        ("Origin of the edge", _origin(record, area, plan)),
        ("Hand-work margin", margin_words(area)),
        ("Zones", _joined(zone.title for zone in zones) or "lies in no zone"),
        ("Parts on and over it", _joined(f"{part.name} ({part.substrate})" for part in parts) or "lies on no part"),
        ("Decided by", _decided(record, area)),
        ("Must look like this", _evidence(record, area)),
        ("Not to be improved", _left_alone(area)),
    ]
    said += _stripped(area, plan)
    said += [(f"{what[0].upper()}{what[1:]}", f"{NOT_STATED} · on the vehicle: __________") for what in words.to_be_stated]
    said.append(("Tape, cleaner, longest time on, greatest temperature", f"{NOT_STATED} · data sheet: __________"))
    said.append(("Gun side", f"{NOT_STATED} · __________"))
    return tuple(said)


def _stripped(area: Area, plan: MaskPlan) -> list[Fact]:
    """Which steps strip its zones. A mask that is not on yet is stripped under: nothing in it is to be protected."""
    guarded = plan.stripped_in if area.purpose == "keep" else plan.stripped_while_on
    bare = [step for step in plan.stripped_in if step not in guarded]
    said = [("Stripped round it", f"in step {_joined(map(str, guarded))}: protect it first")] if guarded else []
    return said + ([("Stripped", f"in step {_joined(map(str, bare))}, while this mask is not on")] if bare else [])


def findings_in(record: Record, area: Area) -> tuple[Finding, ...]:
    """The findings that meet an area, those with a note first; a surface that only touches its edge does not."""
    shape, found = to_shapely(area.shape), []
    for finding in record.findings:
        if finding.drawing_id != area.drawing_id or finding.shape is None:
            continue
        other = to_shapely(finding.shape)
        if shape.intersects(other) and (other.area == 0 or shape.intersection(other).area > 0):
            found.append(finding)
    return tuple(sorted(found, key=lambda finding: finding.note is None))


def _finding_words(finding: Finding) -> str:
    return f"{finding.finding_id} {finding.kind}" + (f": {_cut(finding.note)}" if finding.note else "")


def _step_notes(record: Record, area: Area) -> list[Fact]:
    steps = sorted(record.steps, key=lambda step: step.step)
    own = [step for step in steps if step.action in ("mask", "unmask") and area.area_id in step.target and step.note]
    said = _capped(f"step {step.step} ({step.action}): {_cut(step.note or '')}" for step in own)
    return [(STEP_NOTES, said)] if said else []


def _cut(note: str) -> str:
    return note if len(note) <= _NOTE_MOST else f"{note[:_NOTE_MOST].rstrip()}… (see the record)"


def _capped(said: Iterable[str]) -> str:
    """As many as have room, the first one always; how many more there are is said."""
    listed, kept = list(said), ""
    for number, one in enumerate(listed):
        if number and len(kept) + len(one) > _NOTES_MOST:
            return f"{kept} · and {len(listed) - number} more: see the record"
        kept += f" · {one}" if number else one
    return kept


def counting_words(plans: Sequence[tuple[str, MaskPlan]]) -> tuple[str, ...]:
    """How areas (id, plan) are counted in totals of tape and film; nothing where each goes on once."""
    again = [f"{name} {plan.times_taped} times" for name, plan in plans if plan.planned and plan.times_taped > 1]
    covered = [f"{name} (by {_joined(plan.covered_by, 3)})" for name, plan in plans if not plan.times_taped]
    unplanned = [name for name, plan in plans if not plan.planned and plan.times_taped]
    said = [("Taped anew each time it goes on", again), ("Covered by another mask, not added", covered)]
    said.append(("No step masks it, counted once", unplanned))
    return tuple(f"{words}: {_joined(names)}." for words, names in said if names)


def _joined(names: Iterable[str], most: int = 6) -> str:
    listed = list(dict.fromkeys(names))
    more = f" and {len(listed) - most} more" if len(listed) > most else ""
    return ", ".join(listed[:most]) + more


def lost_edge(record: Record, area: Area, plan: MaskPlan) -> bool:
    """Whether the edge of a mask, not made again as found, is stripped before the plan masks it: then it is made again.

    Where it lies in kept areas nothing is stripped.
    """
    bare = set(plan.stripped_in) - set(plan.stripped_while_on)
    if area.purpose != "mask" or area.origin == "recreated" or not any(min(bare, default=on) < on for on in plan.put_on):
        return False
    kept = [to_shapely(one.shape) for one in record.areas if one.purpose == "keep" and one.drawing_id == area.drawing_id]
    open_edge = to_shapely(area.shape).boundary.difference(shapely.union_all(kept).buffer(_BESIDE_MM))
    return bool(open_edge.length > _BESIDE_MM)


def _origin(record: Record, area: Area, plan: MaskPlan) -> str:
    if lost_edge(record, area, plan):
        was = "original as found" if area.origin == "original" else f"{NOT_STATED} as found"
        return f"{was}; stripped before this mask goes on: RE-CREATED from then on"
    if area.origin is None:
        return NOT_STATED
    return "original" if area.origin == "original" else "RE-CREATED, not original"


def _decided(record: Record, area: Area) -> str:
    wanted = ("keep", "brief accepted")
    said = [one for one in record.signoffs if one.subject == area.area_id and one.what in wanted]
    return _joined(f"{one.what}: {one.by}, {one.on}" for one in said) or "nobody has signed for it yet"


def _left_alone(area: Area) -> str:
    """What a good painter would be tempted to do, and must not (common practice, no source)."""
    if area.purpose == "keep":
        return "anything in it: wear, dirt, runs and an uneven edge stay as they are"
    return "its line: no straighter, sharper or wider than the offsets say; what lies under it is left as it is"


def _evidence(record: Record, area: Area) -> str:
    return _joined(f"{one.title} ({one.source_id})" for one in record.sources if area.area_id in one.about) or (
        f"{NOT_STATED}: no photo or sample names this area"
    )


def cautions(record: Record, area: Area, zones: Sequence[Zone], plan: MaskPlan) -> tuple[str, ...]:
    """The cautions that this job calls for."""
    stacks = [stack.stack_id for zone in zones for stack in record.stacks_of.get(zone.zone_id, ())]
    coats = [record.coat.get(layer.coat_id) for stack in stacks for layer in record.layers_of.get(stack, ())]
    kinds = {coat.kind for coat in coats if coat is not None}
    work = set()
    if area.purpose == "keep" or plan.stripped_in:
        work |= {"old finish", "stripper"}
    if area.purpose == "mask" or plan.coats:
        work |= {"two-pack", "spraying"}
    if area.edge == "left_in_seal" or "underbody" in kinds:
        work.add("old sealer")
    if area.margin or "filler" in kinds:
        work.add("dust")
    return cautions_for(work)
