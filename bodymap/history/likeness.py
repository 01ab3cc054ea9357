"""What speaks for two look-alike coats being one, and what for their being two, in words with the stacks.

That nothing was noted on a surface is no proof that nothing was there: it is told as "none noted".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from bodymap.history.dates import read_dates
from bodymap.history.order import is_layer, natural
from bodymap.history.read import History
from bodymap.history.words import Names, listed
from bodymap.model.coat import Coat
from bodymap.model.record import Record

Pair = tuple[str, str]

# What tells that a surface was in use before the next coat went on.
_IN_USE = ("dirt", "faded")


@dataclass(frozen=True)
class Evidence:
    """What speaks for one coat, for two, and what is to be known beside it (`seen`: where each was seen)."""

    for_one: tuple[str, ...]
    for_two: tuple[str, ...]
    seen: tuple[str, ...]


def evidence_on(record: Record, history: History, pair: Pair) -> Evidence:
    """Evidence on whether two coats are one."""
    weigher = _Weigher(record, history, pair)
    if not all(weigher.stacks[coat] for coat in pair):
        return Evidence((), (), tuple(weigher.seen()))
    found = [
        *weigher.order(),
        *weigher.kinds(),
        *weigher.dates(),
        *weigher.surfaces(),
        *weigher.neighbours(),
        *weigher.films(),
    ]
    return Evidence(
        tuple(text for one, text in found if one), tuple(text for one, text in found if not one), tuple(weigher.seen())
    )


class _Weigher:
    """Gathers evidence as (whether it speaks for one coat, words)."""

    def __init__(self, record: Record, history: History, pair: Pair) -> None:
        self.record, self.history, self.pair = record, history, pair
        self.names = Names(record)
        self.relations = {(one.below, one.above): one.stacks for one in history.order.observed}
        self.graph: nx.DiGraph = nx.DiGraph(sorted(self.relations))
        self.stacks: dict[str, list[str]] = {
            coat: sorted(
                {layer.stack_id for layer in record.layers if layer.coat_id == coat and is_layer(layer)}, key=natural
            )
            for coat in pair
        }

    def order(self) -> Iterator[tuple[bool, str]]:
        """One of the two lies over the other, directly or by others between: then they are two."""
        for below, above in (self.pair, self.pair[::-1]):
            if self.graph.has_node(below) and self.graph.has_node(above) and nx.has_path(self.graph, below, above):
                path = nx.shortest_path(self.graph, below, above)
                steps = [f"{b} over {a} ({listed(self.relations[a, b], ', ')})" for a, b in pairwise(path)]
                yield False, f"{above} lies over {below}: {listed(steps)}"

    def kinds(self) -> Iterator[tuple[bool, str]]:
        """Coats of different kinds are two."""
        kinds = [self.record.coat[coat].kind for coat in self.pair]
        if kinds[0] != kinds[1]:
            yield False, f"{self.pair[0]} is put down as {kinds[0]}, {self.pair[1]} as {kinds[1]}"

    def dates(self) -> Iterator[tuple[bool, str]]:
        """Dated sources leave the two no day in common. Where one lies over the other, dates have nothing to add."""
        if any(self.order()):
            return
        bounds = read_dates(self.record, self.history).bounds
        for early, late in (self.pair, self.pair[::-1]):
            by = bounds[early].there_by if early in bounds else None
            after = bounds[late].not_before if late in bounds else None
            if by and after and by.day < after.day:
                but = f"; but {listed(by.against, ', ')} contradicts {by.source}" if by.against else ""
                there = f"{early} was there by {by.day} ({by.source})"
                yield False, f"{there}, {late} came no earlier than {after.day} ({after.source}){but}"

    def surfaces(self) -> Iterator[tuple[bool, str]]:
        """What lay on each of them when the next coat went on."""
        on = {coat: self._noted_on(coat) for coat in self.pair}
        for word in _IN_USE:
            places = {coat: on[coat].get(word, []) for coat in self.pair}
            if all(places.values()):
                each = " and ".join(f"{coat} ({listed(places[coat], ', ')})" for coat in self.pair)
                yield True, f"{word} lies on both: {each}"
            for coat, other in (self.pair, self.pair[::-1]):
                if places[coat] and not places[other] and on[other]["looked"]:
                    clean = f"none noted on {other} ({listed(on[other]['looked'], ', ')})"
                    yield False, f"{word} lies on {coat} ({listed(places[coat], ', ')}), {clean}"

    def _noted_on(self, coat: str) -> dict[str, list[str]]:
        """Stacks by what lay on the coat there; `looked`: stacks in which something is told of what came next."""
        noted: dict[str, list[str]] = {"looked": []}
        for stack in self.stacks[coat]:
            for below, above in pairwise(self.record.layers_of[stack]):
                if below.coat_id == coat and is_layer(below):
                    noted["looked"].append(stack)
                    for word in above.interface:
                        noted.setdefault(word, []).append(stack)
        return noted

    def neighbours(self) -> Iterator[tuple[bool, str]]:
        """Coats that lie directly under both, or directly over both."""
        relations = self.history.order.observed
        under = [{one.below for one in relations if one.above == coat} for coat in self.pair]
        over = [{one.above for one in relations if one.below == coat} for coat in self.pair]
        for where, sides in (("lie directly on", under), ("lie directly under", over)):
            if both := (sides[0] & sides[1]) - set(self.pair):
                yield True, f"both {where} {listed(sorted(both, key=natural), ' and ')}"

    def films(self) -> Iterator[tuple[bool, str]]:
        """Whether their films, measured in stacks or else usual, could be the same."""
        films = [self._film(self.record.coat[coat]) for coat in self.pair]
        first, second = films
        if first is None or second is None:
            return
        one = first[0] <= second[1] and second[0] <= first[1]
        told = " and ".join(f"{coat} {film[2]}" for coat, film in zip(self.pair, (first, second), strict=True))
        yield one, f"their films {'overlap' if one else 'do not overlap'}: {told}"

    def _film(self, coat: Coat) -> tuple[float, float, str] | None:
        """Least and greatest film [µm] and its basis: the usual film where it is stated, for that allows for scatter."""
        if coat.um_low is not None and coat.um_high is not None:
            return coat.um_low, coat.um_high, f"usually {coat.um_low:g}–{coat.um_high:g} µm"
        layers = [one for one in self.record.layers if one.coat_id == coat.coat_id and one.extent == "full"]
        measured = [one.um for one in layers if one.um is not None]
        if not measured:
            return None
        return min(measured), max(measured), f"measured {min(measured):g}–{max(measured):g} µm"

    def seen(self) -> Iterator[str]:
        """Where each was seen, and on which parts both were."""
        parts = {coat: self._parts(self.stacks[coat]) for coat in self.pair}
        for coat in self.pair:
            if not self.stacks[coat]:
                yield f"no stack shows {coat}, so nothing tells of it"
                continue
            where = listed([self.names.part(part) for part in sorted(parts[coat], key=natural)])
            yield f"{coat} was seen on {where} ({listed(self.stacks[coat], ', ')})"
        if all(parts.values()):
            common = sorted(set(parts[self.pair[0]]) & set(parts[self.pair[1]]), key=natural)
            yield (
                f"both were seen on {listed([self.names.part(part) for part in common])}"
                if common
                else ("they were seen on no common part")
            )

    def _parts(self, stacks: Iterable[str]) -> set[str]:
        return {self.record.zone[self.record.stack[stack].zone_id].part_id for stack in stacks}
