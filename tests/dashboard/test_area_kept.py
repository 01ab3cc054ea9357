"""An area that is being marked, through a reload of the page: nothing typed is lost, no window has what another typed."""

from __future__ import annotations

import pytest
from streamlit.testing.v1 import AppTest

from bodymap.store.record_file import RecordFile
from dashboard import loaders
from dashboard.state import AreaForm, Drawn, Workspace

from .running import APP, field, opened, press, says, whole, words


def typed() -> AreaForm:
    return AreaForm(way="band", zone_id="side_out", piece=0, width_mm=50, name="Door gap band", reason="flange", edge="hard")


def token_of(at: AppTest) -> str:
    told = at.query_params["tablet"]
    return told[0] if isinstance(told, list) else told


def reloaded(at: AppTest, screen: str = "") -> AppTest:
    """The page as a browser asks for it again at its address: in a session of its own."""
    again = AppTest.from_file(str(APP), default_timeout=60)
    again.query_params["tablet"] = token_of(at)
    again.run()
    if screen:
        again.switch_page(screen).run()
    whole(again)
    return again


def form_of(at: AppTest) -> AreaForm:
    return at.session_state["workspace"].form


def test_a_reload_keeps_what_was_typed_and_it_can_be_saved(record_path):
    at = opened(form=typed(), by="Ann", chosen=["side_out"])
    again = reloaded(at)
    assert field(again, "Name *").value == "Door gap band"
    assert field(again, "By (your name) *").value == "Ann"
    assert again.session_state["workspace"].chosen == ["side_out"]
    assert "0.100 m² drawn" in words(again)  # 50 mm along 2000 mm
    says(again, "The boundary is *", "original")
    press(again, "save_area")
    entry = RecordFile(record_path).journal()[-1]
    assert (entry.by, entry.why, entry.ident, entry.body["name"]) == ("Ann", "flange", "K2", "Door gap band")
    assert not form_of(reloaded(again)).begun, "what is saved is not begun any more"


def test_a_reload_keeps_the_offsets_and_what_was_drawn(record_path):
    measured = ((0.0, 0.0, 30.0), (500.0, None, 30.0))
    at = opened(form=AreaForm(way="offsets", datum_id="waist", stations=measured))
    assert form_of(reloaded(at)).stations == measured
    x, y = loaders.layout(loaders.opened(), "outside").to_sheet("left", 2000, 1000)
    ring = Drawn("box", ((x, y), (x + 400, y), (x + 400, y + 100), (x, y + 100)))
    at = opened(drawn=ring)
    assert "0.040 m² drawn" in words(at)
    assert "0.040 m² drawn" in words(reloaded(at))


def test_the_form_stands_open_after_a_reload_only_where_something_is_in_it(record_path):
    def stands_open(at: AppTest) -> bool:
        return next(one for one in at.expander if one.label == "Mark a kept area").proto.expanded

    assert stands_open(reloaded(opened(form=typed())))
    assert not stands_open(reloaded(opened(by="Ann")))


def test_an_area_that_is_amended_is_still_amended_after_a_reload(record_path):
    at = opened(by="Ann")
    at.selectbox(key="area_picked_0").select("K1").run()
    press(at, "amend_area")
    says(at, "Name *", "Witness, left")
    again = reloaded(at)
    assert (form_of(again).area_id, form_of(again).way) == ("K1", "as_it_is")
    press(again, "save_area")
    assert RecordFile(record_path).record().area["K1"].name == "Witness, left"


def test_what_is_put_away_stays_away(record_path):
    at = opened(form=typed(), by="Ann")
    press(at, "put_away_form")
    assert not form_of(reloaded(at)).begun


def test_two_windows_never_have_what_the_other_typed(record_path):
    ann = opened(form=typed(), by="Ann")
    ben = opened(by="Ben")
    assert token_of(ann) != token_of(ben)
    assert not form_of(ben).begun
    says(ben, "Name *", "Sill")
    says(ann, "Name *", "Door gap")
    assert field(reloaded(ann), "Name *").value == "Door gap"
    assert field(reloaded(ben), "Name *").value == "Sill"
    assert form_of(reloaded(ben)).reason == ""


