"""Film as a witness, in words: what separates comes first, what is told twice is said once."""

from __future__ import annotations

from bodymap.exchange.open_folder import read_folder
from bodymap.film.stories import film_stories
from bodymap.history.set_aside import set_aside
from bodymap.settings import in_force
from bodymap.views.film_witness import film_witness
from demo import VEHICLE_FOLDER


def witness(*aside):
    record = read_folder(VEHICLE_FOLDER).record
    asked = set_aside(record, aside)
    return film_witness(asked, film_stories(asked, in_force(asked.settings)))


def test_the_left_wing_had_silver_twice():
    # Sprayed off, then again on the van: 20+60+50+40+45 = 215 µm against 190 fitted once; the median reads 214.
    (first,) = witness("S12").speaks
    assert first.startswith("Left wing, side, silver lacquer, body (c6)")
    assert first.endswith("separates: twice")
    assert "214" in first


def test_in_a_circle_there_are_no_stories_and_it_says_so():
    told = witness()
    assert told.speaks == told.once == told.cannot == ()
    assert "circle" in told.why_none


def test_each_line_is_said_once():
    told = witness("S12")
    lines = told.speaks + told.once + told.cannot
    assert len(lines) == len(set(lines))
    assert told.silent > 0
