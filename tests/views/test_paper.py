"""Paper: scales of ISO 5455, points laid where they belong, labels that keep off one another."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.paper import SCALES, Desk, Label, Paper, fitting_scale, lines_of, scale_bar, text_box

SIZES = st.floats(1, 90_000)


def test_scales_are_those_of_iso_5455():
    # ISO 5455:1979, recommended reduction scales, from memory, not seen.
    assert SCALES[:9] == (1, 2, 5, 10, 20, 50, 100, 200, 500)


@given(SIZES, SIZES)
def test_the_scale_fits_and_the_next_larger_one_would_not(width, height):
    scale = fitting_scale(width, height, 160, 100)
    assert width / scale <= 160
    assert height / scale <= 100
    larger = [one for one in SCALES if one < scale]
    assert not larger or width / larger[-1] > 160 or height / larger[-1] > 100


@given(st.sampled_from(SCALES), st.floats(10, 60))
def test_the_bar_is_round_true_to_scale_and_as_long_as_it_may_be(scale, most):
    bar = scale_bar(scale, most)
    assert bar.paper_mm * scale == pytest.approx(bar.length_mm)
    assert str(bar.length_mm).rstrip("0") in {"1", "2", "5"}
    assert bar.paper_mm <= most
    assert bar.paper_mm * 2.5 > most


def test_a_point_is_laid_right_and_up():
    paper = Paper(100, 60, 10, 500, 300)
    assert paper.spot(500, 300) == (50, 30)
    assert paper.spot(600, 400) == (60, 20)
    assert list(paper.laid(shapely.Point(600, 400)).coords) == [(60, 20)]


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4), st.sampled_from(SCALES))
def test_laying_keeps_lengths_by_the_scale(x, y, scale):
    paper = Paper(190, 132, scale, 12, 34)
    line = shapely.LineString([(0, 0), (x, y)])
    assert paper.laid(line).length * scale == pytest.approx(line.length, abs=1e-6)


def test_cutting_leaves_no_line_at_the_edge_of_the_picture():
    paper = Paper(100, 60, 1, 0, 0)
    cut = paper.cut(shapely.box(-20, -200, 20, 200).boundary)
    assert cut.length == pytest.approx(2 * 60)


def test_lines_of_has_holes_and_members():
    ring = shapely.box(0, 0, 9, 9).difference(shapely.box(3, 3, 6, 6))
    both = shapely.GeometryCollection([ring, shapely.LineString([(0, 0), (1, 1)]), shapely.Point(5, 5)])
    assert len(lines_of(both)) == 3


def test_a_label_goes_to_the_first_free_place():
    desk = Desk(100, 60)
    desk.put(Label("123.5", 50, 30, 3, "dimension"))
    assert desk.put_first_free([Label("60", 51, 30, 3, "dimension"), Label("60", 50, 40, 3, "dimension")])
    assert (desk.labels[-1].x, desk.labels[-1].y) == (50, 40)
    assert not desk.put_first_free([Label("60", 51, 30, 3, "dimension"), Label("out", 99, 30, 3, "dimension")])


def test_a_turned_label_takes_turned_room():
    level, upright = (text_box(Label("1234567890", 50, 30, 3, "dimension", turn)).bounds for turn in (0, 90))
    assert upright[3] - upright[1] == pytest.approx(level[2] - level[0])
