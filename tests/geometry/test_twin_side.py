"""A side turned into its twin: shapes mirror, evidence does not, lettering is asked about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.proposal import applied
from bodymap.geometry.twin_side import other_side, twin_side
from bodymap.model import Area, Coat, Datum, Finding, Line, OutlineShape, Part, Stack
from bodymap.model.check import reference_faults
from tests.geometry.drawn import line, point, record, square, zone


def sided():
    return record(
        Part(part_id="wing_L", name="Left wing", substrate="aluminium", removable=True, marks="7, flange", first_coat="red"),
        Coat(coat_id="red", name="Red", kind="colour"),
        zone("wingL_side", square(0, 0, 100, 50), part="wing_L", name="Left wing, side", surface_ratio=1.15,
             surface_ratio_from="two girths", intent="keep"),
        zone("roof_left", square(100, 40, 300, 10), name="Roof, left edge"),
        zone("field_left", square(100, 0, 300, 40), name="Left side, lettered field"),
        OutlineShape(drawing_id="left", kind="wheel", name="front wheel", shape=square(10, -20, 40, 40)),
        OutlineShape(drawing_id="left", kind="trim", name="maker's badge", shape=square(60, 10, 5, 5)),
        Datum(datum_id="dt_L_hinge", drawing_id="left", name="Left hinge pin", shape=point(100, 25)),
        Area(area_id="keep_left", drawing_id="left", purpose="keep", origin="original", edge="hard", margin=5,
             reason="first coat", shape=square(5, 5, 10, 10)),
        Area(area_id="ghost_left", drawing_id="left", purpose="mask", shape=square(190, 0, 40, 40)),
        Finding(finding_id="f1", drawing_id="left", kind="ghost", note="SEEDS", shape=square(200, 10, 20, 10)),
        Finding(finding_id="f2", drawing_id="left", kind="dent", shape=point(30, 30)),
        Finding(finding_id="f3", drawing_id="left", kind="other", note="not placed yet"),
        Line(line_id="l1", drawing_id="left", width=4, shape=line((0, 45), (100, 46))),
        Stack(stack_id="s", zone_id="wingL_side", x=10, y=10, method="window", reaches_substrate=True),
    )  # fmt: skip


def test_shapes_parts_and_datums_mirror_and_evidence_stays():
    held = sided()
    twin = twin_side(held, "left", "right")
    after = applied(held, twin.proposal)
    assert list(reference_faults(after, lambda entry: (entry.KIND, 0))) == []
    right = after.drawing["right"]
    assert (right.name, right.mirror_of, right.kind) == ("Right side", "left", "outside")
    wing = after.zone["wingR_side"]
    assert (wing.part_id, wing.name, wing.face) == ("wing_R", "Right wing, side", "outer")
    # drawn from 0 to 400: what was at 0..100 is at 300..400
    assert to_shapely(wing.shape).bounds == (300, 0, 400, 50)
    assert (wing.surface_ratio, wing.intent) == (1.15, None)
    assert "taken over from Left wing, side" in wing.surface_ratio_from
    part = after.part["wing_R"]
    assert (part.name, part.substrate, part.removable, part.marks, part.first_coat) == (
        "Right wing",
        "aluminium",
        True,
        None,
        None,
    )
    assert after.zone["roof_right"].part_id == "side"  # a part both sides share
    assert (after.datum["dt_R_hinge"].name, after.datum["dt_R_hinge"].shape) == ("Right hinge pin", point(300, 25))
    assert (after.findings, after.lines, after.stacks) == (held.findings, held.lines, held.stacks)


def test_a_kept_area_on_the_twin_claims_nothing_and_is_asked_about():
    twin = twin_side(sided(), "left", "right")
    (kept,) = [entry for entry in twin.proposal.put if isinstance(entry, Area)]
    assert (kept.area_id, kept.origin, kept.reason, kept.margin) == ("keep_right", None, None, 5)
    assert any("area keep_left" in question for question in twin.proposal.questions)


def test_lettering_is_never_turned_round():
    twin = twin_side(sided(), "left", "right")
    asked = "\n".join(twin.proposal.questions)
    for words in ("maker's badge", "lettered field", "area ghost_left", "finding f1"):
        assert words in asked
    names = [entry.name for entry in twin.proposal.put if isinstance(entry, OutlineShape)]
    assert names == ["front wheel"]
    assert "ghost_right" not in [entry.ident for entry in twin.proposal.put]


def test_lines_and_findings_come_back_as_positions_to_look_at():
    positions = {position.ident: position for position in twin_side(sided(), "left", "right").positions}
    assert set(positions) == {"l1", "f1", "f2"}
    assert positions["f2"].shape == point(370, 30)
    assert positions["l1"].shape == line((400, 45), (300, 46))


@given(st.floats(-1000, 1000), st.lists(st.tuples(st.floats(0, 900), st.floats(1, 90)), min_size=1, max_size=4))
def test_turned_twice_a_side_is_what_it_was(axis, columns):
    zones = [zone(f"z{n}_left", square(x + 1000 * n, 0, width, 10)) for n, (x, width) in enumerate(columns)]
    held = record(*zones)
    once = applied(held, twin_side(held, "left", "right", axis_x=axis).proposal)
    areas = [[to_shapely(z.shape).area for z in once.zones_on[side]] for side in ("left", "right")]
    assert areas[0] == pytest.approx(areas[1])
    back = applied(
        once, twin_side(once, "right", "again", axis_x=axis, twin_of={f"z{n}_right": f"z{n}_x" for n in range(4)}).proposal
    )
    for before, after in zip(held.zones, back.zones_on["again"], strict=True):
        assert to_shapely(after.shape).bounds == pytest.approx(to_shapely(before.shape).bounds, abs=1e-6)


def test_what_is_there_already_is_never_written_over():
    held = applied(sided(), twin_side(sided(), "left", "right").proposal)
    with pytest.raises(Faults) as caught:
        twin_side(held, "left", "right")
    assert {fault.subject for fault in caught.value.faults} == {
        "wingR_side", "roof_right", "field_right", "dt_R_hinge", "keep_right",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("side", "to", "words"),
    [("nowhere", "right", "no drawing"), ("faces", "right", "hidden faces"), ("left", "left", "its own twin")],
)
def test_what_has_no_twin_is_told(side, to, words):
    with pytest.raises(BodymapError, match=words):
        twin_side(sided(), side, to)
    with pytest.raises(BodymapError, match="nothing drawn"):
        twin_side(record(), "left", "right")


@pytest.mark.parametrize(
    ("ident", "other"),
    [("door_L", "door_R"), ("doorR_skin", "doorL_skin"), ("left_wing", "right_wing"), ("LEFT_wing", "RIGHT_wing"),
     ("Lamp", None), ("bonnet", None), ("dt_L_waist", "dt_R_waist"), ("offside_wing", "nearside_wing"), ("cutoff", None)],
)  # fmt: skip
def test_an_id_tells_its_side(ident, other):
    assert other_side(ident) == other
