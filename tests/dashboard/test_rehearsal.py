"""The screen Repaint rehearsal without a browser: plans tried, changed and saved; progress; quantities; step cards."""

from __future__ import annotations

import sys
from pathlib import Path

from streamlit.testing.v1 import AppTest

from bodymap.exchange.open_folder import read_folder
from bodymap.finish.progress import read_progress
from bodymap.settings import in_force
from dashboard.components.rehearsal_state import OWN, WHAT_IF, DoneForm, Rehearsal, StepForm
from dashboard.components.step_card import StepCardWork
from demo import VEHICLE_FOLDER
from tests.finish.tinted_van import COATS, van

from .running import by_label, key_of, opened, press, words

SCREEN = "screens/rehearsal.py"
STEPS = [("strip", "body door jamb"), ("coat", "p"), ("coat", "t"), ("coat", "c")]
GOALS = [("body", "p t c"), ("door", "p t c")]


def mine(at: AppTest) -> Rehearsal:
    return at.session_state[key_of(Rehearsal)]


def test_a_plan_that_ends_as_wanted_says_so(shop):
    shop(van(STEPS, goals=GOALS))
    at = opened(SCREEN)
    assert "3.00 m² of 3.00 m² drawn end as wanted (100.0 %), nothing wrong" in words(at).replace("\u00a0", " ")
    assert "Every face that has a goal ends as wanted" in words(at)
    assert "Step 4 of 4: Coat Clear" in words(at)


def test_moving_a_step_makes_it_harmful_and_is_told_and_taken_back(shop):
    file = shop(van(STEPS, goals=GOALS))
    before = file.head()
    at = opened(SCREEN, Rehearsal(step=3))
    press(at, "rehearsal_down")
    said = words(at).replace("\u00a0", " ")
    assert "step 3 moved to place 4" in said
    assert "It harms 2 faces" in said
    assert "by step 3, 4" in said
    assert "What if (copy of the record's plan), not saved" in said
    assert mine(at).shown == WHAT_IF
    press(at, "rehearsal_undo_change")
    assert "It harms" not in words(at)
    press(at, "rehearsal_put_away")
    assert mine(at).shown == OWN
    assert file.head() == before, "nothing was written"


def test_a_step_is_moved_by_typing_its_place(shop):
    shop(van(STEPS, goals=GOALS))
    at = opened(SCREEN, Rehearsal(step=4))
    by_label(at.number_input, "To place").set_value(2).run()
    press(at, "rehearsal_move_there")
    assert [step.target[0] for step in mine(at).what_if.steps] == ["body", "c", "p", "t"]
    assert mine(at).step == 2


def test_steps_are_added_amended_and_withdrawn(shop):
    shop(van(STEPS[:3], goals=GOALS))
    at = opened(SCREEN, Rehearsal(form=StepForm(action="coat", target=("c",), batch="B7", note="wet on wet")))
    assert "2 faces wrong" in words(at)
    press(at, "rehearsal_add")
    added = mine(at).what_if.steps[3]
    assert (added.step, added.target, added.batch, added.note) == (4, ("c",), "B7", "wet on wet")
    assert "2 faces put right" in words(at).replace("Faces", "faces")
    press(at, "rehearsal_withdraw")
    assert len(mine(at).what_if.steps) == 3
    press(at, "rehearsal_take")
    assert mine(at).form.target == ("t",)
    by_label(at.button_group, "Action").set_value("remove").run()
    press(at, "rehearsal_amend")
    assert "found remove without a target" in words(at)
    assert len(mine(at).what_if.steps) == 3


def test_a_plan_is_saved_only_when_asked_and_with_a_name(shop):
    file = shop(van(STEPS, goals=GOALS))
    at = opened(SCREEN, Rehearsal(step=4))
    press(at, "rehearsal_withdraw")
    press(at, "rehearsal_save")
    assert "Still needed: your name, why" in words(at)
    by_label(at.text_input, "Your name").input("R").run()
    by_label(at.text_input, "Why").input("no clear").run()
    press(at, "rehearsal_save")
    assert [step.target[0] for step in file.record().steps] == ["body", "p", "t"]
    assert (file.journal()[-1].by, file.journal()[-1].why) == ("R", "no clear")
    assert mine(at).what_if is None
    press(at, "undo_plan")
    assert len(file.record().steps) == 4


