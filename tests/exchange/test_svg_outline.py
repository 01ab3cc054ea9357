"""SVG in: roles by names, scale that is trusted or not, curves within their chord error, and what becomes an entry."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.exchange.sketch import Choice
from bodymap.exchange.sketch_roles import ROLES, suggested_role
from bodymap.exchange.svg_outline import read_svg
from bodymap.geometry.calibrate import from_two_points
from bodymap.geometry.convert import to_shapely
from bodymap.model import OutlineShape, Setting, Zone
from bodymap.settings import in_force

SIZE = 'width="400mm" height="200mm" viewBox="0 0 4000 2000"'


def svg(body: str, head: str = SIZE) -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:layers="urn:layers" {head}>{body}</svg>'.encode()


def read(body: str, head: str = SIZE, chord_mm: float = 0.05):
    own = Setting(key="curve_chord_error_mm", value=str(chord_mm), basis="own trial")
    return read_svg(svg(body, head), in_force([own]), "car.svg")


DRAWING = """
  <g layers:label="Body"><path id="outline" d="M100 1500 L3900 1500 L3900 500 L100 500 Z"/></g>
  <g id="Glass"><rect id="r1" x="1000" y="600" width="500" height="300" rx="40"/></g>
  <g id="wheels"><circle id="front" cx="800" cy="1500" r="300"/></g>
  <g id="shut_lines"><path id="l1" d="M1500 500 V1500"/></g>
  <g id="zones"><polygon id="door_L" points="1500,500 2500,500 2500,1500 1500,1500"/>
    <path id="open" d="M2600 500 L3000 500 L3000 900"/></g>
  <path id="p77" d="M0 0 L10 0"/>
