"""Figures draw their view and nothing else: one scale, few traces, touches that name their zone, text that stays text."""

from __future__ import annotations

import copy
import itertools
import json
import re
from dataclasses import replace

import numpy as np
import plotly.graph_objects as go
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.film.summary import sift
from bodymap.model import Record, Vehicle
from bodymap.settings import in_force
from bodymap.views.ladder import ladder
from bodymap.views.palette import DARK, LIGHT, film_colour
from bodymap.views.sheet import SheetChoice, sheet_view
from bodymap.views.sheet_parts import PointMark
from dashboard.figures.copying import copied
from dashboard.figures.framing import framed
from dashboard.figures.ladder import ladder_figure
from dashboard.figures.pens import UNSEEN_PX, coordinates
from dashboard.figures.sheet import sheet_config, sheet_figure, sheet_said
from demo import VEHICLE_FOLDER

from .small import small_record

SMALL = small_record()
ALL_MARKS = frozenset({"kept", "findings", "readings", "lines", "datums", "stacks"})
TINTS = ("plain", "finish", "coat", "film", "not_seen")
MOST_TRACES = 60


@pytest.fixture(scope="module")
def van() -> Record:
    return read_folder(VEHICLE_FOLDER).record


def figure_of(record, kind="outside", tint="plain", marks=ALL_MARKS, theme="light", **more):
    return sheet_figure(sheet_view(record, SheetChoice(kind, tint, marks=marks, **more), in_force()), theme)


def named(figure, name):
    return [trace for trace in figure.data if trace.name == name]


@pytest.mark.parametrize("tint", TINTS)
@pytest.mark.parametrize("kind", ["outside", "hidden"])
def test_traces_stay_few_with_everything_shown(van, kind, tint):
    figure = figure_of(van, kind, tint, coat_id="c7")
    assert len(figure.data) <= MOST_TRACES


@pytest.mark.parametrize("touch", ["pick", "lasso", "box"])
def test_a_framed_sheet_passes_the_chart_library_and_fills_its_frame(van, touch):
    view = sheet_view(van, SheetChoice("outside", marks=ALL_MARKS), in_force())
    figure = framed(sheet_said(view), (100, 200, 1100, 700), touch)
    looked_through = go.Figure(figure.to_dict())  # what is put together without being looked through would pass
    one, other = json.loads(looked_through.to_json()), json.loads(figure.to_json())
    assert one["layout"].pop("template") == {"data": {"scatter": [{"type": "scatter"}]}}  # the library's word for none
    assert other["layout"].pop("template") == {}
    assert one == other
    layout = looked_through.layout
    assert (layout.xaxis.range, layout.yaxis.range) == ((90, 1110), (190, 710))
    assert layout.xaxis.fixedrange
    assert layout.yaxis.scaleanchor == "x"
    inner = layout.height - layout.margin.t - layout.margin.b
    assert inner == pytest.approx(860 * 520 / 1020, abs=1)


def lines_in(x, y):
    """What `coordinates` gives, taken apart at its gaps."""
    both = np.column_stack([x, y]).astype(float)
    return [run for run in np.split(both, np.flatnonzero(np.isnan(both[:, 0]))) if len(run)]


MM = st.floats(0, 500).map(lambda place: round(place, 6))  # to a nanometre: nothing is drawn finer


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.lists(st.tuples(MM, MM), min_size=2, max_size=60), min_size=1, max_size=6),
    st.floats(0.01, 30),
)
def test_points_left_out_are_not_missed(paths, unseen_mm):
    drawn = [run[~np.isnan(run[:, 0])] for run in lines_in(*coordinates(paths, unseen_mm))]
    assert len(drawn) == len(paths)
    kept = shapely.MultiLineString([run for run in drawn if len(run) > 1])
    for path in paths:  # a thousandth for single precision
        assert max(kept.distance(shapely.Point(point)) for point in path) <= unseen_mm + 1e-3
    assert sum(map(len, drawn)) <= sum(map(len, paths))


