"""What is laid over the panel sheet: groups told by hatch and words, locks where people have signed."""

from __future__ import annotations

import shapely

from bodymap.release.checks import release_of
from bodymap.release.strip_areas import split_zones
from bodymap.views.palette import DARK, LIGHT
from bodymap.views.sheet import lay_out
from bodymap.views.strip_map import intent_map, method_map, release_map
from dashboard.figures.strip_overlay import with_overlay
from tests.release.survey import SETTINGS, STRIP, cart


def maps(record, sheet="outside"):
    layout = lay_out(record, sheet)
    return {
        "intent": intent_map(record, layout),
        "method": method_map(record, layout, split_zones(record, SETTINGS)),
        "release": release_map(record, layout, release_of(record, SETTINGS)),
    }


def drawn_mm2(group):
    """Area by the signs of the rings: outer ones turn left, holes right."""
    return sum(shapely.Polygon(ring).area * (1 if shapely.LinearRing(ring).is_ccw else -1) for ring in group.rings)


def test_the_surfaces_on_the_map_are_those_of_the_split():
    split = split_zones(cart(), SETTINGS)["side"]
    groups = {group.words: group for group in maps(cart())["method"].groups}
    assert list(groups) == ["not stripped by the plan", "strip: paint stripper", "margin, by hand only", "keep"]
    for words, lot in (("strip: paint stripper", "strip"), ("margin, by hand only", "hand"), ("keep", "keep")):
        assert abs(drawn_mm2(groups[words]) - split.surfaces[lot].area) < 1, words


def test_no_two_groups_of_a_map_look_alike_but_for_colour():
    record = cart(STRIP.model_copy(update={"method": "blast"}), without=("2",))
    for view in maps(record).values():
        looks = [(group.hatch, group.strong) for group in view.groups if group.hatch and group.words != "keep"]
        assert len(looks) == len(set(looks))
        assert all(group.paint in LIGHT and group.paint in DARK for group in view.groups)


def test_a_lock_stands_in_the_zone_that_two_people_have_signed():
    record = cart()
    layout = lay_out(record, "outside")
    (lock,) = maps(record)["release"].locks
    drawing_id, x, y = layout.to_drawing(*lock)
    assert drawing_id == "left"
    assert 0 < x < 1000
    assert 0 < y < 600
    assert maps(cart(without=("release to strip",)))["release"].locks == ()
    assert maps(record, "hidden")["release"].locks == ()


def test_the_figure_names_every_group_in_its_legend_and_no_other_trace():
    import plotly.graph_objects as go

    view = maps(cart())["release"]
    figure = with_overlay(go.Figure(go.Scatter(x=[0], y=[0], name="zones"), layout={"height": 400}), view, "light")
    named = [trace.name for trace in figure.data if trace.legend == "legend2"]
    assert named == [*(group.words for group in view.groups), "lock: as-found entries closed"]
    assert figure.layout.legend.visible is False
    assert len(figure.layout.shapes) == 2 * len(view.locks)
