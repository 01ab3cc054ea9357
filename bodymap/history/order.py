"""One order of coats out of many stacks.

A layer lies over the layer below it in the same stack; each such pair is a relation between two coats. Layers looked
for and absent (`none`) are no layers here. Relations that follow from others are left out of the chart: by the law of
stratigraphical succession all but the immediate superpositions are redundant (E. C. Harris, The laws of archaeological
stratigraphy, World Archaeology 11, 1979, 111–117). Relations that run in a circle contradict each other; then there is
no order. A coat is one application, so a coat lying over itself is a circle of one.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations, pairwise

import networkx as nx

from bodymap.model.record import Record
from bodymap.model.stack import Layer


@dataclass(frozen=True)
class Relation:
    """One coat lies directly over another, in these stacks."""

    below: str
    above: str
    stacks: tuple[str, ...]


@dataclass(frozen=True)
class Circle:
    """Coats whose relations run in a circle, and those relations."""

    coats: tuple[str, ...]
    relations: tuple[Relation, ...]


@dataclass(frozen=True)
class CoatOrder:
    """What the stacks say of the order of coats.

    Attributes:
        seen: coats that some stack shows, in the row order of the coats.
        unseen: the other coats, in row order; they are left out of all that follows.
        observed: every relation, with the stacks that show it.
        relations: those that do not follow from others (with a circle: between circles reduced, inside them all).
        circles: relations that contradict each other; empty where there is an order.
        order: the coats, earliest first; where the relations leave a choice the row order of the coats decides.
            None with a circle.
        unordered: pairs of which no chain of relations says which came first.
    """

    seen: tuple[str, ...]
    unseen: tuple[str, ...]
    observed: tuple[Relation, ...]
    relations: tuple[Relation, ...]
    circles: tuple[Circle, ...]
    order: tuple[str, ...] | None
    unordered: tuple[tuple[str, str], ...]

    @property
    def coats(self) -> tuple[str, ...]:
        """The seen coats: in computing order, or in row order with a circle."""
        return self.seen if self.order is None else self.order


def natural(ident: str) -> tuple[tuple[int, int | str], ...]:
    """Sort key by which S2 comes before S10.

    >>> sorted(["S10", "S2", "S10s"], key=natural)
    ['S2', 'S10', 'S10s']
    """
    pieces = re.split(r"([0-9]+)", ident)
    return (*((0, int(piece)) if piece.isdecimal() else (1, piece) for piece in pieces if piece), (-1, ident))


def is_layer(layer: Layer) -> bool:
    """Whether the coat was seen there; `none` says that it was looked for and is absent."""
    return layer.extent != "none"


def coat_order(record: Record) -> CoatOrder:
    """Order of the coats of a record, or the circles that stand against one."""
    rows = {coat.coat_id: row for row, coat in enumerate(record.coats)}
    shown = {layer.coat_id for layer in record.layers if is_layer(layer)}
    seen = tuple(coat for coat in rows if coat in shown)
    stacks = stacks_by_relation(record)
    graph: nx.DiGraph = nx.DiGraph()
    graph.add_nodes_from(seen)
    graph.add_edges_from(stacks)
    circles = _circles(graph, stacks, rows)
    order = None if circles else tuple(nx.lexicographical_topological_sort(graph, key=rows.__getitem__))
    place = {coat: number for number, coat in enumerate(order or seen)}

    def listed(pairs: Iterable[tuple[str, str]]) -> tuple[Relation, ...]:
        return _listed(pairs, stacks, place)

    return CoatOrder(
        seen=seen,
        unseen=tuple(coat for coat in rows if coat not in shown),
        observed=listed(stacks),
        relations=listed(_reduced(graph)),
        circles=circles,
        order=order,
        unordered=_unordered(graph, order or seen),
    )


def stacks_by_relation(record: Record, without: frozenset[str] = frozenset()) -> dict[tuple[str, str], set[str]]:
    """(coat below, coat above) to the stacks that show it, some stacks left out."""
    shown: dict[tuple[str, str], set[str]] = defaultdict(set)
    for stack, layers in record.layers_of.items():
        if stack in without:
            continue
        coats = [layer.coat_id for layer in layers if is_layer(layer)]
        for below, above in pairwise(coats):
            shown[below, above].add(stack)
    return dict(shown)


def _listed(
    pairs: Iterable[tuple[str, str]], stacks: dict[tuple[str, str], set[str]], place: dict[str, int]
) -> tuple[Relation, ...]:
    found = [Relation(below, above, tuple(sorted(stacks[below, above], key=natural))) for below, above in pairs]
    return tuple(sorted(found, key=lambda relation: (place[relation.below], place[relation.above])))


def _circles(graph: nx.DiGraph, stacks: dict[tuple[str, str], set[str]], rows: dict[str, int]) -> tuple[Circle, ...]:
    circles = []
    for members in nx.strongly_connected_components(graph):
        inside = [(below, above) for below, above in graph.subgraph(members).edges]
        if inside:
            coats = tuple(sorted(members, key=rows.__getitem__))
            circles.append(Circle(coats, _listed(inside, stacks, rows)))
    return tuple(sorted(circles, key=lambda circle: rows[circle.coats[0]]))


def _reduced(graph: nx.DiGraph) -> list[tuple[str, str]]:
    """Relations that do not follow from others. Between circles they are reduced; inside a circle all stay."""
    groups = nx.condensation(graph)
    group_of = groups.graph["mapping"]
    kept = set(nx.transitive_reduction(groups).edges)
    return [
        (below, above)
        for below, above in graph.edges
        if group_of[below] == group_of[above] or (group_of[below], group_of[above]) in kept
    ]


def _unordered(graph: nx.DiGraph, coats: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    over = {coat: nx.descendants(graph, coat) for coat in coats}
    return tuple((a, b) for a, b in combinations(coats, 2) if b not in over[a] and a not in over[b])
