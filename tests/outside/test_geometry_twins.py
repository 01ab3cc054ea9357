"""Areas against a slow twin that shares no technique with them, and against what cannot change: where a shape lies."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.geometry.areas import area_preview, areas_of
from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model import Area, Drawing, Part, Record, Vehicle, Zone
from bodymap.settings import in_force


def record(zones, areas, scale=None):
    """Zones (polygon, part, ratio) and areas (polygon, purpose, margin) on one drawing."""
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="v"),
        drawings=(Drawing(drawing_id="d", name="d", kind="outside", scale=scale),),
        parts=tuple(Part(part_id=p, name=p, substrate="steel", removable=False) for p in ("p", "q", "unused")),
        zones=tuple(
            Zone(zone_id=f"z{n}", drawing_id="d", part_id=part, face="outer", shape=from_shapely(shape), surface_ratio=ratio)
            for n, (shape, part, ratio) in enumerate(zones)
        ),
        areas=tuple(
            Area(area_id=f"a{n}", drawing_id="d", purpose=purpose, shape=from_shapely(shape), margin=margin)
            for n, (shape, purpose, margin) in enumerate(areas)
        ),
    )


@st.composite
def stars(draw):
    """Star-shaped polygons, now and then with a hole or in two pieces."""
    x, y, size = draw(st.integers(0, 300)), draw(st.integers(0, 300)), draw(st.integers(20, 120))
    radii = draw(st.lists(st.integers(30, 100), min_size=5, max_size=9))
    around = [2 * math.pi * n / len(radii) for n in range(len(radii))]
    ring = [(x + size * r / 100 * math.cos(a), y + size * r / 100 * math.sin(a)) for r, a in zip(radii, around, strict=True)]
    star = shapely.Polygon(ring)
    kind = draw(st.sampled_from(["plain", "holed", "two"]))
    if kind == "holed":
        return star.difference(shapely.Point(x, y).buffer(size * 0.2, quad_segs=3))
    if kind == "two":
        return shapely.MultiPolygon([star, shapely.affinity.translate(star, 2.5 * size, 0)])
    return star


ZONES = st.lists(st.tuples(stars(), st.sampled_from(["p", "q"]), st.floats(1, 1.5)), min_size=1, max_size=4)
KEEPS = st.lists(st.tuples(stars(), st.just("keep"), st.none() | st.just(0.0)), max_size=4)


def by_inclusion_and_exclusion(zone, covers):
    """Area of a zone within a union: Σ|zone ∩ Aᵢ| − Σ|zone ∩ Aᵢ ∩ Aⱼ| + …, without any union or index."""
    total = 0.0
    for count in range(1, len(covers) + 1):
        for chosen in combinations(covers, count):
            shared = zone
            for cover in chosen:
                shared = shared.intersection(cover)
            total += (-1) ** (count + 1) * shared.area
    return total


@settings(deadline=None)
@given(ZONES, KEEPS, st.lists(stars(), max_size=1))
def test_areas_equal_those_by_inclusion_and_exclusion(zones, keeps, masks):
    report = areas_of(record(zones, [*keeps, *((mask, "mask", 50.0) for mask in masks)]))
    covers = [shape for shape, _, _ in keeps]
    for (shape, _, ratio), found in zip(zones, report.zones.values(), strict=True):
        kept = by_inclusion_and_exclusion(shape, covers)
        assert found.drawn_mm2 == pytest.approx(shape.area)
        assert found.surface_mm2 == pytest.approx(shape.area * ratio)
        assert found.kept_drawn_mm2 == pytest.approx(kept, abs=1e-6)
        assert found.kept_surface_mm2 == pytest.approx(kept * ratio, abs=1e-6)
        assert found.margin_drawn_mm2 == 0
    for part, held in report.by_part.items():
        mine = [found for (_, p, _), found in zip(zones, report.zones.values(), strict=True) if p == part]
        assert held.kept_surface_mm2 == pytest.approx(sum(found.kept_surface_mm2 for found in mine))
    assert set(report.by_part) == {part for _, part, _ in zones}
    assert report.totals.drawn_mm2 == pytest.approx(sum(held.drawn_mm2 for held in report.by_part.values()))


@settings(deadline=None)
@given(ZONES, st.lists(st.tuples(stars(), st.just("keep"), st.floats(1, 60)), min_size=1, max_size=4))
def test_margins_equal_those_by_inclusion_and_exclusion(zones, keeps):
    # |zone ∩ ∪(band ∪ keep)| − |zone ∩ ∪ keep|, each by inclusion and exclusion; a buffer holds what it is round.
    report = areas_of(record(zones, keeps))
    wide = [shape.buffer(margin, quad_segs=64) for shape, _, margin in keeps]
    for (shape, _, _), found in zip(zones, report.zones.values(), strict=True):
        both = by_inclusion_and_exclusion(shape, wide)
        kept = by_inclusion_and_exclusion(shape, [keep for keep, _, _ in keeps])
        assert found.margin_drawn_mm2 == pytest.approx(both - kept, abs=1e-5)


@settings(deadline=None)
@given(ZONES, KEEPS, st.floats(-180, 180), st.floats(-1e4, 1e4), st.booleans())
def test_areas_and_boundaries_do_not_depend_on_where_a_drawing_lies(zones, keeps, turn_deg, move, mirrored):
    def placed(shape):
        shape = shapely.affinity.scale(shape, -1, 1, origin=(0, 0)) if mirrored else shape
        return shapely.affinity.translate(shapely.affinity.rotate(shape, turn_deg, origin=(0, 0)), move, -move)

    one = areas_of(record(zones, keeps))
    other = areas_of(record([(placed(z), *rest) for z, *rest in zones], [(placed(k), *rest) for k, *rest in keeps]))
    for a, b in zip(one.zones.values(), other.zones.values(), strict=True):
        assert (b.drawn_mm2, b.kept_drawn_mm2) == pytest.approx((a.drawn_mm2, a.kept_drawn_mm2), rel=1e-9, abs=1e-5)
    for shape, _, _ in zones:
        here, there = (
            sorted(piece.length_mm for piece in boundary_pieces(from_shapely(s), in_force())) for s in (shape, placed(shape))
        )
        assert there == pytest.approx(here, abs=1e-6)
        assert sum(here) == pytest.approx(shape.length)


@given(ZONES, stars())
@settings(deadline=None)
def test_a_preview_is_what_the_area_takes_once_it_is_kept(zones, shape):
    preview = area_preview(record(zones, []), "d", from_shapely(shape))
    saved = areas_of(record(zones, [(shape, "keep", None)]))
    for zone_id, found in saved.zones.items():
        told = preview.get(zone_id)
        assert (told.drawn_mm2 if told else 0) == pytest.approx(found.kept_drawn_mm2, abs=1e-6)
        assert (told.surface_mm2 if told else 0) == pytest.approx(found.kept_surface_mm2, abs=1e-6)


def test_a_schematic_drawing_gives_estimates():
    zones = [(shapely.box(0, 0, 10, 10), "p", 1.0)]
    assert areas_of(record(zones, [], "schematic")).as_json()["zones"]["z0"]["estimate"] is True
    assert areas_of(record(zones, [], "measured")).as_json()["zones"]["z0"]["estimate"] is False
    assert areas_of(record(zones, [])).as_json()["zones"]["z0"]["estimate"] is False


def test_areas_on_another_drawing_are_not_kept_here():
    base = record([(shapely.box(0, 0, 10, 10), "p", 1.0)], [(shapely.box(0, 0, 5, 10), "keep", None)])
    elsewhere = base.with_kind("area", [base.areas[0].model_copy(update={"drawing_id": "other"})])
    assert areas_of(base).totals.kept_pct == 50
    assert areas_of(elsewhere).totals.kept_pct == 0
    assert areas_of(record([], [])).totals.kept_pct is None


def test_the_printed_object_has_the_agreed_keys_and_no_others():
    held = areas_of(record([(shapely.box(0, 0, 9, 9), "p", 1.0)], [])).as_json()
    sums = {"drawn_mm2", "surface_mm2", "kept_drawn_mm2", "kept_surface_mm2"}
    assert set(held) == {"zones", "totals", "by_part"}
    assert set(held["zones"]["z0"]) == sums | {"margin_drawn_mm2", "estimate"}
    assert set(held["totals"]) == set(held["by_part"]["p"]) == sums


def test_shape_and_geometry_are_the_same_numbers():
    ring = [(0.1 + 0.2, 1 / 3), (1e6 / 7, 0), (5, 1e-9)]
    shape = from_shapely(shapely.Polygon(ring))
    assert {spot for held in shape.rings() for spot in held} == set(ring)
    assert from_shapely(to_shapely(shape)) == shape