def test_a_draft_of_the_history_ends_as_found_where_nothing_is_kept(shop):
    record = van(layers=[("body", "p t c"), ("door", "p t c"), ("jamb", "p~")])
    file = shop(record)
    at = opened(SCREEN)
    assert "No steps yet" in words(at)
    press(at, "rehearsal_draft")
    said = words(at).replace("\u00a0", " ")
    assert "(100.0 %), nothing wrong" in said
    assert not file.record().steps
    by_label(at.text_input, "Your name").input("R").run()
    by_label(at.text_input, "Why").input("as found").run()
    press(at, "rehearsal_save")
    assert file.record().steps
    assert {goal.zone_id for goal in file.record().goals} == {"body", "door", "jamb"}
    assert "The record's plan:** 3.10 m² of 3.10 m² drawn end as wanted" in words(at).replace("\u00a0", " ")


def test_a_tinted_coat_in_two_goes_is_told(shop):
    steps = [*STEPS[:2], ("coat", "t", "", "B1"), ("remove", "door"), ("coat", "t", "only door", "B2")]
    shop(van(steps, goals=GOALS))
    at = opened(SCREEN)
    assert "Blue (t) is planned in steps 3 and 5" in words(at)
    assert "different batches: step 3 B1, step 5 B2" in words(at)


def test_the_demo_plan_is_offered_by_name_for_the_demo_vehicle_only(shop):
    shop(van(STEPS, goals=GOALS))
    assert not [button for button in opened(SCREEN).button if button.key == "rehearsal_beside"]
    content = read_folder(VEHICLE_FOLDER)
    (Path(sys.argv[-1])).unlink()
    shop(content.record, content.media)
    at = opened(SCREEN)
    press(at, "rehearsal_beside")
    said = words(at).replace("\u00a0", " ")
    assert "What if (plan_cap_off.csv), not saved:** 21.84 m² of 22.76 m²" in said
    assert "9 faces wrong" in said
    press(at, "rehearsal_go_30")
    assert "Step 30 of 44: Coat Translucent blue" in words(at)


def progress_screen(file, **typed):
    at = opened(SCREEN, Rehearsal(card="progress"), DoneForm(**typed), by="P")
    press(at, "done_save")
    return at, read_progress(file.record(), in_force())


def test_a_step_done_in_damp_air_is_saved_and_warned_of(shop):
    file = shop(van(STEPS, goals=GOALS))
    at, progress = progress_screen(
        file, step=2, on="2026-03-01", batch="B1", air_c=20.0, humidity_pct=85.0, surface_c=18.5, accepted=True
    )
    (one,) = progress.steps
    # Dew point of 20 °C and 85 %: 17.4 °C (Magnus, see test_climate).
    assert (one.step.step, one.done.by, one.done.batch, one.air.verdict) == (2, "P", "B1", "damp")
    assert "Sprayed too near the dew point" in words(at)
    assert "1 of 4 steps done" in words(at)
    (signed,) = file.record().signoffs
    assert (signed.subject, signed.what, signed.by, signed.note) == ("p", "coat accepted", "P", "step 2")
    at.run()
    press(at, "undo_progress")
    assert read_progress(file.record(), in_force()).steps == ()


def test_air_is_judged_before_it_is_saved(shop):
    shop(van(STEPS, goals=GOALS))
    at = opened(SCREEN, Rehearsal(card="progress"), DoneForm(step=2, on="2026-03-01"), by="P")
    for label, value in (("Air °C", 20.0), ("Humidity %", 50.0), ("Surface °C", 20.0)):
        by_label(at.number_input, label).set_value(value).run()
    assert "10.7 °C above it, at least 3 °C wanted" in words(at)
    by_label(at.number_input, "Surface °C").set_value(9.0).run()
    assert "water condenses on the surface. Do not spray" in words(at)


def test_a_wrong_day_is_refused_and_nothing_typed_is_lost(shop):
    file = shop(van(STEPS, goals=GOALS))
    before = file.head()
    at, progress = progress_screen(file, step=2, on="1 March", batch="B1")
    assert progress.steps == ()
    assert file.head() == before
    assert "YYYY-MM-DD" in words(at)
    assert by_label(at.text_input, "Batch of the paint").value == "B1"


