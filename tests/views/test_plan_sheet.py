"""The plan on the sheet: predicted finish at each step, what is away, and red faces from the guilty step on."""

from __future__ import annotations

import pytest
import shapely

from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.plan_file import read_plan
from bodymap.finish.plan_edit import Plan, plan_of
from bodymap.finish.replay import replay
from bodymap.settings import in_force
from bodymap.views.palette import SUBSTRATES, blend
from bodymap.views.plan_sheet import coats_named, found_rows, plan_ground, plan_sheet, plan_state, red_faces
from bodymap.views.plan_words import step_words
from demo import CAP_OFF_PLAN, VEHICLE_FOLDER
from tests.finish.tinted_van import COATS, area, rect, van

SETTINGS = in_force()
BLUE = [coat.model_copy(update={"colour": "#2f62a0"}) if coat.coat_id == "t" else
        coat.model_copy(update={"colour": "#808080"}) if coat.coat_id == "p" else coat for coat in COATS]  # fmt: skip


def sheet(record, upto, kind="outside", plan=None):
    plan = plan or plan_of(record)
    whole = plan.within(record)
    ground = plan_ground(record, kind, SETTINGS, 5.0)
    return plan_sheet(record, plan, ground, replay(whole, SETTINGS, upto=upto), replay(whole, SETTINGS), upto)


def finish(view):
    return {zone.zone_id: (zone.paint, zone.texture, zone.state) for zone in view.sheet.zones}


def test_predicted_finish_step_by_step():
    steps = [("strip", "body door jamb"), ("coat", "p"), ("remove", "door"), ("coat", "t", "door")]
    record = van(steps, coats=BLUE)
    assert finish(sheet(record, 0))["body"] == ("unseen", "unseen", "not seen")
    assert finish(sheet(record, 1))["body"] == (SUBSTRATES["steel"], "solid", "bare steel")
    primed = finish(sheet(record, 2))
    assert primed["body"] == ("#808080", "solid", "Primer")
    # Behind the fitted door, which leaves a gap: mist.
    assert primed["jamb"] == (SUBSTRATES["steel"], "mist", "bare steel, with mist")
    # 40 µm of a tint that halves the ground at each 20 µm: three quarters of its own colour.
    assert finish(sheet(record, 4))["door"] == (blend("#2f62a0", "#808080", 0.75), "solid", "Blue")


def test_what_is_off_the_vehicle_is_veiled_until_it_is_fitted():
    record = van([("remove", "door"), ("coat", "p", "door"), ("fit", "door")], coats=BLUE)
    for upto, away in ((0, False), (1, True), (2, True), (3, False)):
        view = sheet(record, upto)
        assert bool(view.away) is away
        assert any("off the vehicle" in item.words for item in view.sheet.legend) is away
    ring = shapely.Polygon(sheet(record, 1).away[0])
    assert ring.area == pytest.approx(1000 * 1000)
    assert plan_state(record.steps, 2).removed == {"door"}


def test_masks_are_drawn_while_they_are_on():
    mask = area(rect(0, 0, 500, 1000), "mask", area_id="m")
    record = van([("mask", "m"), ("coat", "p"), ("unmask", "m")], areas=[mask], coats=BLUE)
    assert [len(sheet(record, upto).sheet.areas) for upto in range(4)] == [0, 1, 1, 0]
    assert sheet(record, 1).worked
    assert not sheet(record, 2).worked


def test_a_face_turns_red_with_the_guilty_step_and_not_before():
    steps = [("strip", "body door"), ("coat", "p"), ("coat", "t"), ("coat", "c")]
    record = van(steps, goals=[("body", "p c"), ("door", "p t c")], coats=BLUE)
    final = replay(record, SETTINGS)
    assert [[piece.zone_id for piece in red_faces(final, upto)] for upto in range(5)] == [[], [], [], ["body"], ["body"]]
    view = sheet(record, 3)
    (face,) = view.red
    assert (face.zone_id, face.verdict, face.words) == ("body", "extra", "coat too many: step 3")
    assert face.hatch
    assert [label.text for label in view.labels] == ["coat too many: step 3"]
    assert any(item.words == "coat too many" and item.texture == "partly" for item in view.sheet.legend)
    (row,) = found_rows(record, final)
    assert (row.what, row.blame, row.ends_as, row.area_mm2) == (
        "coat too many: t", (3,), (("p", "full"), ("t", "full"), ("c", "full")), pytest.approx(2e6))  # fmt: skip
    assert coats_named(record, [row]) == "p Primer · t Blue · c Clear"


def test_kinds_of_harm_are_told_by_their_hatch_too():
    steps = [("strip", "body door jamb"), ("coat", "t"), ("coat", "p")]
    record = van(steps, goals=[("body", "p t"), ("door", "p t c")], coats=BLUE)
    view = sheet(record, 3)
    assert {face.zone_id: face.verdict for face in view.red} == {"body": "order", "door": "missing"}
    textures = {item.words: item.texture for item in view.sheet.legend if item.paint == "harm"}
    assert len(set(textures.values())) == len(textures) == 2


def test_a_violation_comes_first():
    keep = area(rect(100, 100, 300, 300))
    steps = [("strip", "body door"), ("coat", "p"), ("coat", "t")]
    record = van(steps, areas=[keep], goals=[("body", "p"), ("door", "p t")], layers=[("body", "p")], coats=BLUE)
    rows = found_rows(record, replay(record, SETTINGS))
    assert [row.violation for row in rows] == [True, True, False]
    assert [row.blame for row in rows] == [(2,), (3,), (3,)]
    assert rows[0].area_mm2 == pytest.approx(200 * 200)


def test_the_cap_off_plan_reddens_flange_rail_and_bead_by_step_30():
    record = read_folder(VEHICLE_FOLDER).record
    steps, _ = read_plan(CAP_OFF_PLAN, record)
    plan = Plan(steps)
    before, after = sheet(record, 29, "hidden", plan), sheet(record, 30, "hidden", plan)
    assert before.red == ()
    sides = ("L", "R", "front", "rear")
    wanted = {"bead"} | {f"cfl_{side}" for side in sides} | {f"rlu_{side}" for side in sides}
    assert {face.zone_id for face in after.red} == wanted
    assert all("30" in face.words for face in after.red)
    assert {face.verdict for face in after.red if face.zone_id != "bead"} == {"extra"}
    assert {label.text for label in after.labels} == {"coat too many: step 30", "coat missing: steps 1, 30"}
    assert sheet(record, 44, "outside", plan).red == ()


def test_steps_in_words():
    record = van([("strip", "body door jamb", "", "blade"), ("coat", "t", "only door")], coats=BLUE)
    assert step_words(record, record.steps[0]) == "Strip Body side, door, jamb (blade)"
    assert step_words(record, record.steps[1]) == "Coat Blue: only Door, beside the vehicle"
    assert step_words(record, record.steps[1], short=True) == "Coat Blue"
    gone = record.steps[1].model_copy(update={"target": ("x",), "parts": ("y",)})
    assert step_words(record, gone) == "Coat x, and beside the vehicle y"
