"""The ladder chart: coats from the substrate outward, what lies over what and where that was seen, a few zones beside it.

Coats stand in ranks: as early as the relations allow (generations of the graph of relations; coats of a circle share one
rank). Only a chain of links says which of two coats came first; the ranks alone do not.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

import networkx as nx

from bodymap.history.order import CoatOrder
from bodymap.history.read import History
from bodymap.history.states import State
from bodymap.model.record import Record

Seen = State | Literal["disagree"]
ZONES_MOST = 6
SEEN_WORDS: dict[Seen, str] = {
    "full": "in full",
    "mist": "mist",
    "shielded": "looked for, not there",
    "unknown": "not seen",
    "cut back": "cut back",
    "not made": "part not made yet",
    "disagree": "stacks disagree",
}


@dataclass(frozen=True)
class CoatRow:
    """One coat. `rank`: 0 where nothing lies under it; `in_circle`: its relations contradict each other."""

    coat_id: str
    name: str
    colour: str | None
    rank: int
    in_circle: bool


@dataclass(frozen=True)
class Link:
    """One coat lies over another, in these stacks. `in_circle`: the link is part of a circle."""

    below: str
    above: str
    stacks: tuple[str, ...]
    in_circle: bool


@dataclass(frozen=True)
class ChartZone:
    """A zone shown as a column: the state of each coat, and in words with the stacks behind it."""

    zone_id: str
    title: str
    states: dict[str, Seen]
    words: dict[str, str]


@dataclass(frozen=True)
class CoatChart:
    """Rows from the substrate outward. `ordered`: False where relations run in a circle."""

    rows: tuple[CoatRow, ...]
    links: tuple[Link, ...]
    zones: tuple[ChartZone, ...]
    ordered: bool


def coat_chart(record: Record, history: History, zone_ids: Sequence[str] | None = None) -> CoatChart:
    """The chart with these zones as columns; None: the few that show the most."""
    order = history.order
    ranks = coat_ranks(order)
    circling = {coat for circle in order.circles for coat in circle.coats}
    place = {coat: number for number, coat in enumerate(order.coats)}
    rows = [
        CoatRow(coat, record.coat[coat].name, record.coat[coat].colour, ranks[coat], coat in circling)
        for coat in sorted(order.coats, key=lambda coat: (ranks[coat], place[coat]))
    ]
    inside = {(relation.below, relation.above) for circle in order.circles for relation in circle.relations}
    links = [
        Link(relation.below, relation.above, relation.stacks, (relation.below, relation.above) in inside)
        for relation in order.relations
    ]
    chosen = telling_zones(record, history) if zone_ids is None else tuple(zone_ids)
    zones = tuple(_zone(record, history, zone) for zone in chosen)
    return CoatChart(tuple(rows), tuple(links), zones, order.order is not None)


def coat_ranks(order: CoatOrder) -> dict[str, int]:
    """Rank of each seen coat: 1 more than the highest rank under it; coats of one circle share a rank."""
    graph: nx.DiGraph = nx.DiGraph()
    graph.add_nodes_from(order.seen)
    graph.add_edges_from((relation.below, relation.above) for relation in order.observed)
    groups = nx.condensation(graph)
    generations = enumerate(nx.topological_generations(groups))
    return {coat: rank for rank, level in generations for group in level for coat in groups.nodes[group]["members"]}


def telling_zones(record: Record, history: History, most: int = ZONES_MOST) -> tuple[str, ...]:
    """A few zones that together show the most coats, each adding the most to those before it; in the order of the record."""
    states = history.found.states
    shown = {
        zone.zone_id: {coat for coat in states if states[coat][zone.zone_id] in ("full", "mist")} for zone in record.zones
    }
    chosen: list[str] = []
    covered: set[str] = set()
    while len(chosen) < most and shown:
        best = max(shown, key=lambda zone: len(shown[zone] - covered))
        if not shown[best] - covered:
            break
        covered |= shown.pop(best)
        chosen.append(best)
    return tuple(zone.zone_id for zone in record.zones if zone.zone_id in set(chosen))


def _zone(record: Record, history: History, zone_id: str) -> ChartZone:
    against = {(one.coat, one.zone): one.said for one in history.found.contradictions}
    states: dict[str, Seen] = {}
    words: dict[str, str] = {}
    for coat in history.order.coats:
        said = against.get((coat, zone_id))
        states[coat] = "disagree" if said else history.found.states[coat][zone_id]
        stacks: Collection[str] = [stack for stack, _ in said] if said else history.found.evidence.get((coat, zone_id), ())
        words[coat] = SEEN_WORDS[states[coat]] + (f" ({', '.join(stacks)})" if stacks else "")
    return ChartZone(zone_id, record.zone[zone_id].title, states, words)
