"""What is odd in a plan: steps that change nothing, parts left off, masks left on. Tinted coats: see `tint_plan`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from bodymap.finish.naming import part_said
from bodymap.model.plan import Step
from bodymap.model.record import Record


@dataclass
class _State:
    record: Record
    removed: dict[str, int] = field(default_factory=dict)
    masked: dict[str, int] = field(default_factory=dict)


def plan_notes(record: Record, steps: Iterable[Step]) -> tuple[str, ...]:
    """What is odd in the steps, in their order, and what is left over after the last one. Steps come in order."""
    state = _State(record)
    notes = [note for step in steps for note in _odd(state, step)]
    return (*notes, *_left_over(state))


def _odd(state: _State, step: Step) -> Iterator[str]:
    target = step.target[0] if step.target else ""
    if step.action in ("remove", "fit"):
        yield from _moved(state, step, target)
    elif step.action in ("mask", "unmask"):
        yield from _masked(state, step, target)
    elif step.action == "coat":
        for part in step.parts_beside:
            if part not in state.removed:
                name = part_said(state.record, part)
                yield f"step {step.step}: {name} is to be painted beside the vehicle, but it is on the vehicle"


def _moved(state: _State, step: Step, part: str) -> Iterator[str]:
    name = part_said(state.record, part)
    if step.action == "remove":
        if part in state.removed:
            yield f"step {step.step}: {name} is off already, since step {state.removed[part]}"
        state.removed.setdefault(part, step.step)
    elif state.removed.pop(part, None) is None:
        yield f"step {step.step}: {name} is fitted, but it was not off"


def _masked(state: _State, step: Step, area: str) -> Iterator[str]:
    if step.action == "mask":
        if area in state.masked:
            yield f"step {step.step}: {area} is masked already, since step {state.masked[area]}"
        state.masked.setdefault(area, step.step)
    elif state.masked.pop(area, None) is None:
        yield f"step {step.step}: {area} is unmasked, but it was not masked"


def _left_over(state: _State) -> Iterator[str]:
    for part, step in state.removed.items():
        yield f"{part_said(state.record, part)} is still off after the last step (taken off in step {step})"
    for area, step in state.masked.items():
        yield f"{area} is still masked after the last step (masked in step {step})"
