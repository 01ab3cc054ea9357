"""Offsets, drift and wobble of a painted line against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.painted_line import (
    figures_of,
    line_datum,
    line_from_offsets,
    offsets_of_run,
    stripe_of,
    widths_of,
)
from bodymap.model import Datum, Line, Shape
from bodymap.settings import in_force
from tests.geometry.drawn import line, point, record

DATUM = shapely.LineString([(0, 0), (2000, 0)])


def lined(shape, **how):
    return Line(line_id="l", drawing_id="left", shape=shape, **how)


def figures(run, datum=DATUM, step=25):
    return figures_of(offsets_of_run(run, datum, step))


def test_a_straight_line_with_a_slope_is_all_drift_and_no_wobble():
    found = figures(shapely.LineString([(0, 30), (2000, 36)]))
    assert found.drift_mm_per_m == pytest.approx(3.0)
    assert found.wobble_mm == pytest.approx(0, abs=1e-9)
    assert (found.mean_mm, found.least_mm, found.most_mm) == (pytest.approx(33), pytest.approx(30), pytest.approx(36))
    assert found.n == 81


def test_the_wobble_of_a_sine_is_its_amplitude_over_the_root_of_two():
    # Whole periods: the root mean square of a sine is its amplitude divided by √2; its least-squares slope is known in
    # closed form for a continuous sine over L = n periods: -6 A / (π n L).
    amplitude, length, periods = 1.5, 2000.0, 8
    xs = np.linspace(0, length, 4001)
    run = shapely.LineString(np.column_stack((xs, 30 + amplitude * np.sin(2 * math.pi * periods * xs / length))))
    found = figures(run, step=5)
    slope = -6 * amplitude / (math.pi * periods * length)
    assert found.drift_mm_per_m == pytest.approx(1000 * slope, rel=0.01)
    rms = math.sqrt(amplitude**2 / 2 - slope**2 * length**2 / 12)
    assert found.wobble_mm == pytest.approx(rms, rel=0.01)
    assert rms == pytest.approx(amplitude / math.sqrt(2), rel=0.02)


def test_an_arc_over_a_straight_datum():
    # Offset of a circle of radius R about (1000, 30 - R + h) at station s: sqrt(R² - (s - 1000)²) above its centre.
    radius, centre_y = 5000.0, 40.0 - 5000.0
    angles = np.linspace(math.pi / 2 + 0.25, math.pi / 2 - 0.25, 2001)
    run = shapely.LineString(np.column_stack((1000 + radius * np.cos(angles), centre_y + radius * np.sin(angles))))
    offsets = offsets_of_run(run, DATUM, 100)
    assert [one.station_mm for one in offsets] == [100.0 * number for number in range(21)]
    for one in offsets:
        assert one.offset_mm == pytest.approx(centre_y + math.sqrt(radius**2 - (one.station_mm - 1000) ** 2), abs=1e-3)
    assert figures_of(offsets).drift_mm_per_m == pytest.approx(0, abs=1e-3)


def test_a_line_beside_a_curved_datum_that_it_follows_has_neither_drift_nor_wobble():
    angles = np.linspace(math.pi, math.pi / 2, 721)
    arc = shapely.LineString(np.column_stack((800 * np.cos(angles), 800 * np.sin(angles))))
    run = shapely.LineString(np.column_stack((820 * np.cos(angles), 820 * np.sin(angles))))
    found = figures(run, arc, 50)
    assert found.mean_mm == pytest.approx(20, abs=0.01)
    assert found.drift_mm_per_m == pytest.approx(0, abs=0.01)
    assert found.wobble_mm < 0.01


@given(st.floats(0, 2 * math.pi), st.floats(-4000, 4000), st.floats(-3, 3), st.floats(-50, 50))
def test_drift_does_not_care_how_the_drawing_is_turned_and_moved(turn, move, slope, height):
    run = shapely.LineString([(10, height), (1990, height + slope)])
    there = [shapely.affinity.translate(shapely.affinity.rotate(one, turn, (0, 0), use_radians=True), move, -move)
             for one in (run, DATUM)]  # fmt: skip
    here, moved = figures(run), figures(*there)
    assert moved.drift_mm_per_m == pytest.approx(here.drift_mm_per_m, abs=1e-4)
    assert moved.mean_mm == pytest.approx(here.mean_mm, abs=1e-5)


def test_nothing_is_told_past_the_end_of_a_datum():
    run = shapely.LineString([(1500, 10), (2600, 10)])
    assert max(one.station_mm for one in offsets_of_run(run, DATUM, 100)) == 2000
    assert offsets_of_run(shapely.LineString([(2100, 10), (2600, 10)]), DATUM, 100) == ()
    assert figures_of(()) is None


def test_one_station_has_no_drift_and_two_no_wobble():
    one, two = (figures(shapely.LineString([(90, 5), (end, 5)]), step=100) for end in (110, 210))
    assert (one.n, one.drift_mm_per_m, one.wobble_mm) == (1, None, None)
    assert (two.n, two.wobble_mm) == (2, None)
    assert two.drift_mm_per_m == pytest.approx(0, abs=1e-9)


@given(
    st.lists(st.tuples(st.integers(0, 80), st.floats(-200, 200)), min_size=2, max_size=30, unique_by=lambda pair: pair[0])
)
def test_offsets_typed_at_stations_are_read_back(pairs):
    typed = sorted((25.0 * number, offset) for number, offset in pairs)
    shape = line_from_offsets(line([0, 0], [2000, 0]), typed)
    read = {one.station_mm: one.offset_mm for one in offsets_of_run(to_shapely(shape), DATUM, 25)}
    for station, offset in typed:
        assert read[station] == pytest.approx(offset, abs=1e-6)


def test_all_that_is_wrong_with_typed_offsets_is_told_at_once():
    with pytest.raises(BodymapError) as told:
        line_from_offsets(line([0, 0], [1000, 0]), [(0, 5), (0, 5), (1200, 5), (math.nan, 1)])
    for words in ("station 2", "once more", "station 3: found 1200 mm; allowed: 0 to 1000.0 mm", "station 4"):
        assert words in str(told.value)
    with pytest.raises(BodymapError, match=r"1 station\(s\); allowed: two or more"):
        line_from_offsets(line([0, 0], [1000, 0]), [(0, 5)])
    with pytest.raises(BodymapError, match="found a datum that is a Point"):
        line_from_offsets(point(0, 0), [(0, 5), (9, 5)])


def test_a_stripe_has_its_true_width_and_square_ends():
    stripe = stripe_of(lined(line([0, 0], [1000, 0]), width=6))
    assert stripe.bounds == (0, -3, 1000, 3)
    assert stripe.area == pytest.approx(6000)
    assert stripe_of(lined(line([0, 0], [1000, 0]))) is None


def test_a_stripe_round_a_bend():
    # A quarter of a ring between radii 497 and 503: π/4 (503² - 497²).
    angles = np.linspace(0, math.pi / 2, 2001)
    shape = line(*np.column_stack((500 * np.cos(angles), 500 * np.sin(angles))).tolist())
    assert stripe_of(lined(shape, width=6)).area == pytest.approx(math.pi / 4 * (503**2 - 497**2), rel=1e-4)


def test_a_width_profile_that_the_record_carries_along():
    swelling = lined(line([0, 0], [1000, 0]), width=5, more={"widths": [[0, 4], [500, 8], [1000, 4]]})
    assert widths_of(swelling) == ((0, 4), (500, 8), (1000, 4))
    # Two trapezia of mean width 6.
    assert stripe_of(swelling).area == pytest.approx(6000)
    assert stripe_of(swelling).bounds == (0, -4, 1000, 4)
    assert widths_of(lined(line([0, 0], [9, 0]), width=5)) == ((0, 5),)
    assert widths_of(lined(line([0, 0], [9, 0]))) == ()


def test_a_width_profile_runs_on_over_a_gap():
    two = Shape.model_validate({"type": "MultiLineString", "coordinates": [[[0, 0], [400, 0]], [[500, 0], [900, 0]]]})
    stripe = stripe_of(lined(two, more={"widths": [[0, 2], [800, 10]]}))
    # 2 to 6 over the first 400 mm, 6 to 10 over the second.
    assert stripe.area == pytest.approx(400 * 4 + 400 * 8)


@pytest.mark.parametrize("told", ["5 mm", [[0]], [[0, -1]], [[-1, 4]], [["a", 4]], [[0, math.inf]]])
def test_a_width_profile_that_is_none_is_refused(told):
    with pytest.raises(BodymapError, match=r"widths: found .*; allowed: a list of"):
        widths_of(lined(line([0, 0], [9, 0]), more={"widths": told}))


def test_the_datum_that_runs_along_most_of_a_line_within_reach():
    own = lined(line([0, 100], [1000, 100]))
    short = Datum(datum_id="short", drawing_id="left", name="short", shape=line([400, 90], [600, 90]))
    along = Datum(datum_id="along", drawing_id="left", name="along", shape=line([0, 0], [1000, 0]))
    far = Datum(datum_id="far", drawing_id="left", name="far", shape=line([0, 900], [1000, 900]))
    spot = Datum(datum_id="spot", drawing_id="left", name="spot", shape=point(0, 100))
    settings = in_force()
    assert line_datum(record(own, short, along, far, spot), own, settings).datum_id == "along"
    assert line_datum(record(own, short, far), own, settings).datum_id == "short"
    assert line_datum(record(own, far), own, settings).datum_id == "far"
    assert line_datum(record(own, spot), own, settings) is None
