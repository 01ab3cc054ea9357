"""When a mask is on, read from the steps (meaning as in the description of `steps.csv`)."""

from __future__ import annotations

import pytest

from bodymap.model import Area, Part, Step
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.brief_booth import booth_lines
from bodymap.views.brief_plan import mask_plan, masks_over
from bodymap.views.edge_words import edge_words
from bodymap.views.hand_over_again import edges_lost
from bodymap.views.retained import retained_figures
from tests.views.brief_specimen import PANEL, WITNESS, cover, rect, van


def states(record, area, zones):
    return [(row.step, row.mask, row.harms) for row in mask_plan(record, area, zones).coats]


def test_a_mask_is_on_from_mask_to_unmask():
    plan = mask_plan(van(), PANEL, ("upper",))
    assert [(row.step, row.mask) for row in plan.coats] == [(4, "on"), (7, "off")]
    assert (plan.put_on, plan.taken_off, plan.planned) == ((3,), (5,), True)
    assert plan.words == "On from step 3; off at step 5."


def test_a_mask_never_taken_off_says_so():
    assert mask_plan(van(), WITNESS, ("upper",)).words == "On from step 2; no step takes it off."


def test_a_kept_surface_left_bare_is_harmed():
    bare = van(steps=(Step(step=1, action="coat", target=("silver",)),))
    assert states(bare, WITNESS, ("upper",)) == [(1, "off", True)]
    assert states(bare, PANEL, ("upper",)) == [(1, "off", False)]


def test_steps_count_by_their_number_not_by_their_row():
    steps = (Step(step=9, action="coat", target=("silver",)), Step(step=2, action="mask", target=("K4",)))
    assert states(van(steps=steps), WITNESS, ("upper",)) == [(9, "on", False)]


@pytest.mark.parametrize(
    ("gap", "expected"), [(None, "not reached"), (False, "not reached"), (True, "off")], ids=["not stated", "tight", "gap"]
)
def test_a_fitted_cover_keeps_the_coat_away_unless_mist_drifts_in(gap, expected):
    record = van(cover(gap=gap), steps=(Step(step=1, action="coat", target=("silver",)),))
    assert [state for _, state, _ in states(record, WITNESS, ("upper",))] == [expected]


def test_one_tight_cover_is_enough():
    lid = Part(part_id="lid", name="Lid", substrate="steel", removable=True)
    record = van(lid, cover(gap=True), cover(part="lid"), steps=(Step(step=1, action="coat", target=("silver",)),))
    assert [state for _, state, _ in states(record, WITNESS, ("upper",))] == ["not reached"]


@pytest.mark.parametrize(
    ("parts", "expected", "words"),
    [
        ((), "not reached", "off, not painted: Cab door"),
        (("door",), "off", "off, painted beside it: Cab door"),
        (("only", "door"), "off", "off, painted beside it: Cab door"),
    ],
)
def test_a_removed_part_is_painted_only_where_it_is_named(parts, expected, words):
    steps = (Step(step=1, action="remove", target=("door",)), Step(step=2, action="coat", target=("silver",), parts=parts))
    (row,) = mask_plan(van(steps=steps), PANEL, ("door",)).coats
    assert (row.mask, row.parts) == (expected, (words,))


def test_only_leaves_the_vehicle_out():
    off = Step(step=1, action="remove", target=("door",))
    coat = Step(step=2, action="coat", target=("silver",), parts=("only", "door"))
    steps = (off, coat)
    (row,) = mask_plan(van(steps=steps), WITNESS, ("upper",)).coats
    assert (row.mask, row.parts) == ("not reached", ("on the vehicle, not painted now: Cargo side",))


def test_nothing_planned_is_said_and_is_not_off():
    plan = mask_plan(van(steps=()), WITNESS, ("upper",))
    assert not plan.planned
    assert plan.coats == ()
    assert plan.words.startswith("Not planned yet")


def test_strips_of_its_zones_are_named():
    steps = (Step(step=1, action="strip", target=("upper", "lower")), Step(step=2, action="strip", target=("door",)))
    assert mask_plan(van(steps=steps), WITNESS, ("upper",)).stripped_in == (1,)


def test_another_mask_over_it_covers_a_kept_area():
    over = Area(area_id="M9", drawing_id="left", purpose="mask", shape=rect(3250, 880, 300, 100))
    steps = (Step(step=1, action="mask", target=("M9",)), Step(step=2, action="coat", target=("silver",)))
    plan = mask_plan(van(areas=(WITNESS, over), steps=steps), WITNESS, ("upper",))
    assert [(row.mask, row.by, row.harms) for row in plan.coats] == [("on", ("M9",), False)]
    assert plan.words == "Covered by M9: see the brief of that mask."


def test_masks_cover_together_or_not_at_all():
    left = Area(area_id="L", drawing_id="left", purpose="mask", shape=rect(3250, 880, 150, 100))
    right = Area(area_id="R", drawing_id="left", purpose="mask", shape=rect(3400, 880, 150, 100))
    record = van(areas=(WITNESS, left, right))
    assert masks_over(record, WITNESS, frozenset({"L", "R"})) == ("L", "R")
    assert masks_over(record, WITNESS, frozenset({"L"})) == ()


