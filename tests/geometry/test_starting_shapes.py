"""Starting shapes: true to the measures asked for, tiled without gap or overlap, schematic until calibrated."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.starting_shapes import SHAPES, starting_shape, usual_size
from bodymap.geometry.starting_shapes.size import LEAST, MOST, smooth_map
from bodymap.geometry.tidy import flaws_of
from bodymap.geometry.validity import shape_fault
from bodymap.model import Record, Vehicle
from bodymap.model.check import reference_faults
from bodymap.settings import in_force

CARS = ("two_box", "three_box", "van", "open_tourer")


def record_of(made) -> Record:
    return Record.of([Vehicle(vehicle_id="v", name="v"), *made.entries()])


def drawn(held, drawing_id):
    shapes = [o.shape for o in held.outline if o.drawing_id == drawing_id] + [z.shape for z in held.zones_on[drawing_id]]
    return shapely.total_bounds([to_shapely(shape) for shape in shapes])


@pytest.mark.parametrize("name", SHAPES)
def test_it_is_a_whole_record_schematic_and_split_into_zones(name):
    held = record_of(starting_shape(name, substrate="steel"))
    assert list(reference_faults(held, lambda entry: (entry.KIND, 0))) == []
    assert all(drawing.schematic for drawing in held.drawings)
    assert held.drawing["right"].mirror_of == "left"
    assert len(held.zones) >= 12
    assert {part.substrate for part in held.parts} == {"steel"}
    assert {zone.part_id for zone in held.zones} == set(held.part)
    assert {zone.face for zone in held.zones} == {"outer"}
    assert all(shape_fault(zone.shape) is None for zone in held.zones)


@pytest.mark.parametrize("name", CARS)
def test_a_car_has_five_views_and_wheels_glass_lamps_and_shut_lines(name):
    held = record_of(starting_shape(name))
    assert set(held.drawing) == {"left", "right", "front", "rear", "roof"}
    assert {shape.kind for shape in held.outline if shape.drawing_id == "left"} >= {
        "body", "glass", "wheel", "lamp", "trim", "shut_line",
    }  # fmt: skip


def test_of_a_motorcycle_only_the_painted_set_is_zones():
    """Tank, side covers, mudguards; what carries them is silhouette."""
    held = record_of(starting_shape("motorcycle_tank"))
    assert {part.name for part in held.parts} == {
        "Fuel tank", "Left side cover", "Right side cover", "Front mudguard", "Rear mudguard",
    }  # fmt: skip
    assert {zone.part_id for zone in held.zones} == set(held.part)
    assert {"frame", "fork", "silencer", "seat", "headlamp shell"} <= {shape.name for shape in held.outline}


@pytest.mark.parametrize("name", SHAPES)
def test_no_two_zones_overlap_and_closed_cars_have_no_gaps(name):
    held = record_of(starting_shape(name))
    flaws = [flaw for drawing in held.drawing for flaw in flaws_of(held, drawing, in_force())]
    assert [flaw.words for flaw in flaws if flaw.kind == "overlap"] == []
    if name in ("two_box", "three_box", "van"):
        assert [flaw.words for flaw in flaws if flaw.kind == "gap"] == []


SCALES = st.floats(0.75, 1.4)


@settings(max_examples=12)
@given(st.sampled_from(list(SHAPES)), SCALES, SCALES, SCALES, SCALES)
def test_it_has_the_measures_that_were_asked_for(name, longer, higher, apart, wider):
    usual = usual_size(name)
    length, height = usual.length * longer, usual.height * higher
    wheelbase, width = usual.wheelbase * apart, usual.width * wider
    least, most = (0.7, 1.35) if name == "motorcycle_tank" else (LEAST, math.inf)
    ends = (length - wheelbase) / (usual.length - usual.wheelbase)
    assume(least < ends < most)
    # a wheel as large as the ends leave it, with its mudguard, is not higher than the whole
    assume(usual.wings != "ends" or (2 * usual.wheel + usual.over_wheel) * ends <= height)
    held = record_of(starting_shape(name, length_mm=length, height_mm=height, wheelbase_mm=wheelbase, width_mm=width))
    low_x, low_y, high_x, high_y = drawn(held, "left")
    assert high_x - low_x == pytest.approx(length, rel=0.02)
    assert low_y == pytest.approx(0, abs=0.2)  # the tyres stand on the ground
    assert high_y == pytest.approx(height, rel=0.02)
    centres = {d.datum_id: d.shape.coordinates for d in held.datums}
    front, rear = centres["dt_left_wheel_front"], centres["dt_left_wheel_rear"]
    assert rear[0] - front[0] == pytest.approx(wheelbase, abs=0.2)
    # the right side is the left one turned round within the same length
    assert centres["dt_right_wheel_front"][0] == pytest.approx(length - front[0], abs=0.2)
    for drawing_id in held.drawing:
        zones = [to_shapely(zone.shape) for zone in held.zones_on[drawing_id]]
        # cut on a grid of 0.1 mm
        assert sum(zone.area for zone in zones) == pytest.approx(shapely.union_all(zones).area, abs=20)
    areas = {side: sum(to_shapely(z.shape).area for z in held.zones_on[side]) for side in ("left", "right")}
    assert areas["left"] == pytest.approx(areas["right"], rel=1e-4)


def test_a_measure_left_out_follows_the_others():
    usual = usual_size("van")
    held = record_of(starting_shape("van", length_mm=1.2 * usual.length))
    centres = {d.datum_id: d.shape.coordinates for d in held.datums}
    apart = centres["dt_left_wheel_rear"][0] - centres["dt_left_wheel_front"][0]
    assert apart == pytest.approx(1.2 * usual.wheelbase, abs=0.2)


def test_every_measure_that_cannot_be_is_told_at_once():
    with pytest.raises(Faults) as caught:
        starting_shape("van", length_mm=400, height_mm=math.nan, width_mm=20_000)
    assert {fault.column for fault in caught.value.faults} >= {"length_mm", "height_mm", "width_mm"}
    usual = usual_size("van")
    assert f"{LEAST * usual.length:.0f} to {MOST * usual.length:.0f} mm" in str(caught.value)
    with pytest.raises(Faults, match=r"wheelbase_mm.*at most"):
        starting_shape("van", length_mm=usual.length, wheelbase_mm=usual.length - 300)
    with pytest.raises(Faults, match=r"height_mm: found 795 mm; allowed: at least 8\d\d mm"):
        starting_shape("motorcycle_tank", length_mm=2252, height_mm=795, wheelbase_mm=1400)
    with pytest.raises(BodymapError, match="found 'boat'; allowed: two_box"):
        starting_shape("boat")


@given(st.lists(st.floats(50, 2000), min_size=3, max_size=3), st.lists(st.floats(50, 2000), min_size=3, max_size=3))
def test_lengths_are_mapped_smoothly_and_never_backwards(usual, wanted):
    """Through the given places, rising, and its slope does not jump (one-sided differences at the inner places agree)."""
    a, b = np.cumsum([0.0, *usual]), np.cumsum([0.0, *wanted])
    assert smooth_map(a, a, b) == pytest.approx(b, abs=1e-6)
    assert np.all(np.diff(smooth_map(np.linspace(-100, a[-1] + 100, 2000), a, b)) > 0)
    for place in a[1:-1]:
        before, at, after = smooth_map(np.array([place - 1e-4, place, place + 1e-4]), a, b)
        assert (at - before) / 1e-4 == pytest.approx((after - at) / 1e-4, rel=1e-2, abs=1e-2)
