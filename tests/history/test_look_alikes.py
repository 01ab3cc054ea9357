"""What taking two look-alike coats for one would change: asked, never done.

Worked example: E. C. Harris, The laws of archaeological stratigraphy, World Archaeology 11 (1979) 111–117, fig. 12 (as in
tests/outside/test_stratigraphy.py), with units 7 and 8 taken for one, as the data set harris12 of the R package
stratigraphr has them ("7 = 8"). Reference for joining two coats: networkx.contracted_nodes.
"""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.history.look_alikes import look_alikes, taken_for_one
from bodymap.history.read import read_history
from bodymap.history.report import history_json
from bodymap.history.set_aside import set_aside
from bodymap.model import Source
from demo import VEHICLE_FOLDER
from tests.history.cases import van

# The 13 relations observed, each as the lower unit and the upper one.
HARRIS = [(2, 1), (3, 1), (4, 1), (5, 2), (5, 3), (5, 4), (6, 5), (7, 1), (7, 6), (8, 1), (8, 6), (9, 7), (9, 8)]


def alike(record, first, second, **more):
    """The record with two coats said to look alike; `more`: fields of a coat by its id."""
    coats = [
        coat.model_copy(update=({"looks_like": (second,)} if coat.coat_id == first else {}) | more.get(coat.coat_id, {}))
        for coat in record.coats
    ]
    return replace(record, coats=tuple(coats))


def harris():
    stacks = {f"S{n}": f"z u{below} u{above}" for n, (below, above) in enumerate(HARRIS, 1)}
    return alike(van(zones="z:shell", coats=" ".join(f"u{n}" for n in range(1, 10)), stacks=stacks), "u7", "u8")


def pairs_of(relations):
    return {(one.below, one.above) for one in relations}


def test_harris_1979_fig_12_with_7_and_8_taken_for_one_has_9_relations():
    (asked,) = look_alikes(harris())
    assert asked.coats == ("u7", "u8")
    # upper–lower, as published: 1-2 1-3 1-4 2-5 3-5 4-5 5-6 6-7 7-9
    expected = {(2, 1), (3, 1), (4, 1), (5, 2), (5, 3), (5, 4), (6, 5), (7, 6), (9, 7)}
    assert pairs_of(asked.joined.relations) == {(f"u{below}", f"u{above}") for below, above in expected}
    assert (asked.joined.added, asked.joined.dropped) == ((), ())
    assert not asked.joined.contradicts
    assert asked.joined.ordered == ()  # the only pair it settles is the two themselves
    assert set(asked.evidence.for_one) == {"both lie directly on u9", "both lie directly under u1 and u6"}
    assert asked.evidence.for_two == ()


@given(
    st.lists(
        st.tuples(st.integers(1, 6), st.integers(1, 6)).filter(lambda pair: pair[0] < pair[1]), max_size=10, unique=True
    ),
    st.integers(1, 6),
    st.integers(1, 6),
)
def test_joining_is_that_of_networkx(pairs, one, other):
    if one == other:
        return
    first, second = sorted((one, other))
    stacks = {f"S{n}": f"z u{below} u{above}" for n, (below, above) in enumerate(pairs, 1)}
    record = alike(
        van(zones="z:shell", coats=" ".join(f"u{n}" for n in range(1, 7)), stacks=stacks), f"u{first}", f"u{second}"
    )
    (asked,) = look_alikes(record)
    graph = nx.DiGraph(pairs)
    graph.add_nodes_from((first, second))
    joined = nx.contracted_nodes(graph, first, second, self_loops=True, copy=True)
    circles = [group for group in nx.strongly_connected_components(joined) if joined.subgraph(group).number_of_edges()]
    assert {frozenset(circle.coats) for circle in asked.joined.circles} == {
        frozenset(f"u{unit}" for unit in group) for group in circles
    }
    if not circles:
        reduced = nx.transitive_reduction(joined)
        assert pairs_of(asked.joined.relations) == {(f"u{below}", f"u{above}") for below, above in reduced.edges}
    # one over the other, by whatever chain, is the one thing that makes a circle: these relations had none
    over = nx.has_path(graph, first, second) or nx.has_path(graph, second, first)
    assert bool(asked.joined.circles) == over == any("lies over" in text for text in asked.evidence.for_two)


