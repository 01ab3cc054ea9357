"""Areas, circle parts and offsets against published examples and formulas."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.areas import QUARTER_SEGMENTS, areas_of
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.ratio import (
    arc_length_mm,
    arc_radius_mm,
    ratio_error,
    ratio_from_chord_and_rise,
    ratio_from_girths,
    segment_area_mm2,
    tape_error_mm,
)
from bodymap.model import Area, Drawing, Part, Record, Setting, Vehicle, Zone
from bodymap.model.shapes import Shape
from bodymap.settings import in_force


def polygon(*rings):
    return Shape.model_validate({"type": "Polygon", "coordinates": [[*ring, ring[0]] for ring in rings]})


def record(zones, keeps=()):
    """Zones (shape, ratio) and kept areas (shape, margin) on one drawing."""
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="v"),
        drawings=(Drawing(drawing_id="d", name="d", kind="outside"),),
        parts=(Part(part_id="p", name="p", substrate="steel", removable=False),),
        zones=tuple(
            Zone(zone_id=f"z{n}", drawing_id="d", part_id="p", face="outer", shape=shape, surface_ratio=ratio)
            for n, (shape, ratio) in enumerate(zones)
        ),
        areas=tuple(
            Area(area_id=f"k{n}", drawing_id="d", purpose="keep", shape=shape, margin=margin)
            for n, (shape, margin) in enumerate(keeps)
        ),
    )


def drawn(shape):
    return areas_of(record([(shape, None)])).totals.drawn_mm2


# The first two: worked examples of the shoelace formula (encyclopaedia article; a common programming exercise), from
# memory, not seen. The third: RFC 7946 appendix A.3, from memory; ring order seen in several public test files.
@pytest.mark.parametrize(
    ("shape", "area"),
    [
        (polygon([(1, 6), (3, 1), (7, 2), (4, 4), (8, 5)]), 16.5),
        (polygon([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)]), 30),
        (polygon([(100, 0), (101, 0), (101, 1), (100, 1)], [(100.8, 0.8), (100.8, 0.2), (100.2, 0.2), (100.2, 0.8)]), 0.64),
        (polygon([(0, 0), (4, 0), (4, 3), (0, 3)], [(1, 1), (1, 2), (2, 2), (2, 1)]), 11),
    ],
)
def test_areas_of_published_polygons(shape, area):
    assert drawn(shape) == pytest.approx(area)


LATTICE = st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=3, max_size=9, unique=True)


def star_shaped(points):
    """Lattice points in order round their mean: a simple polygon wherever no two lie in one direction."""
    cx, cy = (sum(p[i] for p in points) / len(points) for i in (0, 1))
    return shapely.Polygon(sorted(points, key=lambda p: (math.atan2(p[1] - cy, p[0] - cx), math.dist(p, (cx, cy)))))


def lattice_counts(surface):
    """Lattice points inside a surface and on its boundary."""
    x0, y0, x1, y1 = (round(value) for value in surface.bounds)
    points = [shapely.Point(x, y) for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)]
    return sum(surface.contains(p) for p in points), sum(surface.boundary.intersects(p) for p in points)


@settings(deadline=None)
@given(LATTICE)
def test_picks_theorem(points):
    # Pick 1899: A = I + B/2 − 1 for a simple lattice polygon.
    surface = star_shaped(points)
    if surface.is_valid and surface.area > 0:
        inside, on_boundary = lattice_counts(surface)
        assert drawn(from_shapely(surface)) == pytest.approx(inside + on_boundary / 2 - 1)


@settings(deadline=None)
@given(st.integers(6, 14), st.integers(6, 14), st.integers(1, 3), st.integers(1, 3))
def test_picks_theorem_with_a_hole(width, height, hole_width, hole_height):
    # With h holes and true interior points A = I + B/2 − 1 + h (from memory, not seen).
    surface = shapely.box(0, 0, width, height).difference(shapely.box(1, 1, 1 + hole_width, 1 + hole_height))
    inside, on_boundary = lattice_counts(surface)
    assert drawn(from_shapely(surface)) == pytest.approx(inside + on_boundary / 2 - 1 + 1)


# Pick's theorem, worked examples: I = 5, B = 8 → 8 (a maths page); I = 40, B = 12 → 45 (Futility Closet, 2013-04-24);
# outer ring I = 10, B = 12 less a hole I = 2, B = 4, each counted by itself → 15 − 3 = 12. The polygons are ours.
@pytest.mark.parametrize(
    ("ring", "inside", "on_boundary", "area"),
    [
        ([(0, 0), (2, -2), (4, 0), (2, 2)], 5, 8, 8),
        ([(0, 0), (10, 0), (2, 9)], 40, 12, 45),
        ([(3, 0), (5, 0), (5, 2), (3, 4), (0, 4), (0, 2)], 10, 12, 15),
        ([(1, 2), (2, 1), (4, 2), (2, 3)], 2, 4, 3),
    ],
)
def test_worked_examples_of_picks_theorem(ring, inside, on_boundary, area):
    assert lattice_counts(shapely.Polygon(ring)) == (inside, on_boundary)
    assert drawn(polygon(ring)) == pytest.approx(area)


def test_worked_example_of_picks_theorem_with_a_hole():
    holed = polygon([(3, 0), (5, 0), (5, 2), (3, 4), (0, 4), (0, 2)], [(1, 2), (2, 3), (4, 2), (2, 1)])
    assert drawn(holed) == pytest.approx(12)


@settings(deadline=None)
@given(LATTICE, LATTICE)
def test_picks_theorem_with_holes_anywhere(points, hole_points):
    # A = I + B/2 − 1 + h with h holes, counted on the holed surface (from memory, not seen).
    outer = shapely.affinity.scale(star_shaped(points), 4, 4, origin=(0, 0))
    hole = star_shaped(hole_points)
    if outer.is_valid and hole.is_valid and hole.area > 0 and outer.contains_properly(hole):
        surface = outer.difference(hole)
        inside, on_boundary = lattice_counts(surface)
        assert drawn(from_shapely(surface)) == pytest.approx(inside + on_boundary / 2 - 1 + 1)


def margin_of(keep, margin):
    """The margin of one kept area in the middle of a zone large enough."""
    ground = from_shapely(shapely.box(-2000, -2000, 2000, 2000))
    return areas_of(record([(ground, None)], [(keep, margin)])).zones["z0"].margin_drawn_mm2


# Steiner's formula for convex K: A(K + rB) = A + P·r + π·r² (P. Steiner 1840, from memory; formula read). A buffer has
# chords for arcs: its round part is (2n/π)·sin(π/2n) of π·r² with n segments to a quarter.
@pytest.mark.parametrize(
    ("keep", "margin"),
    [
        (polygon([(0, 0), (1, 0), (1, 1), (0, 1)]), 0.5),
        (polygon([(0, 0), (3, 0), (0, 4)]), 2),
        (polygon([(0, 0), (200, 0), (200, 60), (0, 60)]), 100),
    ],
)
def test_margin_follows_steiners_formula(keep, margin):
    perimeter = to_shapely(keep).length
    chords = 2 * QUARTER_SEGMENTS / math.pi * math.sin(math.pi / (2 * QUARTER_SEGMENTS))
    assert margin_of(keep, margin) == pytest.approx(perimeter * margin + math.pi * margin**2, rel=1.1e-4)
    assert margin_of(keep, margin) == pytest.approx(perimeter * margin + chords * math.pi * margin**2, rel=1e-9)


@settings(deadline=None)
@given(LATTICE, st.floats(0.1, 20))
def test_margin_of_any_shape_is_at_most_steiners(points, margin):
    surface = star_shaped(points)
    if surface.is_valid and surface.area > 0:
        bound = surface.length * margin + math.pi * margin**2
        assert 0 < margin_of(from_shapely(surface), margin) <= bound * (1 + 1e-9)


# Machinery's Handbook, 31st ed. (2020), p. 50, examples 3 and 4: R = 12, depth of chord 2 (cm there, any unit here).
def test_circle_parts_of_the_handbook():
    chord = 13.26650
    assert arc_radius_mm(chord, 2) == pytest.approx(12, abs=0.001)
    assert arc_length_mm(chord, 2) == pytest.approx(14.06, abs=0.005)
    assert segment_area_mm2(chord, 2) == pytest.approx(18.01, abs=0.005)


# help.matheass.eu, "Circular Sections": chord 21, rise 6, and arc 1 at 45°.
def test_circle_parts_of_a_second_source():
    assert arc_radius_mm(21, 6) == pytest.approx(12.1875, abs=1e-9)
    assert arc_length_mm(21, 6) == pytest.approx(25.308373, abs=1e-6)
    assert segment_area_mm2(21, 6) == pytest.approx(89.254148, abs=1e-6)
    assert arc_length_mm(0.97449536, 0.096919589) == pytest.approx(1, abs=1e-6)
    assert arc_radius_mm(0.97449536, 0.096919589) == pytest.approx(1.2732395, abs=1e-6)
    assert segment_area_mm2(0.97449536, 0.096919589) == pytest.approx(0.063460604, abs=1e-8)


# Segments of the unit circle, as in handbook tables (computed; tables from memory, not seen).
@pytest.mark.parametrize(
    ("angle_deg", "area"), [(30, 0.01180), (60, 0.09059), (90, 0.28540), (120, 0.61418), (180, 1.57080)]
)
def test_segments_of_the_unit_circle(angle_deg, area):
    half = math.radians(angle_deg / 2)
    assert segment_area_mm2(2 * math.sin(half), 1 - math.cos(half)) == pytest.approx(area, abs=6e-6)


def test_surface_ratio_of_a_crowned_panel():
    # Chord 1000, rise 50: R = 2525, arc/chord 1.006653 by the handbook's formulas; the series 1 + (8/3)(h/c)²: 1.006667.
    assert ratio_from_chord_and_rise(1000, 50) == pytest.approx(1.006653, abs=5e-7)
    assert ratio_from_chord_and_rise(1000, 50) == pytest.approx(1 + 8 / 3 * 0.05**2, abs=2e-5)
    assert ratio_from_chord_and_rise(1000, 50, 800, 40) == pytest.approx(ratio_from_chord_and_rise(1000, 50) ** 2)
    assert ratio_from_chord_and_rise(1000, 0) == 1
    assert ratio_from_chord_and_rise(1000, 500) == pytest.approx(math.pi / 2)


@settings(deadline=None)
@given(st.floats(10, 5000), st.floats(0.001, 0.5))
def test_girths_and_chord_and_rise_agree(chord, share):
    arc = arc_length_mm(chord, chord * share)
    assert ratio_from_girths(chord, arc) == pytest.approx(ratio_from_chord_and_rise(chord, chord * share))
    assert ratio_from_girths(chord, arc, 500, 510) == pytest.approx(arc / chord * 1.02)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ratio_from_chord_and_rise(100, 51),
        lambda: ratio_from_chord_and_rise(0, 1),
        lambda: arc_radius_mm(10, -1),
        lambda: ratio_from_girths(100, 99),
        lambda: ratio_from_girths(100, 101, 50),
        lambda: ratio_from_girths(100, float("nan")),
    ],
)
def test_measures_that_cannot_be_are_refused(call):
    with pytest.raises(BodymapError, match=r"found .* allowed"):
        call()


# Directive 2014/32/EU annex X (formula a + bL read; values of class II, 2–10 m, and of classes I and III at 10 m read on
# four supplier guides); L in metres is rounded up.
@pytest.mark.parametrize(
    ("length_mm", "error_mm"), [(2000, 0.70), (3000, 0.90), (5000, 1.30), (8000, 1.90), (10_000, 2.30), (1200, 0.70)]
)
def test_tape_class_ii(length_mm, error_mm):
    assert tape_error_mm(length_mm, in_force()) == pytest.approx(error_mm)


@pytest.mark.parametrize(("a", "b", "error_mm"), [("0.1", "0.1", 1.10), ("0.6", "0.4", 4.60)])
def test_tape_classes_i_and_iii_over_ten_metres(a, b, error_mm):
    other = in_force(
        [
            Setting(key="tape_measure_a_mm", value=a, basis="standard"),
            Setting(key="tape_measure_b_mm_per_m", value=b, basis="standard"),
        ]
    )
    assert tape_error_mm(10_000, other) == pytest.approx(error_mm)


def test_error_of_a_girth_ratio_to_first_order():
    # Drawn 1200, girth 1224: d(g/l) = dg/l + g·dl/l², each tape error 0.7 mm.
    assert ratio_error(1200, 1224, in_force()) == pytest.approx(0.7 / 1200 + 1224 * 0.7 / 1200**2)


BOXES = st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(1, 30), st.integers(1, 30))


@settings(deadline=None)
@given(st.lists(BOXES, max_size=5), st.lists(BOXES, min_size=1, max_size=3))
def test_kept_areas_equal_those_counted_square_by_square(keeps, zones):
    """Slow twin: unit squares counted one by one; overlapping kept areas count once."""

    def covered(b):
        return {(x, y) for x in range(b[0], b[0] + b[2]) for y in range(b[1], b[1] + b[3])}

    def shape(b):
        return from_shapely(shapely.box(b[0], b[1], b[0] + b[2], b[1] + b[3]))

    kept = set().union(*(covered(b) for b in keeps))
    report = areas_of(record([(shape(b), 1.5) for b in zones], [(shape(b), None) for b in keeps]))
    for number, box in enumerate(zones):
        zone = report.zones[f"z{number}"]
        assert zone.kept_drawn_mm2 == pytest.approx(len(covered(box) & kept))
        assert zone.kept_surface_mm2 == pytest.approx(1.5 * zone.kept_drawn_mm2)
        assert zone.margin_drawn_mm2 == 0
    assert report.totals.kept_drawn_mm2 == pytest.approx(sum(len(covered(b) & kept) for b in zones))


@settings(deadline=None)
@given(st.lists(st.tuples(BOXES, st.integers(1, 15)), min_size=1, max_size=4), st.floats(-1e5, 1e5), st.floats(-180, 180))
def test_kept_margin_and_rest_are_the_zone_wherever_it_lies(keeps, move, turn_deg):
    zone = shapely.box(0, 0, 60, 60)
    shapes = [(shapely.box(b[0], b[1], b[0] + b[2], b[1] + b[3]), margin) for b, margin in keeps]
    kept = shapely.union_all([s for s, _ in shapes])
    rest = zone.difference(shapely.union_all([s.buffer(m, quad_segs=QUARTER_SEGMENTS) for s, m in shapes])).difference(kept)

    def placed(surface):
        return from_shapely(
            shapely.affinity.translate(shapely.affinity.rotate(surface, turn_deg, origin=(0, 0)), move, -move)
        )

    report = areas_of(record([(placed(zone), None)], [(placed(s), m) for s, m in shapes])).zones["z0"]
    assert report.kept_drawn_mm2 + report.margin_drawn_mm2 + rest.area == pytest.approx(3600, rel=1e-6)
