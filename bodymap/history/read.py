"""The history of a vehicle's finish, read from its stacks: order, states, explanation, contradictions, where to look next.

    history = read_history(record)

The meaning is the one of the open folder ("How the history is read"). Where relations run in a circle there is no order,
and what needs one is left out. A first coat that no stack shows has no place in the order: the part counts as there from
the start, and `notes` says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bodymap.history.circles import circle_removals
from bodymap.history.explain import Explanation, explain
from bodymap.history.look_next import Look, look_next
from bodymap.history.order import CoatOrder, coat_order, natural
from bodymap.history.rules import Unexplained, scene_of
from bodymap.history.states import StatesFound, found_states
from bodymap.model.record import Record


@dataclass(frozen=True)
class History:
    """What the stacks of a record say.

    Attributes:
        explanation: None where relations run in a circle.
        looks: where to look next, the best first; empty with a circle.
        circle_removals: every smallest set of stacks without which nothing runs in a circle.
        notes: what was left out of account, and why.
    """

    order: CoatOrder
    found: StatesFound
    explanation: Explanation | None
    looks: tuple[Look, ...]
    circle_removals: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]

    @property
    def unexplained(self) -> tuple[Unexplained, ...]:
        """Observations which no allowed explanation meets; every one is left out of the explanation."""
        return self.explanation.scene.unexplained if self.explanation else ()

    @property
    def contradicted(self) -> bool:
        """Whether anything contradicts anything."""
        return bool(self.order.circles or self.found.contradictions or self.unexplained)


def read_history(record: Record) -> History:
    """Read the history of a record. The order of its rows changes nothing, but that coats.csv breaks ties in the order."""
    order = coat_order(record)
    found = found_states(record, order)
    if order.order is None:
        return History(order, found, None, (), circle_removals(record), ())
    explanation = explain(scene_of(record, order.order, found.states, found.evidence))
    looks = look_next(explanation, _unseen(found))
    return History(order, found, explanation, looks, (), tuple(_notes(record, order)))


def _unseen(found: StatesFound) -> frozenset[tuple[str, str]]:
    """(coat, zone) nobody has looked at: unknown, and not because stacks contradict each other."""
    contradicted = {(one.coat, one.zone) for one in found.contradictions}
    return frozenset(
        (coat, zone)
        for coat, zones in found.states.items()
        for zone, state in zones.items()
        if state == "unknown" and (coat, zone) not in contradicted
    )


def _notes(record: Record, order: CoatOrder) -> Iterator[str]:
    unseen = set(order.unseen)
    for part in sorted(record.parts, key=lambda part: natural(part.part_id)):
        if part.first_coat in unseen:
            yield f"{part.part_id}: no stack shows its first coat {part.first_coat}, so it counts as there from the start"
