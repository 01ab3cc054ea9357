"""The order of work: what is off and masked in each step follows from the steps before it, by their numbers."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bodymap.model import Step
from bodymap.views.running_sheet import running_sheet
from tests.views.brief_specimen import van


def rows(*steps):
    return running_sheet(van(steps=steps))


def test_steps_stand_by_their_number_and_a_part_is_off_until_it_is_fitted():
    steps = rows(
        Step(step=30, action="fit", target=("door",)),
        Step(step=10, action="remove", target=("door",)),
        Step(step=20, action="coat", target=("blue",), parts=("only", "door"), note="two passes"),
    )
    assert [(row.number, row.verb) for row in steps] == [(10, "TAKE OFF"), (20, "COAT"), (30, "FIT")]
    assert [row.off for row in steps] == [("Cab door",), ("Cab door",), ()]
    assert (steps[1].beside, steps[1].only_beside, steps[1].said) == (("Cab door",), True, "two passes")
    assert [row.is_coat for row in steps] == [False, True, False]


def test_what_the_record_does_not_name_is_told_by_its_id():
    (row,) = rows(Step(step=1, action="strip", target=("upper", "nowhere")))
    assert row.what == ("Cargo side, upper", "nowhere")


@given(st.lists(st.tuples(st.sampled_from(["mask", "unmask"]), st.sampled_from(["K4", "M1", "M2"])), max_size=12))
def test_a_mask_is_on_when_its_last_step_put_it_on(moves):
    steps = [Step(step=number, action=action, target=(area,)) for number, (action, area) in enumerate(moves, start=1)]
    for number, row in enumerate(running_sheet(van(steps=steps)), start=1):
        last = {area: action for action, area in moves[:number]}
        assert set(row.masked) == {area for area, action in last.items() if action == "mask"}
