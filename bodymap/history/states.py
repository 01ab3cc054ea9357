"""State of each coat on each zone. What was not looked at is not known: a blank is never `none`.

From the zone's stacks: `full` or `mist` if the coat was seen. If it was not seen: `not made` if the part's first coat
comes later in the order; `cut back` if a later layer is flagged as cut back in a stack of that zone; `shielded` if some
stack of the zone reaches the substrate, says `none` of it, or has its lowest layer earlier in the order; else `unknown`.

Two stacks of one zone contradict each other where they say different things of a coat: full, mist, or shielded.
`unknown`, `cut back` and `not made` say nothing of what reached the surface and contradict nothing. Where both
`full` and `mist` stand in one stack, it counts as full.

With relations that run in a circle there is no order: a state is still given where no order could change it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bodymap.history.order import CoatOrder, coat_order, is_layer, natural
from bodymap.model.record import Record
from bodymap.model.stack import Layer, Stack
from bodymap.model.zone import Zone

State = Literal["full", "mist", "not made", "cut back", "shielded", "unknown"]
States = Mapping[str, Mapping[str, State]]


@dataclass(frozen=True)
class ZoneContradiction:
    """Stacks of one zone that say different things of a coat: a boundary runs through the zone.

    `said`: what each of them says, by stack_id.
    """

    zone: str
    coat: str
    said: tuple[tuple[str, State], ...]

    @property
    def stacks(self) -> tuple[str, ...]:
        """The stacks that say something of the coat there."""
        return tuple(stack for stack, _ in self.said)


@dataclass(frozen=True)
class StatesFound:
    """States by coat (every seen coat) and zone (every zone), and the contradictions inside zones.

    `evidence`: the stacks a state full, mist or shielded rests on, by (coat, zone).
    """

    states: States
    contradictions: tuple[ZoneContradiction, ...]
    evidence: Mapping[tuple[str, str], tuple[str, ...]]


def states_of(record: Record) -> dict[str, dict[str, State]]:
    """State of every seen coat on every zone: {coat_id: {zone_id: state}}."""
    return {coat: dict(zones) for coat, zones in found_states(record, coat_order(record)).states.items()}


def found_states(record: Record, order: CoatOrder) -> StatesFound:
    """States of the seen coats on all zones of a record."""
    later = Later(order)
    states: dict[str, dict[str, State]] = {}
    contradictions: list[ZoneContradiction] = []
    evidence: dict[tuple[str, str], tuple[str, ...]] = {}
    views = [_ZoneView(record, zone) for zone in record.zones]
    for coat in order.coats:
        states[coat] = {}
        for view in views:
            state, said = view.state(coat, later)
            states[coat][view.zone_id] = state
            if state == "unknown" and said:
                contradictions.append(ZoneContradiction(view.zone_id, coat, said))
            elif said:
                evidence[coat, view.zone_id] = tuple(stack for stack, _ in said)
    place = {coat: number for number, coat in enumerate(order.coats)}
    contradictions.sort(key=lambda found: (place[found.coat], natural(found.zone)))
    return StatesFound(states, tuple(contradictions), evidence)


class Later:
    """Says whether a coat comes later in the order than another; None where there is no order to tell."""

    def __init__(self, order: CoatOrder) -> None:
        self._seen = frozenset(order.seen)
        self._place = None if order.order is None else {coat: number for number, coat in enumerate(order.order)}

    def __call__(self, coat: str, than: str) -> bool | None:
        """Whether `coat` comes later. A coat that no stack shows has no place, so it never does."""
        if coat == than or coat not in self._seen or than not in self._seen:
            return False
        return None if self._place is None else self._place[coat] > self._place[than]


class _StackView:
    """What one stack can say of coats."""

    def __init__(self, stack: Stack, layers: tuple[Layer, ...]) -> None:
        there = [layer for layer in layers if is_layer(layer)]
        self.stack_id = stack.stack_id
        self.reaches = stack.reaches_substrate
        self.full = {layer.coat_id for layer in there if layer.extent == "full"}
        self.seen = {layer.coat_id for layer in there}
        self.absent = {layer.coat_id for layer in layers} - self.seen
        self.lowest = there[0].coat_id if there else None
        self.flagged = {layer.coat_id for layer in there if layer.cut_back}

    def says(self, coat: str, later: Later) -> State | None:
        """`full`, `mist`, `shielded` or `unknown`; None where the order would have to tell."""
        if coat in self.seen:
            return "full" if coat in self.full else "mist"
        if self.reaches or coat in self.absent:
            return "shielded"
        if self.lowest is None:
            return "unknown"
        earlier = later(coat, self.lowest)
        return None if earlier is None else "shielded" if earlier else "unknown"


class _ZoneView:
    """What the stacks of one zone say together."""

    def __init__(self, record: Record, zone: Zone) -> None:
        self.zone_id = zone.zone_id
        self.first = record.part[zone.part_id].first_coat
        stacks = sorted(record.stacks_of.get(zone.zone_id, ()), key=lambda stack: natural(stack.stack_id))
        self.stacks = [_StackView(stack, record.layers_of.get(stack.stack_id, ())) for stack in stacks]
        self.flagged = {coat for stack in self.stacks for coat in stack.flagged}

    def state(self, coat: str, later: Later) -> tuple[State, tuple[tuple[str, State], ...]]:
        """The state, and what each stack says that says something. Where they differ the state is `unknown`."""
        gone = self._gone(coat, later)
        said: list[tuple[str, State]] = []
        for stack in self.stacks:
            says = stack.says(coat, later)
            # the absence of a coat says nothing where the part was not there yet or the surface was cut back
            if says in ("full", "mist") or (says == "shielded" and gone == ""):
                said.append((stack.stack_id, says))
        different = {state for _, state in said}
        if len(different) > 1:
            return "unknown", tuple(said)
        if different:
            return different.pop(), tuple(said)
        return gone or "unknown", ()

    def _gone(self, coat: str, later: Later) -> Literal["", "not made", "cut back"] | None:
        """Why an unseen coat need not be there; empty: no reason; None: the order would have to tell."""
        not_made = later(self.first, coat) if self.first else False
        if not_made:
            return "not made"
        cut_back = [later(flagged, coat) for flagged in self.flagged]
        if not_made is None or None in cut_back:
            return None
        return "cut back" if any(cut_back) else ""