def test_readings_after_a_coat_stand_beside_the_planned_build(shop):
    file = shop(van(STEPS, goals=GOALS))
    progress_screen(file, step=2, on="2026-03-01")
    at = opened(SCREEN, Rehearsal(card="progress"), by="P")
    by_label(at.selectbox, "Face read").select("body").run()
    by_label(at.text_input, "Readings of one spot in µm, with blanks between").input("48 51x 50").run()
    press(at, "after_save")
    assert "51x: allowed are numbers" in words(at)
    by_label(at.text_input, "Readings of one spot in µm, with blanks between").input("48 51 50").run()
    press(at, "after_save")
    read = [(one.um, one.phase, one.zone_id) for one in file.record().readings]
    assert read == [(48, "p", "body"), (51, "p", "body"), (50, "p", "body")]
    assert len({one.spot for one in file.record().readings}) == 1
    table = next(table.value for table in at.table if "Planned build" in table.value.columns)
    assert table.iloc[0]["Median µm"] == "50"
    assert table.iloc[0]["Planned build"].replace("\u00a0", " ") == "40–60 µm"


def test_quantities_are_reckoned_amended_and_saved(shop):
    coats = tuple(coat.model_copy(update={"volume_solids_pct": None}) if coat.coat_id == "t" else coat for coat in COATS)
    file = shop(van(STEPS, goals=GOALS, coats=coats))
    at = opened(SCREEN, Rehearsal(card="quantities"), by="P")
    table = next(table.value for table in at.table if "Ready to spray" in table.value.columns)
    assert list(table["Paint"])[1] == ":red[**not stated**]"
    by_label(at.selectbox, "Paint of").select("t").run()
    by_label(at.number_input, "Volume solids, %").set_value(12.0).run()
    # (2 m² × 1.25 + 1 m²) × 40 µm ÷ (1000 × 0.12 × 0.25) = 4.7 L, thinned by half.
    assert "With these figures: paint 4.7 L, thinner 2.3 L, ready to spray 7.0 L" in words(at)
    press(at, "paint_save")
    assert file.record().coat["t"].volume_solids_pct == 12
    by_label(at.selectbox, "Working figure").select("transfer_air_pct").run()
    by_label(at.number_input, "Value, %").set_value(50.0).run()
    press(at, "figure_save")
    assert [(one.key, one.value, one.basis) for one in file.record().settings] == [("transfer_air_pct", "50", "own trial")]
    table = next(table.value for table in at.table if "Ready to spray" in table.value.columns)
    assert list(table["Paint"])[1] == "2.3 L"


CARD = b"""um,L,a,b
0,77.04,-1.15,-2.11
8,68.18,-4.09,-11.99
24,54.21,-3.22,-26.91
39.7,43.35,2.27,-37.05
64.3,31.17,14.05,-47.02
"""


def test_a_step_card_says_count_passes_where_the_gauge_cannot_see(shop):
    shop(van(STEPS, goals=GOALS))
    at = opened(
        SCREEN,
        Rehearsal(card="step_card"),
        StepCardWork(data=CARD, name="card.csv", at_um=40.0, pass_um=8.0, reading_um=250.0),
    )
    said = words(at)
    assert "At 40 µm: −" in said
    assert "A pass of 8 µm:" in said
    assert "your gauge cannot see this: count passes" in said


def test_a_senseless_step_card_is_refused_with_all_faults(shop):
    shop(van(STEPS, goals=GOALS))
    at = opened(SCREEN, Rehearsal(card="step_card"), StepCardWork(data=b"um,L,a,b\n8,x,0,0\n", name="card.csv"))
    assert "The step card was not taken in." in words(at)
    told = "\n".join(text.value for text in at.text)
    assert "no row with um 0" in told or "no rows with um 0" in told
    assert "found x" in told or "found 'x'" in told


def test_words_of_the_record_are_not_read_as_markup(shop):
    coats = tuple(coat.model_copy(update={"name": "**bold** <b>x</b>"}) for coat in COATS)
    shop(van(STEPS, goals=GOALS[:1], coats=coats))
    for card in ("plan", "progress", "quantities"):
        at = opened(SCREEN, Rehearsal(card=card))
        assert not [one.value for one in at.markdown if "<b>" in one.value.replace("\\<", "")]
