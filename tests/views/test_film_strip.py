"""Film by zone: places along the ramp, counted and refused readings apart."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.film_strip import film_strip, ramp_place
from bodymap.views.palette import FILM_KNOTS_UM

from ..dashboard.small import small_record  # noqa: TID252 - tests are no package to import from

SMALL = small_record()


def test_rows_and_what_is_left_out():
    view = film_strip(SMALL)
    (row,) = view.rows
    assert (row.zone_id, row.n, row.refused, row.median_um) == ("side_out", 2, 1, 56)
    assert view.without == 3
    assert [point.counts for point in row.points] == [True, True, False]
    assert row.points[2].paint == "refused"


def test_chosen_zones_only():
    assert film_strip(SMALL, ["door_out"]).rows == ()
    assert film_strip(SMALL, ["door_out"]).without == 1


def test_a_zone_with_refused_readings_only_has_no_median():
    readings = tuple(r.model_copy(update={"invalid": "rocked"}) for r in SMALL.readings)
    (row,) = film_strip(replace(SMALL, readings=readings)).rows
    assert (row.median_um, row.median_place) == (None, None)


@pytest.mark.parametrize(("number", "knot"), list(enumerate(FILM_KNOTS_UM)))
def test_knots_stand_at_whole_places(number, knot):
    assert ramp_place(knot) == number


@given(st.floats(-100, 5000), st.floats(-100, 5000))
def test_places_keep_the_order_of_films(one, other):
    thin, thick = sorted((one, other))
    assert ramp_place(thin) <= ramp_place(thick)