def test_without_a_tolerance_every_point_is_drawn():
    paths = [((0, 0), (1, 0), (2, 0), (3, 0), (4, 0), (5, 0)), ((9, 9), (9, 8))]
    x, y = coordinates(paths)
    assert [None if np.isnan(one) else one for one in x.tolist()] == [0, 1, 2, 3, 4, 5, None, 9, 9]
    x, y = coordinates(paths, 0.1)
    assert sorted(len(run[~np.isnan(run[:, 0])]) for run in lines_in(x, y)) == [2, 2]


def test_a_sheet_is_drawn_with_far_fewer_points_than_it_is_kept_with(van):
    view = sheet_view(van, SheetChoice("outside"), in_force())
    kept = sum(len(path) for stroke in view.strokes for path in stroke.paths)
    drawn = sum(len(coordinates(stroke.paths, UNSEEN_PX * view.mm_per_px)[0]) for stroke in view.strokes)
    assert drawn < kept / 2


def test_one_scale_both_ways_and_no_axes():
    layout = figure_of(SMALL).layout
    assert (layout.yaxis.scaleanchor, layout.yaxis.scaleratio) == ("x", 1)
    assert not layout.xaxis.visible
    assert not layout.yaxis.visible


def test_every_zone_answers_to_a_touch(van):
    (picks,) = named(figure_of(van), "zones")
    assert {row[0] for row in picks.customdata} == {
        z.zone_id for z in van.zones if van.drawing[z.drawing_id].kind == "outside"
    }
    assert len(picks.x) == len(picks.y) == len(picks.customdata) == len(picks.hovertemplate)
    # Thousands of points, of which the browser makes one.
    assert picks.marker.maxdisplayed == 1


def test_signs_name_their_zone():
    (spot,) = named(figure_of(SMALL), "spot")
    assert [row[0] for row in spot.customdata] == ["side_out"]


def test_choosing_makes_nothing_pale():
    for trace in figure_of(SMALL).data:
        if trace.mode == "markers" and trace.hovertemplate is not None:
            shown = trace.marker.opacity if trace.marker.opacity is not None else 1
            assert trace.unselected.marker.opacity == trace.selected.marker.opacity == shown


def words_at(trace) -> list[str]:
    """What a pointer finds at each point, put together as the chart library does it: each name in %{ } for what it names."""
    own = trace.text if trace.text is not None else [""] * len(trace.x)
    return [
        re.sub(r"%\{(text|meta\[(\d+)\])\}", lambda found, at=at: trace.meta[int(found[2])] if found[2] else own[at], shown)
        for at, shown in enumerate(trace.hovertemplate)
    ]


WORDS = st.lists(st.sampled_from(["Door", "213 µm", "steel", "100 %", "%{text}", "a %{meta[0]} b"]), min_size=1, max_size=3)


def test_a_point_without_words_shows_none():
    marks = (PointMark("reading", 0.0, 0.0, "ink", (), "z", ""),)
    view = replace(sheet_view(SMALL, SheetChoice("outside"), in_force()), points=marks)
    (trace,) = named(sheet_figure(view), "reading")
    assert words_at(trace) == [""]
    assert len(trace.text) == 1


@given(st.lists(WORDS, min_size=1, max_size=30))
def test_words_that_are_shared_are_still_those_of_their_point(said):
    marks = [PointMark("reading", float(at), 0.0, "ink", tuple(words), "z", "") for at, words in enumerate(said)]
    figure = sheet_figure(replace(sheet_view(SMALL, SheetChoice("outside"), in_force()), points=tuple(marks)))
    (trace,) = named(figure, "reading")
    assert words_at(trace) == ["<br>".join(words) for words in said]


def test_words_are_sent_once_for_all_their_points(van):
    (picks,) = named(figure_of(van, marks=frozenset()), "zones")
    assert len(picks.meta) == len(set(picks.meta)) < len(picks.x) / 4


