"""Surfaces that cannot be used as drawn: told in words with the place, and mended only where that is shown (mm)."""

from __future__ import annotations

from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.validity import mended, shape_fault
from bodymap.model.shapes import Shape


def square(x, y, size):
    return [[x, y], [x + size, y], [x + size, y + size], [x, y + size], [x, y]]


def polygon(*rings):
    return Shape.model_validate({"type": "Polygon", "coordinates": list(rings)})


def multi(*polygons):
    return Shape.model_validate({"type": "MultiPolygon", "coordinates": list(polygons)})


BOW_TIE = polygon([[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]])


@pytest.mark.parametrize(("shape", "words"), [
    (BOW_TIE, "its boundary crosses itself at (5, 5)"),
    (polygon(square(0, 0, 4), square(5, 5, 1)), "a hole lies outside the outer ring at (5, 5)"),
    (polygon(square(0, 0, 4), square(3, 1, 2)), "a hole crosses or shares an edge with the outer ring or another hole"),
    (polygon(square(0, 0, 9), square(1, 1, 4), square(3, 3, 4)), "a hole crosses or shares an edge"),
    (polygon(square(0, 0, 9), square(1, 1, 7), square(2, 2, 3)), "a hole lies within another hole at (2, 2)"),
    (polygon(square(0, 0, 4), [[2, 0], [4, 2], [2, 4], [0, 2], [2, 0]]), "holes cut it into separate pieces"),
    (polygon([[0, 0], [1, 0], [2, 0], [0, 0]]), "it has no area"),
    (polygon([[3, 3]] * 4), "it has no area"),
    (polygon([[0, 0], [4, 0], [4, 4], [4, 8], [4, 4], [0, 4], [0, 0]]), "touches or crosses itself at (4, 4)"),
    (multi([square(0, 0, 9)], [square(2, 2, 3)]), "one of its polygons lies within another at (2, 2)"),
    (multi([square(0, 0, 9)], [square(5, 5, 9)]), "two of its polygons overlap or share an edge"),
    (multi([square(0, 0, 9)], [square(9, 0, 9)]), "two of its polygons overlap or share an edge"),
    (polygon(square(1e300, 0, 1e299)), "more than 1e+09 mm from the origin"),
    (Shape.model_validate({"type": "LineString", "coordinates": [[1, 1], [1, 1]]}), "fewer than three different points"),
])  # fmt: skip
def test_what_is_wrong_with_a_shape_is_told(shape, words):
    assert words in shape_fault(shape)


@pytest.mark.parametrize("shape", [
    polygon(square(0, 0, 9), square(2, 2, 3)),
    polygon([[0, 0], [0, 9], [9, 9], [9, 0], [0, 0]]),  # turned the other way round is no fault
    multi([square(0, 0, 9)], [square(9, 9, 9)]),  # touching at a point
    Shape.model_validate({"type": "Point", "coordinates": [3, 4]}),
])  # fmt: skip
def test_usable_shapes_have_no_fault(shape):
    assert shape_fault(shape) is None


def test_a_bow_tie_is_mended_to_both_its_lobes():
    # Two triangles of 10 × 5 / 2 = 25 each; a buffer of 0 would keep one of them.
    held = mended(BOW_TIE)
    assert to_shapely(held.shape).area == pytest.approx(50)
    assert (held.added_mm2, held.lost_mm2) == pytest.approx((0, 0))
    assert held.words == "its boundary crosses itself at (5, 5)"


def test_a_hole_that_pokes_out_takes_only_what_lies_inside():
    # 4 × 4 less the 1 × 2 of the hole that lies inside: 14; the 1 × 2 outside it is not made into surface.
    held = mended(polygon(square(0, 0, 4), square(3, 1, 2)))
    assert to_shapely(held.shape).area == pytest.approx(14)
    assert held.lost_mm2 == pytest.approx(2)


def test_overlapping_polygons_are_joined_and_what_was_added_is_told():
    # Two squares of 9 that share 4 × 4: the union, 146; the shared part was enclosed twice.
    held = mended(multi([square(0, 0, 9)], [square(5, 5, 9)]))
    assert to_shapely(held.shape).area == pytest.approx(2 * 81 - 16)
    assert held.added_mm2 == pytest.approx(16)


def test_lobes_that_share_an_edge_come_back_as_one_surface():
    # Found by trial: rings mended one by one gave two polygons with an edge in common, which is no valid MultiPolygon.
    held = mended(polygon([[1, 3], [1, 1], [0, 0], [1, 2], [1, 0], [2, 0], [1, 3]]))
    assert shape_fault(held.shape) is None
    # Triangle (1, 0) (2, 0) (1, 3): 1.5; triangle (0, 0) (1, 1) (1, 2): 0.5.
    assert to_shapely(held.shape).area == pytest.approx(2)


def test_nothing_is_mended_where_nothing_is_wrong_or_nothing_is_left():
    assert mended(polygon(square(0, 0, 9))) is None
    with pytest.raises(BodymapError, match="no area"):
        mended(polygon([[0, 0], [1, 0], [2, 0], [0, 0]]))
    with pytest.raises(BodymapError, match="found a LineString"):
        mended(Shape.model_validate({"type": "LineString", "coordinates": [[0, 0], [1, 1]]}))


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=4, max_size=8, unique=True))
def test_a_mended_surface_has_no_fault_and_holds_every_place_its_ring_goes_round_once(points):
    ring = [*points, points[0]]
    shape = polygon([list(spot) for spot in ring])
    if shape_fault(shape) in (None, "it has no area"):
        return
    held = mended(shape)
    assert shape_fault(held.shape) is None
    surface = to_shapely(held.shape)
    for x in range(9):
        for y in range(9):
            spot = (x + 0.437, y + 0.291)
            if shapely.LineString(ring).distance(shapely.Point(spot)) > 1e-6 and _crossings(spot, ring) % 2:
                assert surface.contains(shapely.Point(spot))


def _crossings(spot, ring):
    """How often a ray to the right crosses a ring (even-odd rule)."""
    x, y = spot
    return sum((y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0)
               for (x0, y0), (x1, y1) in pairwise(ring))  # fmt: skip


def test_empty_parts_and_rings_come_back_as_shapes():
    assert from_shapely(shapely.GeometryCollection([shapely.Point(), shapely.Point(1, 2)])).parts[0].coordinates == (1, 2)
    assert len(from_shapely(shapely.MultiPolygon([shapely.Polygon(), shapely.box(0, 0, 1, 1)])).rings()) == 1
    assert from_shapely(shapely.LinearRing([(0, 0), (1, 0), (1, 1)])).type == "LineString"


@pytest.mark.parametrize(("geometry", "words"), [
    (shapely.Polygon(), "empty"), (shapely.GeometryCollection([shapely.Point()]), "empty"),
    (shapely.Point(1, 2, 3), "height"), (shapely.LineString([(0, 0), (1, float("inf"))]), "finite"),
])  # fmt: skip
def test_geometries_that_are_no_shapes_are_refused(geometry, words):
    with pytest.raises(BodymapError, match=words):
        from_shapely(geometry)
