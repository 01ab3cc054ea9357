"""Look-alike coats: what it would change to take two for one. A question with what speaks for and against; never done.

Taking two coats for one joins their places in the order: every relation of either becomes one of the joined coat. That
may order coats that were unordered, make relations run in a circle (always where one of the two lies over the other), and
change what explains the states. The record itself is left alone: two coats are made one by a person, in the record.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from bodymap.history.explain import Explanation, Grade
from bodymap.history.likeness import Evidence, evidence_on
from bodymap.history.order import Circle, CoatOrder, Relation, natural
from bodymap.history.read import History, read_history
from bodymap.history.rules import PartState, Unexplained
from bodymap.history.states import ZoneContradiction
from bodymap.history.words import Names
from bodymap.model.record import Record

Held = tuple[tuple[PartState, ...], Grade]


@dataclass(frozen=True)
class FactChange:
    """A fact about a part that would stand otherwise. `before`: (coat, its states, grade), of both coats where it had both.

    `after`: its states and grade with the two taken for one.
    """

    coat: str
    part: str
    before: tuple[tuple[str, tuple[PartState, ...], Grade], ...]
    after: Held


@dataclass(frozen=True)
class Joined:
    """What would change if two coats were one; the joined coat goes by the id of the first.

    Attributes:
        relations: the relations that would be left after reduction.
        added, dropped: those of them that do not stand in the chart today, and today's that would leave it.
        ordered: pairs unordered today of which the order would be told.
        circles, zones, unexplained: contradictions there are none of today. Circles come from relations alone; where coats
            are unordered, the other two may hang on the row order of the coats, which then decides the computing order.
        facts: None where relations run in a circle, before or after: then there is no explanation to compare.
    """

    relations: tuple[Relation, ...]
    added: tuple[tuple[str, str], ...]
    dropped: tuple[tuple[str, str], ...]
    ordered: tuple[tuple[str, str], ...]
    circles: tuple[Circle, ...]
    zones: tuple[ZoneContradiction, ...]
    unexplained: tuple[Unexplained, ...]
    facts: tuple[FactChange, ...] | None

    @property
    def contradicts(self) -> bool:
        """Whether taking them for one would contradict anything that nothing contradicts today."""
        return bool(self.circles or self.zones or self.unexplained)


@dataclass(frozen=True)
class LookAlike:
    """Two coats that look the same: the question, what speaks for one coat and for two, and what one would change."""

    coats: tuple[str, str]
    question: str
    evidence: Evidence
    joined: Joined


def look_alikes(record: Record, history: History | None = None) -> tuple[LookAlike, ...]:
    """Every pair of coats said to look alike, as a question. `history`: where it has been read already."""
    pairs = {
        (min(coat.coat_id, other, key=natural), max(coat.coat_id, other, key=natural))
        for coat in record.coats
        for other in coat.looks_like
        if other in record.coat and other != coat.coat_id
    }
    if not pairs:
        return ()
    history, names = history or read_history(record), Names(record)
    return tuple(
        LookAlike(
            pair,
            f"Are {names.coat(pair[0])} and {names.coat(pair[1])} one coat?",
            evidence_on(record, history, pair),
            joined(record, history, pair),
        )
        for pair in sorted(pairs, key=lambda pair: (natural(pair[0]), natural(pair[1])))
    )


def taken_for_one(record: Record, pair: tuple[str, str]) -> Record:
    """The record as the history reads it with the second coat taken for the first. Only to ask what would change."""
    first, second = pair

    def to(coat: str) -> str:
        return first if coat == second else coat

    return replace(
        record,
        coats=tuple(coat for coat in record.coats if coat.coat_id != second),
        layers=tuple(layer.model_copy(update={"coat_id": to(layer.coat_id)}) for layer in record.layers),
        parts=tuple(
            part.model_copy(update={"first_coat": to(part.first_coat)}) if part.first_coat else part for part in record.parts
        ),
    )


def joined(record: Record, before: History, pair: tuple[str, str]) -> Joined:
    """What would change if the second coat of a pair were the first. `before`: the history as it stands."""
    after = read_history(taken_for_one(record, pair))
    to = {coat: pair[0] if coat == pair[1] else coat for coat in record.coat}
    today, then = _mapped(before.order.relations, to), _pairs(after.order.relations)
    circles = {frozenset(to[coat] for coat in circle.coats) for circle in before.order.circles}
    zones = {(found.zone, to[found.coat]) for found in before.found.contradictions}
    failed = {(one.zone, to[one.coat]) for one in before.unexplained}
    return Joined(
        relations=after.order.relations,
        added=tuple(one for one in then if one not in today),
        dropped=tuple(one for one in today if one not in then),
        ordered=_ordered(before.order, after.order, to),
        circles=tuple(circle for circle in after.order.circles if frozenset(circle.coats) not in circles),
        zones=tuple(found for found in after.found.contradictions if (found.zone, found.coat) not in zones),
        unexplained=tuple(one for one in after.unexplained if (one.zone, one.coat) not in failed),
        facts=_facts(before.explanation, after.explanation, to),
    )


def _pairs(relations: Iterable[Relation]) -> list[tuple[str, str]]:
    return [(relation.below, relation.above) for relation in relations]


def _mapped(relations: Iterable[Relation], to: Mapping[str, str]) -> list[tuple[str, str]]:
    """Relations of today by the ids of then; one between the two themselves is none of today."""
    pairs = _pairs(relations)
    return list(dict.fromkeys((to[a], to[b]) for a, b in pairs if a == b or to[a] != to[b]))


def _ordered(before: CoatOrder, after: CoatOrder, to: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Pairs unordered before and told after, by today's ids; the two themselves are no pair any more."""
    if after.order is None:
        return ()
    still = {frozenset(pair) for pair in after.unordered}
    open_today = [pair for pair in before.unordered if to[pair[0]] != to[pair[1]]]
    place = {coat: number for number, coat in enumerate(after.order)}
    told = [pair for pair in open_today if frozenset(to[coat] for coat in pair) not in still]
    return tuple((a, b) if place[to[a]] < place[to[b]] else (b, a) for a, b in told)


def _facts(before: Explanation | None, after: Explanation | None, to: Mapping[str, str]) -> tuple[FactChange, ...] | None:
    if before is None or after is None:
        return None
    held: dict[tuple[str, str], list[tuple[str, tuple[PartState, ...], Grade]]] = {}
    for (coat, part), fact in before.parts.items():
        held.setdefault((to[coat], part), []).append((coat, fact.values, fact.grade))
    changes = []
    for (coat, part), fact in after.parts.items():
        was = held.get((coat, part), [])
        if any((values, grade) != (fact.values, fact.grade) for _, values, grade in was) or not was:
            changes.append(FactChange(coat, part, tuple(was), (fact.values, fact.grade)))
    return tuple(changes)