def test_nothing_is_merged_and_the_pair_is_asked_once_however_it_is_put_down():
    record = van(zones="z:shell", coats="a b c", stacks={"S1": "z a c", "S2": "z b c"})
    for marked in (
        alike(record, "a", "b"),
        alike(record, "b", "a"),
        alike(alike(record, "a", "b"), "b", "a"),
    ):
        before = marked.coats, marked.layers
        (asked,) = look_alikes(marked)
        assert asked.coats == ("a", "b")
        assert asked.question == "Are coat a (a) and coat b (b) one coat?"
        assert (marked.coats, marked.layers) == before
        assert read_history(marked).order.order == ("a", "b", "c")
    assert look_alikes(record) == ()
    assert look_alikes(alike(record, "a", "a")) == ()


def test_two_that_fit_between_each_other_in_two_places_would_order_what_is_unordered():
    """p lies under a, q over b: with a and b one, p comes before q."""
    record = alike(van(zones="z:shell", coats="p a b q", stacks={"S1": "z p a", "S2": "z b q"}), "a", "b")
    (asked,) = look_alikes(record)
    assert set(asked.joined.ordered) == {("p", "b"), ("p", "q"), ("a", "q")}
    assert pairs_of(asked.joined.relations) == {("p", "a"), ("a", "q")}


def test_coats_crossed_in_two_places_would_run_in_a_circle_when_taken_for_one():
    """c over a, and b over c: no circle today; with a and b one, c lies over and under it."""
    record = alike(van(zones="z:shell", coats="a b c", stacks={"S1": "z a c", "S2": "z c b"}), "a", "b")
    (asked,) = look_alikes(record)
    assert [circle.coats for circle in asked.joined.circles] == [("a", "c")]
    assert asked.joined.facts is None
    assert asked.evidence.for_two == ("b lies over a: c over a (S1); b over c (S2)",)


def test_a_circle_of_today_is_not_laid_at_its_door():
    stacks = {"S1": "z x y", "S2": "z y x", "S3": "z a", "S4": "z b"}
    (asked,) = look_alikes(alike(van(zones="z:shell", coats="a b x y", stacks=stacks), "a", "b"))
    assert asked.joined.circles == ()


def test_zones_that_agree_today_may_disagree_when_two_are_one():
    """One stack says none of a, the other of the same zone shows b: with a and b one they contradict each other."""
    record = alike(van(zones="z:shell", coats="a b", stacks={"S1": "z a:none", "S2": "z b", "S3": "z a"}), "a", "b")
    (asked,) = look_alikes(record)
    assert asked.joined.zones == ()  # S1 against S3 on a stands today already
    record = alike(van(zones="z:shell, y:shell", coats="a b", stacks={"S1": "z a:none", "S2": "z b", "S3": "y a"}), "a", "b")
    (asked,) = look_alikes(record)
    assert [(found.zone, found.coat, found.stacks) for found in asked.joined.zones] == [("z", "a", ("S1", "S2"))]


def test_facts_that_would_stand_otherwise_are_told_with_both_grades():
    """The seat shows a and the door's skin shows b only. Apart: the door was not away at b. As one: it was off at it."""
    record = van(
        parts="shell!, door",
        zones="seat:shell, skin:door",
        covers="seat<door",
        coats="a b",
        stacks={"S1": "seat a", "S2": "skin b"},
    )
    record = alike(record, "a", "b")
    (asked,) = look_alikes(record)
    history = read_history(record)
    assert history.explanation.parts["b", "door"].grade != "proven"
    (change,) = asked.joined.facts
    assert (change.coat, change.part, change.after) == ("a", "door", (("off",), "proven"))
    assert {coat for coat, _, _ in change.before} == {"a", "b"}
    after = read_history(taken_for_one(record, ("a", "b")))
    assert after.explanation.parts["a", "door"].allowed == ("off",)


def with_dirt(record, stack, coat):
    layers = [
        layer.model_copy(update={"interface": ("dirt",)}) if (layer.stack_id, layer.coat_id) == (stack, coat) else layer
        for layer in record.layers
    ]
    return replace(record, layers=tuple(layers))