"""


def test_every_path_is_listed_with_what_it_may_be_where_it_is_and_how_long():
    outline = read(DRAWING)
    assert [(path.name, path.role) for path in outline.shapes] == [
        ("outline", "body"), ("r1", "glass"), ("front", "wheel"), ("l1", "shut_line"), ("door_L", "zone"), ("open", "zone"),
        ("p77", None),
    ]  # fmt: skip
    door = outline.shapes[4]
    # 4000 units are 400 mm: a tenth; y up from the lower edge of 200 mm
    assert door.bounds == pytest.approx((150, 50, 250, 150), abs=1e-3)
    assert door.length_mm == pytest.approx(400, abs=1e-3)
    assert [path.closed for path in outline.shapes] == [True, True, True, False, True, False, False]
    assert outline.shapes[2].length_mm == pytest.approx(2 * math.pi * 30, rel=2e-3)
    assert "1 of 7 paths have no name that tells what they are" in outline.notes


@pytest.mark.parametrize(
    ("head", "trusted"),
    [
        (SIZE, True),
        ('width="40cm" height="20cm" viewBox="0 0 4 2"', True),
        ('width="400mm" viewBox="0 0 4000 2000"', False),
        ('height="200mm" viewBox="0 0 4000 2000"', False),
        ('viewBox="0 0 4000 2000"', False),
        ('width="400" height="200" viewBox="0 0 4000 2000"', False),
        ('width="400px" height="200px" viewBox="0 0 4000 2000"', False),
        ('width="100%" height="200mm" viewBox="0 0 4000 2000"', False),
        ('width="400mm" height="200mm"', False),
        ('width="400mm" height="100mm" viewBox="0 0 4000 2000" preserveAspectRatio="none"', False),
        ("", False),
    ],
)
def test_a_scale_is_trusted_only_where_width_and_height_are_physical(head, trusted):
    outline = read(DRAWING, head)
    assert outline.trusted_scale is trusted
    assert outline.needs_calibration is not trusted
    assert bool(outline.scale_from) is trusted
    assert any("set two points of known distance" in note for note in outline.notes) is not trusted


@given(st.floats(20, 3000), st.floats(0.005, 2))
def test_a_circle_is_drawn_within_the_chord_error(radius, chord_mm):
    (path,) = read(f'<circle cx="2000" cy="1000" r="{radius * 10}"/>', chord_mm=chord_mm).shapes
    ring = shapely.LineString(path.lines[0])
    centre = shapely.Point(200, 100)
    # the farthest places of a chord from the circle are its middle, inside, and its ends, on it
    assert ring.distance(centre) >= radius - chord_mm - 1e-3
    assert max(centre.distance(shapely.Point(spot)) for spot in path.lines[0]) == pytest.approx(radius, rel=1e-6, abs=1e-3)


def test_a_curve_is_made_into_points_after_the_scale_is_known():
    """Ten times larger, a curve of the same chord error takes about √10 times the points, and stays within it."""
    outline = read('<circle cx="200" cy="100" r="50"/>', 'viewBox="0 0 400 200"')
    (small,) = outline.shapes
    (large,) = outline.calibrated(from_two_points((0, 0), (10, 0), 1000)).shapes
    assert large.bounds[2] - large.bounds[0] == pytest.approx(100 * (small.bounds[2] - small.bounds[0]), rel=1e-9)
    ring = shapely.Polygon(large.lines[0])
    radius = (large.bounds[2] - large.bounds[0]) / 2
    assert ring.exterior.distance(ring.centroid) > radius - 0.06
    assert len(large.lines[0]) > 5 * len(small.lines[0])


def test_calibrated_by_two_points_it_is_known_and_true_to_them():
    outline = read(DRAWING, 'viewBox="0 0 4000 2000"')
    door = outline.shapes[4].bounds
    calibrated = outline.calibrated(from_two_points((door[0], door[1]), (door[2], door[1]), 950, first_to=(1200, 300)))
    left, low, right, _ = calibrated.shapes[4].bounds
    assert (left, low, right) == pytest.approx((1200, 300, 2150))
    assert calibrated.trusted_scale
    assert "950 mm" in calibrated.scale_from


def test_what_is_chosen_becomes_entries_and_the_rest_is_left_out():
    outline = read(DRAWING)
    entries = outline.to_entries(
        "left",
        {"p1": Choice("body", name="Silhouette"), "p4": Choice("shut_line"),
         "p5": Choice("zone", zone_id="door", part_id="door_L", face="outer")},
    )  # fmt: skip
    body, shut, door = entries
    assert isinstance(body, OutlineShape)
    assert (body.kind, body.name, body.shape.type, body.drawing_id) == ("body", "Silhouette", "Polygon", "left")
    assert (shut.kind, shut.shape.type) == ("shut_line", "LineString")
    assert isinstance(door, Zone)
    assert (door.zone_id, door.part_id, door.face) == ("door", "door_L", "outer")
    assert to_shapely(door.shape).area == pytest.approx(10_000, rel=1e-5)


def test_everything_wrong_with_the_choices_is_told_at_once():
    outline = read(DRAWING)
    with pytest.raises(Faults) as caught:
        outline.to_entries(
            "left",
            {
                "p5": Choice("zone", zone_id="door"),
                "p6": Choice("zone", zone_id="a b", part_id="p", face="side"),
                "p99": Choice("body"),
                "p1": Choice("hull"),  # type: ignore[arg-type]
            },
        )
    told = str(caught.value)
    for words in ("a zone without a part", "a zone without a face", "'side'", "its ends are", "'p99'", "p1 to p7", "'hull'"):
        assert words in told
    closed = outline.to_entries("left", {"p6": Choice("zone", zone_id="z", part_id="p", face="outer", close=True)})
    assert to_shapely(closed[0].shape).area == pytest.approx(0.5 * 40 * 40, rel=1e-5)  # the triangle closed straight


def test_two_zones_of_one_id_are_a_fault():
    choice = Choice("zone", zone_id="z", part_id="p", face="outer", close=True)
    with pytest.raises(Faults, match="'z' twice"):
        read(DRAWING).to_entries("left", {"p5": choice, "p6": choice})


@pytest.mark.parametrize(
    ("rule", "path", "area"),
    [
        # SVG 1.1 section 11.3, fill-rule: of two squares one within the other
        ("evenodd", "M0 0H100V100H0Z M20 20H80V80H20Z", 10_000 - 3600),
        ("nonzero", "M0 0H100V100H0Z M20 20H80V80H20Z", 10_000),
        ("nonzero", "M0 0H100V100H0Z M20 20V80H80V20Z", 10_000 - 3600),
        ("nonzero", "M0 0H100V100H0Z M20 20V80H80V20Z M30 30H70V70H30Z", 10_000 - 3600 + 1600),
        ("evenodd", "M0 0H100V100H0Z M200 0H300V100H200Z", 20_000),
    ],
)
def test_holes_are_as_the_fill_rule_has_them(rule, path, area):
    (shape,) = read(f'<path fill-rule="{rule}" d="{path}"/>', 'width="400mm" height="400mm" viewBox="0 0 400 400"').shapes
    assert to_shapely(shape.surface()).area == pytest.approx(area, rel=1e-5)


def test_a_line_that_crosses_itself_encloses_nothing_that_can_be_used():
    (path,) = read('<path id="bow" d="M0 0L100 100L100 0L0 100Z"/>').shapes
    assert "crosses itself" in str(path.fault)
    with pytest.raises(BodymapError, match="crosses itself"):
        path.surface()
    assert path.outline().type == "LineString"


def test_what_is_left_out_is_noted():
    outline = read(
        '<text>T</text><image href="a.png"/><g clip-path="url(#c)"><rect width="5" height="5"/></g>'
        '<use href="other.svg#a"/><rect id="gone" width="3" height="3" style="display:none"/>'
        '<path id="torn" d="M0 0L5 5 ? L9 9"/>'
    )
    told = "\n".join(outline.notes)
    for words in ("text:", "pictures", "clipping", "nothing outside this file is read", "gone", "torn: signs"):
        assert words in told
    assert [path.name for path in outline.shapes] == ["", "torn"]


def test_names_of_a_reference_tell_what_it_is():
    outline = read('<defs><circle id="c1" r="5"/></defs><g id="Lamps"><use href="#c1" x="100" y="100"/></g>')
    assert [(path.role, path.groups[-1]) for path in outline.shapes] == [("lamp", "Lamps")]


@pytest.mark.parametrize(
    ("name", "role"),
    [
        ("Rear door glass", "glass"), ("door_handle", "trim"), ("wheel arch", "body_line"), ("shutLine_03", "shut_line"),
        ("body line 2", "body_line"), ("BODY", "body"), ("Left_x20_door", "zone"), ("layer1", None), ("path 22", None),
        ("headlamp rim", "wheel"), ("tyre", "wheel"), ("waist-line", "body_line"), ("", None),
    ],
)  # fmt: skip
def test_the_last_word_of_a_name_tells(name, role):
    assert suggested_role([(name,)])[0] == role


def test_every_role_can_be_told_by_its_own_name():
    for role in ROLES:
        assert suggested_role([(role,)])[0] == role
