"""The strip chart of a painted line: left against right, gaps, shut lines, in values that can be worked out by hand."""

from __future__ import annotations

import pytest

from bodymap.errors import BodymapError
from bodymap.model import Datum, Line, Shape
from bodymap.settings import in_force
from bodymap.views.line_strip import line_strip, twin_of
from bodymap.views.line_strip_chart import round_axis, strip_chart
from tests.views.template_specimen import line, panel

SETTINGS = in_force()


def strip(ident="stripe_L", record=None, **how):
    return line_strip(record or panel(), ident, SETTINGS, **how)


def with_lines(*lines, more=()):
    return panel(*more).with_kind("line", lines)


LEFT = Line(line_id="a_L", drawing_id="left", width=5, hand="brush", shape=line((100, 1000), (1900, 1000)))


def test_left_and_right_are_told_from_datums_that_mirror():
    found = strip()
    own, twin = found.tracks
    assert (own.line_id, twin.line_id) == ("stripe_L", "stripe_R")
    # From (200, 1000) to (1700, 1006) over a datum at 960: 40 mm + (station - 200) × 6 / 1500; the right one 40 mm.
    assert own.figures.drift_mm_per_m == pytest.approx(4.0)
    assert twin.figures.drift_mm_per_m == pytest.approx(0, abs=1e-9)
    for row in found.rows:
        assert row.offset_mm == pytest.approx(40 + (row.station_mm - 200) * 6 / 1500)
        assert row.twin_mm == pytest.approx(40)
        assert row.difference_mm == pytest.approx(-(row.station_mm - 200) * 6 / 1500)
    assert [row.station_mm for row in found.rows] == [100.0 * number for number in range(2, 18)]


def test_where_they_differ_is_said_and_never_mended():
    said = " ".join(strip().said)
    # 0.004 mm for each mm of station: more than 2 mm from the first station beyond 700 on.
    assert "At 800 to 1700 mm along the datum stripe_R lies nearer to its datum than stripe_L, by up to 6.0 mm." in said
    assert "Another hand: stripe_L by brush, stripe_R by tape." in said
    assert "Widths differ: 6 mm against 4 mm." in said
    assert "stay as found unless the owner decides" in said
    assert "straighten" not in said


def test_a_line_below_its_datum_is_told_plus_on_its_own_side():
    below = [
        Line(line_id="b_L", drawing_id="left", shape=line((100, 900), (1900, 900))),
        Line(line_id="b_R", drawing_id="right", shape=line((1900, 897), (100, 897))),
    ]
    own, twin = strip("b_L", with_lines(*below)).tracks
    assert own.figures.mean_mm == pytest.approx(60)
    assert twin.figures.mean_mm == pytest.approx(63)


def test_a_twin_datum_drawn_the_other_way_round_is_turned():
    record = panel()
    datums = [one if one.datum_id != "dt_R" else one.model_copy(update={"shape": line((0, 960), (2000, 960))})
              for one in record.datums]  # fmt: skip
    one, other = strip(record=record), strip(record=record.with_kind("datum", datums))
    assert [row.twin_mm for row in one.rows] == pytest.approx([row.twin_mm for row in other.rows])


def test_gaps_shut_lines_and_zones_are_marked():
    parts = Shape.model_validate(
        {"type": "MultiLineString", "coordinates": [[[200, 1000], [1290, 1000]], [[1310, 1000], [1700, 1000]]]}
    )
    found = strip("a_L", with_lines(LEFT.model_copy(update={"shape": parts})))
    marks = {(mark.kind, mark.name): (mark.from_mm, mark.to_mm) for mark in found.marks}
    assert marks[("gap", "gap in the line")] == pytest.approx((1290, 1310))
    assert marks[("shut line", "door joint")] == pytest.approx((1300, 1300))
    assert marks[("zone", "Side, upper")] == pytest.approx((200, 1700))
    assert len(found.tracks[0].runs) == 2
    # Between two runs nothing is told: the 1300 mm station lies in the gap.
    assert 1300 not in [row.station_mm for row in found.rows]


def test_past_the_end_of_a_datum_nothing_is_told():
    short = Datum(datum_id="short_L", drawing_id="left", name="Short", shape=line((0, 990), (1000, 990)))
    found = strip("a_L", with_lines(LEFT, more=[short]), datum_id="short_L")
    assert found.tracks[0].past_mm == pytest.approx(900, abs=10)
    assert max(row.station_mm for row in found.rows) == 1000
    assert any("past an end of the datum" in one for one in found.said)


def test_a_line_alone_has_one_track():
    found = strip("a_L", with_lines(LEFT))
    assert len(found.tracks) == 1
    assert {row.twin_mm for row in found.rows} == {None}
    assert "No line on the twin drawing answers to it." in found.said


def test_the_twin_is_found_by_name_else_by_its_likeness():
    far = Line(line_id="x", drawing_id="right", shape=line((1900, 1400), (100, 1400)))
    near = Line(line_id="y", drawing_id="right", shape=line((1900, 1004), (100, 1004)))
    assert twin_of(with_lines(LEFT, far, near), LEFT, SETTINGS).line_id == "y"
    named = far.model_copy(update={"line_id": "a_R"})
    assert twin_of(with_lines(LEFT, named, near), LEFT, SETTINGS).line_id == "a_R"
    assert strip("a_L", with_lines(LEFT, named, near), twin_id="y").tracks[1].line_id == "y"


def test_left_and_right_that_agree_are_said_to():
    right = LEFT.model_copy(update={"line_id": "a_R", "drawing_id": "right", "shape": line((1900, 1001), (100, 1001))})
    assert any("agree within 2 mm at all 19 common stations" in one for one in strip("a_L", with_lines(LEFT, right)).said)


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"ident": "nothing"}, "found no line 'nothing'; allowed: stripe_L"),
        ({"datum_id": "dt_R"}, "found no datum line 'dt_R' on its drawing; allowed: dt_L"),
    ],
)
def test_what_is_not_there_is_told(how, words):
    with pytest.raises(BodymapError) as told:
        strip(**how)
    assert words in str(told.value)


def test_a_drawing_without_a_datum_line_has_no_strip():
    record = panel().with_kind("datum", [])
    with pytest.raises(BodymapError, match="no datum line on its drawing to measure from"):
        strip(record=record)


@pytest.mark.parametrize(("low", "high"), [(23.0, 31.7), (0, 0.05), (-3, 3), (28.4, 28.4), (0, 2281)])
def test_an_axis_is_round_and_holds_its_range(low, high):
    axis = round_axis(low, high, 8)
    assert axis.low <= low
    assert axis.high >= high
    assert axis.high > axis.low
    assert len(axis.places) <= 10
    assert axis.places[-1] == pytest.approx(axis.high)


def test_the_chart_draws_true_values_exaggerated():
    found = strip()
    chart = strip_chart(found, 190, 90)
    strokes = {one.style: one.lines for one in chart.picture.strokes}
    (own,), (twin,) = strokes["own"], strokes["twin"]
    # Two points of the straight slope: as much up on paper as along, times the exaggeration.
    (x0, y0), (x1, y1) = own[0], own[-1]
    assert -(y1 - y0) / (x1 - x0) == pytest.approx(chart.exaggeration * 6 / 1500)
    assert {round(y, 6) for _, y in twin} == {round(twin[0][1], 6)}
    assert chart.exaggeration > 5
    for lines in strokes.values():
        assert all(0 <= x <= 190 and 0 <= y <= 90 for run in lines for x, y in run)
