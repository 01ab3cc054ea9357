"""Left against right: pairs found by geometry or name, differences only beyond the uncertainty."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.film.sides import compare_sides
from bodymap.film.twins import mirrors, zone_pairs
from bodymap.model import Drawing
from bodymap.settings import in_force
from tests.film.cases import box, part, reading, record, zone

SETTINGS = in_force()
TWINS = (
    Drawing(drawing_id="near", name="Left side", kind="outside"),
    Drawing(drawing_id="far", name="Right side", kind="outside", mirror_of="near"),
)
# x, y, width, height of three panels of the left side
PANELS = {"wing": (100, 300, 700, 500), "door": (820, 200, 900, 1100), "flank": (1740, 250, 2000, 1200)}


def twins(total=4000.0, up=0.0, names=lambda name: f"{name}_other", skip=()):
    left = [zone(name, box(*at), "near", part="a") for name, at in PANELS.items()]
    right = [
        zone(names(name), box(total - x - w, y + up, w, h), "far", part="b")
        for name, (x, y, w, h) in PANELS.items()
        if name not in skip
    ]
    return left, right


def compared(left_um, right_um, *, substrates=("steel", "steel"), spread=0.0):
    left, right = twins()
    readings = [
        reading(f"{zone_id}{n}", zone_id, um + spread * (-1) ** n)
        for zone_id, um in (("door", left_um), ("door_other", right_um))
        if um
        for n in range(9)
    ]
    parts = [part("a", substrates[0]), part("b", substrates[1])]
    return compare_sides(record([*left, *right], parts=parts, drawings=TWINS, readings=readings), SETTINGS)


@given(st.floats(-5000, 9000), st.floats(-300, 300))
def test_pairs_are_found_wherever_the_mirror_line_lies(total, up):
    left, right = twins(total, up)
    rec = record([*right, *left], parts=[part("a"), part("b")], drawings=TWINS)
    (mirror,) = mirrors(rec)
    assert (mirror.left_drawing, mirror.right_drawing) == ("near", "far")
    assert (mirror.sum_mm, mirror.up_mm) == pytest.approx((total, up), abs=1e-6)
    assert [(pair.left, pair.right, pair.by) for pair in zone_pairs(rec, SETTINGS)] == [
        (name, f"{name}_other", "geometry") for name in PANELS
    ]


def test_a_panel_of_one_side_only_has_no_pair_and_spoils_none():
    left, right = twins(skip=("flank",))
    extra = zone("flap", box(3300, 2000, 333, 444), "far", part="b")
    rec = record([*left, *right, extra], parts=[part("a"), part("b")], drawings=TWINS)
    assert [(pair.left, pair.right) for pair in zone_pairs(rec, SETTINGS)] == [
        ("wing", "wing_other"),
        ("door", "door_other"),
    ]


def test_a_panel_cut_short_is_still_its_pair_and_one_cut_in_half_is_not():
    for width, found in ((1500, True), (900, False)):
        left, right = twins(skip=("flank",))
        cut = zone("flank_other", box(4000 - 1740 - 2000, 250, width, 1200), "far", part="b")
        rec = record([*left, *right, cut], parts=[part("a"), part("b")], drawings=TWINS)
        assert (("flank", "flank_other") in [(pair.left, pair.right) for pair in zone_pairs(rec, SETTINGS)]) is found


def test_unlike_panels_alone_are_no_pair():
    # One zone a side, of like area but another form: nothing else tells the mirror line.
    rec = record([zone("door", box(0, 0, 1000, 800), "near"), zone("lid", box(0, 0, 800, 1000), "far")], drawings=TWINS)
    assert zone_pairs(rec, SETTINGS) == ()


def test_the_side_called_left_is_left_whichever_drawing_mirrors_the_other():
    turned = (
        Drawing(drawing_id="near", name="Left side", kind="outside", mirror_of="far"),
        Drawing(drawing_id="far", name="Right side", kind="outside"),
    )
    left, right = twins()
    rec = record([*left, *right], parts=[part("a"), part("b")], drawings=turned)
    assert {pair.left for pair in zone_pairs(rec, SETTINGS)} == set(PANELS)


@pytest.mark.parametrize(
    ("left", "right"),
    [
        ("doorL_skin", "doorR_skin"),
        ("hinge_L", "hinge_R"),
        ("L_wing", "R_wing"),
        ("left_door", "right_door"),
        ("LH-1", "RH-1"),
        ("leftDoor", "rightDoor"),
    ],
)
def test_on_one_drawing_pairs_go_by_name(left, right):
    rec = record([zone(right, box(900, 0, 400, 500)), zone(left, box(0, 0, 400, 500))])
    assert [(pair.left, pair.right, pair.by) for pair in zone_pairs(rec, SETTINGS)] == [(left, right, "name")]


@pytest.mark.parametrize(
    ("one", "other"), [("sill", "sirr"), ("Lid", "Rid"), ("wall_L_L", "wall_R_R"), ("a", "b"), ("bulkL", "bulkR_2")]
)
def test_names_that_only_look_so_are_no_pair(one, other):
    assert zone_pairs(record([zone(one, box(0, 0, 9, 9)), zone(other, box(20, 0, 9, 9))]), SETTINGS) == ()


def test_a_name_pair_of_unlike_size_or_face_is_none():
    assert zone_pairs(record([zone("a_L", box(0, 0, 9, 9)), zone("a_R", box(20, 0, 4, 9))]), SETTINGS) == ()
    assert zone_pairs(record([zone("a_L", box(0, 0, 9, 9)), zone("a_R", box(20, 0, 9, 9), face="jamb")]), SETTINGS) == ()


# The gauge is good to 10 % (ASTM E376-11 note 2) on both sides: 214 and 254 µm differ by 40 ± √(21.4² + 25.4²) = 33 µm.
@pytest.mark.parametrize(
    ("left_um", "right_um", "verdict"),
    [(214, 254, "left thinner"), (254, 214, "left thicker"), (225, 254, "alike"), (254, 254, "alike")],
)
def test_a_difference_counts_only_beyond_both_uncertainties(left_um, right_um, verdict):
    (side,) = compared(left_um, right_um).compared
    assert (side.left, side.right, side.verdict) == ("door", "door_other", verdict)
    assert side.difference_um == left_um - right_um
    assert side.u_um == pytest.approx(math.hypot(0.1 * left_um, 0.1 * right_um))


def test_scatter_widens_the_uncertainty():
    (even,), (uneven,) = compared(214, 254).compared, compared(214, 254, spread=30.0).compared
    assert even.verdict == "left thinner"
    assert uneven.verdict == "alike"
    assert uneven.u_um > even.u_um


def test_one_side_unread_cannot_tell():
    (side,) = compared(214, None).compared
    assert (side.verdict, side.difference_um, side.left_um) == ("cannot tell", None, 214)
    assert side.why == "no reading that counts on door_other"


def test_unlike_substrates_are_not_compared():
    sides = compared(214, 254, substrates=("steel", "aluminium"))
    assert sides.compared == ()
    assert [(one.left, one.right, one.why) for one in sides.left_out] == [
        ("door", "door_other", "unlike substrates: steel and aluminium")
    ]


def test_the_greatest_difference_comes_first():
    left, right = twins()
    film = {"wing": 250, "wing_other": 254, "door": 214, "door_other": 254, "flank": 254}
    readings = [reading(f"r_{zone_id}", zone_id, float(um)) for zone_id, um in film.items()]
    rec = record([*left, *right], parts=[part("a"), part("b")], drawings=TWINS, readings=readings)
    assert [side.left for side in compare_sides(rec, SETTINGS).compared] == ["door", "wing", "flank"]
