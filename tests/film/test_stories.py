"""Film as a witness between stories. Cases worked out by hand here; gauge figures as in the settings.

Gauge: 10 % or 2.5 µm, whichever is greater (ASTM E376-11 note 2). Layer in a section: 10 % or 1 µm, whichever is greater
(ISO 1463, ASTM B487; from memory, not seen).
"""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.film.stories import film_stories, second_pass
from bodymap.history.set_aside import set_aside
from bodymap.model import Coat, Setting
from bodymap.settings import in_force
from demo import VEHICLE_FOLDER
from tests.film.cases import reading
from tests.history.cases import van

SETTINGS = in_force()
FINE = in_force([Setting(key="gauge_u_rel_pct", value="3", basis="own trial", source="foils")])


def films(record, **ranges):
    """The record with usual films of coats, as (low, high) by coat_id."""
    coats = [
        Coat(coat_id=coat.coat_id, name=coat.name, kind="colour", um_low=low, um_high=high)
        for coat in record.coats
        for low, high in [ranges.get(coat.coat_id, (None, None))]
    ]
    return replace(record, coats=tuple(coats))


def read(record, zone, *values, **more):
    rows = [reading(f"r{zone}{n}", zone, um, **more) for n, um in enumerate(values, 1)]
    return replace(record, readings=(*record.readings, *rows))


def measured(record, **um):
    """The record with layers measured in its stacks, by coat_id."""
    layers = [layer.model_copy(update={"um": um.get(layer.coat_id, layer.um)}) for layer in record.layers]
    return replace(record, layers=tuple(layers))


def bracket():
    """A bracket on a seat: a chip of the seat stopped at b, so nobody knows whether a is under it.

    b is in full on the seat, so the bracket was off at b. At a it was painted too, fitted or off: cheapest is off, as at b.
    a is 30–40 µm, b 80–100.
    """
    record = van(
        parts="shell!, bracket",
        zones="seat:shell, skin:bracket",
        covers="seat<bracket",
        coats="a b",
        stacks={"S1": "seat b", "S2": "skin a b"},
    )
    return films(record, a=(30.0, 40.0), b=(80.0, 100.0))


def asked_at_a(record):
    (test,) = [one for one in film_stories(record, SETTINGS).tests if (one.kind, one.coat) == ("state", "a")]
    return test


def test_the_film_of_a_seat_speaks_against_the_cheapest_story():
    """Seat 90 µm ± 9: on the vehicle b alone, 80–100 µm; off a and b, 110–140 µm."""
    test = asked_at_a(read(bracket(), "seat", 90.0))
    assert (test.part, test.zone, test.verdict, test.fitting) == ("bracket", "seat", "separates", ("on the vehicle",))
    assert [(one.name, one.low_um, one.high_um) for one in test.stories] == [
        ("on the vehicle", 80.0, 100.0),
        ("off, painted apart", 110.0, 140.0),
    ]
    assert test.u_um == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("um", "verdict", "fitting"),
    [
        (72.6, "cannot separate", ()),  # 72.6 + 7.26 = 79.86: below both
        (72.8, "separates", ("on the vehicle",)),  # 80.08
        (99.9, "separates", ("on the vehicle",)),  # 109.89
        (100.1, "cannot separate", ("on the vehicle", "off, painted apart")),  # 90.09–110.11
        (111.0, "cannot separate", ("on the vehicle", "off, painted apart")),  # 111 − 11.1 = 99.9
        (111.2, "separates", ("off, painted apart",)),  # 100.08
        (155.6, "cannot separate", ()),  # 155.6 − 15.56 = 140.04: above both
    ],
)
def test_a_story_fits_where_range_and_uncertainty_meet(um, verdict, fitting):
    test = asked_at_a(read(bracket(), "seat", um))
    assert (test.verdict, test.fitting) == (verdict, fitting)
    assert ("no story fits" in test.why) == (not fitting)


def test_a_reading_that_does_not_count_tells_nothing():
    assert film_stories(read(bracket(), "seat", 90.0, principle="eddy"), SETTINGS).tests == ()  # eddy current on steel
    assert film_stories(read(bracket(), "seat", 90.0, invalid="lifted"), SETTINGS).tests == ()
    assert film_stories(read(bracket(), "seat", 90.0, phase="after strip"), SETTINGS).tests == ()


def test_where_a_usual_film_is_not_stated_nothing_is_separated():
    test = asked_at_a(read(films(bracket(), a=(30.0, 40.0)), "seat", 90.0))
    assert (test.verdict, len(test.fitting)) == ("cannot separate", 2)
    assert "cannot be told" in test.why


def test_without_readings_every_unsure_fact_is_silent():
    found = film_stories(bracket(), SETTINGS)
    assert found.tests == ()
    assert "bracket fitted or off at a" in found.silent


def test_a_seen_coat_is_no_question_for_film():
    """The seat says none of b: both stories allow for that (tape), and the film would be the same."""
    record = van(
        parts="shell!, bracket",
        zones="seat:shell, skin:bracket",
        covers="seat<bracket",
        coats="a b",
        stacks={"S1": "seat a b:none", "S2": "skin b"},
    )
    record = read(films(record, a=(30.0, 40.0), b=(80.0, 100.0)), "seat", 35.0)
    assert [one for one in film_stories(record, SETTINGS).tests if one.zone == "seat" and one.coat == "b"] == []


def test_a_circle_leaves_no_story_to_tell():
    record = van(zones="z:shell", coats="a b", stacks={"S1": "z a b", "S2": "z b a"})
    found = film_stories(record, SETTINGS)
    assert (found.tests, found.silent) == ((), ())
    assert "circle" in found.why_none


