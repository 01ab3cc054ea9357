"""A plan edited: steps keep what they say, places are numbered from 1, senseless places are refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.finish.plan_edit import Plan, added, moved, numbered, plan_of, replaced, step_faults, without
from bodymap.model import Step
from tests.finish.tinted_van import area, rect, van

STEPS = tuple(Step(step=n, action="coat", target=("t",), note=f"note {n}") for n in (10, 20, 30, 40))
NOTES = [step.note for step in STEPS]


def notes(steps):
    assert [step.step for step in steps] == list(range(1, len(steps) + 1))
    return [step.note for step in steps]


@given(st.integers(1, 4), st.integers(1, 4))
def test_moving_is_taking_out_and_putting_in(place, to):
    wanted = [note for note in NOTES if note != NOTES[place - 1]]
    wanted.insert(to - 1, NOTES[place - 1])
    assert notes(moved(STEPS, place, to)) == wanted
    assert notes(moved(moved(STEPS, place, to), to, place)) == NOTES


def test_adding_replacing_leaving_out():
    new = Step(step=99, action="coat", target=("p",), note="new")
    assert notes(added(STEPS, 0, new)) == ["new", *NOTES]
    assert notes(added(STEPS, 4, new)) == [*NOTES, "new"]
    assert notes(replaced(STEPS, 2, new)) == [NOTES[0], "new", *NOTES[2:]]
    assert notes(without(STEPS, 4)) == NOTES[:3]
    assert notes(numbered(STEPS)) == NOTES


@pytest.mark.parametrize("place", [0, 5, -1])
def test_places_that_the_plan_has_not_are_refused(place):
    for change in (lambda: moved(STEPS, place, 1), lambda: moved(STEPS, 1, place), lambda: without(STEPS, place),
                   lambda: replaced(STEPS, place, STEPS[0])):  # fmt: skip
        with pytest.raises(BodymapError, match=f"found {place}; allowed: 1 to 4"):
            change()


def test_numbers_with_gaps_have_places():
    plan = plan_of(van().with_kind("step", reversed(STEPS)))
    assert [plan.number_at(place) for place in range(5)] == [0, 10, 20, 30, 40]
    assert [plan.place_of(number) for number in (0, 10, 40, 11)] == [0, 1, 4, 0]


def test_a_plan_brings_its_masks_and_goals():
    record = van([("coat", "p")], goals=[("body", "p")])
    own = area(rect(0, 0, 10, 10), "mask", area_id="m")
    goal = record.goals[0].model_copy(update={"zone_id": "door"})
    whole = Plan(STEPS, (own,), (goal,)).within(record)
    assert (whole.steps, whole.areas, whole.goals) == (STEPS, (own,), (*record.goals, goal))
    assert Plan(STEPS).within(record).areas == ()


def test_a_step_that_cannot_be_done_says_why():
    record = van([("coat", "p")])
    fault = step_faults(record, Step(step=1, action="remove", target=("shell",)))
    assert [(one.column, one.allowed) for one in fault] == [("target", "a part whose removable is yes")]
    assert "coat without a target" in step_faults(record, Step(step=1, action="coat"))[0].found
    assert step_faults(record, Step(step=1, action="strip", target=("body", "door"))) == ()
