"""GeoJSON outlines in: the unit is asked, degrees are refused, and what a file says of zones is handed on."""

from __future__ import annotations

import json

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.exchange.features import PLANE_WORDS
from bodymap.exchange.geojson_outline import read_geojson_outline
from bodymap.exchange.sketch import Choice
from bodymap.geometry.convert import to_shapely
from bodymap.settings import in_force
from tests.folders import box

SETTINGS = in_force()


def collection(*features, **members) -> bytes:
    made = [{"type": "Feature", "properties": properties, "geometry": geometry} for properties, geometry in features]
    return json.dumps({"type": "FeatureCollection", "features": made, **members}).encode()


DOOR = ({"zone_id": "door", "part_id": "door_L", "face": "outer", "name": "Left door"}, box(0, 0, 1.2, 1))
GLASS = ({"kind": "glass"}, box(0.2, 0.5, 0.5, 0.3))
LINE = ({"layer": "shut lines"}, {"type": "LineString", "coordinates": [[0, 0, 5], [0, 1, 5]]})


# 1 inch is 25.4 mm exactly (NIST SP 811, appendix B; from memory, not seen)
@pytest.mark.parametrize(("unit", "mm"), [("mm", 1), ("m", 1000), ("inch", 25.4)])
def test_lengths_are_as_the_user_says(unit, mm):
    outline = read_geojson_outline(collection(DOOR, GLASS, LINE), unit, SETTINGS)
    assert [path.role for path in outline.shapes] == ["zone", "glass", "shut_line"]
    assert outline.shapes[0].bounds == pytest.approx((0, 0, 1.2 * mm, mm))
    assert outline.trusted_scale
    assert unit in outline.scale_from


@pytest.mark.parametrize("unit", [None, "", "cm", "degree"])
def test_a_unit_is_never_guessed(unit):
    with pytest.raises(BodymapError, match=r"found no unit.*allowed: mm, m, inch"):
        read_geojson_outline(collection(DOOR), unit, SETTINGS)


@pytest.mark.parametrize(
    "crs",
    [
        {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}},
        {"type": "name", "properties": {"name": "EPSG:4326"}},
        {"type": "name", "properties": {"name": "something local"}},  # and numbers that look like degrees
    ],
)
def test_degrees_are_refused_in_words(crs):
    with pytest.raises(BodymapError, match=r"longitude and latitude.*allowed: a flat drawing"):
        read_geojson_outline(collection(DOOR, crs=crs), "m", SETTINGS)


def test_a_plane_coordinate_system_with_plane_numbers_is_let_in():
    large = ({"name": "body"}, box(2000, 3000, 4000, 1500))
    crs = {"type": "name", "properties": {"name": "local plane"}}
    assert len(read_geojson_outline(collection(large, crs=crs), "mm", SETTINGS).shapes) == 1


def test_a_file_that_says_it_is_in_millimetres_is_not_read_as_metres():
    with pytest.raises(BodymapError, match="says it is in millimetres"):
        read_geojson_outline(collection(DOOR, plane=PLANE_WORDS), "m", SETTINGS)
    assert read_geojson_outline(collection(DOOR, plane=PLANE_WORDS), "mm", SETTINGS).shapes


def test_numbers_too_large_for_a_vehicle_are_refused_with_the_unit():
    far = ({"name": "body"}, box(500_000, 5_000_000, 4, 2))
    with pytest.raises(BodymapError, match="read as m; allowed: within"):
        read_geojson_outline(collection(far), "m", SETTINGS)


def test_all_faults_are_told_at_once():
    data = json.dumps({"type": "FeatureCollection", "features": [
        {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [0, 0]]]}},
        "hello",
        {"type": "Feature", "properties": {}, "geometry": {"type": "Circle", "coordinates": []}},
    ]}).encode()  # fmt: skip
    with pytest.raises(Faults) as caught:
        read_geojson_outline(data, "mm", SETTINGS)
    assert [fault.row for fault in caught.value.faults] == [1, 2, 3]


@pytest.mark.parametrize("data", [b"[]", b"{}", b'{"type": "Point", "coordinates": [0, 0]}', b"no", b"\xff\xfe"])
def test_what_is_no_outline_is_told(data):
    with pytest.raises(BodymapError, match="allowed"):
        read_geojson_outline(data, "mm", SETTINGS)


def test_what_the_file_says_of_a_zone_is_handed_on_to_be_confirmed():
    (path,) = read_geojson_outline(collection(DOOR), "m", SETTINGS).shapes
    assert path.told == {"zone_id": "door", "part_id": "door_L", "face": "outer"}
    outline = read_geojson_outline(collection(DOOR), "m", SETTINGS)
    (zone,) = outline.to_entries("left", {"p1": Choice("zone", name=path.name, **path.told)})
    assert (zone.zone_id, zone.part_id, zone.face, zone.name) == ("door", "door_L", "outer", "Left door")
    assert to_shapely(zone.shape).area == pytest.approx(1_200_000)


@given(st.lists(st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000)), min_size=1, max_size=4, unique=True))
def test_holes_and_several_polygons_come_in_whole(corners):
    rings = []
    for number, (x, y) in enumerate(corners):
        outer, inner = box(x, y + 20_000 * number, 100, 100), box(x + 25, y + 20_000 * number + 25, 50, 50)
        rings.append([outer["coordinates"][0], inner["coordinates"][0][::-1]])
    data = collection(({"name": "body"}, {"type": "MultiPolygon", "coordinates": rings}))
    (path,) = read_geojson_outline(data, "mm", SETTINGS).shapes
    assert to_shapely(path.surface()).area == pytest.approx(7500 * len(corners))
    assert shapely.get_num_geometries(to_shapely(path.surface())) == len(corners)
