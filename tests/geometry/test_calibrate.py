"""Calibration from two points: it finds a scale and turn that were put in, and turns y up."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.calibrate import Calibration, from_two_points, scale_error_pct
from bodymap.geometry.calibrate_drawing import calibrated_drawing
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.proposal import applied
from bodymap.model import OutlineShape, Reading, Setting, Stack
from bodymap.settings import in_force
from tests.geometry.drawn import record, square, zone

PLACES = st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))


@given(
    st.floats(0.01, 1000),
    st.floats(-180, 180),
    PLACES,
    st.booleans(),
    PLACES,
    PLACES,
    st.lists(PLACES, min_size=1, max_size=5),
)
def test_it_finds_the_scale_turn_and_place_that_were_put_in(scale, turn_deg, offset, flipped, first, second, others):
    """Two points under a known similarity, written out with sines and cosines here, give all of it back."""
    assume(math.dist(first, second) > 1)
    angle, up = math.radians(turn_deg), -1 if flipped else 1

    def put(spot):
        x, y = spot[0] * scale, up * spot[1] * scale
        return (
            x * math.cos(angle) - y * math.sin(angle) + offset[0],
            x * math.sin(angle) + y * math.cos(angle) + offset[1],
        )

    one, other = put(first), put(second)
    direction = math.degrees(math.atan2(other[1] - one[1], other[0] - one[0]))
    found = from_two_points(first, second, math.dist(one, other), direction_deg=direction, first_to=one, flipped=flipped)
    assert found.scale == pytest.approx(scale, rel=1e-9)
    assert math.cos(math.radians(found.turn_deg - turn_deg)) == pytest.approx(1, abs=1e-9)
    told = found.points(np.array(others))
    assert told == pytest.approx(np.array([put(spot) for spot in others]), rel=1e-6, abs=1e-3 * scale)


def test_without_a_direction_nothing_is_turned_and_y_is_turned_up():
    """A photo: 2700 mm of wheelbase over 1350 px, y down."""
    found = from_two_points((200, 900), (1550, 900), 2700, flipped=True, first_to=(800, 330))
    assert (found.scale, found.turn_deg) == (2, 0)
    assert found.point(1550, 900) == (3500, 330)
    assert found.point(200, 735) == (800, 660)  # higher up in the picture is higher up on the vehicle


@pytest.mark.parametrize(
    ("first", "second", "distance", "words"),
    [
        ((1, 1), (1, 1), 100, "one point twice"),
        ((0, 0), (1, 0), 0, "greater than 0"),
        ((0, 0), (1, 0), -5, "greater than 0"),
        ((0, 0), (1, 0), math.nan, "no finite number"),
        ((0, math.inf), (1, 0), 5, "no finite number"),
        ((0, 0), (1e-6, 0), 5000, "mm for a unit"),
    ],
)
def test_what_gives_no_scale_is_told(first, second, distance, words):
    with pytest.raises(BodymapError, match=words):
        from_two_points(first, second, distance)


def test_the_error_of_a_scale_is_that_of_the_points_and_the_tape():
    # two points within 1 mm each; tape of class II over 3 begun metres: 0.3 + 0.2 · 3 = 0.9 mm (2014/32/EU annex X)
    own = Setting(key="pick_error_mm", value="1", basis="own trial")
    assert scale_error_pct(2700, in_force([own])) == pytest.approx(100 * (2 + 0.9) / 2700)


def test_a_drawing_is_brought_to_scale_with_all_that_lies_on_it():
    before = record(
        zone("a", square(0, 0, 100, 50)),
        zone("far", square(0, 0, 10, 10), drawing="faces"),
        OutlineShape(drawing_id="faces", kind="body", shape=square(0, 0, 1, 1)),
        OutlineShape(drawing_id="left", kind="body", shape=square(0, 0, 100, 60)),
        Stack(stack_id="s", zone_id="a", x=10, y=20, method="window", reaches_substrate=True),
        Stack(stack_id="nowhere", zone_id="a", method="window", reaches_substrate=True),
        Reading(reading_id="r", zone_id="far", x=5, y=5, um=80, principle="magnetic"),
    )
    after = applied(
        before, calibrated_drawing(before, "left", Calibration(scale=20, offset=(5, 0), words="wheelbase, 2000 mm"))
    )
    assert to_shapely(after.zone["a"].shape).area == pytest.approx(400 * 5000)
    assert after.outline[1].shape == square(5, 0, 2000, 1200)
    assert (after.stack["s"].x, after.stack["s"].y) == (205, 400)
    assert (after.drawing["left"].scale, after.drawing["left"].scale_from) == ("measured", "wheelbase, 2000 mm")
    # nothing else moved
    assert (after.zone["far"], after.outline[0], after.readings, after.stack["nowhere"]) == (
        before.zone["far"], before.outline[0], before.readings, before.stack["nowhere"],
    )  # fmt: skip
