"""Numbers that are offered, the ladder that is being built, what others wrote, and places a touch can find."""

from __future__ import annotations

import math

import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.geometry.convert import from_shapely
from bodymap.model import Goal, Layer, Reading, Stack, Step
from bodymap.model.journal import FIRST_HASH, chained
from bodymap.views.numbering import next_like
from bodymap.views.picks import ALONG_MOST, PLACES_MOST, place_grid
from bodymap.views.survey import draft_ladder, middle, refused, spot_zones, survey_coats, written_since
from tests.dashboard.small import small_record

NUMBERED = st.tuples(st.sampled_from(["S", "s", "P-", ""]), st.integers(0, 9999)).map(lambda two: f"{two[0]}{two[1]:02d}")


@given(st.lists(NUMBERED), st.sets(NUMBERED))
def test_the_number_offered_is_always_free_and_is_new_among_its_kind(same, used):
    offered = next_like(same, used, "S01")
    assert offered not in used
    assert offered not in same


def test_numbers_go_on_as_the_record_writes_them():
    assert next_like([], set(), "S01") == "S01"
    assert next_like(["S01", "S02"], set(), "S01") == "S03"
    assert next_like(["S9", "S10"], set(), "S01") == "S11"
    assert next_like(["R0001", "R0002", "x7"], set(), "R0001") == "R0003"
    assert next_like(["S99"], set(), "S01") == "S100"
    # Withdrawn and half-built ones are not given again.
    assert next_like(["S01"], {"S02", "S03"}, "S01") == "S04"


def test_a_ladder_that_is_not_saved_is_shown_as_one_that_is():
    record = small_record()
    stack = Stack(stack_id="s1", zone_id="side_low", method="chip", reaches_substrate=False)
    view = draft_ladder(record, stack, [Layer(stack_id="s1", position=1, coat_id="c2", extent="mist")])
    assert [(layer.coat_id, layer.extent) for layer in view.layers] == [("c2", "mist")]
    assert view.zone_id == "side_low"
    assert record == small_record(), "the record is as it was"


def test_coats_that_are_only_planned_stand_apart_but_one_just_added_does_not():
    record = small_record()
    record = record.with_kind("goal", [Goal(zone_id="flange", position=1, coat_id="c1", extent="full")])
    new = record.coats[0].model_copy(update={"coat_id": "n1"}), record.coats[0].model_copy(update={"coat_id": "c9"})
    record = record.with_kind("coat", [*record.coats, *new]).with_kind("step", [Step(step=1, action="coat", target=("n1",))])
    shown, apart = survey_coats(record, ["c1", "c2", "n1", "c9"])
    assert [coat.coat_id for coat in shown] == ["c1", "c2", "c9"]
    assert [coat.coat_id for coat in apart] == ["n1"]


def journal(*said):
    before, entries = FIRST_HASH, []
    for seq, (by, kind, ident, act) in enumerate(said, start=1):
        at = f"2026-01-01T00:00:{seq:02d}.000Z"
        entries.append(chained(before, seq=seq, at=at, by=by, why="", act=act, kind=kind, ident=ident, place=seq, body={}))
        before = entries[-1].hash
    return tuple(entries)


def test_others_are_told_of_by_name_and_ones_own_entries_are_not():
    entries = journal(
        ("start", "vehicle", "v", "put"),
        ("Ann", "stack", "S51", "put"),
        ("Ann", "layer", "S51/1", "put"),
        ("Ben", "reading", "R1", "put"),
        ("Ann", "finding", "F1", "withdraw"),
    )
    told = {one.by: one for one in written_since(entries, 1, own={4})}
    assert set(told) == {"Ann"}
    assert told["Ann"].entries == 3
    assert told["Ann"].words == "stack S51; withdrawn: F1"
    assert told["Ann"].last == entries[-1].at
    assert written_since(entries, 5, own=set()) == ()


def test_a_step_told_done_is_told_as_such_and_not_as_a_source():
    title = "Step 12 done: coat; batch 7"
    said = {"by": "Ann", "why": "", "act": "put", "kind": "source", "ident": "D1", "place": 1}
    body = {"source_id": "D1", "kind": "statement", "title": title}
    entry = chained(FIRST_HASH, seq=1, at="2026-01-01T00:00:01.000Z", body=body, **said)
    assert written_since((entry,), 0, set())[0].words == "step 12 done"


def test_many_of_a_kind_are_counted():
    entries = journal(*(("Ann", "reading", f"R{n}", "put") for n in range(9)))
    assert written_since(entries, 0, set())[0].words == "9 readings"


def test_where_a_spot_lies_and_what_cannot_read_there():
    record = small_record()
    spots = [
        Reading(reading_id=f"x{n}", zone_id=zone, um=9, principle="magnetic", spot="P1")
        for n, zone in enumerate(("flange", "flange", "side_low"))
    ]
    assert spot_zones(record.with_kind("reading", spots), "P1") == ("flange", "side_low")
    assert spot_zones(record, "P1") == ()
    # A magnetic gauge reads on steel, an eddy-current gauge does not (scopes of ISO 2178 and ISO 2360).
    assert refused(record, "flange", "magnetic") is None
    assert "not meant for steel" in refused(record, "flange", "eddy")


def test_the_middle_of_a_rectangle_is_where_its_diagonals_cross_as_far_as_its_width_goes():
    x, y = middle(small_record(), "side_low")
    assert 1100 < x < 2900
    assert math.isclose(y, -150, abs_tol=20)


@given(st.floats(0.5, 3000), st.floats(0.5, 3000), st.floats(0.5, 400), st.floats(0, 0.45))
def test_places_lie_in_the_zone_and_no_touch_inside_is_far_from_one(width, height, step, hole):
    outer = shapely.box(0, 0, width, height)
    surface = (
        outer.difference(
            shapely.box(
                width * (0.5 - hole / 2), height * (0.5 - hole / 2), width * (0.5 + hole / 2), height * (0.5 + hole / 2)
            )
        )
        if hole > 0.01
        else outer
    )
    places = place_grid(from_shapely(surface), step)
    assert 1 <= len(places) <= 1.5 * PLACES_MOST + 200
    assert all(surface.buffer(0.15).contains(shapely.Point(place)) for place in places)
    if len(places) > 50:
        widest = max(step, math.sqrt(surface.area / PLACES_MOST), (width + height) / ALONG_MOST, 0.5)
        corner = shapely.Point(width * 0.02, height * 0.02)
        assert shapely.MultiPoint(places).distance(corner) <= 2 * widest
