"""Film of a tinted coat from readings of the whole build, and the colour difference it makes across the body."""

from __future__ import annotations

import math

import pytest

from bodymap.errors import BodymapError
from bodymap.finish.tint import fit_card
from bodymap.finish.tint_across import TintFilm, reference_um, tint_across, tint_films
from bodymap.model import Coat
from bodymap.settings import in_force
from tests.finish.tinted_van import COATS, van
from tests.outside.test_tint import card

SETTINGS = in_force()
FIT = fit_card(card(), SETTINGS)
FOUND = "as found"


def films(**more):
    return {film.zone_id: film for film in tint_films(van(**more), "t", SETTINGS)}


def test_reading_less_the_other_coats():
    # Primer 40–60 and clear 40–50 off a median of 140; a gauge is good to 14 there, and two equal spots do not scatter.
    film = films(layers=[("body", "p t c")], readings=[("body", 140, None), ("body", 140, FOUND)])["body"]
    assert film.um == pytest.approx(140 - 50 - 45)
    assert (film.low_um, film.high_um) == pytest.approx((140 - 110 - 14, 140 - 80 + 14))
    assert film.n == 2
    assert film.taken_off.startswith("reading 140 µm − 80–110 µm for the other coats")
    spread = films(layers=[("body", "p t c")], readings=[("body", um, None) for um in (130, 140, 150)])["body"]
    assert spread.um == film.um
    assert spread.high_um > film.high_um + 1


def test_mist_of_another_coat_is_nothing_to_a_few_micrometres():
    film = films(layers=[("body", "c~ t")], readings=[("body", 40, None)])["body"]
    assert (film.low_um, film.high_um) == pytest.approx((40 - 5 - 4, 40 + 4))


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"coats": (*COATS[2:], Coat(coat_id="p", name="P", kind="primer"))}, "no usual film is stated for P"),
        ({"readings": [("body", 60, None)]}, "leaves nothing for it"),
        ({"layers": [("body", "p t c t")]}, "is not there once"),
    ],
)
def test_what_cannot_be_told_is_not_told(more, why):
    film = films(**{"layers": [("body", "p t c")], "readings": [("body", 140, None)]} | more)["body"]
    assert (film.um, film.low_um, film.high_um) == (None, None, None)
    assert why in film.why_not


def test_zones_without_the_coat_or_without_readings_are_left_out():
    layers = [("body", "p t c"), ("door", "p c"), ("jamb", "p t")]
    assert set(films(layers=layers, readings=[("body", 140, None), ("door", 100, None)])) == {"body"}


def test_a_planned_coat_is_what_was_read_after_less_what_was_read_before():
    goals = [("body", "p t c")]
    both = films(goals=goals, readings=[("body", 50, "p"), ("body", 90, "t"), ("body", 135, "c")])["body"]
    assert both.um == pytest.approx(40)
    off = math.hypot(9, 5)
    assert (both.low_um, both.high_um) == pytest.approx((40 - off, 40 + off))
    assert both.taken_off == "reading 90 µm − 50 µm read before it"
    alone = films(goals=goals, readings=[("body", 90, "t"), ("body", 2, "after strip")])["body"]
    assert alone.um == pytest.approx(90 - 2 - 50)
    assert alone.high_um == pytest.approx(90 - 2 - 40 + math.hypot(9, 2.5))
    assert alone.taken_off == "reading 90 µm − 2 µm read before it − 40–60 µm for p"
    bare = films(goals=goals, readings=[("body", 90, "t")])["body"]
    assert (bare.low_um, bare.high_um) == pytest.approx((90 - 60 - 9, 90 - 40 + 9))
    unplanned = films(readings=[("body", 90, "t")])["body"]
    assert "no goal of this zone has t" in unplanned.why_not


def test_readings_that_a_gauge_cannot_give_never_count():
    record = van(layers=[("body", "p t c")], readings=[("body", 140, None), ("body", 900, None)])
    bad = record.readings[1].model_copy(update={"principle": "eddy"})
    record = record.with_kind("reading", [record.readings[0], bad])
    assert tint_films(record, "t", SETTINGS)[0].um == pytest.approx(45)


def test_no_such_coat_is_refused():
    with pytest.raises(BodymapError, match="a coat of the record"):
        tint_films(van(), "x", SETTINGS)


def film(zone_id, low, um, high):
    return TintFilm(zone_id, um, low, high, 3, "", None)


def test_across_the_body_differs_is_alike_or_cannot_tell():
    known = [film("roof", 55, 56, 57), film("side", 39.5, 40, 40.5), film("door", 30, 40, 50)]
    unknown = TintFilm("wing", None, None, None, 0, "", "no readings that count")
    rows = {row.film.zone_id: row for row in tint_across(FIT, [*known, unknown], SETTINGS, 40)}
    assert {zone: row.verdict for zone, row in rows.items()} == {
        "roof": "differs", "side": "alike", "door": "cannot tell"}  # fmt: skip
    roof = rows["roof"]
    assert roof.delta_e == pytest.approx(FIT.delta_e(56, 40))
    assert (roof.least_delta_e, roof.most_delta_e) == pytest.approx((FIT.delta_e(55, 40), FIT.delta_e(57, 40)))
    assert rows["door"].least_delta_e == 0
    assert roof.lab == pytest.approx(FIT.colour_at(56))
    assert not roof.beyond_card
    assert tint_across(FIT, [film("x", 80, 90, 95)], SETTINGS, 40)[0].beyond_card
    assert tint_across(FIT, known[:1], SETTINGS, 40, delta_e=10)[0].verdict == "alike"


def test_the_reference_is_the_median_of_what_is_known():
    assert reference_um([film("a", 1, 30, 50), film("b", 1, 40, 50), film("c", 1, 90, 95)]) == 40
    with pytest.raises(BodymapError, match="no zone has a film"):
        reference_um([TintFilm("wing", None, None, None, 0, "", "why")])