# --- once or twice -----------------------------------------------------------------------------------------------------


def panel(values, **um):
    """p, s (20–30 µm), t on a panel, seen down to metal; `um`: layers as measured there."""
    record = van(zones="z:shell", coats="p s t", stacks={"S1": "z* p s t"})
    record = films(record, p=(50.0, 70.0), s=(20.0, 30.0), t=(80.0, 120.0))
    return read(measured(record, **um), "z", *values)


def test_usual_films_alone_seldom_separate_once_from_twice():
    """Once 150–220, twice 170–250 µm: 205 ± 6.15 lies in both."""
    (test,) = second_pass(panel([205.0]), FINE, "z", "s")
    assert [(one.low_um, one.high_um) for one in test.stories] == [(150.0, 220.0), (170.0, 250.0)]
    assert (test.verdict, test.fitting) == ("cannot separate", ("once", "twice"))
    assert test.u_um == pytest.approx(6.15)


def test_the_other_layers_as_measured_leave_room_for_two():
    """60 and 90 measured leave 54 of a median of 204: once is 170–180, twice 190–210 µm.

    Spots 202, 204, 206: s = 2. u² = gauge 6.12² + median 2·√(π/2)·2/√3 squared + place 4² + layers 6² + 9² .
    """
    tests = second_pass(panel([202.0, 204.0, 206.0], p=60.0, t=90.0), FINE, "z", "s")
    assert [one.basis for one in tests] == [
        "median of the zone, the other layers as measured in S1",
        "median of the zone, the other coats with their usual films",
    ]
    test = tests[0]
    median_u = 2 * math.sqrt(math.pi / 2) * 2 / math.sqrt(3)
    assert test.u_um == pytest.approx(math.sqrt(6.12**2 + median_u**2 + 4**2 + 6**2 + 9**2))
    assert [(one.low_um, one.high_um) for one in test.stories] == [(170.0, 180.0), (190.0, 210.0)]
    assert (test.verdict, test.fitting) == ("separates", ("twice",))
    # a gauge good to 12 % only cannot tell: with 24.48² in place of 6.12² u is 27.3, and 204 − 27.3 is below 180
    coarse = in_force([Setting(key="gauge_u_rel_pct", value="12", basis="own trial", source="foils")])
    assert second_pass(panel([202.0, 204.0, 206.0], p=60.0, t=90.0), coarse, "z", "s")[0].fitting == ("once", "twice")


def test_one_spot_says_nothing_of_the_scatter_so_measured_layers_are_not_held_against_it():
    tests = second_pass(panel([204.0], p=60.0, t=90.0), FINE, "z", "s")
    assert [one.basis for one in tests] == ["median of the zone, the other coats with their usual films"]


def test_the_layer_itself_as_measured_needs_no_gauge():
    (test,) = second_pass(replace(panel([], s=25.0), readings=()), SETTINGS, "z", "s")
    assert (test.um, test.u_um, test.fitting) == (25.0, 2.5, ("once",))
    (test,) = second_pass(replace(panel([], s=33.0), readings=()), SETTINGS, "z", "s")
    assert test.fitting == ("once",)  # 33 − 3.3 = 29.7
    (test,) = second_pass(replace(panel([], s=35.0), readings=()), SETTINGS, "z", "s")
    assert test.fitting == ()  # 31.5–38.5: between once and twice
    assert test.verdict == "cannot separate"


@pytest.mark.parametrize("stacks", [{}, {"S1": "z p s t"}, {"S1": "z* p s:mist t"}, {"S1": "z* p t"}])
def test_a_coat_not_seen_in_full_down_to_metal_is_not_asked_of(stacks):
    record = van(zones="z:shell", coats="p s t", stacks=stacks)
    record = read(films(record, p=(50.0, 70.0), s=(20.0, 30.0), t=(80.0, 120.0)), "z", 200.0)
    assert second_pass(record, SETTINGS, "z", "s") == ()


# --- the demo vehicle (its own invented story; no outside source) ------------------------------------------------------


@pytest.fixture(scope="module")
def demo_van():
    return read_folder(VEHICLE_FOLDER).record


def test_the_left_wing_was_sprayed_silver_twice(demo_van):
    """20 + 60 + 40 + 45 measured in the window leave 49 of 214 µm: two silvers of 20–30, not one."""
    found = film_stories(set_aside(demo_van, ["S12"]), in_force(demo_van.settings))
    silver = [one for one in found.tests if (one.kind, one.coat, one.zone) == ("second pass", "c6", "wingL_side")]
    by_measured, by_usual = silver
    assert "S40" in by_measured.basis
    assert by_measured.um == pytest.approx(214, abs=1)
    once, twice = by_measured.stories
    assert (once.low_um, once.high_um, twice.low_um, twice.high_um) == (185.0, 195.0, 205.0, 225.0)
    assert (by_measured.verdict, by_measured.fitting) == ("separates", ("twice",))
    assert by_usual.verdict == "cannot separate"  # usual films of five coats leave too much room
    rear = [one for one in found.tests if one.kind == "second pass" and one.part == "rdoor_L" and one.verdict == "separates"]
    assert {one.fitting for one in rear} == {("once",)}


def test_with_the_circle_the_wing_can_still_be_asked_and_the_report_is_plain_json(demo_van):
    settings = in_force(demo_van.settings)
    assert second_pass(demo_van, settings, "wingL_side", "c6")[0].fitting == ("twice",)
    told = json.loads(json.dumps(film_stories(set_aside(demo_van, ["S12"]), settings).as_json(), allow_nan=False))
    assert {"film_stories", "film_silent"} == set(told)
    assert json.loads(json.dumps(film_stories(demo_van, settings).as_json()))["film_why_none"]
