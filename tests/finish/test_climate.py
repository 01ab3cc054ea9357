"""Dew point against a published table and a reference library."""

from __future__ import annotations

import pytest

from bodymap.errors import BodymapError
from bodymap.finish.climate import dew_point_c

# Public dew-point table (expydoc.com, "Taupunkttabelle"), printed to 0.1 °C; psychrolib's values beside it.
TABLE = [
    (10, 50, 0.0, 0.06),
    (10, 70, 4.8, 4.79),
    (15, 60, 7.4, 7.31),
    (20, 50, 9.3, 9.27),
    (20, 60, 12.0, 12.01),
    (20, 70, 14.4, 14.37),
    (20, 80, 16.5, 16.45),
    (25, 50, 13.8, 13.86),
    (25, 60, 16.7, 16.70),
    (30, 60, 21.4, 21.39),
    (30, 70, 23.9, 23.93),
    (30, 80, 26.1, 26.17),
]


@pytest.mark.parametrize(("air_c", "humidity_pct", "table_c", "psychrolib_c"), TABLE)
def test_dew_point_agrees_with_table_and_library(air_c, humidity_pct, table_c, psychrolib_c):
    assert dew_point_c(air_c, humidity_pct) == pytest.approx(table_c, abs=0.15)
    assert dew_point_c(air_c, humidity_pct) == pytest.approx(psychrolib_c, abs=0.05)


@pytest.fixture(scope="module")
def psychrolib():
    """The reference library. Told its units once: each telling makes it compile itself anew, which takes seconds."""
    library = pytest.importorskip("psychrolib")
    library.SetUnitSystem(library.SI)
    return library


@pytest.mark.parametrize("air_c", range(10, 46, 5))
@pytest.mark.parametrize("humidity_pct", [50, 65, 80, 95])
def test_dew_point_over_the_range_of_a_booth_is_that_of_psychrolib(psychrolib, air_c, humidity_pct):
    assert dew_point_c(air_c, humidity_pct) == pytest.approx(
        psychrolib.GetTDewPointFromRelHum(air_c, humidity_pct / 100), abs=0.05
    )


@pytest.mark.parametrize("air_c", [-10, 0, 23.5, 50])
def test_saturated_air_has_its_own_temperature_as_dew_point(air_c):
    assert dew_point_c(air_c, 100) == pytest.approx(air_c, abs=1e-12)


def test_the_least_surface_of_a_published_example_stands_three_degrees_above():
    # 20 °C / 70 %: dew point 14.4, least surface 17.4 for the usual 3 °C (published table examples).
    assert 17.4 - dew_point_c(20, 70) == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize(("air_c", "humidity_pct"), [(20, 0), (20, -5), (20, 101), (60, 50), (-50, 50), (20, float("nan"))])
def test_air_outside_the_formula_is_refused(air_c, humidity_pct):
    with pytest.raises(BodymapError, match=r"found .* allowed"):
        dew_point_c(air_c, humidity_pct)
