"""Places along the film ramp."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.film_histogram import ramp_place
from bodymap.views.palette import FILM_KNOTS_UM


@pytest.mark.parametrize(("number", "knot"), list(enumerate(FILM_KNOTS_UM)))
def test_knots_stand_at_whole_places(number, knot):
    assert ramp_place(knot) == number


@given(st.floats(-100, 5000), st.floats(-100, 5000))
def test_places_keep_the_order_of_films(one, other):
    thin, thick = sorted((one, other))
    assert ramp_place(thin) <= ramp_place(thick)
