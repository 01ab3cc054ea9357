"""When a mask is on: the planned steps read from the side of one area.

All parts are on the vehicle and nothing is masked before step 1. Only steps are read here; what the coats do to every
surface is the replay's business.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bodymap.model import Area, Record, Step

MaskState = Literal["on", "off", "not reached"]


@dataclass(frozen=True)
class CoatRow:
    """One coat step seen from an area.

    `mask`: on; off (the area gets this coat); or not reached (covered, or its part is not painted in this step).
    `parts`: where each part is that the area lies on or that covers it, in words.
    """

    step: int
    coat_id: str
    coat: str
    colour: str | None
    mask: MaskState
    harms: bool
    parts: tuple[str, ...]


@dataclass(frozen=True)
class MaskPlan:
    """The steps that speak of an area.

    `steps_planned`: there is a repaint plan at all. `planned`: one of its steps masks this area. `stripped_in`: the
    steps that strip a zone which the area lies in.
    """

    steps_planned: bool
    planned: bool
    put_on: tuple[int, ...]
    taken_off: tuple[int, ...]
    coats: tuple[CoatRow, ...]
    stripped_in: tuple[int, ...]

    @property
    def words(self) -> str:
        """When the mask is on, in one sentence."""
        if not self.steps_planned:
            return "Not planned yet: the record has no repaint steps."
        if not self.planned:
            return "Not planned yet: no step puts this mask on."
        on = ", ".join(f"step {step}" for step in self.put_on)
        off = ", ".join(f"step {step}" for step in self.taken_off)
        return f"On from {on}; " + (f"off at {off}." if off else "no step takes it off.")


def mask_plan(record: Record, area: Area, zones: tuple[str, ...]) -> MaskPlan:
    """What the steps of a record say of one area, which lies in `zones` (their ids)."""
    steps = sorted(record.steps, key=lambda step: step.step)
    fitted = {part.part_id for part in record.parts}
    masked = False
    rows = []
    for step in steps:
        if step.action == "coat":
            rows += [_row(record, area, zones, step, fitted, coat, masked=masked) for coat in step.target]
        elif step.action in ("remove", "fit"):
            fitted = fitted - set(step.target) if step.action == "remove" else fitted | set(step.target)
        elif area.area_id in step.target and step.action in ("mask", "unmask"):
            masked = step.action == "mask"
    on, off = (tuple(s.step for s in steps if s.action == act and area.area_id in s.target) for act in ("mask", "unmask"))
    strips = tuple(s.step for s in steps if s.action == "strip" and set(s.target) & set(zones))
    return MaskPlan(bool(steps), bool(on), on, off, tuple(rows), strips)


def _row(
    record: Record, area: Area, zones: tuple[str, ...], step: Step, fitted: set[str], coat_id: str, *, masked: bool
) -> CoatRow:
    reached = any(_reached(record, zone, step, fitted) for zone in zones)
    state: MaskState = "on" if masked else "off" if reached else "not reached"
    coat = record.coat.get(coat_id)
    parts = tuple(_where(record, part, step, fitted) for part in parts_at(record, zones))
    return CoatRow(
        step.step,
        coat_id,
        coat.name if coat else coat_id,
        coat.colour if coat else None,
        state,
        area.purpose == "keep" and state == "off",
        parts,
    )


def parts_at(record: Record, zones: tuple[str, ...]) -> tuple[str, ...]:
    """Ids of the parts that the zones lie on, and of the removable parts that cover them; each once."""
    own = [record.zone[zone].part_id for zone in zones if zone in record.zone]
    covering = [cover.part_id for cover in record.covers if cover.zone_id in zones]
    return tuple(dict.fromkeys(own + covering))


def _reached(record: Record, zone_id: str, step: Step, fitted: set[str]) -> bool:
    part = record.zone[zone_id].part_id
    if part not in fitted:
        return part in step.parts_beside
    covers = [cover for cover in record.covers if cover.zone_id == zone_id and cover.part_id in fitted]
    # Mist that drifts in through a gap reaches it as well.
    return not step.parts_only and all(cover.lets_mist_in for cover in covers)


def _where(record: Record, part_id: str, step: Step, fitted: set[str]) -> str:
    part = record.part.get(part_id)
    name = part.name if part else part_id
    if part_id in fitted:
        return f"{name}: on the vehicle" + (", not painted now" if step.parts_only else "")
    return f"{name}: off, painted beside it" if part_id in step.parts_beside else f"{name}: off, not painted"
