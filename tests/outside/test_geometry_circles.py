"""Circle parts, boundaries, offsets and bands against handbook examples and closed forms."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.arc import arc_angle_rad, arc_length_mm, arc_radius_mm, sector_area_mm2, segment_area_mm2
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.bands import band_along_edge
from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import offsets_to_datum
from bodymap.geometry.ratio import (
    area_error_mm2,
    chord_and_rise_error,
    ratio_error,
    ratio_from_chord_and_rise,
    ratio_from_girths,
    tape_error_mm,
)
from bodymap.model.shapes import Shape
from bodymap.settings import in_force

SETTINGS = in_force()
RADII = st.floats(24, 3000)


# Machinery's Handbook, 31st ed. (2020), p. 50 (cm there, any unit here).
def test_circle_sector_of_the_handbook():
    # Example 2: R = 7, 30° → 12.83.
    assert sector_area_mm2(7, math.radians(30)) == pytest.approx(12.83, abs=0.005)


def test_chord_angle_arc_and_segment_of_the_handbook():
    # Examples 3 and 4: R = 12, depth 2 → chord 13.27, angle 67.13° (from the rounded chord), arc 14.06, segment 18.01.
    chord = 2 * math.sqrt(2 * (2 * 12 - 2))
    assert chord == pytest.approx(13.27, abs=0.005)
    assert arc_radius_mm(chord, 2) == pytest.approx(12)
    assert math.degrees(arc_angle_rad(chord, 2)) == pytest.approx(67.13, abs=0.02)
    assert arc_length_mm(chord, 2) == pytest.approx(14.06, abs=0.005)
    assert segment_area_mm2(chord, 2) == pytest.approx(18.01, abs=0.005)


def test_circle_parts_of_a_second_source():
    # help.matheass.eu, "Circular Sections": chord 21, rise 6.
    assert math.degrees(arc_angle_rad(21, 6)) == pytest.approx(118.97953, abs=1e-5)
    assert sector_area_mm2(arc_radius_mm(21, 6), arc_angle_rad(21, 6)) == pytest.approx(154.2229, abs=1e-4)


def test_approximate_arc_of_the_building_trades():
    # Arc ≈ (8e − c) / 3 for h ≤ 0.4 c, e = chord of half the arc (Building Trades Pocketbook, on chestofbooks.com).
    for share in (0.05, 0.1, 0.2, 0.3):
        half = math.hypot(500, 1000 * share)
        assert arc_length_mm(1000, 1000 * share) == pytest.approx((8 * half - 1000) / 3, rel=3e-3)


@settings(deadline=None)
@given(RADII, st.floats(0.01, 2 * math.pi - 0.1))
def test_arcs_below_and_above_half_a_circle(radius, angle):
    # c = 2R·sin(φ/2), h = R·(1 − cos(φ/2)), whatever the angle.
    chord, rise = 2 * radius * math.sin(angle / 2), radius * (1 - math.cos(angle / 2))
    assert arc_angle_rad(chord, rise) == pytest.approx(angle, rel=1e-6)
    assert arc_length_mm(chord, rise) == pytest.approx(radius * angle, rel=1e-6)
    assert arc_radius_mm(chord, rise) == pytest.approx(radius, rel=1e-6)


def test_the_surface_ratio_of_a_panel_that_turns_under_is_refused():
    assert ratio_from_chord_and_rise(100, 50) == pytest.approx(math.pi / 2)
    with pytest.raises(BodymapError, match="measure a deeper curve in two parts"):
        ratio_from_chord_and_rise(100, 50.1)


def test_area_error_of_a_measured_rectangle():
    # Directive 2014/32/EU annex X, class II (values read on supplier guides): 1.2 × 0.8 m, 0.7 and 0.5 mm →
    # 0.7 × 800 + 0.5 × 1200 = 1160 mm² = 0.12 %.
    assert area_error_mm2(1200, 800, SETTINGS) == pytest.approx(1160)


@settings(deadline=None)
@given(st.floats(200, 3000), st.floats(1, 1.3), st.floats(200, 2000), st.floats(1, 1.3))
def test_girth_error_to_first_order_is_near_the_worst_case(length, one, width, other):
    """Slow twin: every girth too long and every drawn length too short by the tape's error."""
    held = (length, length * one, width, width * other)
    worst = math.prod(
        (girth + tape_error_mm(girth, SETTINGS)) / (drawn - tape_error_mm(drawn, SETTINGS))
        for drawn, girth in (held[:2], held[2:])
    )
    ratio = ratio_from_girths(*held)
    error = ratio_error(*held[:2], SETTINGS, *held[2:])
    assert ratio + error == pytest.approx(worst, abs=2e-4 * ratio)


