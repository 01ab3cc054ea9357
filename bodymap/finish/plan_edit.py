"""A plan being edited: steps moved, added, changed, left out, and numbered from 1 again; what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bodymap.errors import BodymapError, Fault
from bodymap.model.area import Area
from bodymap.model.check import reference_faults
from bodymap.model.entry import Entry
from bodymap.model.plan import Goal, Step
from bodymap.model.record import Record

Steps = tuple[Step, ...]


@dataclass(frozen=True)
class Plan:
    """Steps in their order, and the masks and goals which they need and the record has not."""

    steps: Steps
    areas: tuple[Area, ...] = ()
    goals: tuple[Goal, ...] = ()

    def within(self, record: Record) -> Record:
        """The record with this plan in place of its own."""
        whole = record.with_kind(Step.KIND, self.steps)
        if self.areas:
            whole = whole.with_kind(Area.KIND, (*record.areas, *self.areas))
        if self.goals:
            whole = whole.with_kind(Goal.KIND, (*record.goals, *self.goals))
        return whole

    def number_at(self, place: int) -> int:
        """Number of the step at a place from 1; 0, before all of them, is 0. Numbers of a record's plan may have gaps."""
        return self.steps[place - 1].step if place else 0

    def place_of(self, number: int) -> int:
        """Place of the step with a number, from 1; 0: there is none."""
        return next((place for place, step in enumerate(self.steps, start=1) if step.step == number), 0)


def plan_of(record: Record) -> Plan:
    """The record's own plan."""
    return Plan(tuple(sorted(record.steps, key=lambda step: step.step)))


def numbered(steps: Sequence[Step]) -> Steps:
    """The steps with the numbers of their places, from 1."""
    return tuple(
        step if step.step == place else step.model_copy(update={"step": place}) for place, step in enumerate(steps, start=1)
    )


def moved(steps: Sequence[Step], place: int, to: int) -> Steps:
    """The step at a place (from 1) at another place; the ones between make room.

    Raises:
        BodymapError: a place that the plan has not.
    """
    _check(steps, place)
    _check(steps, to)
    rest = [*steps[: place - 1], *steps[place:]]
    return numbered([*rest[: to - 1], steps[place - 1], *rest[to - 1 :]])


def added(steps: Sequence[Step], after: int, step: Step) -> Steps:
    """One step more, after a place (0: before all of them). Raises BodymapError, as `moved`."""
    if after:
        _check(steps, after)
    return numbered([*steps[:after], step, *steps[after:]])


def replaced(steps: Sequence[Step], place: int, step: Step) -> Steps:
    """Another step at a place. Raises BodymapError, as `moved`."""
    _check(steps, place)
    return numbered([*steps[: place - 1], step, *steps[place:]])


def without(steps: Sequence[Step], place: int) -> Steps:
    """The plan without the step at a place. Raises BodymapError, as `moved`."""
    _check(steps, place)
    return numbered([*steps[: place - 1], *steps[place:]])


def step_faults(record: Record, step: Step) -> tuple[Fault, ...]:
    """What makes one step impossible in a record: targets that it has not, parts that cannot be taken off."""
    whole = record.with_kind(Step.KIND, (step,))

    def where(entry: Entry) -> tuple[str, int]:
        return (Step.FILE if entry is step else entry.FILE, 0)

    return tuple(fault for fault in reference_faults(whole, where) if fault.file == Step.FILE)


def _check(steps: Sequence[Step], place: int) -> None:
    if not 1 <= place <= len(steps):
        raise BodymapError(f"place of a step: found {place}; allowed: 1 to {len(steps)}")
