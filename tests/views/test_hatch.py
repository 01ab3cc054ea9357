"""Hatch lines: inside the surface, evenly apart, and as many as the surface is wide."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.hatch import hatch_lines

RING = shapely.Polygon(shapely.Point(30, 20).buffer(50).exterior, [shapely.Point(30, 20).buffer(20).exterior])


def test_a_square_is_crossed_once_each_spacing():
    lines = hatch_lines(shapely.box(0.5, 0.5, 10.5, 10.5), 1, 0)
    assert [round(start[1], 9) for start, _ in lines] == list(range(1, 11))
    assert all(abs(end[0] - start[0]) == pytest.approx(10) for start, end in lines)


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 135, -60])
@pytest.mark.parametrize("spacing", [0.7, 3])
def test_total_length_is_area_over_spacing(angle, spacing):
    # Cavalieri: the mean length of parallel cuts a spacing apart is area / spacing.
    total = sum(math.dist(*line) for line in hatch_lines(RING, spacing, angle))
    assert total == pytest.approx(RING.area / spacing, rel=0.02)


@given(st.floats(-180, 180), st.floats(1, 20), st.tuples(st.floats(-500, 500), st.floats(-500, 500)))
def test_lines_stay_inside_and_lie_on_one_grid(angle, spacing, place):
    shape = shapely.affinity.translate(RING, *place)
    square = (-math.sin(math.radians(angle)), math.cos(math.radians(angle)))
    for start, end in hatch_lines(shape, spacing, angle):
        assert shape.buffer(1e-6).covers(shapely.LineString([start, end]))
        for x, y in (start, end):
            number = (x * square[0] + y * square[1]) / spacing
            assert number == pytest.approx(round(number), abs=1e-6)


def test_neighbours_are_hatched_through():
    whole = shapely.union_all([shapely.LineString(one) for one in hatch_lines(shapely.box(0, 0, 20, 10), 3, 45)])
    halves = [*hatch_lines(shapely.box(0, 0, 10, 10), 3, 45), *hatch_lines(shapely.box(10, 0, 20, 10), 3, 45)]
    assert shapely.union_all([shapely.LineString(one) for one in halves]).length == pytest.approx(whole.length)


def test_nothing_in_nothing():
    assert hatch_lines(shapely.Polygon(), 3, 45) == []


@pytest.mark.parametrize("spacing", [0, -1, math.nan])
def test_spacing_must_be_a_distance(spacing):
    with pytest.raises(ValueError, match="greater than 0"):
        hatch_lines(RING, spacing, 45)
