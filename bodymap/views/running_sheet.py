"""The repaint plan as one sheet for the booth: every step in its order, with what is off and what is masked in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bodymap.model import Record, Step

_VERBS = {
    "remove": "TAKE OFF",
    "fit": "FIT",
    "mask": "MASK",
    "unmask": "UNMASK",
    "strip": "STRIP",
    "coat": "COAT",
}


@dataclass(frozen=True)
class RunningStep:
    """One step.

    `what`: names of its targets. `colour`: of the coat, #rrggbb. `beside`: parts painted off the vehicle in it;
    `only_beside`: nothing else is. `off` and `masked`: names of parts and ids of areas, as they are while it is done.
    `said`: method, batch and note.
    """

    number: int
    verb: str
    what: tuple[str, ...]
    colour: str | None
    beside: tuple[str, ...]
    only_beside: bool
    off: tuple[str, ...]
    masked: tuple[str, ...]
    said: str

    @property
    def is_coat(self) -> bool:
        """Whether a coat goes on: the moment at which parts and masks must be as they are told."""
        return self.verb == _VERBS["coat"]


def running_sheet(record: Record) -> tuple[RunningStep, ...]:
    """The steps of the plan in their order, each with the state of parts and masks in it."""
    off: tuple[str, ...] = ()
    masked: tuple[str, ...] = ()
    rows = []
    for step in sorted(record.steps, key=lambda one: one.step):
        if step.action == "remove":
            off = _with(off, step.target)
        elif step.action == "fit":
            off = _without(off, step.target)
        elif step.action == "mask":
            masked = _with(masked, step.target)
        elif step.action == "unmask":
            masked = _without(masked, step.target)
        rows.append(_row(record, step, off, masked))
    return tuple(rows)


def _with(held: Sequence[str], more: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys([*held, *more]))


def _without(held: Sequence[str], less: Iterable[str]) -> tuple[str, ...]:
    gone = set(less)
    return tuple(one for one in held if one not in gone)


def _row(record: Record, step: Step, off: Sequence[str], masked: Sequence[str]) -> RunningStep:
    coats = [record.coat[target] for target in step.target if target in record.coat] if step.action == "coat" else []
    said = (step.method and step.method.replace("_", " "), step.batch and f"batch {step.batch}", step.note)
    return RunningStep(
        number=step.step,
        verb=_VERBS[step.action],
        what=tuple(_name(record, step, target) for target in step.target),
        colour=coats[0].colour if coats else None,
        beside=tuple(_part(record, part) for part in step.parts_beside),
        only_beside=step.parts_only,
        off=tuple(_part(record, part) for part in off),
        masked=tuple(masked),
        said=" · ".join(text for text in said if text),
    )


def _part(record: Record, part_id: str) -> str:
    part = record.part.get(part_id)
    return part.name if part else part_id


def _name(record: Record, step: Step, target: str) -> str:
    if step.action in ("remove", "fit"):
        return _part(record, target)
    if step.action == "coat":
        coat = record.coat.get(target)
        return coat.name if coat else target
    if step.action == "strip":
        zone = record.zone.get(target)
        return zone.title if zone else target
    area = record.area.get(target)
    return f"{target} {area.title}" if area and area.name else target
