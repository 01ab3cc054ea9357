"""The panel sheet: everything in its place, every zone found by a touch, no label over another."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.geometry.convert import to_shapely
from bodymap.model import Finding, Line, OutlineShape, Record, Vehicle
from bodymap.model.shapes import Shape
from bodymap.settings import in_force
from bodymap.views.labels import LabelDesk
from bodymap.views.picks import DEPTH_PX, TRUE_FROM_PX, picks_in
from bodymap.views.sheet import SheetChoice, lay_out, sheet_view
from demo import VEHICLE_FOLDER

from ..dashboard.small import rectangle, small_record  # noqa: TID252 - tests are no package to import from

SMALL = small_record()
ALL_MARKS = frozenset({"kept", "findings", "readings", "lines", "datums", "stacks"})
TINTS = ("plain", "finish", "coat", "film", "not_seen")


@pytest.fixture(scope="module")
def van() -> Record:
    return read_folder(VEHICLE_FOLDER).record


def view_of(record: Record, kind="outside", tint="plain", marks=ALL_MARKS, **more):
    return sheet_view(record, SheetChoice(kind, tint, marks=marks, **more), in_force())


@pytest.mark.parametrize("kind", ["outside", "hidden"])
def test_zones_lie_where_the_layout_puts_them(van, kind):
    layout = lay_out(van, kind)
    view = view_of(van, kind)
    on_kind = [zone for zone in van.zones if layout.has(zone.drawing_id)]
    assert {zone.zone_id for zone in view.zones} == {zone.zone_id for zone in on_kind}
    for drawn in view.zones:
        place = layout.place_of(drawn.drawing_id)
        moved = shapely.transform(to_shapely(van.zone[drawn.zone_id].shape), lambda xy, p=place: xy + np.array([p.dx, p.dy]))
        rings = [shapely.Polygon(ring) for ring in drawn.rings]
        # Outer rings counter-clockwise, holes clockwise: signed areas add up to the area.
        signed = sum(ring.area * (1 if ring.exterior.is_ccw else -1) for ring in rings)
        assert signed == pytest.approx(moved.area, rel=1e-9)
        for (x, y), _ in zip(drawn.picks, drawn.spots, strict=True):
            assert moved.buffer(0.1).contains(shapely.Point(x, y))
        for part in shapely.get_parts(moved):
            assert any(part.buffer(0.1).contains(shapely.Point(pick)) for pick in drawn.picks)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1), st.sampled_from(["door_out", "side_out", "side_low"]))
def test_a_touch_away_from_edges_finds_its_own_zone(across, up, zone_id):
    shape = to_shapely(SMALL.zone[zone_id].shape).buffer(-25)
    x0, y0, x1, y1 = shape.bounds
    x, y = x0 + across * (x1 - x0), y0 + up * (y1 - y0)
    picks = [
        (shapely.Point(pick).distance(shapely.Point(x, y)), zone.zone_id)
        for zone in SMALL.zones_on["left"]
        for pick in picks_in(to_shapely(zone.shape), 8.0)
    ]
    assert min(picks)[1] == zone_id


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 1), st.floats(TRUE_FROM_PX, 40), st.floats(0.2, 15), st.booleans())
def test_at_an_even_edge_a_touch_finds_its_own_side(along, depth_px, mm_per_px, left):
    # Two surfaces of 120 × 300 pixels side by side; the row of places of each stands DEPTH_PX inside.
    wide, high = 120 * mm_per_px, 300 * mm_per_px
    sides = {True: shapely.box(-wide, 0, 0, high), False: shapely.box(0, 0, wide, high)}
    x = (-1 if left else 1) * (depth_px * 1.01) * mm_per_px
    y = (DEPTH_PX + along * (300 - 2 * DEPTH_PX)) * mm_per_px
    near = {side: min(np.hypot(px - x, py - y) for px, py in picks_in(box, mm_per_px)) for side, box in sides.items()}
    assert near[left] <= near[not left] + 0.1  # places are rounded to a tenth of a mm


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0.2, 15), st.sampled_from(["door_out", "side_out", "side_low"]))
def test_however_close_one_looks_a_place_is_in_reach_of_a_touch(across, up, mm_per_px, zone_id):
    reach_px = 34  # as far as the browser looks for one
    shape = to_shapely(SMALL.zone[zone_id].shape)
    x0, y0, x1, y1 = shape.bounds
    spot = shapely.Point(x0 + across * (x1 - x0), y0 + up * (y1 - y0))
    if shape.contains(spot):
        assert min(spot.distance(shapely.Point(pick)) for pick in picks_in(shape, mm_per_px)) <= reach_px * mm_per_px


@settings(max_examples=50, deadline=None)
@given(st.floats(0.5, 3000), st.floats(0.5, 3000))
def test_the_smallest_sliver_can_be_touched(wide, high):
    box = shapely.box(0, 0, wide, high)
    picks = picks_in(box, 10.0)
    assert picks
    assert all(box.buffer(0.06).contains(shapely.Point(pick)) for pick in picks)


@pytest.mark.parametrize("tint", TINTS)
@pytest.mark.parametrize("kind", ["outside", "hidden"])
def test_labels_never_lie_over_one_another(van, kind, tint):
    view = view_of(van, kind, tint, coat_id="c7")
    desk = LabelDesk(view.mm_per_px, view.bounds)
    boxes = [shapely.box(*desk.box(label)) for label in view.labels]
    for one, other in itertools.combinations(boxes, 2):
        assert one.intersection(other).area < 1e-6
    names = [label for label in view.labels if label.size != "caption"]
    sheet = shapely.box(*view.bounds)
    assert all(sheet.covers(shapely.box(*desk.box(label))) for label in names)


def test_closer_up_more_is_lettered(van):
    wide = view_of(van, marks=frozenset({"datums"}))
    close = view_of(van, marks=frozenset({"datums"}), mm_per_px=wide.mm_per_px / 4)
    assert len(close.labels) > len(wide.labels)


def test_outside_the_window_nothing_is_lettered(van):
    layout = lay_out(van, "outside")
    window = layout.bounds_of("left")
    view = view_of(van, marks=frozenset({"stacks"}), mm_per_px=5.0, window=window)
    names = [label for label in view.labels if label.size != "caption"]
    assert names
    assert all(window[0] <= label.x <= window[2] and window[1] <= label.y <= window[3] for label in names)


def test_every_mark_has_words(van):
    for kind in ("outside", "hidden"):
        view = view_of(van, kind)
        for mark in (*view.areas, *view.findings, *view.points, *view.lines, *view.near, *view.zones):
            assert mark.words
            assert all(line.strip() for line in mark.words)


def test_marks_are_drawn_only_when_asked_for(van):
    view = view_of(van, marks=frozenset())
    assert [*view.areas, *view.findings, *view.points, *view.lines, *view.near, *view.legend] == []


def test_a_kept_area_is_spoken_of_where_it_lies(van):
    view = view_of(van, marks=frozenset({"kept"}))
    layout = lay_out(van, "outside")
    place = layout.place_of("left")
    witness = shapely.transform(to_shapely(van.area["K4"].shape), lambda xy: xy + np.array([place.dx, place.dy]))
    for zone in view.zones:
        for pick, words in zip(zone.picks, zone.spots, strict=True):
            told = any("K4" in line for line in words)
            assert told == (zone.drawing_id == "left" and witness.intersects(shapely.Point(pick)))


def test_hatch_and_margin_of_a_kept_area():
    view = view_of(SMALL, marks=frozenset({"kept"}))
    (area,) = view.areas
    shape = shapely.Polygon(area.rings[0])
    assert shape.area == pytest.approx(200 * 60)
    assert shape.buffer(1e-6).covers(shapely.MultiLineString([shapely.LineString(line) for line in area.hatch]))
    # A band 50 mm wide round 200 × 60: its area is perimeter × 50 + π 50², less a little for the round corners.
    band = shapely.Polygon(area.margin[0]).area - shape.area
    assert band == pytest.approx(520 * 50 + 3.14159 * 2500, rel=0.005)
    assert {item.style for item in view.legend} == {"kept", "margin"}


def test_a_finding_without_a_place_is_told_of():
    record = replace(SMALL, findings=(Finding(finding_id="F9", drawing_id="left", kind="dent"),))
    view = view_of(record)
    assert view.findings == ()
    assert any("F9" in note for note in view.notes)


def test_lettering_stands_in_relief_and_other_findings_do_not():
    findings = (
        Finding(finding_id="G", drawing_id="left", kind="ghost", shape=rectangle(1500, 400, 1600, 500)),
        Finding(finding_id="D", drawing_id="left", kind="dent", shape=rectangle(100, 100, 200, 200)),
    )
    ghost, dent = view_of(replace(SMALL, findings=findings)).findings
    assert ghost.lit != ghost.shaded
    assert (*dent.lit, *dent.shaded) == ()
    assert (ghost.zone_id, dent.zone_id) == ("side_out", "door_out")


def test_readings_of_one_spot_are_one_mark_and_refused_ones_are_apart():
    spots = tuple(r.model_copy(update={"spot": "p1"}) for r in SMALL.readings)
    view = view_of(replace(SMALL, readings=spots), marks=frozenset({"readings"}))
    counted, refused = view.points
    # r1 and r2 count: 55 and 57 µm at x 1500 and 1600; r3 is by eddy current on steel.
    assert (counted.sign, counted.name) == ("reading", "56")
    assert counted.x - lay_out(SMALL, "outside").to_sheet("left", 1550, 0)[0] == pytest.approx(0)
    assert (refused.sign, refused.paint) == ("refused", "refused")
    assert any("steel" in line for line in refused.words)


def test_what_has_no_place_is_counted_not_lost():
    nowhere = tuple(r.model_copy(update={"x": None, "y": None}) for r in SMALL.readings)
    stacks = tuple(s.model_copy(update={"x": None, "y": None}) for s in SMALL.stacks)
    view = view_of(replace(SMALL, readings=nowhere, stacks=stacks), marks=frozenset({"readings", "stacks"}))
    assert any("Readings without a place, not drawn: 3" in note for note in view.notes)
    (spot,) = view.points
    assert "its place in the zone is not stated" in spot.words


def test_a_painted_line_keeps_its_colour():
    path = Shape.model_validate({"type": "LineString", "coordinates": [[0, 600], [3000, 600]]})
    line = Line(line_id="L1", drawing_id="left", width=4, colour="#efe6cb", hand="brush", shape=path)
    (mark,) = view_of(replace(SMALL, lines=(line,))).lines
    assert (mark.colour, mark.width_mm) == ("#efe6cb", 4)
    # A pointer finds its words along all of it.
    near = [point.x for point in view_of(replace(SMALL, lines=(line,)), marks=frozenset({"lines"})).near]
    assert max(near) - min(near) == pytest.approx(3000)
    # … and the zone it runs through just there.
    zones = {point.zone_id for point in view_of(replace(SMALL, lines=(line,)), marks=frozenset({"lines"})).near}
    assert zones == {"door_out", "side_out"}


def test_scale_bars_are_as_long_as_they_say(van):
    said = {"1 m": 1000, "0.5 m": 500, "0.2 m": 200, "0.1 m": 100}
    view = view_of(van)
    assert len(view.bars) == 5
    assert all(bar.length_mm == said[bar.words] for bar in view.bars)


def test_a_schematic_drawing_says_so():
    (caption,) = [label for label in view_of(SMALL, "hidden").labels if label.size == "caption"]
    assert "estimates" in caption.text.replace("\n", " ")


def test_wheels_stand_behind_the_body_unless_it_takes_them_in():
    def under(body_low):
        outline = (
            OutlineShape(drawing_id="left", kind="body", shape=rectangle(0, body_low, 3000, 1200)),
            OutlineShape(drawing_id="left", kind="wheel", shape=rectangle(300, -500, 800, 100)),
        )
        return [surface.paint for surface in view_of(replace(SMALL, outline=outline)).under]

    assert under(0) == ["wheel_0", "body"]
    assert under(-600) == ["body", "wheel_0"]


@pytest.mark.parametrize("tint", TINTS)
def test_a_record_with_nothing_in_it_gives_a_bare_sheet(tint):
    view = view_of(Record(vehicle=Vehicle(vehicle_id="v", name="v")), tint=tint)
    assert view.zones == ()
    assert view.labels == ()
