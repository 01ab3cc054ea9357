"""The screen Coat order without a browser, and its figures: what it says, what it asks, where its buttons lead."""

from __future__ import annotations

from itertools import combinations

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.history.read import read_history
from bodymap.history.set_aside import set_aside
from bodymap.views.coat_chart import coat_chart
from bodymap.views.fitted_table import fitted_table
from bodymap.views.palette import contrast, paint_of
from dashboard.figures.coat_chart import WIDTH_PX, chart_figure
from dashboard.figures.fitted_table import fitted_figure
from demo import VEHICLE_FOLDER
from tests.history.cases import van

from .running import opened, whole, words

SCREEN = "screens/coat_order.py"
CIRCLE = {"S1": "side* p c g", "S2": "seat* p c", "S3": "skin* p c g", "S9": "side g c"}


def doors(stacks):
    return van(parts="shell!, door", zones="side:shell, seat:shell, skin:door", covers="seat<door", coats="p c g x",
               stacks=stacks)  # fmt: skip


def test_what_is_proven_is_told_at_first_and_one_part_when_asked(shop):
    shop(doors({name: CIRCLE[name] for name in ("S1", "S2", "S3")}))
    at = opened(SCREEN)
    assert "No stack contradicts another." in words(at)
    assert "the door was off, painted apart (proven" in words(at)
    assert "the door was on the vehicle (likely" not in words(at)
    at.selectbox(key="told_of_0").select("door").run()
    whole(at)
    assert "the door was on the vehicle (likely" in words(at)
    assert "Seen in no stack: coat x (x)" in words(at)


def test_the_only_way_out_of_a_circle_is_taken_at_first_said_so_and_can_be_put_back(shop):
    file = shop(doors(CIRCLE))
    before = file.head()
    at = opened(SCREEN)
    assert "Shown as if S9 were set aside. Nothing is changed in the record." in words(at)
    assert "S9 is the only single stack" in words(at)
    assert "Without S9: no stack contradicts another." in words(at)
    assert "the door was off" in words(at)
    at = opened(SCREEN, aside="")
    assert "set aside" not in words(at)
    assert "nothing can be told of what was fitted when" in words(at)
    assert "S9 is the only single stack" in words(at)
    assert file.head() == before


def test_where_there_are_several_ways_out_none_is_taken_by_itself(shop):
    shop(doors({"S1": "side* p c", "S2": "skin c p"}))
    at = opened(SCREEN)
    assert at.session_state["workspace"].aside == ""
    assert "Without any one of these stacks" in words(at)


def test_go_to_the_spot_chooses_its_zone_on_the_panel_sheet(shop):
    shop(doors(CIRCLE))
    at = opened(SCREEN, sheet="outside", look_at="")
    at.button(key="against_0_S9").click().run()
    whole(at)
    workspace = at.session_state["workspace"]
    assert (workspace.chosen, workspace.sheet, workspace.look_at) == (["side"], "outside", "d")
    assert "stacks" in workspace.marks


def test_where_to_look_next_leads_to_a_zone_nobody_has_seen(shop):
    stacks = {"S1": "side* p c", "S2": "seat* p", "S3": "skin* p c"}
    zones = "side:shell, seat:shell, seat2:shell, skin:door"
    record = van(parts="shell!, door", zones=zones, covers="seat<door, seat2<door", coats="p c", stacks=stacks)
    shop(record)
    at = opened(SCREEN)
    assert "Where to look next (1)" in words(at)
    at.button(key="look_seat2").click().run()
    whole(at)
    assert at.session_state["workspace"].chosen == ["seat2"]


def test_a_record_without_a_stack_says_what_would_help(shop):
    shop(doors({}))
    assert "No stack shows a coat yet" in words(opened(SCREEN))


def test_the_slider_of_the_panel_sheet_goes_along_the_order(shop):
    # Row order p c g x; the stacks say g under c.
    shop(doors({"S1": "side* p g c"}))
    at = opened("screens/panel_sheet.py", tint="coat", coat_id="p")
    slider = at.select_slider(key="coat_id_0")
    assert [option.split(" ")[0] for option in slider.options] == ["p", "g", "c", "x"]
    slider.set_value("g").run()
    whole(at)
    assert at.session_state["workspace"].coat_id == "g"