def test_what_a_record_says_is_shown_and_never_read_as_markup():
    zones = tuple(zone.model_copy(update={"name": "<b>Door</b> & <a href='x'>"}) for zone in SMALL.zones)
    (picks,) = named(figure_of(replace(SMALL, zones=zones), marks=frozenset()), "zones")
    assert "&lt;b&gt;Door&lt;/b&gt; &amp; &lt;a href='x'&gt;" in words_at(picks)[0]
    drawings = tuple(drawing.model_copy(update={"name": "<i>Left</i>"}) for drawing in SMALL.drawings)
    words = [note.text for note in figure_of(replace(SMALL, drawings=drawings)).layout.annotations]
    assert any("&lt;i&gt;Left" in text for text in words)


def test_refused_readings_take_no_colour_of_the_ramp(van):
    figure = figure_of(van, tint="film")
    (refused,), (counted,) = named(figure, "refused"), named(figure, "reading")
    assert refused.marker.color == LIGHT["refused"]
    used = sum(
        len({reading.spot for reading in sift(van.readings_of.get(z.zone_id, ()), van.part[z.part_id].substrate)[0]})
        for z in van.zones
        if van.drawing[z.drawing_id].kind == "outside"
    )
    assert len(counted.x) == used


def test_fills_are_those_of_the_zones(van):
    view = sheet_view(van, SheetChoice("outside", "film"), in_force())
    drawn = {trace.fillcolor for trace in sheet_figure(view).data if trace.name and trace.name.startswith("zone ")}
    assert drawn == {zone.paint if zone.paint.startswith("#") else LIGHT[zone.paint] for zone in view.zones}
    assert film_colour(285.0) in drawn


def test_paths_are_parted_by_gaps():
    (fill,) = [trace for trace in figure_of(SMALL, marks=frozenset()).data if trace.name == "zone zone"]
    gaps = np.isnan(np.asarray(fill.x, dtype=float))
    # Three rectangles of five positions, two gaps between them.
    assert len(gaps) == 17
    assert gaps.sum() == 2


@pytest.mark.parametrize(("theme", "paints"), [("light", LIGHT), ("dark", DARK)])
def test_both_themes(theme, paints):
    figure = figure_of(SMALL, theme=theme)
    assert figure.layout.paper_bgcolor == paints["paper"]
    assert figure.layout.font.color == paints["ink"]


def test_a_zoom_is_kept_while_tints_and_marks_change():
    one, other = figure_of(SMALL, tint="film"), figure_of(SMALL, tint="finish", marks=frozenset())
    assert one.layout.uirevision == other.layout.uirevision
    assert figure_of(SMALL, "hidden").layout.uirevision != one.layout.uirevision


def test_texts_are_large_enough(van):
    for note in figure_of(van, tint="film").layout.annotations:
        assert note.font.size >= 14


def test_the_legend_takes_room_of_its_own(van):
    bare = figure_of(van, marks=frozenset()).layout.margin.b
    assert figure_of(van, tint="film").layout.margin.b > bare + 60
    assert figure_of(van).layout.margin.autoexpand is False


@pytest.mark.parametrize("tint", TINTS)
def test_an_empty_record_gives_an_empty_sheet(tint):
    figure = figure_of(Record(vehicle=Vehicle(vehicle_id="v", name="v")), tint=tint)
    assert not named(figure, "zones")


def test_the_browser_shows_no_logo():
    assert sheet_config()["displaylogo"] is False


def test_a_ladder_has_a_section_for_each_layer():
    view = ladder(SMALL, "s1")
    figure = ladder_figure(view)
    sections = [trace for trace in figure.data if trace.fill == "toself"]
    # The plate and two layers, from the bottom up, each resting on the one below.
    assert [trace.fillcolor for trace in sections] == [view.substrate_colour, "#7a3b2e", "#5f7f4a"]
    for lower, upper in itertools.pairwise(sections):
        assert max(lower.y) == pytest.approx(min(upper.y))
    words = [note.text for note in figure.layout.annotations]
    assert any("Green enamel" in text and "over dirt" in text for text in words)


