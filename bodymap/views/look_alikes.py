"""Coats that look alike: one coat, or two? Asked with the evidence for and against, never answered by the program."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from bodymap.history.order import is_layer, natural
from bodymap.history.read import History
from bodymap.history.words import Names, listed
from bodymap.model.record import Record
from bodymap.views.ladder import INTERFACE_WORDS


@dataclass(frozen=True)
class LookAlike:
    """A question about two coats, and what the stacks say for and against their being one."""

    coats: tuple[str, str]
    question: str
    evidence: tuple[str, ...]


def look_alikes(record: Record, history: History) -> tuple[LookAlike, ...]:
    """Every pair that is said to look alike, once, in the order of the record."""
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for coat in record.coats:
        for other in coat.looks_like:
            if other in record.coat and other != coat.coat_id:
                pairs.setdefault(frozenset((coat.coat_id, other)), (coat.coat_id, other))
    names = Names(record)
    return tuple(
        LookAlike(
            pair, f"Are {names.coat(pair[0])} and {names.coat(pair[1])} one coat?", tuple(_evidence(record, history, pair))
        )
        for pair in pairs.values()
    )


def _evidence(record: Record, history: History, pair: tuple[str, str]) -> Iterator[str]:
    unseen = [coat for coat in pair if coat not in history.order.seen]
    if unseen:
        yield f"No stack shows {' or '.join(unseen)} yet, so nothing speaks for or against it."
        return
    both = [
        stack
        for stack in sorted(record.layers_of, key=natural)
        if set(pair) <= {layer.coat_id for layer in record.layers_of[stack] if is_layer(layer)}
    ]
    if both:
        yield f"Against: both lie in {listed(both, ', ')}."
    elif between := _between(history, pair):
        yield f"Against: as one coat it would lie both under and over {', '.join(between)}."
    else:
        yield "For: no stack shows both, and as one coat it would bring no new circle into the order."
    said = [f"{coat}: {_surface(record, coat)}" for coat in pair]
    yield f"What lay on it before the next coat: {'; '.join(said)}."


def _between(history: History, pair: tuple[str, str]) -> list[str]:
    """Coats between the two, on a chain of relations from the one to the other."""
    graph: nx.DiGraph = nx.DiGraph((relation.below, relation.above) for relation in history.order.observed)
    graph.add_nodes_from(pair)
    for one, other in (pair, pair[::-1]):
        between = (nx.descendants(graph, one) & nx.ancestors(graph, other)) - set(pair)
        if between:
            return [coat for coat in history.order.coats if coat in between]
    return []


def _surface(record: Record, coat: str) -> str:
    """The interfaces noted on top of a coat, with the stacks; where none is noted that is said, not that there was none."""
    found: dict[str, list[str]] = {}
    over = 0
    for stack in sorted(record.layers_of, key=natural):
        for below, above in pairwise([layer for layer in record.layers_of[stack] if is_layer(layer)]):
            if below.coat_id == coat:
                over += 1
                for interface in above.interface:
                    found.setdefault(INTERFACE_WORDS[interface].removeprefix("over "), []).append(stack)
    if not over:
        return "no stack shows what lies over it"
    if not found:
        return f"nothing noted in {over} {'stack' if over == 1 else 'stacks'}"
    return ", ".join(f"{words} in {len(stacks)} of {over} ({listed(stacks, ', ')})" for words, stacks in found.items())
