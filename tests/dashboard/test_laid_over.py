"""What is laid over a map: on the same frame, in lines and signs of one size, its words as text."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.laid_over import LaidOver
from bodymap.views.palette import DARK, LIGHT
from dashboard.figures.framing import framed
from dashboard.figures.laid_over import Frame, laid_over_html

FRAME = Frame(-100.0, 50.0, 900.0, 450.0, left_px=6, right_px=6, top_px=30, high_px=344)
SQUARE = ((0.0, 100.0), (200.0, 100.0), (200.0, 300.0), (0.0, 300.0), (0.0, 100.0))


def paths(html: str) -> list[ET.Element]:
    return ET.fromstring(html).findall("./svg/path")


def places(way: str) -> list[list[tuple[float, float]]]:
    """The lines of a path's data, by the grammar of SVG 1.1, 8.3: M and L with absolute positions."""
    number = r"-?\d+(?:\.\d+)?"
    return [
        [(float(x), float(y)) for x, y in re.findall(rf"({number}) ({number})", part)] for part in way.split("M") if part
    ]


def test_the_frame_is_what_the_chart_shows():
    said = {"data": [], "layout": {"margin": {"l": 6, "r": 8, "t": 6, "b": 60}, "xaxis": {}, "yaxis": {}}}
    frame = Frame.of(framed(said, (0, 0, 1000, 500), "pick"))
    assert (frame.x0, frame.x1, frame.y0, frame.y1) == (-10, 1010, -10, 510)
    assert (frame.left_px, frame.right_px, frame.top_px) == (6, 8, 6)
    assert frame.high_px == pytest.approx(860 * 520 / 1020, abs=1)  # one scale both ways, 860 px wide


def test_up_on_the_sheet_is_up_on_the_screen():
    html = laid_over_html(LaidOver(chosen=(SQUARE,)), FRAME, "light")
    assert ET.fromstring(html).find("svg").get("viewBox") == "-100.0 -450.0 1000.0 400.0"
    casing, line = paths(html)
    assert places(line.get("d")) == [[(x, -y) for x, y in SQUARE]]
    assert (casing.get("stroke"), line.get("stroke")) == (LIGHT["paper"], LIGHT["accent"])
    assert float(casing.get("stroke-width")) > float(line.get("stroke-width"))


def test_the_box_is_what_the_map_shows_and_no_sign_stands_outside_it():
    html = laid_over_html(LaidOver(chosen=(SQUARE,), place=(950.0, 250.0), place_words="here"), FRAME, "light")
    said = dict(one.split(":") for one in ET.fromstring(html).get("style").split(";"))
    assert said["aspect-ratio"] == "1000.0/400.0"
    assert said["--most"] == "860.00px"  # at 344 px of height; a narrower chart makes it less
    assert (said["--sides"], said["--shift"], said["top"]) == ("12px", "0px", "30px")
    assert "here" not in html


@pytest.mark.parametrize(("y", "below"), [(440.0, True), (60.0, False)])
def test_words_stand_where_there_is_room(y, below):
    html = laid_over_html(LaidOver(place=(400.0, y), place_words="here"), FRAME, "light")
    assert ("words_below" in html) is below


def test_what_is_not_saved_is_told_without_its_colour():
    chosen, *_, draft = paths(laid_over_html(LaidOver(chosen=(SQUARE,), draft=(SQUARE,)), FRAME, "dark"))
    assert draft.get("stroke") == DARK["draft"]
    assert draft.get("stroke-dasharray")
    assert not chosen.get("stroke-dasharray")


def test_stations_of_a_line_are_dots():
    line, dots = paths(laid_over_html(LaidOver(line=((0.0, 100.0), (200.0, 140.0), (400.0, 90.0))), FRAME, "light"))
    assert places(line.get("d")) == [[(0, -100), (200, -140), (400, -90)]]
    assert dots.get("d").count("h0") == 3
    assert dots.get("stroke-linecap") == "round"  # a line of no length is seen by its ends alone


def test_words_of_a_sign_stay_text():
    html = laid_over_html(LaidOver(place=(400.0, 250.0), place_words='<b>&"here"'), FRAME, "light")
    sign = ET.fromstring(html).find("./div")
    assert "".join(sign.itertext()) == '<b>&"here"'
    assert sign.get("style") == "left:50.000%;top:50.000%"  # the middle of the frame


def test_there_is_always_something_to_put_on_the_page():
    assert ET.fromstring(laid_over_html(LaidOver(), FRAME, "light")).get("class") == "laid_over"


@given(st.lists(st.tuples(st.floats(-100, 900), st.floats(50, 450)), min_size=2, max_size=80))
def test_no_line_strays_by_what_is_seen(points):
    drawn = places(paths(laid_over_html(LaidOver(draft=(tuple(points),)), FRAME, "light"))[0].get("d"))
    line = shapely.MultiLineString([np.array(run) * (1, -1) for run in drawn])
    # A tenth of a mm in the figures, 0.15 px of what is left out.
    assert max(line.distance(shapely.Point(point)) for point in points) <= 0.15 * FRAME.mm_per_px + 0.1
