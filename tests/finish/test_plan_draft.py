"""Drafted plans: hand-made vehicles, the demo, and small random vehicles whose goals are known to be reachable."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.finish.plan_draft import draft_plan
from bodymap.finish.replay import replay
from bodymap.history.read import read_history
from bodymap.model import Area, Coat, Cover, Drawing, Finding, Line, Part, Record, Stack, Vehicle, Zone
from bodymap.model.check import reference_faults
from bodymap.settings import in_force
from demo import VEHICLE_FOLDER
from tests.finish.vehicles import COATS, LAYERS, MOVING, bodies, goal_entries, rect, stack_entries


def van(*more, jamb="p c~", door="p c", body="p c", goals=()):
    """A body, a door on it, and the jamb behind the door, which lets mist in. Stacks: coats, ~ for mist; None: not seen."""
    entries = [
        Vehicle(vehicle_id="v", name="van"),
        Drawing(drawing_id="d", name="left", kind="outside"),
        Drawing(drawing_id="h", name="jambs", kind="hidden"),
        Part(part_id="shell", name="Shell", substrate="steel", removable=False),
        Part(part_id="door", name="Door", substrate="aluminium", removable=True),
        Zone(zone_id="body", drawing_id="d", part_id="shell", face="outer", shape=rect(0, 0, 100, 100)),
        Zone(zone_id="door", drawing_id="d", part_id="door", face="outer", shape=rect(105, 0, 205, 50)),
        Zone(zone_id="jamb", drawing_id="h", part_id="shell", face="jamb", shape=rect(0, 0, 100, 10)),
        Cover(zone_id="jamb", part_id="door", gap=True),
        *(Coat(coat_id=coat, name=coat, kind="colour") for coat in "pcx"),
    ]
    for zone, text in (("body", body), ("door", door), ("jamb", jamb)):
        if text is not None:
            entries += stack_entries(zone, read(text))
    for zone, text in goals:
        entries += goal_entries(zone, read(text))
    return Record.of([*entries, *more])


def read(text):
    return [(coat.rstrip("~"), "mist" if coat.endswith("~") else "full") for coat in text.split()]


def words(draft):
    """The steps as short words."""
    return [" ".join([step.action, *step.target, *(["+", *step.parts] if step.parts else [])]) for step in draft.steps]


def draft_of(record):
    """The draft, after seeing that it is a plan which a record may hold and that it says what its replay says."""
    draft = draft_plan(record, in_force(record.settings))
    whole = record.with_kind("area", (*record.areas, *draft.areas)).with_kind("goal", draft.goals)
    whole = whole.with_kind("step", draft.steps)
    assert reference_faults(whole, lambda entry: (entry.FILE, 1)) == []
    assert [step.step for step in draft.steps] == list(range(1, len(draft.steps) + 1))
    again = replay(whole, in_force(record.settings))
    assert (again.pieces, again.violations) == (draft.result.pieces, draft.result.violations)
    named = " ".join(draft.notes)
    assert all(piece.zone_id in named for piece in draft.result.pieces if piece.verdict != "match")
    return draft


def test_the_door_is_off_for_the_coat_that_is_full_behind_it_and_on_for_the_one_that_is_mist():
    draft = draft_of(van())
    assert words(draft) == [
        "remove door", "strip body jamb", "strip door", "coat p + door", "fit door", "coat c",
    ]  # fmt: skip
    assert draft.result.clean
    assert draft.areas == ()


def test_what_must_stay_bare_is_masked_where_no_part_can_hide_it():
    draft = draft_of(van(jamb="p"))
    assert draft.result.clean
    assert [(area.area_id, area.purpose, area.edge, area.origin) for area in draft.areas] == [
        ("mask_jamb", "mask", None, "recreated")
    ]
    assert words(draft)[-5:] == ["coat p + door", "fit door", "mask mask_jamb", "coat c", "unmask mask_jamb"]


def test_a_mask_of_the_record_is_used_before_one_is_proposed():
    jambs = Area(area_id="J", drawing_id="h", purpose="mask", edge="hard", shape=rect(-5, -5, 105, 15))
    draft = draft_of(van(jambs, jamb="p"))
    assert draft.areas == ()
    assert {"mask J", "unmask J"} <= set(words(draft))
    soft = jambs.model_copy(update={"edge": "soft"})
    assert [area.area_id for area in draft_of(van(soft, jamb="p")).areas] == ["mask_jamb"]
    too_large = jambs.model_copy(
        update={
            "drawing_id": "d",
            "shape": Area.model_validate(
                {"area_id": "x", "drawing_id": "d", "purpose": "mask", "shape": rect(0, 0, 100, 100)}
            ).shape,
        }
    )
    assert "mask J" not in words(draft_of(van(too_large, jamb="p")))


def test_a_kept_area_is_masked_from_before_the_strip_until_after_the_last_coat():
    kept = Area(area_id="K", drawing_id="d", purpose="keep", edge="soft", shape=rect(10, 10, 30, 30))
    draft = draft_of(van(kept))
    assert draft.result.clean
    steps = words(draft)
    strips = [number for number, step in enumerate(steps) if step.startswith("strip")]
    assert steps.index("mask mask_K") < min(strips)
    assert steps[-1] == "unmask mask_K"
    assert draft.areas[0].edge is None  # a soft mask would let mist on to what is kept


def test_zones_to_keep_or_clean_are_left_alone_and_shielded():
    record = van()
    body, door, jamb = record.zones
    kept = replace(record, zones=(body.model_copy(update={"intent": "clean"}), door, jamb))
    draft = draft_of(kept)
    assert [step.target for step in draft.steps if step.action == "strip"] == [("door",), ("jamb",)]
    assert "mask mask_body" in words(draft)
    assert draft.result.clean


def test_a_goal_on_top_of_what_is_there_spares_the_strip():
    draft = draft_of(van(goals=[("body", "p c x"), ("door", "p c x"), ("jamb", "p c~")]))
    assert not any(step.action == "strip" for step in draft.steps)
    assert draft.result.clean
    assert any("not stripped" in note for note in draft.notes)
    assert any("left alone" in note and "jamb" in note for note in draft.notes)


def test_goals_that_are_a_copy_of_what_was_found_are_all_repeated():
    draft = draft_of(van(goals=[("body", "p c"), ("door", "p c"), ("jamb", "p c~")]))
    assert {zone for step in draft.steps if step.action == "strip" for zone in step.target} == {"body", "door", "jamb"}
    assert draft.result.clean
    assert any("every goal is the finish as found" in note for note in draft.notes)


def test_what_nobody_has_seen_is_said_and_left_alone():
    draft = draft_of(van(jamb=None))
    assert any("nobody has looked" in note and "jamb" in note for note in draft.notes)
    assert draft.result.clean
    assert not any("jamb" in step.target for step in draft.steps)


def test_faces_that_cannot_be_painted_together_take_two_passes_and_a_note():
    # Jamb mist needs the door on; a back face of the door full under the shell needs it off.
    back = Zone(zone_id="back", drawing_id="h", part_id="door", face="back", shape=rect(0, 20, 100, 40))
    cover = Cover(zone_id="back", part_id="shell", gap=False)
    draft = draft_of(van(back, cover, *stack_entries("back", read("p c"))))
    assert draft.result.clean
    assert [step.target for step in draft.steps if step.action == "coat"] == [("p",), ("c",), ("c",)]
    assert "c takes more than one pass: jamb cannot be reached with the rest" in draft.notes


def test_mist_past_one_cover_that_leaves_a_gap_and_another_that_does_not_needs_both_moved_at_once():
    lid = Part(part_id="lid", name="Lid", substrate="steel", removable=True)
    shut = Cover(zone_id="jamb", part_id="lid", gap=False)
    draft = draft_of(van(lid, shut, jamb="p~", door="c", body="c"))
    assert draft.result.clean


def test_zones_that_want_two_coats_the_other_way_round_are_told():
    draft = draft_of(van(body="p c", door="c p", jamb="p"))
    assert draft.result.clean
    assert any("different orders" in note for note in draft.notes)


def test_what_cannot_be_planned_is_told_by_name():
    always = Cover(zone_id="body", part_id="shell", gap=False)
    draft = draft_of(van(always, jamb="p"))
    assert not draft.result.clean
    assert any(note.startswith("body: p cannot reach it in full") for note in draft.notes)
    assert any(note.startswith("body:") and "wanted p c" in note for note in draft.notes)
    mist = draft_of(van(body="p c~"))
    assert any(note.startswith("body: c as mist cannot be planned") for note in mist.notes)


def test_notes_name_zones_as_people_do_and_add_the_id_only_where_names_are_the_same():
    always = Cover(zone_id="body", part_id="shell", gap=False)
    record = van(always, jamb=None)
    names = {"body": "Left side", "jamb": "Jamb", "door": "Jamb"}
    named = record.with_kind("zone", [zone.model_copy(update={"name": names[zone.zone_id]}) for zone in record.zones])
    notes = draft_of(named).notes
    assert any(note.startswith("Left side: p cannot reach it in full") for note in notes)
    assert any("nobody has looked" in note and note.endswith("Jamb (jamb)") for note in notes)
    assert not any("body" in note.replace("nobody", "") for note in notes)


def test_lines_ghosts_and_stacks_that_disagree_are_told():
    line = Line(line_id="L", drawing_id="d", shape={"type": "LineString", "coordinates": [[0, 50], [100, 50]]})
    ghost = Finding(finding_id="G", drawing_id="d", kind="ghost", shape=rect(40, 40, 60, 60))
    record = van(line, ghost)
    on_it = replace(
        record,
        stacks=tuple(
            one.model_copy(update={"x": 50.0, "y": 50.0}) if one.zone_id == "body" else one for one in record.stacks
        ),
    )
    notes = draft_of(on_it).notes
    assert any("line L" in note and "body" in note for note in notes)
    assert any("s_body was taken on G" in note for note in notes)
    second = Stack(stack_id="two", zone_id="body", method="window", reaches_substrate=True)
    disagree = replace(on_it, stacks=(*on_it.stacks, second))
    assert any("disagree about c" in note for note in draft_of(disagree).notes)


def test_a_mask_is_not_named_like_anything_else():
    taken = Area(area_id="mask_jamb", drawing_id="d", purpose="mask", edge="soft", shape=rect(0, 0, 1, 1))
    assert [area.area_id for area in draft_of(van(taken, jamb="p")).areas] == ["mask_jamb_2"]


def test_where_the_coats_leave_a_choice_the_draft_does_as_history_tells():
    """The jamb, which has both coats in full, says that the door was off; without it nothing says so and it stays on."""
    primed = van(jamb="p c", door="p c", body="p c")
    told = {part: fact.values for (coat, part), fact in read_history(primed).explanation.parts.items() if coat == "p"}
    assert told == {"door": ("off",)}
    coats = [step for step in draft_of(primed).steps if step.action == "coat"]
    assert [(step.target, step.parts) for step in coats] == [(("p",), ("door",)), (("c",), ("door",))]
    without = replace(primed, stacks=primed.stacks[:2], layers=primed.layers[:4], zones=primed.zones[:2], covers=())
    assert {step.parts for step in draft_of(without).steps if step.action == "coat"} == {()}


def test_the_demo_drafts_to_its_goals_and_comes_to_the_same_part_states_as_the_plan_made_by_hand():
    record = read_folder(VEHICLE_FOLDER).record
    draft = draft_of(record)
    assert draft.result.clean
    assert draft.result.total_mm2 == pytest.approx(replay(record, in_force(record.settings)).total_mm2)

    def beside(steps):
        return {step.target[0]: (step.parts_only, frozenset(step.parts_beside)) for step in steps if step.action == "coat"}

    assert beside(draft.steps) == beside(record.steps)


def test_the_demo_without_goals_repeats_what_was_found():
    record = replace(read_folder(VEHICLE_FOLDER).record, goals=(), steps=())
    draft = draft_of(record)
    assert draft.result.clean
    assert any("S02 was taken on G_L_high1" in note for note in draft.notes)
    assert any("nobody has looked" in note for note in draft.notes)


# --- random vehicles -----------------------------------------------------------------------------------------------------


@st.composite
def painted(draw, purposes=("mask",)):
    """A vehicle which somebody has painted once: for each coat some parts on, off or away, some zones taped."""
    entries = draw(bodies(purposes=purposes, most_areas=2))
    zones = [entry for entry in entries if isinstance(entry, Zone)]
    stacks = {zone.zone_id: [] for zone in zones}
    for coat in COATS:
        state = {part: draw(st.sampled_from(["fitted", "off", "away"])) for part in MOVING} | {"shell": "fitted"}
        for zone in zones:
            covers = [entry for entry in entries if isinstance(entry, Cover) and entry.zone_id == zone.zone_id]
            gaps = [cover.gap for cover in covers if state[cover.part_id] == "fitted"]
            extent = "full"
            if state[zone.part_id] == "away" or draw(st.integers(0, 4)) == 0:
                extent = None
            elif state[zone.part_id] == "fitted" and gaps:
                extent = "mist" if all(gaps) else None
            if extent:
                stacks[zone.zone_id].append((coat, extent))
    return entries, stacks


@given(painted(), st.booleans())
@settings(max_examples=120, deadline=None)
def test_what_was_painted_once_can_be_painted_again(made, with_goals):
    entries, stacks = made
    for zone, layers in stacks.items():
        entries = [*entries, *stack_entries(zone, layers), *(goal_entries(zone, layers) if with_goals else ())]
    assert draft_of(Record.of(entries)).result.clean


@given(painted(purposes=("keep", "mask")), st.data())
@settings(max_examples=80, deadline=None)
def test_new_goals_are_reached_and_what_is_kept_stays(made, data):
    entries, stacks = made
    for zone, layers in stacks.items():
        if layers:  # a zone without a goal would be one to repeat
            entries = [*entries, *stack_entries(zone, data.draw(LAYERS)), *goal_entries(zone, layers)]
    record = Record.of(entries)
    draft = draft_of(record)
    assert draft.result.violations == ()
    assert all(piece.verdict == "match" for piece in draft.result.pieces)


@given(bodies(purposes=("keep", "mask"), most_areas=2), st.data())
@settings(max_examples=80, deadline=None)
def test_whatever_is_wanted_falls_short_only_where_it_is_said(entries, data):
    """Goals at random: coats in circles, the same coat again, mist where nothing covers. `draft_of` looks at the notes."""
    for zone in [entry for entry in entries if isinstance(entry, Zone)]:
        entries = [*entries, *goal_entries(zone.zone_id, data.draw(LAYERS))]
    draft = draft_of(Record.of(entries))
    assert draft.result.violations == ()
    full = {goal.zone_id for goal in draft.goals} - {goal.zone_id for goal in draft.goals if goal.extent == "mist"}
    hidden = {cover.zone_id for cover in entries if isinstance(cover, Cover) and cover.part_id == "shell"}
    for piece in draft.result.pieces:
        assert piece.verdict == "match" or piece.zone_id not in full - hidden
