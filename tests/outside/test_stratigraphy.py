"""The order of coats against published stratigraphy and a reference library for graphs.

Worked example: E. C. Harris, The laws of archaeological stratigraphy, World Archaeology 11 (1979) 111–117, fig. 12. The 13
relations before are those of the documentation of the R package arkhe (class StratigraphicMatrix), the 11 after those of
the vignette "Stratigraphic Graphs" of the R package aion.
"""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.history.order import coat_order
from tests.history.cases import van

# (lower, upper) of the 13 relations observed, and (upper, lower) of the 11 that do not follow from others
BEFORE = [(2, 1), (3, 1), (4, 1), (5, 2), (5, 3), (5, 4), (6, 5), (7, 1), (7, 6), (8, 1), (8, 6), (9, 7), (9, 8)]
AFTER = [(1, 2), (1, 3), (1, 4), (2, 5), (3, 5), (4, 5), (5, 6), (6, 7), (6, 8), (7, 9), (8, 9)]


def stacks_showing(pairs):
    return {f"S{number}": f"z u{below} u{above}" for number, (below, above) in enumerate(pairs, 1)}


def order_of(pairs, units=tuple(range(1, 10))):
    coats = " ".join(f"u{unit}" for unit in units)
    return coat_order(van(zones="z:shell", coats=coats, stacks=stacks_showing(pairs)))


def pairs_of(relations):
    return {(int(relation.below[1:]), int(relation.above[1:])) for relation in relations}


def test_harris_1979_fig_12_keeps_11_of_13_relations():
    order = order_of(BEFORE)
    assert pairs_of(order.observed) == set(BEFORE)
    assert pairs_of(order.relations) == {(below, above) for above, below in AFTER}
    assert pairs_of(order.observed) - pairs_of(order.relations) == {(7, 1), (8, 1)}


def test_harris_1979_fig_12_leaves_four_pairs_unordered_and_twelve_linear_orders():
    order = order_of(BEFORE)
    assert {frozenset(pair) for pair in order.unordered} == {
        frozenset(pair) for pair in (("u2", "u3"), ("u2", "u4"), ("u3", "u4"), ("u7", "u8"))
    }
    graph = nx.DiGraph(pairs_of(order.relations))
    linear = list(nx.all_topological_sorts(graph))
    assert len(linear) == 12
    assert [int(coat[1:]) for coat in order.order] in linear
    assert list(map(set, nx.topological_generations(graph))) == [{9}, {7, 8}, {6}, {5}, {2, 3, 4}, {1}]
    assert nx.dag_longest_path_length(graph) == 5
    assert nx.transitive_closure(graph).number_of_edges() == 32


def test_row_order_of_the_coats_breaks_the_ties():
    """Taken again and again: the first coat of the file over which none still waits."""
    assert order_of(BEFORE).order == ("u9", "u7", "u8", "u6", "u5", "u2", "u3", "u4", "u1")
    assert order_of(BEFORE, (4, 8, 3, 9, 1, 2, 7, 6, 5)).order == ("u9", "u8", "u7", "u6", "u5", "u4", "u3", "u2", "u1")


def test_a_circle_is_told_with_its_members_and_never_dropped():
    """9 laid above 1 closes the whole of fig. 12 into one circle of nine."""
    order = order_of([*BEFORE, (1, 9)])
    assert order.order is None
    (circle,) = order.circles
    assert set(circle.coats) == {f"u{unit}" for unit in range(1, 10)}
    assert pairs_of(circle.relations) == {*BEFORE, (1, 9)}
    assert next(relation.stacks for relation in circle.relations if relation.below == "u1") == ("S14",)


@st.composite
def relations_without_circle(draw):
    units = draw(st.integers(2, 8))
    pairs = st.tuples(st.integers(1, units), st.integers(1, units)).filter(lambda pair: pair[0] < pair[1])
    return draw(st.lists(pairs, max_size=16, unique=True))


@given(relations_without_circle())
def test_reduction_is_that_of_networkx_and_closes_to_the_same(pairs):
    """Aho, Garey and Ullman, SIAM J. Comput. 1 (1972) 131–137 (from memory, not seen): it is unique without circles."""
    order = order_of(pairs)
    graph = nx.DiGraph(pairs)
    reduced = pairs_of(order.relations)
    assert reduced == set(nx.transitive_reduction(graph).edges)
    closed = nx.transitive_closure(nx.DiGraph(list(reduced)))
    assert set(closed.edges) == set(nx.transitive_closure(graph).edges)
    unordered = {frozenset(int(coat[1:]) for coat in pair) for pair in order.unordered}
    assert unordered == {
        frozenset((a, b)) for a in graph for b in graph if a < b and not closed.has_edge(a, b) and not closed.has_edge(b, a)
    }


@given(st.lists(st.tuples(st.integers(1, 6), st.integers(1, 6)), max_size=12, unique=True))
def test_circles_are_the_strongly_connected_components(pairs):
    order = order_of(pairs)
    graph = nx.DiGraph(pairs)
    circles = [group for group in nx.strongly_connected_components(graph) if graph.subgraph(group).number_of_edges()]
    assert {frozenset(int(coat[1:]) for coat in circle.coats) for circle in order.circles} == set(map(frozenset, circles))
    assert (order.order is None) == bool(circles) == (not nx.is_directed_acyclic_graph(graph))


@pytest.mark.parametrize("stacks", [{}, {"S1": "z u3"}, {"S1": "z* u3:none"}])
def test_what_shows_no_relation_gives_none(stacks):
    order = coat_order(van(zones="z:shell", coats="u1 u2 u3", stacks=stacks))
    assert order.relations == ()
    assert order.unordered == ()
    assert order.order == (("u3",) if stacks == {"S1": "z u3"} else ())
