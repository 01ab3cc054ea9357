"""Zones of one tinted coat planned in different goes or of different mixes."""

from __future__ import annotations

from bodymap.finish.tint_plan import tint_warnings
from bodymap.settings import in_force
from tests.finish.tinted_van import area, rect, van

SETTINGS = in_force()
APART = [("remove", "door"), ("coat", "t"), ("coat", "t", "only door")]


def warned(steps, **more):
    return tint_warnings(van(steps, **more), SETTINGS)


def test_one_step_and_passes_over_the_same_zones_are_one_go():
    assert warned([("coat", "t")]) == ()
    assert warned([("coat", "t"), ("coat", "t")]) == ()
    assert warned([("coat", "t", "", "mix 1"), ("coat", "t", "", "mix 1")]) == ()


def test_a_door_sprayed_by_itself_is_named_with_its_step():
    (warning,) = warned(APART)
    assert (warning.coat_id, warning.steps) == ("t", (2, 3))
    assert warning.zones == (("body", "jamb"), ("door",))
    assert "Blue (t) is planned in steps 2 and 3" in warning.words
    assert "step 2 Body side, jamb; step 3 door" in warning.words
    assert warning.accepted is None


def test_only_tinted_coats_are_asked():
    assert warned([("remove", "door"), ("coat", "c"), ("coat", "c", "only door")]) == ()


def test_a_mask_shifts_no_zone_but_one_that_hides_all_of_it_does():
    part, whole = area(rect(0, 0, 500, 1000), "mask", area_id="m"), area(rect(-1, -1, 2001, 1001), "mask", area_id="m")
    steps = [("coat", "t"), ("mask", "m"), ("coat", "t")]
    assert warned(steps, areas=[part]) == ()
    (warning,) = warned(steps, areas=[whole])
    assert "step 1 Body side; step 3 nothing else" in warning.words


def test_mist_alone_is_no_go_of_its_own():
    # Step 1 gives the jamb full with the door away; step 4 shuts the door: mist only.
    (warning,) = warned([("remove", "door"), ("coat", "t", "door"), ("fit", "door"), ("coat", "t")])
    assert warning.zones == (("body", "door", "jamb"), ("body", "door"))


def test_different_batches_are_told_even_for_the_same_zones():
    (warning,) = warned([("coat", "t", "", "mix 1"), ("coat", "t", "", "mix 2")])
    assert "step 1 mix 1, step 2 mix 2" in warning.words
    (half,) = warned([("coat", "t", "", "mix 1"), ("coat", "t")])
    assert "step 2 not stated" in half.words


def test_who_signs_for_it_is_told():
    (warning,) = warned(APART, signoffs=[("t", "door was sprayed first, panel matched by eye")])
    assert warning.accepted == "restorer, 2026-03-01: door was sprayed first, panel matched by eye"


def test_other_steps_than_the_records_may_be_asked():
    record = van(APART)
    assert tint_warnings(record, SETTINGS, record.steps[:2]) == ()
    assert len(tint_warnings(record, SETTINGS, record.steps)) == 1
