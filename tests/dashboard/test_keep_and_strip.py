"""Keep and strip without a browser: what it says, what it writes, and that every blocker has a way to its cure."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from bodymap.model import Finding, Stack
from bodymap.model.record import Record
from bodymap.release.blockers import CODES, Blocker, Where
from bodymap.release.checks import release_of
from bodymap.store.record_file import Put, RecordFile
from dashboard import ways
from dashboard.components.keep_state import KeepState
from tests.release.survey import KEEP, SETTINGS, STRIP, cart

from .running import APP, key_of, tables, whole, words
from .running import opened as run

SCREEN = "screens/keep_and_strip.py"
KEPT = key_of(KeepState)


@pytest.fixture
def opened(shop):
    """Opens the screen on a record made for the test, at a stage, with zones chosen."""

    def open_it(record: Record, stage: str, chosen=(), by="Ann", **said) -> tuple[AppTest, RecordFile]:
        file = shop(record)
        return run(SCREEN, KeepState(stage=stage, **said), chosen=list(chosen), by=by), file

    return open_it


def changed(entry, **fields):
    return entry.model_copy(update=fields)


# --- decide -------------------------------------------------------------------------------------------------------------


def test_a_decision_to_keep_is_one_save_of_intent_and_signature_for_all_chosen_zones(opened):
    at, file = opened(cart(), "decide", ["flange", "tail"], intent="keep", reason="chalk marks")
    before = file.head().count
    at.button(key="save_intent").click().run()
    whole(at)
    record, journal = file.record(), file.journal()[before:]
    assert {record.zone[zone].intent for zone in ("flange", "tail")} == {"keep"}
    assert [(one.kind, one.by, one.why) for one in journal] == [
        ("zone", "Ann", "chalk marks"),
        ("signoff", "Ann", "chalk marks"),
    ] * 2
    assert {one.subject for one in record.signoffs if one.what == "keep"} == {"K", "flange", "tail"}
    at.button(key="undo_keep").click().run()
    whole(at)
    assert file.record().zones == cart().zones
    assert file.record().signoffs == cart().signoffs


def test_a_decision_to_strip_bears_its_name_in_the_journal_only(opened):
    at, file = opened(cart(), "decide", ["tail"], intent="better", reason="was never good")
    at.button(key="save_intent").click().run()
    assert file.record().zone["tail"].intent == "better"
    assert file.record().signoffs == cart().signoffs


def test_what_is_missing_is_told_and_nothing_is_written(opened):
    at, file = opened(cart(), "decide", [], by="")
    before = file.head()
    at.button(key="save_intent").click().run()
    for what in ("zones", "the intent", "why", "who decides"):
        assert what in at.warning[0].value
    assert file.head() == before


def test_keeping_what_is_released_and_planned_warns(opened):
    at, _ = opened(cart(), "decide", ["side"], intent="keep")
    said = " ".join(warning.value for warning in at.warning)
    assert "released to strip already" in said
    assert "take them out of its strip steps" in said


# --- kept edges ---------------------------------------------------------------------------------------------------------


def test_a_kept_edge_is_told_piece_by_piece_with_the_figure_its_margin_comes_from(opened):
    at, file = opened(cart(changed(KEEP, margin=None), without=("K",)), "edges", area_id="K")
    assert "200 mm" in tables(at)
    assert "paint stripper, 0 mm away, 50 mm asked" in tables(at)
    assert "common practice" in words(at)
    at.button(key="keep_take").click().run()
    at.text_input(key="keep_why_margin_0").input("as the method asks").run()
    at.button(key="save_margin").click().run()
    whole(at)
    assert file.record().area["K"].margin == 50
    assert release_of(file.record(), SETTINGS)["side"].release


def test_signing_for_a_kept_area_cures_its_blocker(opened):
    at, file = opened(cart(without=("keep",)), "edges", area_id="K")
    assert not release_of(file.record(), SETTINGS)["side"].release
    at.button(key="sign_keep").click().run()
    whole(at)
    assert release_of(file.record(), SETTINGS)["side"].release


# --- methods and areas --------------------------------------------------------------------------------------------------


def test_a_method_is_stated_in_the_plan(opened):
    record = cart(changed(STRIP, method=None), without=("2",))
    at, file = opened(record, "methods", ["side"], method="blade", why_method="thin sheet")
    at.button(key="save_method").click().run()
    whole(at)
    assert [(step.step, step.method) for step in file.record().steps if step.action == "strip"] == [(2, "blade")]
    assert file.journal()[-1].why == "thin sheet"
    assert file.verify() == ()


def test_a_method_that_harms_the_substrate_is_refused(opened):
    at, file = opened(cart(), "methods", ["tail"], method="chemical", why_method="quick")
    before = file.head()
    assert any("resin" in error.value for error in at.error)
    at.button(key="save_method").click().run()
    assert file.head() == before


def test_areas_by_method_and_by_part(opened):
    at, _ = opened(cart(), "areas")
    said = tables(at)
    assert "0.554 m²" in said  # 600 000 − 12 000 − 33 854 mm²
    assert "0.034 m²" in said
    assert "paint stripper" in said
    assert "Tail board" in said


# --- release ------------------------------------------------------------------------------------------------------------


def test_blockers_are_counted_by_code_and_each_has_its_button(opened):
    at, _ = opened(cart(without=("photo", "hazards tested")), "release")
    assert "no-photo-before" in tables(at)
    at.selectbox(key="keep_code_0").select("hazards-not-tested").run()
    whole(at)
    at.button(key="cure_side_1").click().run()
    whole(at)
    assert at.session_state[KEPT].signing == "hazards"
    assert at.session_state["workspace"].chosen == ["side"]


def test_two_different_people_sign_and_the_zone_is_locked(opened):
    at, file = opened(cart(without=("release to strip",)), "release", ["side"])
    at.button(key="sign_release").click().run()
    whole(at)
    assert release_of(file.record(), SETTINGS)["side"].signed_by == ("Ann",)
    at.button(key="sign_release").click().run()
    assert "another name" in at.error[0].value.replace("\\", "")
    at.text_input(key="by_0").input("Ben").run()
    at.button(key="sign_release").click().run()
    whole(at)
    assert release_of(file.record(), SETTINGS)["side"].state == "released"
    assert "released" in words(at)


def test_what_is_blocked_is_not_signed(opened):
    at, file = opened(cart(without=("photo", "release to strip")), "release", ["side"])
    before = file.head()
    at.button(key="sign_release").click().run()
    assert "only waits for signatures" in at.warning[0].value.replace("\\", "")
    assert file.head() == before


def test_hazards_are_signed_for_with_what_was_found(opened):
    at, file = opened(cart(without=("hazards tested",)), "release", ["side"], signing="hazards", note="lead in the primer")
    at.button(key="sign_hazards").click().run()
    whole(at)
    assert release_of(file.record(), SETTINGS)["side"].release
    assert file.record().signoffs[-1].note == "lead in the primer"


def test_an_override_names_codes_reason_and_person(opened):
    at, file = opened(
        cart(without=("photo",)), "release", ["side"], signing="override", override_codes=["no-photo-before"],
        note="lost in the fire",
    )  # fmt: skip
    at.button(key="sign_override").click().run()
    whole(at)
    (one,) = release_of(file.record(), SETTINGS)["side"].overridden
    assert (one.by, one.reason) == ("Ann", "lost in the fire")
    assert file.record().signoffs[-1].note == "no-photo-before: lost in the fire"
    assert "lost in the fire" in words(at)


def test_a_stack_after_the_release_is_marked_on_the_card(opened):
    at, file = opened(cart(), "release", ["side"])
    late = Stack(stack_id="s9", zone_id="side", method="chip", reaches_substrate=True)
    file.append([Put(late)], by="Eve", why="seen while stripping", at="2026-05-01T10:00:00.000Z", expect=None)
    at.switch_page("screens/panel_sheet.py").run()
    whole(at)
    said = words(at)
    assert "Released to strip: locked" in said
    assert "1 entry after release" in said
    assert "stack s9" in said


# --- every blocker has a way --------------------------------------------------------------------------------------------


def test_every_code_has_a_way_to_a_page_that_is_there():
    assert tuple(ways.WAYS) == CODES
    for way in ways.WAYS.values():
        assert (APP.parent / way.page).is_file()
        assert way.words


@pytest.mark.parametrize("code", CODES)
def test_one_touch_leads_there_with_the_zone_chosen(opened, code):
    """A touch on the button of a blocker: the page it promises comes up without a fault, the zone or its face chosen."""
    record = {
        "no-stack-to-substrate": cart(without=("s1", "s1/1")),
        "faces-not-seen": cart(without=("s2",)),
        "too-few-readings": cart(without=("side4",)),
        "finding-without-geometry": cart(Finding(finding_id="F", drawing_id="left", kind="dent")),
        "line-without-offsets": cart(without=("offsets",)),
        "no-photo-before": cart(without=("photo",)),
        "hazards-not-tested": cart(without=("hazards tested",)),
        "keep-edge-without-kind": cart(changed(KEEP, edge=None), without=("K",)),
        "keep-not-signed": cart(without=("keep",)),
        "method-not-stated": cart(changed(STRIP, method=None), without=("2",)),
        "method-not-for-substrate": cart(changed(STRIP, target=("tail",)), without=("2",)),
        "margin-in-rougher-zone": cart(changed(KEEP, margin=None), without=("K",)),
        "not-to-be-stripped": _kept(cart()),
        "two-signatures": cart(without=("release to strip",)),
    }[code]
    zone = "tail" if code == "method-not-for-substrate" else "side"
    at, _ = opened(record, "release", [zone])
    blockers = release_of(record, SETTINGS)[zone].blockers
    number = next(at for at, one in enumerate(blockers) if one.code == code)
    at.button(key=f"cure_{zone}_{number}").click().run()
    whole(at)
    workspace = at.session_state["workspace"]
    assert workspace.chosen == ["flange" if code == "faces-not-seen" else zone]
    way = ways.way_of(blockers[number])
    if way.page == ways.PANEL:
        assert workspace.form.area_id == "K"
    if way.page == ways.HERE:
        assert at.session_state[KEPT].stage == way.shows


def test_a_margin_leads_to_the_edge_a_step_to_the_method():
    def blocker(kind, ident):
        return Blocker("margin-in-rougher-zone", "", "", Where(kind, ident))

    assert ways.way_of(blocker("area", "K")).shows == "edges"
    assert ways.way_of(blocker("step", "15")).shows == "methods"


def _kept(record):
    return record.with_kind("zone", [changed(zone, intent="keep") for zone in record.zones])


# --- print --------------------------------------------------------------------------------------------------------------


def test_the_strip_sheet_is_offered_with_how_many_are_released(opened):
    at, _ = opened(cart(), "sheet")
    assert at.get("download_button")
    assert "1 of 1 zone released" in words(at)