def test_each_time_a_mask_is_on_is_told_by_its_two_steps():
    on, off = ({"action": action, "target": ("M1",)} for action in ("mask", "unmask"))
    mask = {step: Step(step=step, **on) for step in (2, 3, 7)} | {step: Step(step=step, **off) for step in (1, 5, 6)}

    def spans(*numbers):
        area = PANEL.model_copy(update={"area_id": "M1"})
        return mask_plan(van(steps=tuple(mask[number] for number in numbers)), area, ("door",)).spans

    assert spans(2, 5, 7) == ((2, 5), (7, None))
    # Put on again while it is on, taken off while it is off: neither begins nor ends anything.
    assert spans(1, 2, 3, 5, 6, 7) == ((2, 5), (7, None))
    assert spans(1, 5, 6) == ()


def test_a_mask_that_is_not_on_yet_is_not_to_be_protected_from_a_strip():
    strip = Step(step=2, action="strip", target=("upper",))
    mask = WITNESS.model_copy(update={"purpose": "mask"})
    for before, after, label in ((1, 9, "Stripped round it"), (3, 9, "Stripped")):
        steps = (Step(step=before, action="mask", target=("K4",)), strip, Step(step=after, action="unmask", target=("K4",)))
        (brief,) = brief_view(van(areas=(mask,), steps=steps), in_force()).areas
        assert [(name, "protect" in words) for name, words in brief.facts if name.startswith("Stripped")] == [
            (label, label == "Stripped round it")
        ]
        assert any(line.label == "Stripped round it" for line in brief.booth) == (label == "Stripped round it")
    # A kept area is protected whether a mask is on or not.
    (kept,) = brief_view(van(areas=(WITNESS,), steps=(strip,)), in_force()).areas
    assert ("Stripped round it", "in step 2: protect it first") in kept.facts


def test_an_area_that_no_coat_reaches_is_not_called_unplanned():
    steps = (
        Step(step=1, action="remove", target=("door",)),
        Step(step=2, action="coat", target=("silver",), parts=("only", "door")),
    )
    assert mask_plan(van(steps=steps), WITNESS, ("upper",)).words == "No step masks it: no planned coat reaches it."


@pytest.mark.parametrize(
    ("origin", "strip_at", "mask_at", "lost"),
    [
        ("original", 1, 2, True),
        (None, 1, 2, True),
        ("original", 3, 2, False),  # the mask is on while it is stripped: the edge lives
        ("recreated", 1, 2, False),  # said to be made again anyhow
    ],
)
def test_an_original_edge_that_is_stripped_before_it_is_masked_is_original_no_more(origin, strip_at, mask_at, lost):
    mask = WITNESS.model_copy(update={"purpose": "mask", "origin": origin})
    steps = (
        Step(step=strip_at, action="strip", target=("upper",)),
        Step(step=mask_at, action="mask", target=("K4",)),
        Step(step=4, action="coat", target=("silver",)),
    )
    record = van(areas=(mask,), steps=steps)
    (brief,) = brief_view(record, in_force()).areas
    assert any("stripped before this mask goes on" in banner for banner in brief.banners) == lost
    assert ("RE-CREATED" in dict(brief.facts)["Origin of the edge"]) == (lost or origin == "recreated")
    assert edges_lost(record) == ({"K4"} if lost else set())
    assert retained_figures(record, in_force()).edges_again == (("K4",) if lost or origin == "recreated" else ())


OVER = Area(area_id="M9", drawing_id="left", purpose="mask", edge="hard", origin="original", shape=rect(3250, 850, 300, 200))


def coat_at(number):
    return Step(step=number, action="coat", target=("silver",))


def mask_at(number, area, action="mask"):
    return Step(step=number, action=action, target=(area.area_id,))


def booth(steps):
    record = van(steps=steps)
    record = record.with_kind("area", [*record.areas, OVER])
    lines = booth_lines(WITNESS, edge_words(WITNESS.edge), mask_plan(record, WITNESS, ("upper",)))
    return {line.label: line.words for line in lines}


def test_the_front_says_under_which_other_mask_a_coat_passes():
    first = (mask_at(3, WITNESS), coat_at(4), mask_at(5, WITNESS, "unmask"))
    assert booth(first)["ON for every coat"] == "(step 4)."
    said = booth((*first, mask_at(6, OVER), coat_at(8)))
    assert "ON for every coat" not in said, "at step 8 it is another mask that keeps the coat off"
    assert said["ON for"].startswith("4 ")
    assert said["Under M9 for"].startswith("8 ")


@pytest.mark.parametrize(
    ("kept", "lost"), [(None, True), (rect(3250, 850, 300, 200), False), (rect(3250, 850, 300, 100), True)]
)
def test_an_edge_in_a_kept_area_is_not_lost_to_the_strip(kept, lost):
    # The mask goes on after the strip; where its edge lies in a kept area nothing was stripped there.
    steps = (Step(step=1, action="strip", target=("upper",)), mask_at(2, OVER), coat_at(3))
    record = van(steps=steps)
    areas = [one for one in record.areas if one.purpose == "mask"]
    if kept is not None:
        areas.append(Area(area_id="K8", drawing_id="left", purpose="keep", shape=kept))
    assert ("M9" in edges_lost(record.with_kind("area", [*areas, OVER]))) == lost
