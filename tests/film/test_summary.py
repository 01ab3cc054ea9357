"""Film readings of a zone: which count, and what they say."""

from __future__ import annotations

import pytest

from bodymap.film.fitness import refusal
from bodymap.film.summary import reading_u_um, zone_film
from bodymap.model import Drawing, Part, Reading, Record, Vehicle, Zone
from bodymap.settings import in_force
from bodymap.units import mil_to_um, um_to_mil

SQUARE = {"type": "Polygon", "coordinates": [[[0, 0], [100, 0], [100, 100], [0, 100], [0, 0]]]}

# AIAG, Statistical Process Control (SPC), Southfield MI 1995, p. 64: primer thickness on car body parts [mil], ten
# readings to a batch with published batch mean (2 places) and sample standard deviation (3 places). Read as data set
# `primer` of the R package qqtest 1.2.1.
AIAG = {
    "1,1": ([1.30, 1.10, 1.20, 1.25, 1.05, 0.95, 1.10, 1.16, 1.37, 0.98], 1.15, 0.136),
    "1,2": ([1.01, 1.10, 1.15, 0.97, 1.25, 1.12, 1.10, 0.90, 1.04, 1.08], 1.07, 0.098),
    "6,1": ([1.25, 0.91, 0.96, 1.04, 0.93, 1.08, 1.29, 1.42, 1.10, 1.00], 1.10, 0.170),
    "10,1": ([1.07, 1.05, 0.97, 1.05, 1.16, 1.02, 1.02, 1.14, 1.07, 1.00], 1.06, 0.059),
}


def record(readings, substrate="steel"):
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="tank"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=(Part(part_id="p", name="tank", substrate=substrate, removable=False),),
        zones=(Zone(zone_id="z", drawing_id="d", part_id="p", face="outer", shape=SQUARE),),
        readings=tuple(readings),
    )


def reading(number, um, principle="magnetic", **more):
    return Reading(reading_id=f"r{number}", zone_id="z", um=um, principle=principle, **more)


@pytest.mark.parametrize("batch", AIAG)
def test_mean_and_standard_deviation_equal_the_published_ones(batch):
    values_mil, mean_mil, sd_mil = AIAG[batch]
    film = zone_film(record(reading(n, mil_to_um(v)) for n, v in enumerate(values_mil)), "z")
    assert film.n == 10
    assert um_to_mil(film.mean_um) == pytest.approx(mean_mil, abs=0.0051)
    assert um_to_mil(film.sd_um) == pytest.approx(sd_mil, abs=0.0005)
    assert um_to_mil(film.min_um) == pytest.approx(min(values_mil))
    assert um_to_mil(film.max_um) == pytest.approx(max(values_mil))


# ISO 2178 (scope), ISO 2360 and ASTM D7091 (scope), ASTM E376 (eddy current needs a conductivity contrast); the
# ultrasonic column from ASTM D6132, from memory, not seen.
@pytest.mark.parametrize(
    ("principle", "substrate", "reads"),
    [
        ("magnetic", "steel", True),
        ("magnetic", "aluminium", False),
        ("magnetic", "grp", False),
        ("magnetic", "other", False),
        ("eddy", "steel", False),
        ("eddy", "aluminium", True),
        ("eddy", "grp", False),
        ("eddy", "other", False),
        ("ultrasonic", "steel", True),
        ("ultrasonic", "aluminium", True),
        ("ultrasonic", "grp", True),
        ("ultrasonic", "other", True),
    ],
)
def test_a_gauge_reads_only_where_its_principle_can(principle, substrate, reads):
    assert (refusal(principle, substrate) is None) is reads


def test_a_magnetic_reading_on_grp_reaches_no_figure():
    film = zone_film(record([reading(1, 400.0), reading(2, 126.0, "ultrasonic")], "grp"), "z")
    assert (film.n, film.mean_um, film.max_um) == (1, 126.0, 126.0)
    assert [(r.reading_id, "GRP" in r.why) for r in film.refused] == [("r1", True)]


def test_an_invalid_reading_is_kept_and_never_counted():
    film = zone_film(record([reading(1, 250.0), reading(2, 9.0, invalid="probe on the edge")]), "z")
    assert (film.n, film.min_um) == (1, 250.0)
    assert film.refused[0].why == "marked invalid: probe on the edge"


def test_a_film_below_zero_is_kept_and_never_counted():
    film = zone_film(record([reading(1, 250.0), reading(2, -500.0), reading(3, 0.0)]), "z")
    assert (film.n, film.min_um) == (2, 0.0)
    assert "below 0" in film.refused[0].why


def test_phases_are_not_mixed_and_a_blank_phase_is_as_found():
    rec = record([reading(1, 250.0), reading(2, 240.0, phase="as found"), reading(3, 1.0, phase="after strip")])
    assert zone_film(rec, "z").n == 2
    assert zone_film(rec, "z", "after strip").mean_um == 1.0


def test_repeats_of_a_spot_are_one_spot_and_unnamed_readings_a_spot_each():
    film = zone_film(record([reading(1, 1.0, spot="a"), reading(2, 2.0, spot="a"), reading(3, 3.0), reading(4, 4.0)]), "z")
    assert (film.n, film.spots) == (4, 3)


def test_no_readings_give_no_figures():
    film = zone_film(record([]), "z")
    assert (film.n, film.mean_um, film.sd_um, film.median_um) == (0, None, None, None)
    assert zone_film(record([reading(1, 5.0)]), "z").sd_um is None


# ASTM E376-11 note 2: ±10 % or ±2.5 µm, whichever is greater.
@pytest.mark.parametrize(("um", "u_um"), [(15, 2.5), (25, 2.5), (100, 10)])
def test_uncertainty_of_a_reading(um, u_um):
    assert reading_u_um(um, in_force()) == pytest.approx(u_um)