def test_with_a_circle_the_slider_keeps_the_order_of_the_record(shop):
    shop(doors(CIRCLE))
    at = opened("screens/panel_sheet.py", tint="coat", coat_id="p")
    assert [option.split(" ")[0] for option in at.select_slider(key="coat_id_0").options] == ["p", "c", "g", "x"]


# --- figures -----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo():
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module", params=["as it stands", "S12 set aside"])
def chart(request, demo):
    record = set_aside(demo, ("S12",)) if "aside" in request.param else demo
    return coat_chart(record, read_history(record))


def test_words_are_big_enough_and_do_not_run_into_each_other(chart):
    figure = chart_figure(chart, "light")
    upright = [note for note in figure.layout.annotations if not note.textangle]
    assert all(note.font.size >= 14 for note in figure.layout.annotations)
    columns = {round(note.x) for note in upright}
    assert len(columns) == 2  # names of coats, words of links
    for column in columns:
        spans = []
        for note in (n for n in upright if round(n.x) == column):
            high = 18 * (note.text.count("<br>") + 1)
            spans.append((note.y - high / 2, note.y + high / 2))
        assert all(a[1] <= b[0] + 0.5 or b[1] <= a[0] + 0.5 for a, b in combinations(spans, 2))


def test_links_do_not_run_over_each_other(chart):
    figure = chart_figure(chart, "light")
    paths = [trace for trace in figure.data if trace.mode == "lines" and len(trace.x) == 4]
    assert len(paths) == len(chart.links)
    uprights = [(path.x[1], *sorted((path.y[1], path.y[2]))) for path in paths]
    for (x, low, top), (x_2, low_2, top_2) in combinations(uprights, 2):
        assert x != x_2 or top < low_2 or top_2 < low
    for path in paths:
        assert path.x[0] < path.x[1] < path.x[3]


def test_links_of_a_circle_are_told_apart_without_their_colour(demo):
    figure = chart_figure(coat_chart(demo, read_history(demo)), "light")
    paths = [trace for trace in figure.data if trace.mode == "lines" and len(trace.x) == 4]
    assert {path.line.dash for path in paths} == {"solid", "6px,3px"}
    assert sum(note.text.count("in the circle") for note in figure.layout.annotations) == 4


def test_the_demo_fits_on_a_tablet_held_upright(demo):
    record = set_aside(demo, ("S12",))
    history = read_history(record)
    assert chart_figure(coat_chart(record, history)).layout.width <= 788
    assert fitted_figure(fitted_table(record, history)).layout.width <= 788
    assert WIDTH_PX <= 788


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_grades_have_boxes_of_their_own_and_letters_that_can_be_read(demo, theme):
    record = set_aside(demo, ("S12",))
    table = fitted_table(record, read_history(record))
    figure = fitted_figure(table, theme)
    boxes = {trace.name: trace for trace in figure.data if trace.name}
    assert {name.split()[1] for name in boxes} == {"proven", "likely", "open"}
    for name, box in boxes.items():
        assert (box.line.dash == "3px,3px") == name.endswith("open")
        assert (box.fillcolor == box.line.color) == name.endswith("proven")
        ink = paint_of("paper" if name.endswith("proven") else "ink", theme)
        assert contrast(ink, box.fillcolor) >= 4.5  # WCAG 2.2, 1.4.3
    told = [trace for trace in figure.data if trace.mode == "text"]
    assert sum(len(trace.x) for trace in told) == sum(not cell.quiet for cell in table.cells.values())
    everything = fitted_figure(table, theme, quiet_too=True)
    assert sum(len(trace.x) for trace in everything.data if trace.mode == "text") == len(table.cells)


def test_words_of_the_record_are_not_read_as_markup():
    record = doors({"S1": "side* p c"})
    evil = "<b onclick=x>&"
    record = record.with_kind("coat", [coat.model_copy(update={"name": evil}) for coat in record.coats])
    record = record.with_kind("zone", [zone.model_copy(update={"name": evil}) for zone in record.zones])
    record = record.with_kind("part", [part.model_copy(update={"name": evil}) for part in record.parts])
    history = read_history(record)
    for figure in (chart_figure(coat_chart(record, history)), fitted_figure(fitted_table(record, history))):
        assert "<b onclick" not in figure.to_json()
