"""Where to look next: the unseen zones that would settle the most facts short of proven.

A look at a zone tells two states of a part apart where what would be seen there differs: in full, as mist, or nothing,
the other parts being as in the cheapest explanations and the zone not taped. It settles a fact if it tells all of its
alternatives apart. Alternatives of an open fact are its values among the cheapest explanations, of a likely fact those
among all allowed ones. That a zone was taped is settled with the states of all parts that have a say there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from bodymap.history.explain import Explanation, PartFact
from bodymap.history.order import natural
from bodymap.history.rules import PART_STATES, PartState, Reach, Sight, reaches

Outcomes = Mapping[str, Mapping[PartState, set[Reach]]]


@dataclass(frozen=True)
class Look:
    """A look at a coat on an unseen zone.

    Attributes:
        settles: the facts it would settle, as text with ids.
        outcomes: what would be seen, with the part and its states that would then be told, in that order.
    """

    zone: str
    coat: str
    settles: tuple[str, ...]
    outcomes: tuple[tuple[str, tuple[tuple[Reach, tuple[PartState, ...]], ...]], ...]


def state_fact(fact: PartFact) -> str:
    """Name of the fact that a part was in some state."""
    return f"{fact.part} {' or '.join(alternatives(fact))} at {fact.coat}"


def vehicle_fact(fact: PartFact) -> str:
    """Name of the fact that a part was on the vehicle or not."""
    return f"{fact.part} on the vehicle at {fact.coat}"


def taped_name(zone: str, coat: str) -> str:
    """Name of the fact that a zone was taped."""
    return f"{zone} taped at {coat}"


def alternatives(fact: PartFact) -> tuple[PartState, ...]:
    """What a fact short of proven may be."""
    return fact.values if fact.grade == "open" else fact.allowed


def look_next(explanation: Explanation, unseen: frozenset[tuple[str, str]]) -> tuple[Look, ...]:
    """Looks that settle something, the best first. `unseen`: the (coat, zone) that nobody has looked at yet."""
    looks = []
    for coat in explanation.scene.coats:
        states = explanation.states_at(coat)
        taped = _taped_sights(explanation, coat)
        for sight in explanation.scene.sights[coat]:
            if (coat, sight.zone) in unseen and sight.parts:
                look = _look(explanation, sight, states, taped)
                if look.settles:
                    looks.append(look)
    of_zone = Counter({look.zone: 0 for look in looks})
    for look in looks:
        of_zone[look.zone] += len(look.settles)
    place = {coat: number for number, coat in enumerate(explanation.scene.coats)}
    looks.sort(key=lambda look: (-len(look.settles), -of_zone[look.zone], natural(look.zone), place[look.coat]))
    return tuple(looks)


def best_looks(looks: Sequence[Look]) -> dict[str, Look]:
    """The best look for each fact that some look settles."""
    best: dict[str, Look] = {}
    for look in looks:
        for fact in look.settles:
            best.setdefault(fact, look)
    return best


def _taped_sights(explanation: Explanation, coat: str) -> tuple[Sight, ...]:
    """Zones of which it is not proven that they were taped."""
    unsure = {zone for (when, zone), fact in explanation.taped.items() if when == coat and fact.grade != "proven"}
    return tuple(sight for sight in explanation.scene.sights[coat] if sight.zone in unsure)


def _look(explanation: Explanation, sight: Sight, states: Mapping[str, Sequence[PartState]], taped: Sequence[Sight]) -> Look:
    coat = sight.coat
    facts = {part: explanation.parts[coat, part] for part in sight.parts}
    seen: Outcomes = {part: {state: reaches(sight, {**states, part: (state,)}) for state in PART_STATES} for part in facts}
    told_on = {part for part, fact in facts.items() if _tells_vehicle(fact, seen[part])}
    told_state = {part for part, fact in facts.items() if _tells_state(fact, seen[part])}
    settles = [vehicle_fact(facts[part]) for part in facts if part in told_on and _unsure_on(facts[part])]
    settles += [state_fact(facts[part]) for part in facts if part in told_state and facts[part].grade != "proven"]
    told = told_on | told_state
    settles += [
        taped_name(other.zone, coat)
        for other in taped
        if told & set(other.parts) and _all_told(explanation, other, told_state, told_on)
    ]
    outcomes = tuple((part, _by_outcome(facts[part], seen[part])) for part in facts if part in told)
    return Look(sight.zone, coat, tuple(settles), outcomes)


def _unsure_on(fact: PartFact) -> bool:
    return fact.on_vehicle_grade != "proven"


def _tells_state(fact: PartFact, seen: Mapping[PartState, set[Reach]]) -> bool:
    states = alternatives(fact)
    return len(states) > 1 and all(not seen[one] & seen[other] for one, other in combinations(states, 2))


def _tells_vehicle(fact: PartFact, seen: Mapping[PartState, set[Reach]]) -> bool:
    states = fact.values if fact.on_vehicle_grade == "open" else fact.allowed
    rest = [state for state in states if state != "fitted"]
    return "fitted" in states and bool(rest) and all(not seen["fitted"] & seen[state] for state in rest)


def _all_told(explanation: Explanation, sight: Sight, told_state: set[str], told_on: set[str]) -> bool:
    """Whether the states of all parts that matter to a zone are single, or told by the look."""

    def known(part: str, told: set[str]) -> bool:
        fact = explanation.parts[sight.coat, part]
        return part in told or len(fact.values) == 1

    owner = sight.owner is None or known(sight.owner, told_state)
    return owner and all(known(part, told_on | told_state) for part, _ in sight.covers)


def _by_outcome(fact: PartFact, seen: Mapping[PartState, set[Reach]]) -> tuple[tuple[Reach, tuple[PartState, ...]], ...]:
    states = alternatives(fact)
    kinds: tuple[Reach, ...] = ("full", "mist", "nothing")
    told = [(kind, tuple(state for state in states if kind in seen[state])) for kind in kinds]
    return tuple((kind, those) for kind, those in told if those)