def test_a_window_that_is_opened_at_the_address_of_one_still_open_begins_its_own(record_path, monkeypatch):
    ann = opened(form=typed(), by="Ann")
    monkeypatch.setattr("dashboard.loaders.begun._PATIENCE_S", 0.0)
    monkeypatch.setattr("dashboard.loaders.begun._open", lambda session: bool(session))
    twin = reloaded(ann)
    assert token_of(twin) != token_of(ann)
    assert not form_of(twin).begun
    assert "Not saved on a page that was closed" not in words(twin), "the other one is at work on it"


def test_what_a_closed_page_left_can_be_gone_on_with(record_path):
    ann = opened(form=typed(), by="Ann", chosen=["side_out"])
    ben = opened(by="Ben")
    assert "Not saved on a page that was closed: area Door gap band, Ann" in words(ben)
    press(ben, f"take_up_area_{token_of(ann)}")
    assert field(ben, "Name *").value == "Door gap band"
    assert (ben.session_state["workspace"].by, ben.session_state["workspace"].chosen) == ("Ben", ["side_out"])
    assert not form_of(reloaded(ann)).begun, "one thing is begun in one window only"


def test_what_is_begun_on_the_survey_and_the_area_are_kept_apart(record_path):
    at = AppTest.from_file(str(APP), default_timeout=60)
    at.session_state["workspace"] = Workspace(by="Ann", form=AreaForm(name="Door gap band"), chosen=["door_out"])
    at.run()
    at.switch_page("screens/survey.py").run()
    press(at, "swatch_c1")
    again = reloaded(at, "screens/survey.py")
    assert again.button(key="swatch_c1").disabled
    assert form_of(again).name == "Door gap band"
    assert "Not saved on a page that was closed" not in words(again)


def test_what_is_chosen_to_be_amended_since_the_reload_goes_before(record_path):
    at = AppTest.from_file(str(APP), default_timeout=60)
    at.session_state["workspace"] = Workspace(by="Ann", form=AreaForm(name="Door gap band"))
    at.run()
    # A reload on a screen that keeps nothing, then the way to the Panel sheet with an area to be amended.
    again = AppTest.from_file(str(APP), default_timeout=60)
    again.query_params["tablet"] = token_of(at)
    amending = AreaForm.amending(RecordFile(record_path).record().area["K1"])
    again.session_state["workspace"] = Workspace(by="Ann", form=amending)
    again.run()
    whole(again)
    assert form_of(again).area_id == "K1"
    # What was typed before is not lost for that: it is offered as soon as this window has begun nothing.
    press(again, "put_away_form")
    press(again, next(one.key for one in again.button if one.label == "Go on with it"))
    assert form_of(again).name == "Door gap band"


@pytest.mark.parametrize("screen", ["", "screens/survey.py"])
def test_what_is_chosen_since_the_reload_stays_chosen(record_path, screen):
    at = opened(form=typed(), by="Ann", chosen=["side_out"])
    if screen:
        at.switch_page(screen).run()
    again = AppTest.from_file(str(APP), default_timeout=60)
    again.query_params["tablet"] = token_of(at)
    again.session_state["workspace"] = Workspace(chosen=["door_out"])
    again.run()
    if screen:
        again.switch_page(screen).run()
    whole(again)
    assert again.session_state["workspace"].chosen == ["door_out"]
    assert form_of(again).name == ("Door gap band" if not screen else form_of(again).name)


@pytest.mark.parametrize(
    ("said", "begun"),
    [
        ({}, False),
        ({"way": "band", "zone_id": "side_out", "width_mm": 20.0}, False),
        ({"name": " "}, False),
        ({"name": "Sill"}, True),
        ({"reason": "flange"}, True),
        ({"edge": "hard"}, True),
        ({"origin": "original"}, True),
        ({"margin_mm": 0.0}, True),
        ({"area_id": "K1"}, True),
        ({"stations": ((None, None, None), (0.0, None, None))}, True),
    ],
)
def test_a_form_is_begun_as_soon_as_anything_in_it_would_be_missed(said, begun):
    assert AreaForm(**said).begun is begun


def test_what_is_put_away_after_a_reload_stays_away(record_path):
    again = reloaded(opened(form=typed(), by="Ann"))
    press(again, "put_away_form")
    assert not form_of(again).begun
    assert not form_of(reloaded(again)).begun
    assert "Not saved on a page that was closed" not in words(opened())
