"""Offsets that can be taken again with a rule, and areas made from them or along an edge (mm)."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.bands import band_along_edge, clipped, shape_from_offsets
from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import offsets_to_datum, square_off
from bodymap.geometry.split import split, split_at_distance
from bodymap.model import Datum, Drawing, OutlineShape, Part, Record, Setting, Vehicle, Zone
from bodymap.model.shapes import Shape
from bodymap.settings import in_force

SETTINGS = in_force()


def line(*points):
    return Shape.model_validate({"type": "LineString", "coordinates": points})


def point(x, y):
    return Shape.model_validate({"type": "Point", "coordinates": [x, y]})


def box(x0, y0, x1, y1):
    return from_shapely(shapely.box(x0, y0, x1, y1))


def piece_where(shape, test):
    return next(piece for piece in boundary_pieces(shape, SETTINGS) if all(test(x, y) for x, y in piece.coordinates))


RECORD = Record(
    vehicle=Vehicle(vehicle_id="v", name="v"),
    drawings=(Drawing(drawing_id="d", name="d", kind="outside"), Drawing(drawing_id="e", name="e", kind="outside")),
    outline=(OutlineShape(drawing_id="d", kind="body_line", name="waist", shape=line([0, 60], [300, 60])),
             OutlineShape(drawing_id="d", kind="lamp", shape=line([0, 50], [300, 50]))),
    parts=tuple(Part(part_id=part, name=part, substrate="steel", removable=False) for part in ("door", "wing")),
    zones=(
        Zone(zone_id="low", drawing_id="d", part_id="door", face="outer", shape=box(0, 0, 200, 50)),
        Zone(zone_id="high", drawing_id="d", part_id="door", face="outer", shape=box(0, 50, 200, 100)),
        Zone(zone_id="beside", drawing_id="d", part_id="wing", face="outer", shape=box(200, 0, 300, 100)),
    ),
    datums=(
        Datum(datum_id="far", drawing_id="d", name="far", shape=line([0, 400], [300, 400])),
        Datum(datum_id="short", drawing_id="d", name="short", shape=line([50, 110], [60, 110])),
        Datum(datum_id="hole", drawing_id="d", name="hole", shape=point(500, 50)),
        Datum(datum_id="near", drawing_id="e", name="near", shape=line([0, 1], [300, 1])),
    ),
)  # fmt: skip


def test_a_place_past_the_end_of_a_datum_says_so():
    first, *_, last = offsets_to_datum([(50.0, 30.0), (103.0, 4.0)], line([0, 0], [100, 0]), SETTINGS)
    assert (first.beyond, first.offset_mm, first.along_mm) == (False, 30, 50)
    assert (last.beyond, last.along_mm, last.offset_mm) == (True, 100, pytest.approx(5))  # 3-4-5


def test_stations_lie_closer_only_where_the_boundary_is_curved():
    # 1000 mm straight, then a quarter circle of radius 100.
    arc = [(1000 + 100 * math.sin(a), 100 - 100 * math.cos(a)) for a in (n * math.pi / 200 for n in range(101))]
    stations = offsets_to_datum([(0.0, 0.0), *arc], line([0, -50], [1100, -50]), SETTINGS)
    on_straight = [s.station_mm for s in stations if s.station_mm <= 900]
    on_curve = [s.station_mm for s in stations if s.station_mm >= 1050]
    gaps = [b - a for a, b in itertools.pairwise(on_straight)]
    assert min(gaps) > 90
    assert max(gaps) <= 100
    # s² / 8R ≤ 2 mm at R = 100 allows 40 mm.
    assert max(b - a for a, b in itertools.pairwise(on_curve)) <= 40
    assert (stations[0].station_mm, stations[-1].x) == (0, pytest.approx(1100))


def test_a_closed_piece_has_each_station_once():
    circle = from_shapely(shapely.Point(0, 0).buffer(300, quad_segs=64))
    stations = offsets_to_datum(boundary_pieces(circle, SETTINGS)[0].coordinates, point(0, 0), SETTINGS)
    assert len({(round(s.x, 3), round(s.y, 3)) for s in stations}) == len(stations) >= 19
    assert all(s.offset_mm == pytest.approx(300, abs=0.1) for s in stations)


def test_the_station_settings_are_obeyed():
    wide = in_force([Setting(key="station_mm", value="200", basis="own trial"),
                     Setting(key="stations_least", value="5", basis="own trial")])  # fmt: skip
    datum = line([0, 0], [2000, 0])
    assert len(offsets_to_datum([(0.0, 9.0), (1000.0, 9.0)], datum, wide)) == 6
    assert len(offsets_to_datum([(0.0, 9.0), (100.0, 9.0)], datum, wide)) == 5


OFFSETS = st.floats(-200, 200).filter(lambda mm: abs(mm) > 1)


@settings(deadline=None)
@given(st.floats(-math.pi, math.pi), st.floats(-1e4, 1e4), st.floats(10, 990), OFFSETS)
def test_what_is_set_off_from_a_datum_is_measured_from_it_again(turn, move, along, offset):
    end = (move + 1000 * math.cos(turn), 1000 * math.sin(turn))
    datum = line([move, 0], list(end))
    place = square_off(to_shapely(datum), along, offset)
    station = offsets_to_datum([place, (place[0] + 1, place[1])], datum, SETTINGS)[0]
    assert (station.along_mm, station.offset_mm) == pytest.approx((along, offset), abs=1e-6)


def test_equal_offsets_follow_a_bent_datum_as_a_parallel():
    # Two legs of 100 square to one another; a strip 10 wide on the inside meets at a mitre: 10·100 + 10·100 − 10·10.
    datum = line([0, 0], [100, 0], [100, 100])
    inside = to_shapely(shape_from_offsets(datum, [(0, 0, 10), (200, 0, 10)]))
    mitred = shapely.Polygon([(0, 0), (100, 0), (100, 100), (90, 100), (90, 10), (0, 10)])
    assert inside.symmetric_difference(mitred).area == pytest.approx(0, abs=1e-9)
    outside = to_shapely(shape_from_offsets(datum, [(0, 0, 10), (200, 0, 10)], side="right"))
    assert outside.area == pytest.approx(10 * 100 + 10 * 100 + 10 * 10)
    assert shapely.intersection(inside, outside).area == 0


def test_a_strip_along_a_sampled_arc_is_a_ring_sector():
    # Half a ring between R + 20 and R + 50: π/2 · ((R + 50)² − (R + 20)²), R = 300; the datum runs clockwise, left is out.
    arc = [(-300 * math.cos(a), 300 * math.sin(a)) for a in (n * math.pi / 300 for n in range(301))]
    length = shapely.LineString(arc).length
    strip = to_shapely(shape_from_offsets(line(*arc), [(0, 20, 50), (length, 20, 50)]))
    assert strip.area == pytest.approx(math.pi / 2 * (350**2 - 320**2), rel=1e-3)


def test_offsets_deeper_than_the_bend_of_the_datum_are_refused_with_the_place():
    arc = [(-30 * math.cos(a), 30 * math.sin(a)) for a in (n * math.pi / 30 for n in range(31))]
    with pytest.raises(BodymapError, match=r"crosses itself at \("):
        shape_from_offsets(line(*arc), [(0, 5, 45), (90, 5, 45)], side="right")


@pytest.mark.parametrize("rows", [[(0, 1, math.nan), (9, 1, 2)], [(0, 1, 2), (math.inf, 1, 2)]])
def test_offsets_that_are_no_numbers_are_refused(rows):
    with pytest.raises(BodymapError, match="finite"):
        shape_from_offsets(line([0, 0], [500, 0]), rows)


def test_a_datum_point_makes_no_strip():
    with pytest.raises(BodymapError, match="found a Point; allowed: a line"):
        shape_from_offsets(point(0, 0), [(0, 1, 2), (1, 1, 2)])


def test_a_band_goes_on_to_the_next_edge_at_a_blunt_corner():
    # The zone widens at 135° beyond the end of its top edge: every place within 30 mm of the edge belongs to the band.
    zone = from_shapely(shapely.Polygon([(0, 0), (300, 0), (200, 100), (0, 100)]))
    top = piece_where(zone, lambda _, y: y == 100)
    band = to_shapely(band_along_edge(zone, top, 30))
    # 200 × 30 and an eighth of a circle of radius 30 between the square cut and the slope.
    assert band.area == pytest.approx(200 * 30 + math.pi * 30**2 / 8, rel=1e-4)


def test_a_band_is_cut_square_where_the_corner_points_into_the_zone():
    zone = from_shapely(shapely.box(0, 0, 300, 300).difference(shapely.box(100, 100, 300, 300)))
    inner = piece_where(zone, lambda x, y: x == 100 and y >= 100)
    assert to_shapely(band_along_edge(zone, inner, 40)).equals(shapely.box(60, 100, 100, 300))


def test_a_band_at_a_rounded_corner_reaches_the_next_edge():
    zone = from_shapely(shapely.box(5, 5, 395, 295).buffer(5, quad_segs=8))
    top = max(boundary_pieces(zone, SETTINGS), key=lambda piece: min(y for _, y in piece.coordinates))
    band = to_shapely(band_along_edge(zone, top, 30))
    assert band.area == pytest.approx(400 * 30, rel=5e-3)


@settings(deadline=None)
@given(st.integers(0, 3), st.floats(1, 90))
def test_a_band_and_the_rest_are_the_zone(number, distance):
    zone = from_shapely(shapely.Polygon([(0, 0), (300, 0), (240, 180), (30, 200)]))
    band, rest = split_at_distance(zone, boundary_pieces(zone, SETTINGS)[number], distance)
    surface = to_shapely(zone)
    assert to_shapely(band).area + to_shapely(rest).area == pytest.approx(surface.area, rel=1e-9)
    edge = shapely.LineString(boundary_pieces(zone, SETTINGS)[number].coordinates)
    # nothing of the rest is nearer to the edge than the distance, but for the chords of the round ends (1 in 10 000)
    assert to_shapely(rest).distance(edge) >= distance * 0.999
    assert shapely.intersection(to_shapely(rest), to_shapely(band)).area == pytest.approx(0, abs=1e-9)


def test_the_rest_keeps_the_other_arm_of_a_zone_across_a_gap():
    # A slit 40 wide between two arms of 100: 80 along one side of it takes nothing of the other side.
    zone = from_shapely(shapely.box(0, 0, 240, 300).difference(shapely.box(100, 100, 140, 300)))
    inner = piece_where(zone, lambda x, y: x == 100 and y >= 100)
    band, rest = split_at_distance(zone, inner, 80)
    assert to_shapely(band).equals(shapely.box(20, 100, 100, 300))
    assert to_shapely(rest).area == pytest.approx(240 * 300 - 40 * 200 - 80 * 200)
    assert to_shapely(rest).contains(shapely.box(140, 100, 240, 300))


def test_a_cut_along_an_edge_that_misses_it_by_the_last_digit_makes_no_pieces():
    with pytest.raises(BodymapError, match="in one piece"):
        split(box(0, 0, 200, 100), line([-1, 1e-14], [201, -1e-14]))


def test_a_distance_that_takes_all_is_refused():
    with pytest.raises(BodymapError, match="takes all of the surface"):
        split_at_distance(box(0, 0, 50, 50), boundary_pieces(box(0, 0, 50, 50), SETTINGS)[0], 60)


def test_a_cut_is_a_line_and_leaves_polygons_it_does_not_meet():
    two = from_shapely(shapely.MultiPolygon([shapely.box(0, 0, 10, 10), shapely.box(20, 0, 30, 10)]))
    assert [to_shapely(piece).area for piece in split(two, line([5, -1], [5, 11]))] == [100, 50, 50]
    with pytest.raises(BodymapError, match="found a Point"):
        split(two, point(5, 5))


def test_a_shape_is_clipped_to_zones():
    zones = [zone.shape for zone in RECORD.zones[:2]]
    assert to_shapely(clipped(box(150, 25, 250, 75), zones)).equals(shapely.box(150, 25, 200, 75))
    with pytest.raises(BodymapError, match="nothing of it in a zone"):
        clipped(box(500, 0, 600, 9), zones)
    # an edge in common is no surface
    with pytest.raises(BodymapError, match="nothing of it in a zone"):
        clipped(box(200, 0, 250, 50), zones)
