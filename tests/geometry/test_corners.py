"""Corners as a masker sees them, on outlines drawn in few vertices, sampled finely, rounded or unsteady (mm)."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import from_shapely
from bodymap.model import Setting
from bodymap.model.shapes import Shape
from bodymap.settings import in_force

SETTINGS = in_force()


def pieces_of(surface):
    return boundary_pieces(from_shapely(surface), SETTINGS)


def rounded_box(radius, step):
    """400 × 300 with rounded corners, everything sampled each `step` mm."""
    quarter = math.ceil(math.pi / 2 * radius / step)
    inner = shapely.box(radius, radius, 400 - radius, 300 - radius)
    return shapely.segmentize(inner.buffer(radius, quad_segs=quarter), step)


@pytest.mark.parametrize("step", [0.5, 1, 3, 5])
@pytest.mark.parametrize("radius", [3, 5, 8, 14])
def test_a_corner_tighter_than_tape_is_one_corner_and_its_sides_stay_straight(radius, step):
    # Half a turn of radius R is πR/4 long: each piece runs from middle to middle of its corners.
    pieces = pieces_of(rounded_box(radius, step))
    assert len(pieces) == 4
    for piece in pieces:
        lengths = [side - 2 * radius + math.pi / 2 * radius for side in (300, 400)]
        assert min(abs(piece.length_mm - length) for length in lengths) < 0.2 * radius
        assert piece.straight
        assert piece.corner_radii_mm == pytest.approx((radius, radius), rel=0.11)


@pytest.mark.parametrize("step", [1, 2, 3])
def test_a_bend_that_only_cut_film_follows_is_a_piece_of_its_own(step):
    # R = 18: 90° is 28 mm, longer than two windows of 12 mm.
    pieces = pieces_of(rounded_box(18, step))
    bends = [piece for piece in pieces if not piece.straight]
    assert (len(pieces), len(bends)) == (8, 4)
    assert all(piece.least_radius_mm == pytest.approx(18, rel=0.02) for piece in bends)


@pytest.mark.parametrize("step", [1, 3, 5, 10])
@pytest.mark.parametrize("radius", [25, 30, 60])
def test_a_bend_that_tape_follows_is_no_corner(radius, step):
    (piece,) = pieces_of(rounded_box(radius, step))
    assert piece.closed
    assert piece.least_radius_mm == pytest.approx(radius, rel=0.02)


@pytest.mark.parametrize("radius", [2, 6, 15, 22, 24, 100])
def test_a_round_hole_of_any_size_is_one_closed_piece(radius):
    holed = shapely.box(-200, -200, 200, 200).difference(shapely.Point(0, 0).buffer(radius, quad_segs=8))
    *edges, hole = pieces_of(holed)
    assert (len(edges), hole.closed, hole.hole, hole.ring) == (4, True, True, 1)
    assert hole.least_radius_mm == pytest.approx(radius)
    assert not any(piece.hole for piece in edges)


@pytest.mark.parametrize(("surface", "count"), [
    (shapely.box(0, 0, 10, 10), 4),
    (shapely.box(0, 0, 300, 3), 4),  # a stripe
    (shapely.Polygon([(0, 0), (5, 0), (0, 5)]), 3),
    (shapely.box(0, 0, 300, 200).difference(shapely.Polygon([(148, 201), (152, 201), (150, 190)])), 7),  # a notch
    (shapely.box(0, 0, 1500, 600).difference(shapely.Point(700, 0).buffer(340, quad_segs=100)), 6),  # a wheel arch
    (shapely.Polygon([(0, 0), (200, 0), (200, 93), (193, 100), (0, 100)]), 4),  # 10 mm off a corner: turns within the window
    (shapely.Polygon([(0, 0), (200, 0), (200, 86), (186, 100), (0, 100)]), 5),  # 20 mm off it: two corners
    (shapely.MultiPolygon([shapely.box(0, 0, 9, 9), shapely.box(20, 0, 29, 9)]), 8),
])  # fmt: skip
def test_corners_of_simple_outlines(surface, count):
    pieces = pieces_of(surface)
    assert len(pieces) == count
    assert sum(piece.length_mm for piece in pieces) == pytest.approx(surface.length)


def test_a_teardrop_is_two_sides_and_a_bend_wherever_its_ring_begins():
    drop = shapely.union_all([shapely.Point(0, 0).buffer(10, quad_segs=16), shapely.Polygon([(-10, 0), (10, 0), (0, -60)])])
    ring = drop.exterior.coords[:-1]
    lengths = set()
    for begin in range(len(ring)):
        pieces = pieces_of(shapely.Polygon(ring[begin:] + ring[:begin]))
        lengths.add(tuple(sorted(round(piece.length_mm, 6) for piece in pieces)))
    assert len(lengths) == 1
    assert len(lengths.pop()) == 3


@settings(deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1.0, 2.0, 4.0]))
def test_an_unsteady_hand_makes_no_corners(seed, step):
    # Straight sides sampled each `step` mm, every position off by up to 0.03 mm and stored to 0.1 mm.
    random = Random(seed)
    box = shapely.segmentize(shapely.box(0, 0, 200, 100), step)
    shaken = [(round(x + random.uniform(-0.03, 0.03), 1), round(y + random.uniform(-0.03, 0.03), 1))
              for x, y in box.exterior.coords[:-1]]  # fmt: skip
    pieces = pieces_of(shapely.Polygon(shaken))
    assert len(pieces) == 4
    assert all(piece.straight for piece in pieces)


@pytest.mark.parametrize("turn_deg", range(1, 90, 8))
def test_a_line_traced_more_finely_than_it_is_stored_makes_no_corners(turn_deg):
    # Positions each 0.2 mm stored to 0.1 mm: a staircase in which single vertices turn by up to 90°.
    box = shapely.affinity.rotate(shapely.box(0, 0, 200, 100), turn_deg)
    stored = shapely.transform(shapely.segmentize(box, 0.2), lambda spots: np.round(spots, 1))
    pieces = pieces_of(stored)
    assert len(pieces) == 4
    assert all(piece.straight for piece in pieces)


def test_rounding_to_a_tenth_of_a_millimetre_does_not_choose_another_tape():
    # The tightest tape bound near 340 mm is 150 mm; rounding may cost a tenth of the radius, no more.
    circle = shapely.transform(shapely.Point(0, 0).buffer(340, quad_segs=534), lambda spots: np.round(spots, 1))
    (piece,) = pieces_of(circle)
    assert piece.least_radius_mm == pytest.approx(340, rel=0.15)


def test_a_kink_in_a_straight_side_is_a_tight_bend_however_its_sides_are_sampled():
    # 20° at one vertex: over the half window of 6 mm a circle of 6 / (2 sin 10°) = 17 mm; with vertices each 2.9 mm the
    # nearest ones beyond that stand 8.7 mm away: 25 mm. Either way the finest tape or none.
    kinked = shapely.Polygon([(0, 0), (500, 0), (970, 171), (970, 500), (0, 500)])
    for surface in (kinked, shapely.segmentize(kinked, 2.9)):
        longest = max(pieces_of(surface), key=lambda piece: piece.length_mm)
        assert 17 < longest.least_radius_mm < 26


def test_the_corner_settings_are_obeyed():
    octagon = from_shapely(shapely.Point(0, 0).buffer(50, quad_segs=2))  # turns 45° each 38 mm
    assert len(boundary_pieces(octagon, SETTINGS)) == 8
    dull = in_force([Setting(key="corner_deg", value="50", basis="own trial")])
    assert len(boundary_pieces(octagon, dull)) == 1
    wide = in_force([Setting(key="corner_deg", value="50", basis="own trial"),
                     Setting(key="corner_window_mm", value="80", basis="own trial")])  # fmt: skip
    assert [piece.closed for piece in boundary_pieces(octagon, wide)] == [True]  # tight all round


def test_repeated_positions_make_no_corner_and_no_fault():
    doubled = Shape.model_validate({"type": "Polygon", "coordinates": [
        [[0, 0], [0, 0], [50, 0], [50, 0], [50, 50], [0, 50], [0, 50], [0, 0]]]})  # fmt: skip
    assert [piece.length_mm for piece in boundary_pieces(doubled, SETTINGS)] == [50] * 4


def test_chord_and_rise_of_a_piece():
    # Half a circle of radius 100 over its diameter.
    half = shapely.Polygon([(100 * math.cos(a), 100 * math.sin(a)) for a in np.linspace(0, math.pi, 101)])
    arc, base = sorted(pieces_of(half), key=lambda piece: -piece.rise_mm)
    assert (arc.chord_mm, arc.rise_mm) == pytest.approx((200, 100))
    assert (base.chord_mm, base.rise_mm, base.straight) == (pytest.approx(200), pytest.approx(0, abs=1e-9), True)
