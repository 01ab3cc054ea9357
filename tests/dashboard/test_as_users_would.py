"""What stopped a newcomer and a shop owner: each screen says what to do next, and a refusal comes with its cure."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bodymap.geometry.starting_shapes.making import SCHEMATIC
from bodymap.model import Drawing, Part, Source
from dashboard.components import survey_fields
from dashboard.components.drawing_desk import BoardState, Desk
from dashboard.components.keep_state import KeepState
from dashboard.components.parts_state import PartsScreen
from dashboard.components.rehearsal_state import DoneForm, Rehearsal
from tests.finish.tinted_van import van

from .running import by_label, choose, key_of, opened, press, says, words
from .small import small_record

DRAWINGS, PARTS, SURVEY = "screens/drawings.py", "screens/parts.py", "screens/survey.py"


def of_nothing(record):
    """The record as it is after a ready-made shape: it is not stated what its parts are of."""
    parts = [part.model_copy(update={"substrate": "other"}) for part in record.parts]
    return record.with_kind("part", [*parts, Part(part_id="floor", name="Floor", substrate="other", removable=True)])


def surveyed(what: str, **said):
    at = opened(SURVEY, **said)
    if what != "stack":
        choose(at, "What is entered", what)
    return at


def buttons(at) -> list[str]:
    return [one.key for one in at.button]


# --- what parts are of ------------------------------------------------------------------------------------------------


def test_a_refused_gauge_names_what_reads_and_leads_to_where_the_substrate_is_stated(shop):
    file = shop(of_nothing(small_record()))
    at = surveyed("reading", chosen=["door_out"], by="Ann")
    says(at, "Readings in µm, blanks between *", "112 110 111")
    choose(at, "Gauge *", "magnetic")
    assert "What reads here: ultrasonic." in words(at)
    press(at, "to_material")
    assert "Only an ultrasonic gauge may read on them" in words(at)
    at.switch_page(PARTS).run()
    by_label(at.multiselect, "These parts").set_value(["door", "side"]).run()
    press(at, "save_material")
    assert "what they are of" in words(at)
    choose(at, "are of *", "steel")
    press(at, "save_material")
    assert {part.part_id: part.substrate for part in file.record().parts} == {
        "door": "steel", "side": "steel", "floor": "other",
    }  # fmt: skip
    assert [(one.by, one.why) for one in file.journal()[-2:]] == [("Ann", "Stated: of steel")] * 2
    press(at, "undo_parts")
    assert file.record().part == of_nothing(small_record()).part


def test_a_refused_gauge_on_a_stated_substrate_names_the_one_that_reads(shop):
    shop(small_record())
    at = surveyed("reading", chosen=["door_out"], by="Ann")
    choose(at, "Gauge *", "eddy")
    assert "What reads here: magnetic or ultrasonic." in words(at)
    assert "to_material" not in buttons(at)


def test_nothing_is_asked_where_every_part_is_stated(shop):
    shop(small_record())
    assert "save_material" not in buttons(opened(PARTS))


def test_the_question_whether_a_stack_goes_through_reads_as_a_sentence(shop):
    shop(of_nothing(small_record()))
    labels = [one.label for one in surveyed("stack", chosen=["door_out"]).button_group]
    assert "Reaches the bare surface? *" in labels


# --- the survey ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["stack", "reading"])
def test_with_two_zones_chosen_it_is_told_that_one_is_wanted(shop, what):
    shop(small_record())
    assert "2 zones are chosen: touch the one it is." in words(surveyed(what, chosen=["door_out", "side_out"]))
    assert "zones are chosen" not in words(surveyed(what))


def test_before_the_first_coat_it_is_told_to_name_one(shop):
    record = small_record()
    for kind in ("stack", "layer", "reading", "coat"):
        record = record.with_kind(kind, [])
    shop(record)
    at = surveyed("stack", chosen=["door_out"])
    assert "No coat is named yet" in words(at)
    assert "Touch the coats from the metal outward" not in words(at)


def test_evidence_is_not_from_the_future(shop):
    file = shop(small_record())
    before = file.head()
    at = surveyed("source", by="Ann")
    choose(at, "Kind *", "document")
    says(at, "What it is *", "Invoice")
    says(at, "Date (YYYY, YYYY-MM or YYYY-MM-DD)", "2999-01")
    press(at, "save_source")
    assert "a date that is not still to come" in words(at)
    assert file.head() == before
    says(at, "Date (YYYY, YYYY-MM or YYYY-MM-DD)", "1971-13")
    press(at, "save_source")
    assert "Value error" not in words(at)
    says(at, "Date (YYYY, YYYY-MM or YYYY-MM-DD)", "1971-03")
    press(at, "save_source")
    assert isinstance(file.record().sources[-1], Source)
    assert file.record().sources[-1].date == "1971-03"


@pytest.mark.parametrize(
    ("days", "to_come"), [(-1, False), (0, False), (1, False), (2, True), (400, True)]
)  # UTC+14 has tomorrow's date while it is today in UTC (time zones from memory, not seen)
def test_a_day_is_to_come_only_where_it_is_so_everywhere(monkeypatch, days, to_come):
    monkeypatch.setattr(survey_fields, "moment", lambda: "2026-03-31T23:30:00.000Z")
    day = (date(2026, 3, 31) + timedelta(days=days)).isoformat()
    assert survey_fields.is_to_come(day) is to_come
    assert not survey_fields.is_to_come("")
    assert not survey_fields.is_to_come("about 1956")
    assert not survey_fields.is_to_come("1956/1960")


# --- drawings -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("task", ["calibrate", "cut", "join", "tidy", "zones", "datum"])
def test_on_an_empty_drawing_every_task_leads_to_what_fills_it(shop, task):
    empty = [Drawing(drawing_id="tail", name="Tail", kind="outside", scale="schematic")]
    shop(small_record().with_kind("drawing", [*small_record().drawings, *empty]))
    at = opened(DRAWINGS, Desk(drawing_id="tail", task=task), by="Ann")
    assert "Tail is empty still" in words(at)
    assert f"{task}_save" not in buttons(at)
    press(at, "to_photo")
    assert at.session_state[key_of(Desk)].task == "photo"
    assert "is empty still" not in words(at)


def test_a_second_drawing_of_one_name_is_not_made(shop):
    file = shop(small_record())
    at = opened(DRAWINGS, Desk(drawing_id="+", task="cut"), by="Ann")
    says(at, "Name of the drawing *", " left SIDE ")
    assert "already: take another name" in words(at)
    press(at, "drawing_save")
    assert len(file.record().drawings) == 2


def test_what_is_missing_is_named_before_and_after_the_button(shop):
    shop(small_record())
    at = opened(DRAWINGS, Desk(drawing_id="left", task="calibrate"), by="Ann")
    assert words(at).count("points A and B, and how far apart they are") == 1
    press(at, "calibrate_save")
    assert words(at).count("points A and B, and how far apart they are") == 2


@pytest.mark.parametrize(("distance_mm", "told"), [(1100.0, False), (1.0, True), (10_000.0, True)])
def test_a_distance_in_metres_is_asked_about(shop, distance_mm, told):
    shop(small_record())
    board = BoardState(scale=[(0, 0), (1000, 0)], distance_mm=distance_mm, aim="scale")
    at = opened(DRAWINGS, Desk(drawing_id="left", task="calibrate", boards={("calibrate", "left"): board}), by="Ann")
    assert ("is the distance in millimetres" in words(at)) is told


def test_a_ready_made_shape_is_told_apart_after_it_was_calibrated(shop):
    left, inner = small_record().drawings
    ready_made = left.model_copy(update={"scale": "schematic", "scale_from": SCHEMATIC})
    file = shop(small_record().with_kind("drawing", [ready_made, inner]))
    board = BoardState(scale=[(0, 0), (1000, 0)], distance_mm=1100, aim="scale")
    at = opened(DRAWINGS, Desk(drawing_id="left", task="calibrate", boards={("calibrate", "left"): board}), by="Ann")
    assert "not the curves of this vehicle" in words(at)
    press(at, "calibrate_save")
    said = file.record().drawing["left"].scale_from
    assert said.startswith("a ready-made starting shape; two points")
    assert "1100 mm" in said


# --- the way on -----------------------------------------------------------------------------------------------------------


def test_what_nobody_has_seen_is_one_touch_from_the_panel_sheet(shop):
    shop(small_record())
    at = press(opened(), "to_unseen")
    assert any(one.label == "What is missing" for one in at.button_group)


def test_every_card_that_lacks_a_plan_leads_to_where_it_is_made(shop):
    shop(small_record().with_kind("step", []))
    for card in ("progress", "quantities"):
        at = opened("screens/rehearsal.py", Rehearsal(card=card))
        press(at, "to_the_plan")
        assert at.session_state[key_of(Rehearsal)].card == "plan"
        assert "No steps yet. Add one below" in words(at)


def test_behind_a_step_told_done_the_next_one_is_offered_and_not_one_still_to_come_told(shop):
    plan = van([("strip", "body"), ("coat", "p"), ("coat", "t"), ("coat", "c")])
    file = shop(plan)
    at = opened("screens/rehearsal.py", Rehearsal(card="progress"), DoneForm(step=2, on="2999-01-01"), by="Ann")
    before = file.head()
    press(at, "done_save")
    assert "a day that is not still to come" in words(at)
    assert file.head() == before
    says(at, "Done on (YYYY-MM-DD, or with time)", "2026-03-01")
    press(at, "done_save")
    assert file.head().count > before.count
    assert by_label(at.selectbox, "Step done").value == 3


def test_film_without_a_reading_and_edges_without_a_kept_area_say_what_comes_first(shop):
    shop(small_record().with_kind("reading", []).with_kind("area", []))
    at = opened("screens/film.py")
    assert "No film reading yet" in words(at)
    assert "survey" in [one.proto.page for one in at.get("page_link")][-1]
    at = opened("screens/keep_and_strip.py", KeepState(stage="edges"), by="Ann")
    assert "No area is kept yet." in words(at)
    assert [one.proto.label for one in at.get("page_link")][-1] == "Mark an area on the panel sheet"


def test_a_part_says_first_where_it_lies(shop):
    shop(small_record())
    said = words(opened(PARTS, PartsScreen(chosen="door"), by="Ann"))
    assert said.index("Where it lies:") < said.index("Marks:")


def test_a_decision_is_one_touch(shop):
    file = shop(small_record())
    at = opened(
        "screens/keep_and_strip.py", KeepState(stage="decide", reason="the lettering"), chosen=["door_out"], by="Ann"
    )
    choose(at, "Intent *", "keep")
    press(at, "save_intent")
    assert file.record().zone["door_out"].intent == "keep"


def test_what_is_typed_of_a_reading_stays_on_the_way_to_its_cure(shop):
    shop(of_nothing(small_record()))
    at = surveyed("reading", chosen=["door_out"], by="Ann")
    says(at, "Readings in µm, blanks between *", "112 110 111")
    choose(at, "Gauge *", "magnetic")
    press(at, "to_material")
    at.switch_page(SURVEY).run()
    assert next(one.value for one in at.text_input if one.label.startswith("Readings in µm")) == "112 110 111"