def test_dirt_on_one_and_none_noted_on_the_other_speaks_for_two_and_on_both_for_one():
    record = alike(van(zones="z:shell", coats="a b c", stacks={"S1": "z a c", "S2": "z b c"}), "a", "b")
    one_dirty = with_dirt(record, "S1", "c")
    (asked,) = look_alikes(one_dirty)
    assert asked.evidence.for_two == ("dirt lies on a (S1), none noted on b (S2)",)
    (asked,) = look_alikes(with_dirt(one_dirty, "S2", "c"))
    assert "dirt lies on both: a (S1) and b (S2)" in asked.evidence.for_one
    # where nothing lies over b, nobody can have noted dirt on it: a blank says nothing
    bare = alike(van(zones="z:shell", coats="a b c", stacks={"S1": "z a c", "S2": "z b"}), "a", "b")
    (asked,) = look_alikes(with_dirt(bare, "S1", "c"))
    assert asked.evidence.for_two == ()


@pytest.mark.parametrize(("low", "high", "one"), [(28, 40, True), (30, 40, True), (31, 40, False)])
def test_usual_films_that_overlap_speak_for_one(low, high, one):
    record = van(zones="z:shell", coats="a b", stacks={"S1": "z a", "S2": "z b"})
    films = {"a": {"um_low": 20.0, "um_high": 30.0}, "b": {"um_low": float(low), "um_high": float(high)}}
    (asked,) = look_alikes(alike(record, "a", "b", **films))
    told = asked.evidence.for_one if one else asked.evidence.for_two
    assert [text for text in told if text.startswith("their films")]
    assert len(asked.evidence.for_one) + len(asked.evidence.for_two) == 1


def test_dates_that_leave_no_day_in_common_speak_for_two():
    record = van(parts="shell!, cap@b", zones="z:shell, top:cap", coats="a b", stacks={"S1": "z a", "S2": "top b"})
    sources = (
        Source(source_id="Q1", kind="photo", title="Show", date="1969", about=("a",)),
        Source(source_id="Q2", kind="document", title="Bill", date="1971", about=("cap", "b")),
    )
    (asked,) = look_alikes(replace(alike(record, "a", "b"), sources=sources))
    assert asked.evidence.for_two == ("a was there by 1969-12-31 (Q1), b came no earlier than 1971-01-01 (Q2)",)
    assert "they were seen on no common part" in asked.evidence.seen


def test_a_look_alike_that_no_stack_shows_tells_nothing():
    record = alike(van(zones="z:shell", coats="a b", stacks={"S1": "z a"}), "a", "b")
    (asked,) = look_alikes(record)
    assert (asked.evidence.for_one, asked.evidence.for_two) == ((), ())
    assert "no stack shows b, so nothing tells of it" in asked.evidence.seen
    assert not asked.joined.contradicts


# --- the demo vehicle (its own invented story; no outside source) ------------------------------------------------------


@pytest.fixture(scope="module")
def asked_of_demo():
    record = set_aside(read_folder(VEHICLE_FOLDER).record, ["S12"])
    return {tuple(one["coats"]): one for one in history_json(record)["look_alikes"]}


def test_dirt_and_papers_tell_the_silver_of_the_cap_from_that_of_the_body(asked_of_demo):
    silver = asked_of_demo["c6", "c6b"]
    assert any(text.startswith("dirt lies on c6") and "none noted on c6b" in text for text in silver["for_two"])
    assert any("Q2" in text and "Q3" in text for text in silver["for_two"])
    assert any("films overlap" in text for text in silver["for_one"])
    assert silver["taken_for_one"]["circles"] == []
    assert ["c6", "c7b"] in silver["taken_for_one"]["ordered"]


def test_the_two_blues_and_the_two_clears_would_each_lie_over_themselves(asked_of_demo):
    blue = asked_of_demo["c7", "c7b"]
    assert blue["taken_for_one"]["circles"][0]["coats"] == ["c7"]
    assert not any("no earlier" in text for text in blue["for_two"])  # the sources disagree on the order that is known
    assert asked_of_demo["c8", "c13"]["taken_for_one"]["circles"][0]["coats"] == ["c8", "c12"]
    assert any("S14" in text for text in asked_of_demo["c8", "c13"]["for_two"])
