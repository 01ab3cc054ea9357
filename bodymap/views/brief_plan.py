"""When a mask is on: the planned steps read from the side of one area.

All parts are on the vehicle and nothing is masked before step 1. Only steps are read here; what the coats do to every
surface is the replay's business.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record, Step

# Less than this left bare counts as wholly covered.
_BARE_MM2 = 1.0
MaskState = Literal["on", "off", "not reached"]


@dataclass(frozen=True)
class CoatRow:
    """One coat step seen from an area.

    `mask`: on; off (the area gets this coat); or not reached (covered, or its part is not painted in this step).
    `by`: ids of other masks that together cover it in this step. `harms`: a kept surface gets the coat.
    `parts`: where each part is that the area lies on or that covers it, in words.
    """

    step: int
    coat_id: str
    coat: str
    colour: str | None
    mask: MaskState
    by: tuple[str, ...]
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
    def covered_by(self) -> tuple[str, ...]:
        """Ids of the other masks that cover the area in one coat step or another."""
        return tuple(dict.fromkeys(mask for row in self.coats for mask in row.by))

    @property
    def times_taped(self) -> int:
        """How often the area is taped: once for every step that masks it, not at all where other masks cover it.

        Where no step masks it and a coat would still reach it, or nothing is planned, it counts once.
        """
        if self.planned:
            return len(self.put_on)
        return 0 if self.covered_by and not any(row.harms for row in self.coats) else 1

    @property
    def spans(self) -> tuple[tuple[int, int | None], ...]:
        """The step that puts the mask on and the one that takes it off again, each time; None: it stays on to the end."""
        spans: list[tuple[int, int | None]] = []
        for step in self.put_on:
            off = spans[-1][1] if spans else -1
            if off is not None and step > off:
                spans.append((step, next((one for one in self.taken_off if one > step), None)))
        return tuple(spans)

    @property
    def stripped_while_on(self) -> tuple[int, ...]:
        """The steps that strip round the mask while it is on."""
        return tuple(s for s in self.stripped_in if any(on < s and (off is None or s < off) for on, off in self.spans))

    @property
    def out_of_reach(self) -> bool:
        """Whether no step masks the area and no coat of the plan comes to it."""
        return not self.planned and bool(self.coats) and all(row.mask == "not reached" for row in self.coats)

    @property
    def words(self) -> str:
        """When the mask is on, in one sentence."""
        if not self.steps_planned:
            return "Not planned yet: the record has no repaint steps."
        others = self.covered_by
        if not self.planned and others:
            return f"Covered by {', '.join(others)}: see the brief of that mask."
        if self.out_of_reach:
            return "No step masks it: no planned coat reaches it."
        if not self.planned:
            return "Not planned yet: no step puts this mask on."
        on = ", ".join(f"step {step}" for step in self.put_on)
        off = ", ".join(f"step {step}" for step in self.taken_off)
        return f"On from {on}; " + (f"off at {off}." if off else "no step takes it off.")


def mask_plan(record: Record, area: Area, zones: tuple[str, ...]) -> MaskPlan:
    """What the steps of a record say of one area, which lies in `zones` (their ids)."""
    steps = sorted(record.steps, key=lambda step: step.step)
    fitted = frozenset(part.part_id for part in record.parts)
    masked: frozenset[str] = frozenset()
    rows = []
    for step in steps:
        target = frozenset(step.target)
        if step.action == "coat":
            scene = _Scene(record, area, zones, step, fitted, masked)
            rows += [_row(scene, coat) for coat in step.target]
        elif step.action in ("remove", "fit"):
            fitted = fitted - target if step.action == "remove" else fitted | target
        elif step.action in ("mask", "unmask"):
            masked = masked | target if step.action == "mask" else masked - target
    on, off = (tuple(s.step for s in steps if s.action == act and area.area_id in s.target) for act in ("mask", "unmask"))
    strips = tuple(s.step for s in steps if s.action == "strip" and set(s.target) & set(zones))
    return MaskPlan(bool(steps), bool(on), on, off, tuple(rows), strips)


@dataclass(frozen=True)
class _Scene:
    """How things stand at a step: what is fitted, what is masked."""

    record: Record
    area: Area
    zones: tuple[str, ...]
    step: Step
    fitted: frozenset[str]
    masked: frozenset[str]


def _row(scene: _Scene, coat_id: str) -> CoatRow:
    reached = any(_reached(scene, zone) for zone in scene.zones)
    own = scene.area.area_id in scene.masked
    by = () if own or not reached else masks_over(scene.record, scene.area, scene.masked)
    state: MaskState = "on" if own or by else "off" if reached else "not reached"
    coat = scene.record.coat.get(coat_id)
    return CoatRow(
        scene.step.step,
        coat_id,
        coat.name if coat else coat_id,
        coat.colour if coat else None,
        state,
        by,
        scene.area.purpose == "keep" and state == "off",
        _part_states(scene),
    )


def masks_over(record: Record, area: Area, masked: frozenset[str]) -> tuple[str, ...]:
    """Ids of the masks which together cover an area; none if some of it is left bare."""
    shape = to_shapely(area.shape)
    masks = [one for one in record.areas if one.area_id in masked and one.drawing_id == area.drawing_id]
    touching = [one for one in masks if to_shapely(one.shape).intersects(shape)]
    bare = shape.difference(shapely.union_all([to_shapely(one.shape) for one in touching]))
    return tuple(one.area_id for one in touching) if bare.area < _BARE_MM2 else ()


def parts_at(record: Record, zones: tuple[str, ...]) -> tuple[str, ...]:
    """Ids of the parts that the zones lie on, and of the removable parts that cover them; each once."""
    own = [record.zone[zone].part_id for zone in zones if zone in record.zone]
    covering = [cover.part_id for cover in record.covers if cover.zone_id in zones]
    return tuple(dict.fromkeys(own + covering))


def _reached(scene: _Scene, zone_id: str) -> bool:
    record, step, fitted = scene.record, scene.step, scene.fitted
    part = record.zone[zone_id].part_id
    if part not in fitted:
        return part in step.parts_beside
    covers = [cover for cover in record.covers if cover.zone_id == zone_id and cover.part_id in fitted]
    # Mist that drifts in through a gap reaches it as well.
    return not step.parts_only and all(cover.lets_mist_in for cover in covers)


def _part_states(scene: _Scene) -> tuple[str, ...]:
    """Where the parts are in a step, those in the same state together."""
    grouped: dict[str, list[str]] = {}
    for part_id in parts_at(scene.record, scene.zones):
        part = scene.record.part.get(part_id)
        grouped.setdefault(_part_state(scene, part_id), []).append(part.name if part else part_id)
    return tuple(f"{state}: {', '.join(names)}" for state, names in grouped.items())


def _part_state(scene: _Scene, part_id: str) -> str:
    if part_id in scene.fitted:
        return "on the vehicle, not painted now" if scene.step.parts_only else "on the vehicle"
    return "off, painted beside it" if part_id in scene.step.parts_beside else "off, not painted"
