"""Zones cut and merged: areas and true surface conserved, evidence goes with its place, doubts are asked."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.areas import areas_of
from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.proposal import applied
from bodymap.geometry.zone_edits import cut_at_offset, cut_by_line, merge
from bodymap.model import Coat, Cover, Goal, Layer, Reading, Signoff, Source, Stack, Step
from bodymap.model.check import reference_faults
from bodymap.settings import in_force
from tests.geometry.drawn import line, record, square, zone

SETTINGS = in_force()
COAT = Coat(coat_id="red", name="Red", kind="colour")


def stack(ident, zone_id, x=None, y=None):
    return Stack(stack_id=ident, zone_id=zone_id, x=x, y=y, method="window", reaches_substrate=True)


def surveyed():
    """One zone of 200 × 100 mm with a bit of everything."""
    return record(
        zone("a", square(0, 0, 200, 100), surface_ratio=1.2, name="Flank"), COAT,
        stack("left", "a", 20, 50), stack("right", "a", 180, 50), stack("nowhere", "a"),
        Reading(reading_id="r", zone_id="a", x=190, y=10, um=90, principle="magnetic"),
        Cover(zone_id="a", part_id="door", gap=True), Goal(zone_id="a", position=1, coat_id="red", extent="full"),
        Step(step=1, action="strip", target=("a",)),
        Signoff(subject="a", what="survey complete", by="A. Smith", on="2026-02-01"),
    )  # fmt: skip


def sound(held):
    return list(reference_faults(held, lambda entry: (entry.KIND, 0))) == []


def test_a_cut_takes_evidence_with_its_place_and_asks_about_the_rest():
    held = surveyed()
    cut = cut_by_line(held, "a", line((150, -10), (150, 110)), ["tail"])
    after = applied(held, cut)
    assert (to_shapely(after.zone["a"].shape).area, to_shapely(after.zone["tail"].shape).area) == (15_000, 5_000)
    assert {s.stack_id: s.zone_id for s in after.stacks} == {"left": "a", "right": "tail", "nowhere": "a"}
    assert after.readings[0].zone_id == "tail"
    assert {(c.zone_id, c.gap) for c in after.covers} == {("a", True), ("tail", True)}
    assert {g.zone_id for g in after.goals} == {"a", "tail"}
    assert after.steps[0].target == ("a", "tail")
    assert after.signoffs == held.signoffs
    asked = "\n".join(cut.questions)
    for words in ("nowhere has no place", "signed for all of Flank", "surface ratio 1.2"):
        assert words in asked
    assert sound(after)


@given(st.floats(1, 199), st.floats(-60, 60))
def test_a_cut_conserves_area_and_true_surface(x, slant):
    held = surveyed()
    before = areas_of(held).totals
    after = areas_of(applied(held, cut_by_line(held, "a", line((x - slant, -100), (x + slant, 200))))).totals
    assert after.drawn_mm2 == pytest.approx(before.drawn_mm2, rel=1e-9)
    assert after.surface_mm2 == pytest.approx(before.surface_mm2, rel=1e-9)


@given(st.floats(5, 95))
def test_a_cut_at_an_offset_is_a_band_of_that_width(distance):
    held = surveyed()
    lower = next(p for p in boundary_pieces(held.zone["a"].shape, SETTINGS) if max(y for _, y in p.coordinates) == 0)
    after = applied(held, cut_at_offset(held, "a", lower, distance, ["other"]))
    bands = sorted(to_shapely(after.zone[ident].shape).area for ident in ("a", "other"))
    assert bands == pytest.approx(sorted((200 * distance, 200 * (100 - distance))), rel=1e-6)
    assert to_shapely(after.zone["a"].shape).area >= to_shapely(after.zone["other"].shape).area


@pytest.mark.parametrize(
    ("zone_id", "cut", "ids", "words"),
    [
        ("b", line((1, -1), (1, 200)), [], "zone: found 'b'"),
        ("a", line((300, 0), (300, 100)), [], "leaves the surface in one piece"),
        ("a", line((50, 50), (60, 60)), [], "leaves the surface in one piece"),
        ("a", line((50, -1), (50, 200)), ["right"], "the id right"),  # a stack has it
        ("a", line((50, -1), (50, 200)), ["x", "y"], "2 ids for 1"),
    ],
)
def test_a_cut_that_cannot_be_is_told(zone_id, cut, ids, words):
    with pytest.raises(BodymapError, match=words):
        cut_by_line(surveyed(), zone_id, cut, ids)


def test_ids_that_are_not_told_are_free_ones():
    held = record(zone("a", square(0, 0, 200, 100)), zone("a_2", square(0, 200, 10, 10)))
    cut = cut_by_line(held, "a", line((50, -1), (50, 101), (60, 101), (60, -1)))
    assert [entry.ident for entry in cut.put] == ["a", "a_3", "a_4"]


def halves(**other):
    return record(
        zone("a", square(0, 0, 100, 100), surface_ratio=1.1), zone("b", square(100, 0, 50, 100), **other), COAT,
        stack("s1", "a", 10, 10), stack("s2", "b", 120, 10), Step(step=1, action="strip", target=("b", "a")),
        Source(source_id="q", kind="photo", title="Flank", about=("b",)),
    )  # fmt: skip


def test_merged_zones_keep_area_true_surface_and_evidence():
    held = halves(surface_ratio=1.4)
    merged = merge(held, ["a", "b"], {"red": {"a": "full", "b": "full"}})
    after = applied(held, merged)
    assert set(after.zone) == {"a"}
    before, now = areas_of(held).totals, areas_of(after).totals
    assert (now.drawn_mm2, now.surface_mm2) == pytest.approx((before.drawn_mm2, before.surface_mm2))
    # 10 000 at 1.1 and 5 000 at 1.4: 18 000 over 15 000
    assert after.zone["a"].surface_ratio == pytest.approx(1.2)
    assert {s.zone_id for s in after.stacks} == {"a"}
    assert after.steps[0].target == ("a",)
    assert after.sources[0].about == ("a",)
    assert merged.questions == ()
    assert sound(after)


def test_cut_and_merged_again_a_zone_is_what_it_was():
    held = surveyed().with_kind("signoff", [])
    cut = applied(held, cut_by_line(held, "a", line((150, -10), (150, 110)), ["tail"]))
    after = applied(cut, merge(cut, ["a", "tail"], {}))
    assert to_shapely(after.zone["a"].shape).equals(to_shapely(held.zone["a"].shape))
    assert after.covers == held.covers
    assert after.goals == held.goals
    assert after.steps == held.steps
    assert after.stacks == held.stacks


@pytest.mark.parametrize(
    ("other", "states", "words"),
    [
        ({"part": "door"}, {}, "different parts"),
        ({"face": "back"}, {}, "different faces"),
        ({"drawing": "faces"}, {}, "different drawings"),
        ({}, {"red": {"a": "full", "b": "mist"}}, "coat red full on a, mist on b"),
        ({}, {"red": {"a": "shielded", "b": "full"}}, "coat red"),
    ],
)
def test_zones_that_are_not_one_are_refused(other, states, words):
    with pytest.raises(BodymapError, match=words):
        merge(halves(**other), ["a", "b"], states)


@pytest.mark.parametrize("state", ["unknown", "cut back", "not made"])
def test_a_state_that_says_nothing_contradicts_nothing(state):
    assert merge(halves(), ["a", "b"], {"red": {"a": "full", "b": state}}).put


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Cover(zone_id="b", part_id="door"), "different parts hide"),
        (Goal(zone_id="b", position=1, coat_id="red", extent="full"), "different wanted finishes"),
        (Signoff(subject="b", what="release to strip", by="A. Smith", on="2026-02-01"), "release to strip by A. Smith"),
    ],
)
def test_what_differs_beside_the_history_is_refused(entry, words):
    held = halves()
    with pytest.raises(BodymapError, match=words):
        merge(held.with_kind(entry.KIND, [entry]), ["a", "b"], {})


def test_what_is_not_known_of_the_histories_is_asked():
    held = halves()
    assert "have not been compared" in merge(held, ["a", "b"]).questions[0]
    blank = held.with_kind("stack", [s for s in held.stacks if s.zone_id == "a"])
    assert "b: nothing was looked at there" in merge(blank, ["a", "b"], {}).questions[0]


def test_three_zones_merge_at_once():
    held = record(
        zone("a", square(0, 0, 10, 10)), zone("b", square(10, 0, 10, 10)), zone("c", square(30, 0, 10, 10)),
        Step(step=1, action="strip", target=("c", "b", "a")),
    )  # fmt: skip
    after = applied(held, merge(held, ["b", "a", "c"], {}))
    assert to_shapely(after.zone["b"].shape).area == pytest.approx(300)
    assert after.steps[0].target == ("b",)


def test_layers_stay_with_their_stack():
    held = halves().with_kind("layer", [Layer(stack_id="s2", position=1, coat_id="red", extent="full")])
    after = applied(held, merge(held, ["a", "b"], {}))
    assert after.layers == held.layers
