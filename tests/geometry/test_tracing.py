"""Points set by hand: typed, snapped, closed, run on; areas by Pythagoras and the shoelace on figures anyone can check."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.split import split
from bodymap.geometry.tracing import (
    direction_of,
    line_of,
    pick_grid,
    points_of,
    ring_of,
    run_on,
    snapped,
    text_of,
    zone_at,
    zone_crossed,
)
from bodymap.model import Drawing, Part, Record, Vehicle, Zone

TENTHS = st.integers(-500_000, 500_000).map(lambda n: n / 10)
PLACES = st.lists(st.tuples(TENTHS, TENTHS), min_size=1, max_size=30)


@given(PLACES)
def test_what_is_written_is_read_again(points):
    assert points_of(text_of(points)) == tuple(points)


@pytest.mark.parametrize("text", ["0 0; 1200 350", "(0, 0)\n(1200, 350)", " 0,0 ;1200,350; ", "0 0;1.2e3 350.0"])
def test_pairs_are_read_as_people_write_them(text):
    assert points_of(text) == ((0, 0), (1200, 350))


@pytest.mark.parametrize("text", ["1", "1 2 3", "a b", "1 2; x", "nan 1", "1e999 0", "1;2"])
def test_what_is_no_pair_is_told_by_its_number(text):
    with pytest.raises(BodymapError, match=r"point [12]: found"):
        points_of(text)


def test_nothing_typed_is_no_point():
    assert points_of("  ;\n ") == ()


@given(st.tuples(TENTHS, TENTHS), PLACES, st.floats(0, 1000))
def test_a_point_snaps_to_the_nearest_corner_or_stays(point, corners, reach):
    there = snapped(point, corners, reach)
    nearest = min(math.dist(point, corner) for corner in corners)
    assert math.dist(there, point) == pytest.approx(nearest if nearest <= reach else 0, abs=1e-9)
    assert there == point or there in corners


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.floats(1, 1e4), st.floats(1, 1e4), st.floats(0.02, 0.9))
def test_every_place_has_a_point_of_the_grid_within_reach(x0, y0, wide, high, share):
    step = share * max(wide, high)
    x, y = pick_grid((x0, y0, x0 + wide, y0 + high), step)
    place = (x0 + 0.37 * wide, y0 + 0.81 * high)
    assert np.hypot(x - place[0], y - place[1]).min() <= step / math.sqrt(2) * (1 + 1e-9)
    assert (x.min(), x.max(), y.min(), y.max()) == pytest.approx((x0, x0 + wide, y0, y0 + high))


def test_a_grid_of_no_step_is_refused():
    with pytest.raises(BodymapError, match="step"):
        pick_grid((0, 0, 1, 1), 0)


def test_a_ring_is_closed_once():
    square = [(0, 0), (2, 0), (2, 2), (0, 2)]
    closed = (*square, (0, 0))
    assert ring_of(square) == closed
    assert ring_of([*square, (0, 2), (0, 0)]) == closed
    with pytest.raises(BodymapError, match="three or more"):
        ring_of([(0, 0), (1, 1), (0, 0)])


def test_a_line_needs_two_places():
    with pytest.raises(BodymapError, match="two or more"):
        line_of([(1, 1), (1, 1)])


@given(st.floats(100, 900), st.floats(-1.2, 1.2), st.floats(50, 300), st.floats(20, 80))
def test_a_line_inside_is_run_on_until_it_cuts(x, slope, y, length):
    """A rectangle of 1000 by 400 mm cut by a short line within: two pieces that add up."""
    surface = from_shapely(shapely.box(0, 0, 1000, 400))
    line = line_of([(x, y), (x + length, y + slope * length)])
    pieces = split(surface, run_on(line, surface))
    assert len(pieces) == 2
    assert sum(to_shapely(piece).area for piece in pieces) == pytest.approx(1000 * 400, rel=1e-9)


def test_a_line_is_run_on_only_to_the_next_edge():
    """Of a surface like a U the other leg stays whole."""
    legs = shapely.box(0, 0, 500, 300).difference(shapely.box(100, 100, 400, 300))
    surface = from_shapely(legs)
    pieces = split(surface, run_on(line_of([(20, 200), (80, 200)]), surface))
    assert sorted(round(to_shapely(piece).area) for piece in pieces) == [100 * 100, 500 * 300 - 300 * 200 - 100 * 100]


def test_a_line_that_begins_outside_stays_as_it_is():
    surface = from_shapely(shapely.box(0, 0, 100, 100))
    line = line_of([(-5, 50), (105, 50)])
    assert run_on(line, surface) == line


def record() -> Record:
    def zone(ident: str, *box: float) -> Zone:
        return Zone(zone_id=ident, drawing_id="d", part_id="p", face="outer", shape=from_shapely(shapely.box(*box)))

    return Record(
        vehicle=Vehicle(vehicle_id="v", name="v"), drawings=(Drawing(drawing_id="d", name="d", kind="outside"),),
        parts=(Part(part_id="p", name="p", substrate="steel", removable=False),),
        zones=(zone("a", 0, 0, 100, 100), zone("b", 100, 0, 300, 100), zone("c", 140, 40, 160, 60)),
    )  # fmt: skip


def test_the_zone_a_line_crosses_most_and_the_zone_at_a_point():
    assert zone_crossed(record(), "d", line_of([(80, 50), (130, 50)])) == "b"
    assert zone_crossed(record(), "d", line_of([(0, 500), (9, 500)])) is None
    assert zone_crossed(record(), "other", line_of([(0, 0), (9, 9)])) is None
    assert zone_at(record(), "d", (150, 50)) == "c", "the smaller one"
    assert zone_at(record(), "d", (900, 50)) is None


@pytest.mark.parametrize(
    ("second", "lies", "turned"),
    [
        ((9, 1), "level", 0),
        ((-9, 1), "level", 180),
        ((1, 9), "upright", 90),
        ((1, -9), "upright", -90),
        ((9, 1), "as_is", None),
    ],
)
def test_level_and_upright_mean_the_nearer_of_both_ways(second, lies, turned):
    assert direction_of((0, 0), second, lies) == turned
