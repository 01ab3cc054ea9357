"""Undo offers on a screen what was done on that screen, and nothing that was done on another one."""

from __future__ import annotations

import pytest

from bodymap.model import Reading, Source
from bodymap.store.record_file import RecordFile
from dashboard import actions_survey, loaders
from dashboard.components.film_state import Film
from dashboard.components.rehearsal_state import DoneForm, Rehearsal
from tests.finish.tinted_van import van

from .running import opened, press, says, words
from .test_parts import parts
from .test_rehearsal import GOALS, STEPS

NOTHING = "Undo: nothing saved here under your name."
REHEARSAL, SURVEY, FILM = "screens/rehearsal.py", "screens/survey.py", "screens/film.py"


def surveyed(by: str, zone_id: str) -> None:
    """A source and a reading as the survey saves them."""
    letter = Source(source_id="Q9", kind="document", title="A letter", by=by)
    reading = Reading(reading_id="R9", zone_id=zone_id, um=100, principle="magnetic", spot="P009", by=by)
    for entry, why in ((letter, "Survey: evidence, A letter"), (reading, "Survey: readings of spot P009 in a zone")):
        actions_survey.save_new(loaders.opened(), lambda _, one=entry: [one], by=by, why=why)


def test_parts_offer_where_a_part_lies_and_no_source_of_the_survey(record_path):
    surveyed("Ann", "door_out")
    at = parts("door")
    assert NOTHING in words(at)
    says(at, "It lies now at", "rack B")
    press(at, "say_lies")
    assert "Part door lies at rack B" in words(at)
    press(at, "undo_parts")
    assert NOTHING in words(at)
    record = RecordFile(record_path).record()
    assert "Q9" in [one.source_id for one in record.sources]
    assert not [one for one in record.sources if one.tells_of_work]


def test_parts_still_offer_a_part_that_was_amended_there(record_path):
    at = parts("door")
    says(at, "Marks: numbers stamped or cut, and where", "17 L")
    says(at, "Why it is amended *", "read under the paint")
    press(at, "save_part")
    surveyed("Ann", "door_out")
    assert "Amended: read under the paint" in words(parts("door"))


def test_progress_offers_steps_and_readings_after_a_coat_and_nothing_of_the_survey(shop):
    file = shop(van(STEPS, goals=GOALS))
    surveyed("P", "body")
    at = opened(REHEARSAL, Rehearsal(card="progress"), DoneForm(step=2, on="2026-03-01", accepted=True), by="P")
    assert NOTHING in words(at)
    press(at, "done_save")
    assert "Step 2 is done" in words(at)
    press(at, "undo_progress")
    assert NOTHING in words(at)
    assert file.record().signoffs == ()
    assert [one.source_id for one in file.record().sources] == ["Q9"]


@pytest.mark.parametrize("screen", [SURVEY, FILM])
def test_other_screens_do_not_offer_what_was_done_on_parts(record_path, screen):
    at = parts("door")
    says(at, "It lies now at", "rack B")
    press(at, "say_lies")
    at = opened(screen, Film(look="gauge"), by="Ann")
    assert NOTHING in words(at)
    assert "lies at rack B" not in words(at)


def test_the_survey_offers_its_own_under_whatever_was_done_since_elsewhere(record_path):
    surveyed("Ann", "door_out")
    at = parts("door")
    says(at, "It lies now at", "rack B")
    press(at, "say_lies")
    at = opened(SURVEY, by="Ann")
    assert "Your last change: putting R9" in words(at)
    press(at, "undo_survey")
    assert "Your last change: putting Q9" in words(at)