def test_thicker_layers_are_drawn_thicker(van):
    sections = [trace for trace in ladder_figure(ladder(van, "S01")).data if trace.fill == "toself"][1:]
    heights = [max(trace.y) - min(trace.y) for trace in sections]
    # c1 15, c2 30, c3 40, c5 60, c6 25, c7 40, c8 45 µm
    films = [15, 30, 40, 60, 25, 40, 45]
    assert sorted(range(7), key=lambda k: heights[k]) == sorted(range(7), key=lambda k: films[k])


def test_words_of_a_ladder_never_overlap(van):
    for stack in van.stacks:
        figure = ladder_figure(ladder(van, stack.stack_id))
        spans = sorted((n.y - 9.5 * (n.text.count("<br>") + 1), n.y + 9.5 * (n.text.count("<br>") + 1))
                       for n in figure.layout.annotations)  # fmt: skip
        for (_, top), (low, _) in itertools.pairwise(spans):
            assert low >= top - 1
        assert spans[-1][1] <= figure.layout.yaxis.range[1] + 1


def test_a_stack_that_stops_short_has_no_plate(van):
    view = ladder(van, "S12")
    figure = ladder_figure(view)
    assert view.substrate_colour not in {trace.fillcolor for trace in figure.data}
    assert any("may be missing below" in note.text for note in figure.layout.annotations)


def test_mist_and_absent_are_not_filled_with_the_coat(van):
    record = replace(SMALL, layers=tuple(
        layer.model_copy(update={"extent": extent}) for layer, extent in zip(SMALL.layers, ("mist", "none"), strict=True)
    ))  # fmt: skip
    figure = ladder_figure(ladder(record, "s1"))
    assert not {"#7a3b2e", "#5f7f4a"} & {trace.fillcolor for trace in figure.data}
    dashes = [trace.line.dash for trace in figure.data if trace.fill == "toself"]
    assert dashes == ["solid", "dot", "dash"]


class _Shared(dict):
    """A trace that another window is being shown: nothing may be taken out of it, not even for a moment."""

    def pop(self, *_):
        raise AssertionError("a shared trace was changed")

    def __deepcopy__(self, memo):
        return copy.deepcopy(dict(self), memo)


def test_a_figure_for_all_windows_says_the_same_once_and_is_not_changed_by_a_copy(van):
    view = sheet_view(van, SheetChoice("outside", marks=ALL_MARKS), in_force())
    figure, wanted = framed(sheet_said(view), view.bounds, "pick"), json.loads(sheet_figure(view).to_json())["data"]
    assert figure.to_dict() is figure.to_dict()
    before = figure.to_json()
    assert json.loads(before)["data"] == wanted
    mine = copied(figure)
    mine.add_scatter(x=[1], y=[1])
    mine.data[0].name = "mine"
    mine.update_layout(height=5, annotations=[])
    assert figure.to_json() == before


def test_a_shared_figure_is_only_read_when_it_is_copied():
    figure = go.Figure([go.Bar(x=[1, 2], y=[3, 4], name="readings"), go.Scatter(x=[0], y=[0], customdata=[["z1"]])])
    figure.update_layout(title="film", shapes=[{"type": "line", "x0": 0, "x1": 1, "y0": 0, "y1": 1}])
    wanted = figure.to_plotly_json()
    for number in range(2):
        figure._data[number] = _Shared(figure._data[number])
    copied_ = copied(figure)
    assert copied_.to_plotly_json() == wanted
    copied_.add_scatter(x=[1], y=[1])
    assert (len(figure.data), len(copied_.data)) == (2, 3)
    with pytest.raises(AssertionError, match="shared trace"):
        go.Figure(figure)  # what the plotting library's own copy does
