"""The fewest observations that must be wrong where relations run in a circle: which stacks to look at again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import networkx as nx

from bodymap.history.order import natural, stacks_by_relation
from bodymap.model.record import Record

REMOVED_MOST = 8
"""More stacks than this are not tried: then too much is wrong for a list of suspects to be of help."""

Shown = Mapping[tuple[str, str], set[str]]


def circle_removals(record: Record, most: int = REMOVED_MOST) -> tuple[tuple[str, ...], ...]:
    """Every smallest set of stacks without which no relations run in a circle.

    Empty where there is no circle, or where more than `most` stacks would have to go.
    """
    shown = stacks_by_relation(record)
    if _circle(shown) is None:
        return ()
    for size in range(1, most + 1):
        found = {gone for gone in _clearing(shown, frozenset(), size, set()) if len(gone) == size}
        if found:
            sets = [tuple(sorted(gone, key=natural)) for gone in found]
            return tuple(sorted(sets, key=lambda gone: [natural(stack) for stack in gone]))
    return ()


def _clearing(shown: Shown, gone: frozenset[str], size: int, tried: set[frozenset[str]]) -> Iterator[frozenset[str]]:
    """Sets of at most `size` stacks that clear every circle. A circle is cleared where all stacks of one relation go."""
    if gone in tried:
        return
    tried.add(gone)
    left = _without(shown, gone)
    circle = _circle(left)
    if circle is None:
        yield gone
        return
    if len(gone) + _least(left) > size:
        return
    for relation in circle:
        yield from _clearing(shown, gone | left[relation], size, tried)


def _least(shown: Shown) -> int:
    """At least so many stacks must go: circles that share no stack each cost their cheapest relation."""
    least = 0
    while (circle := _circle(shown)) is not None:
        least += min(len(shown[relation]) for relation in circle)
        shown = _without(shown, frozenset().union(*(shown[relation] for relation in circle)))
    return least


def _without(shown: Shown, gone: frozenset[str]) -> Shown:
    left = {relation: stacks - gone for relation, stacks in shown.items()}
    return {relation: stacks for relation, stacks in left.items() if stacks}


def _circle(shown: Shown) -> list[tuple[str, str]] | None:
    """The relations of a shortest circle; None where there is none."""
    graph = nx.DiGraph(sorted(shown))
    best: list[str] | None = None
    for group in nx.strongly_connected_components(graph):
        for coat in sorted(group):
            found = _through(graph.subgraph(group), coat)
            if found is not None and (best is None or (len(found), found) < (len(best), best)):
                best = found
    return None if best is None else list(zip(best, [*best[1:], best[0]], strict=True))


def _through(graph: nx.DiGraph, coat: str) -> list[str] | None:
    """A shortest circle through a coat."""
    paths = nx.single_source_shortest_path(graph, coat)
    back = [paths[before] for before in sorted(graph.predecessors(coat))]
    return min(back, key=len, default=None)
