"""Pieces between corners, offsets and bands, on shapes whose answers are known in closed form (mm)."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.bands import band_along_edge, shape_from_offsets
from bodymap.geometry.boundary import boundary_pieces, circumradius_mm
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import offsets_to_datum
from bodymap.geometry.split import split
from bodymap.geometry.validity import oriented, shape_fault
from bodymap.model.shapes import Shape
from bodymap.settings import in_force

SETTINGS = in_force()
BOX = from_shapely(shapely.box(0, 0, 200, 100))


def arc(centre, radius, start_deg, end_deg, count):
    angles = [math.radians(start_deg + (end_deg - start_deg) * n / (count - 1)) for n in range(count)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


def rounded(width, height, radius, count=12):
    """A rectangle with rounded corners, each sampled in `count` points."""
    centres = [
        ((width - radius, radius), 270),
        ((width - radius, height - radius), 0),
        ((radius, height - radius), 90),
        ((radius, radius), 180),
    ]
    ring = [point for centre, start in centres for point in arc(centre, radius, start, start + 90, count)]
    return from_shapely(shapely.Polygon(ring))


def line(*points):
    return Shape.model_validate({"type": "LineString", "coordinates": points})


def test_a_rectangle_has_four_straight_pieces():
    pieces = boundary_pieces(BOX, SETTINGS)
    assert sorted(piece.length_mm for piece in pieces) == [100, 100, 200, 200]
    assert all(piece.least_radius_mm is None and not piece.closed for piece in pieces)


def test_corners_do_not_depend_on_vertices_along_straight_edges():
    dense = from_shapely(shapely.segmentize(shapely.box(0, 0, 200, 100), 1.7))
    assert sorted(round(piece.length_mm, 6) for piece in boundary_pieces(dense, SETTINGS)) == [100, 100, 200, 200]


@pytest.mark.parametrize("radius", [30, 120, 600])
def test_a_circle_is_one_closed_piece_of_its_radius(radius):
    circle = from_shapely(shapely.Point(0, 0).buffer(radius, quad_segs=90))
    (piece,) = boundary_pieces(circle, SETTINGS)
    assert piece.closed
    assert piece.least_radius_mm == pytest.approx(radius, rel=0.01)
    assert piece.length_mm == pytest.approx(2 * math.pi * radius, rel=1e-3)


def test_a_corner_too_tight_for_tape_is_a_corner_and_a_wide_one_a_bend():
    assert len(boundary_pieces(rounded(400, 300, 5), SETTINGS)) == 4
    (piece,) = boundary_pieces(rounded(400, 300, 60, count=40), SETTINGS)
    assert piece.closed
    assert piece.least_radius_mm == pytest.approx(60, rel=0.02)


def test_a_hole_has_pieces_of_its_own():
    holed = from_shapely(shapely.box(0, 0, 200, 100).difference(shapely.Point(100, 50).buffer(40, quad_segs=60)))
    pieces = boundary_pieces(holed, SETTINGS)
    assert [piece.ring for piece in pieces] == [0, 0, 0, 0, 1]
    assert pieces[-1].least_radius_mm == pytest.approx(40, rel=0.01)


def test_a_long_tight_curve_is_a_piece_of_its_own():
    # A slot 300 × 36 with round ends of radius 18: tighter than tape follows, 56 mm long each.
    slot = from_shapely(shapely.LineString([(0, 0), (264, 0)]).buffer(18, quad_segs=40))
    lengths = sorted(piece.length_mm for piece in boundary_pieces(slot, SETTINGS))
    assert len(lengths) == 4
    assert lengths[2] > 240


@settings(deadline=None)
@given(st.floats(-math.pi, math.pi), st.floats(-1e4, 1e4), st.integers(3, 9), st.floats(40, 900))
def test_pieces_add_up_to_the_perimeter_wherever_the_shape_lies(turn, move, sides, size):
    polygon = shapely.affinity.translate(
        shapely.affinity.rotate(shapely.Polygon(arc((0, 0), size, 0, 360 - 360 / sides, sides)), turn, use_radians=True),
        move,
        -move,
    )
    pieces = boundary_pieces(from_shapely(polygon), SETTINGS)
    assert sum(piece.length_mm for piece in pieces) == pytest.approx(polygon.length)
    assert len(pieces) == sides


@settings(deadline=None)
@given(st.floats(10, 5000), st.floats(0, 6), st.floats(0.1, 1), st.floats(0.1, 1))
def test_the_circle_through_three_points_of_a_circle_is_that_circle(radius, at, one, two):
    points = [(radius * math.cos(a), radius * math.sin(a)) for a in (at, at + one, at + one + two)]
    assert circumradius_mm(*points) == pytest.approx(radius, rel=1e-6)


def test_offsets_of_a_sloping_line_are_those_of_its_equation():
    # From (0, 20) to (300, 50), measured from a datum along y = 0: offset 20 + x / 10.
    stations = offsets_to_datum([(0.0, 20.0), (300.0, 50.0)], line([0, 0], [400, 0]), SETTINGS)
    assert len(stations) == 5  # 301.5 mm: at most 100 mm apart
    for station in stations:
        assert station.offset_mm == pytest.approx(20 + station.along_mm / 10)
        assert station.foot == pytest.approx((station.x, 0))


def test_the_right_hand_side_of_a_datum_is_minus():
    station = offsets_to_datum([(50.0, 30.0), (60.0, 30.0)], line([400, 0], [0, 0]), SETTINGS)[0]
    assert (station.offset_mm, station.along_mm) == pytest.approx((-30, 350))


def test_offsets_of_an_arc_about_a_datum_point_are_its_radius_and_lie_closer_on_the_curve():
    curve = arc((10, 10), 200, 0, 90, 200)
    stations = offsets_to_datum(curve, Shape.model_validate({"type": "Point", "coordinates": [10, 10]}), SETTINGS)
    assert all(station.offset_mm == pytest.approx(200, abs=0.01) for station in stations)
    # Rise of a chord s on radius R is s² / 8R: 2 mm on 200 mm allows 56.6 mm.
    gaps = [b.station_mm - a.station_mm for a, b in itertools.pairwise(stations)]
    assert max(gaps) <= math.sqrt(8 * 200 * 2) * 1.01


def test_a_short_piece_has_three_stations_at_least():
    assert len(offsets_to_datum([(0.0, 5.0), (10.0, 5.0)], line([0, 0], [10, 0]), SETTINGS)) == 3


def test_a_band_along_an_edge_is_as_wide_as_it_says():
    top = next(piece for piece in boundary_pieces(BOX, SETTINGS) if all(y == 100 for _, y in piece.coordinates))
    assert to_shapely(band_along_edge(BOX, top, 30)).equals(shapely.box(0, 70, 200, 100))
    assert to_shapely(band_along_edge(BOX, top, 500)).equals(shapely.box(0, 0, 200, 100))


def test_a_band_does_not_jump_a_gap_to_another_arm_of_the_zone():
    u_shape = shapely.box(0, 0, 300, 300).difference(shapely.box(100, 100, 140, 300))
    zone = from_shapely(u_shape)
    inner = next(p for p in boundary_pieces(zone, SETTINGS) if all(x == 100 for x, _ in p.coordinates))
    assert to_shapely(band_along_edge(zone, inner, 80)).bounds == pytest.approx((20, 100, 100, 300))


def test_a_band_round_a_closed_edge_is_a_ring():
    # Ring between radius 100 and 80: π (100² − 80²).
    circle = from_shapely(shapely.Point(0, 0).buffer(100, quad_segs=200))
    band = to_shapely(band_along_edge(circle, boundary_pieces(circle, SETTINGS)[0], 20))
    assert band.area == pytest.approx(math.pi * 3600, rel=1e-3)


def test_a_shape_from_offsets_is_the_polygon_they_describe():
    # Near 10, far 30 at both ends of 200 mm; far 50 in the middle: 200 × 20 + a triangle of 200 × 20 / 2.
    shape = shape_from_offsets(line([0, 0], [500, 0]), [(0, 10, 30), (200, 10, 30), (100, 10, 50)])
    assert to_shapely(shape).area == pytest.approx(200 * 20 + 200 * 20 / 2)
    assert to_shapely(shape).bounds == (0, 10, 200, 50)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([(0, 1, 2)], "two or more"),
        ([(0, 1, 2), (0, 1, 3)], "each once"),
        ([(0, 1, 2), (600, 1, 2)], "0 to 500.0 mm"),
        ([(0, 0, 10), (100, 10, 0)], "cross or enclose nothing"),
        ([(0, 5, 5), (100, 5, 5)], "enclose nothing"),
    ],
)
def test_offsets_that_make_no_surface_are_told(rows, words):
    with pytest.raises(BodymapError, match=words):
        shape_from_offsets(line([0, 0], [500, 0]), rows)


def test_a_band_without_width_is_refused():
    with pytest.raises(BodymapError, match="greater than 0"):
        band_along_edge(BOX, boundary_pieces(BOX, SETTINGS)[0], 0)


@settings(deadline=None)
@given(st.floats(-50, 250), st.floats(-50, 150), st.floats(-math.pi, math.pi), st.sampled_from(["box", "holed", "two"]))
def test_a_split_conserves_area(x, y, turn, specimen):
    surface = {
        "box": shapely.box(0, 0, 200, 100),
        "holed": shapely.box(0, 0, 200, 100).difference(shapely.Point(90, 50).buffer(30)),
        "two": shapely.union_all([shapely.box(0, 0, 90, 100), shapely.box(110, 0, 200, 100)]),
    }[specimen]
    reach = (1000 * math.cos(turn), 1000 * math.sin(turn))
    cut = line([x - reach[0], y - reach[1]], [x + reach[0], y + reach[1]])
    try:
        pieces = split(from_shapely(surface), cut)
    except BodymapError:
        assert to_shapely(cut).intersection(surface.buffer(-1e-3)).is_empty or specimen == "two"
        return
    areas = [to_shapely(piece).area for piece in pieces]
    assert sum(areas) == pytest.approx(surface.area, rel=1e-9)
    assert areas == sorted(areas, reverse=True)


def test_a_cut_that_ends_inside_is_refused():
    with pytest.raises(BodymapError, match="edge to edge"):
        split(BOX, line([-10, 50], [100, 50]))


@pytest.mark.parametrize(
    ("rings", "words"),
    [
        ([[[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]]], r"crosses itself at \(5, 5\)"),
        ([[[0, 0], [10, 0], [20, 0], [0, 0]]], "."),
        ([[[0, 0], [9, 0], [9, 9], [0, 9], [0, 0]], [[20, 20], [21, 20], [21, 21], [20, 20]]], "hole lies outside"),
    ],
)
def test_unusable_surfaces_are_told_with_the_place(rings, words):
    import re

    assert re.search(words, shape_fault(Shape.model_validate({"type": "Polygon", "coordinates": rings})))


def test_rings_are_turned_as_rfc_7946_wants_them_and_nothing_else_changes():
    # RFC 7946 section 3.1.6: exterior rings counter-clockwise, holes clockwise. Sign of the shoelace sum.
    wrong = Shape.model_validate(
        {
            "type": "Polygon",
            "coordinates": [[[0, 0], [0, 9], [9, 9], [9, 0], [0, 0]], [[2, 2], [4, 2], [4, 4], [2, 4], [2, 2]]],
        }
    )
    turned = oriented(wrong)
    signs = [sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in itertools.pairwise(ring)) > 0 for ring in turned.rings()]
    assert signs == [True, False]
    assert to_shapely(turned).equals(to_shapely(wrong))
    assert oriented(turned) == turned