@settings(deadline=None)
@given(st.floats(300, 3000), st.floats(0, 0.4))
def test_chord_and_rise_error_is_the_worst_of_the_four_corners(chord, share):
    e_chord = tape_error_mm(chord, SETTINGS)
    e_rise = tape_error_mm(max(chord * share, 1), SETTINGS)
    ratio = ratio_from_chord_and_rise(chord, chord * share)
    corners = [
        abs(arc_length_mm(chord + c, max(0, chord * share + r)) / (chord + c) - ratio)
        for c in (-e_chord, e_chord)
        for r in (-e_rise, e_rise)
    ]
    assert chord_and_rise_error(chord, chord * share, SETTINGS) == pytest.approx(max(corners), abs=1e-12)


def test_a_flat_panel_measured_a_little_short_is_flat_and_one_much_short_is_refused():
    assert ratio_from_girths(1000, 999.6, settings=SETTINGS) == 1
    with pytest.raises(BodymapError, match="lengthwise girth"):
        ratio_from_girths(1000, 999.4, settings=SETTINGS)


def sampled_arc(radius, start, end, count):
    angles = [start + (end - start) * n / (count - 1) for n in range(count)]
    return [(radius * math.cos(a), radius * math.sin(a)) for a in angles]


@settings(deadline=None)
@given(RADII, st.floats(0, 6.3), st.integers(14, 400))
def test_a_circle_however_sampled_is_one_closed_piece_of_its_own_radius(radius, start, count):
    # Any sampling of which the chords stay within 5 mm of the circle.
    assume(radius * (1 - math.cos(math.pi / count)) < 5)
    circle = shapely.Polygon(sampled_arc(radius, start, start + 2 * math.pi, count + 1)[:-1])
    (piece,) = boundary_pieces(from_shapely(circle), SETTINGS)
    assert piece.closed
    assert piece.least_radius_mm == pytest.approx(radius, rel=0.01)
    # Perimeter of a regular polygon: 2nR·sin(π/n).
    assert piece.length_mm == pytest.approx(2 * count * radius * math.sin(math.pi / count))


@settings(deadline=None)
@given(st.floats(40, 2000), st.floats(0.6, 3), st.integers(12, 200))
def test_chord_and_rise_of_an_arc_give_its_radius_back(radius, angle, count):
    # A segment of a circle: an arc and its chord, two corners.
    segment = shapely.Polygon(sampled_arc(radius, 0, angle, 2 * count + 1))
    arc = max(boundary_pieces(from_shapely(segment), SETTINGS), key=lambda piece: piece.rise_mm)
    assert arc.rise_mm == pytest.approx(radius * (1 - math.cos(angle / 2)), rel=1e-6)
    assert arc_radius_mm(arc.chord_mm, arc.rise_mm) == pytest.approx(radius, rel=1e-6)
    if arc.rise_mm > 5:
        assert arc.least_radius_mm == pytest.approx(radius, rel=0.01)


@settings(deadline=None)
@given(st.floats(100, 800), st.floats(900, 2000), st.floats(0.3, 2.8))
def test_offsets_of_an_arc_from_a_line_are_those_of_the_circle(radius, height, angle):
    # y = h + R·sin(a) over the datum y = 0; foot at R·cos(a) from the middle of the datum.
    arc = [(x, y + height) for x, y in sampled_arc(radius, math.pi / 2 - angle / 2, math.pi / 2 + angle / 2, 2001)]
    datum = Shape.model_validate({"type": "LineString", "coordinates": [[-1000, 0], [1000, 0]]})
    for station in offsets_to_datum(arc, datum, SETTINGS):
        x = station.along_mm - 1000
        assert station.offset_mm == pytest.approx(height + math.sqrt(radius**2 - x**2), abs=1e-3)
        assert not station.beyond


@settings(deadline=None)
@given(st.floats(50, 400), st.floats(5, 45))
def test_a_band_inside_a_circle_is_a_ring(radius, width):
    # π(R² − (R − w)²); sampled with n segments to a quarter, both circles shrink by less than 1e-3.
    circle = from_shapely(shapely.Point(0, 0).buffer(radius, quad_segs=QUARTER_SEGMENTS))
    band = to_shapely(band_along_edge(circle, boundary_pieces(circle, SETTINGS)[0], width))
    assert band.area == pytest.approx(math.pi * (radius**2 - (radius - width) ** 2), rel=1e-3)
