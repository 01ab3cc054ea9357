"""Full-size templates and painted lines on the mask brief screen, without a browser."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from streamlit.testing.v1 import AppTest

from bodymap.geometry.painted_line import LineFigures
from bodymap.settings import in_force
from bodymap.views.line_strip import line_strip
from bodymap.views.line_strip_parts import LineStrip, StripMark, StripTrack
from bodymap.views.template_page import TemplateChoice
from dashboard import loaders
from dashboard.components.drawing_desk import Desk
from dashboard.components.template_state import Templates
from dashboard.figures.line_strip import line_strip_figure
from dashboard.loaders import templates
from tests.views.template_specimen import panel

from .running import choose, key_of, opened, press, tables, whole, words

STATE = key_of(Templates)
DESK = key_of(Desk)
pikepdf = pytest.importorskip("pikepdf")


@pytest.fixture
def panel_path(shop):
    return shop(panel()).path


def screen(**said) -> AppTest:
    return opened("screens/mask_brief.py", Templates(**said))


def files(at: AppTest) -> set[str]:
    return {one.key for one in at.download_button}


def test_the_sheets_are_laid_out_when_asked_and_put_away_when_the_choice_changes(panel_path):
    at = screen(side="template", ident="K1")
    assert not files(at)
    press(at, "lay_out")
    assert files(at) == {"template_pdf", "template_svg", "template_dxf"}
    # 620 × 540 mm on A4 upright, which shows less than 190 × 260 mm a sheet: at least 4 columns and 3 rows.
    made = at.session_state[STATE].made
    print_ = templates.template_print(loaders.opened(), made.ident, made.choice, made.mirror)
    assert print_.sheets >= 12
    with pikepdf.open(io.BytesIO(print_.pdf)) as pdf:
        assert len(pdf.pages) == print_.sheets + 1
        assert float(pdf.pages[0].mediabox[2]) == pytest.approx(210 / 25.4 * 72, abs=0.1)
    choose(at, "Paper", "A3")
    assert not files(at)


def test_a_measured_bar_stretches_the_print_and_a_scaled_one_is_refused(panel_path):
    at = screen(side="template", ident="K1", printed_x_mm=99.0)
    press(at, "lay_out")
    made = at.session_state[STATE].made
    assert made.choice == TemplateChoice(printed_x_mm=99.0)
    assert "template_pdf" in files(at)
    at = screen(side="template", ident="K1", printed_x_mm=70.0)
    press(at, "lay_out")
    assert not files(at)
    assert "100 mm bar in x: found 70 mm" in words(at)


def test_one_plotter_page_has_neither_overlap_nor_direction(panel_path):
    at = screen(side="template", ident="K1", paper="plotter", landscape=True, overlap_mm=20.0)
    press(at, "lay_out")
    assert at.session_state[STATE].made.choice == TemplateChoice(plotter=True)
    assert "One page" in words(at)
    picture = Image.open(io.BytesIO(templates.template_print(
        loaders.opened(), "area:K1", TemplateChoice(plotter=True), False).first_page))  # fmt: skip
    # 620 × 540 mm and what stands round it, at most 1600 pixels a side
    assert 1.0 < picture.width / picture.height < 1.4
    assert max(picture.size) <= 1601


def test_a_schematic_drawing_is_refused_with_the_way_out(panel_path):
    at = screen(side="template", sort="drawing", ident="sketch")
    assert "Roof sketch" in at.warning[0].value
    assert "signs and have no size" in at.warning[0].value
    assert not [one for one in at.button if one.key == "lay_out"]
    at.button(key="to_calibrate").click().run()
    whole(at)
    desk = at.session_state[DESK]
    assert (desk.drawing_id, desk.task) == ("sketch", "calibrate")


def test_mirrored_lettering_is_refused(panel_path):
    at = screen(side="template", ident="signs", mirror=True)
    press(at, "lay_out")
    assert not files(at)
    assert "never mirrors" in words(at)


def test_a_line_without_a_width_says_that_only_its_centre_is_drawn(panel_path):
    at = screen(side="template", sort="line", ident="bare")
    press(at, "lay_out")
    assert "WIDTH NOT STATED" in " ".join(one.value for one in at.warning)


def test_the_strip_chart_tells_both_lines_and_never_straightens(panel_path):
    at = screen(side="lines", line_id="stripe_L")
    told = at.table[0].value.astype(str).to_string().replace("\u00a0", " ")
    # From 40 to 46 mm over 1500 mm: 4 mm/m; the other side lies at 40 mm throughout.
    assert "+4.0 mm/m" in told
    assert "43.0 mm" in told
    assert "Another hand" in words(at)
    assert "never straightens" in words(at)
    assert at.get("plotly_chart")


def test_a_line_can_be_held_against_another_one(panel_path):
    at = screen(side="lines", line_id="stripe_L")
    next(one for one in at.selectbox if one.label == "Against").select("bare").run()
    whole(at)
    assert "bare" in tables(at)


def test_a_record_without_lines_or_steps_says_where_they_come_from(record_path):
    assert "No painted line is recorded yet" in words(screen(side="lines"))
    assert "No step is planned yet" in words(screen(side="order"))


# --- the figure -------------------------------------------------------------------------------------------------------


def track(ident, *runs):
    return StripTrack(ident, ident, "Left side", None, runs, LineFigures(4, 30, 0, 0, 30, 31), None, 0.0)


def strip(*tracks, marks=()):
    return LineStrip("a", "line a", "Waist <b>", tracks, marks, (), ())


def test_lines_are_drawn_in_true_millimetres_and_open_where_they_are(panel_path):
    figure = line_strip_figure(strip(track("a", ((0, 30), (100, 31)), ((400, 31), (500, 30)))))
    (line,) = figure.data
    assert list(line.x) == [0, 100, None, 400, 500, None]
    assert list(line.y) == [30, 31, None, 31, 30, None]
    assert line.connectgaps is False


def test_left_and_right_differ_by_more_than_colour():
    figure = line_strip_figure(line_strip(panel(), "stripe_L", in_force()))
    own, twin = figure.data
    assert own.line.dash != twin.line.dash
    assert "stripe_L" in own.name
    assert "tape" in twin.name


def test_marks_lie_where_the_record_says_and_words_are_plain():
    marks = (StripMark("gap", "gap in the line", 100, 400), StripMark("shut line", "door <i>", 250, 250))
    figure = line_strip_figure(strip(track("a", ((0, 30), (100, 31)), ((400, 31), (500, 30))), marks=marks))
    gap, shut = figure.layout.shapes
    assert (gap.type, gap.x0, gap.x1) == ("rect", 100, 400)
    assert (shut.type, shut.x0, shut.x1) == ("line", 250, 250)
    said = [one.text for one in figure.layout.annotations]
    assert said == ["gap 300 mm", "door &lt;i&gt;"]
    assert "&lt;b&gt;" in figure.layout.xaxis.title.text


def test_a_run_of_one_station_is_still_seen():
    figure = line_strip_figure(strip(track("a", ((0, 30), (100, 31)), ((400, 31),))))
    assert figure.data[0].mode == "lines+markers"
