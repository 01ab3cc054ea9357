"""The history in sentences, for people: what was on the vehicle at each coat, why, and what else it may have been."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bodymap.history.explain import Explanation, Grade, PartFact, price
from bodymap.history.look_next import Look, alternatives, best_looks, state_fact, vehicle_fact
from bodymap.history.order import Circle
from bodymap.history.read import History
from bodymap.history.rules import TAPED_COST, PartState, Sight, Unexplained
from bodymap.history.states import ZoneContradiction
from bodymap.history.words import STATE_WORDS, Names, listed, states_words
from bodymap.model.record import Record


@dataclass(frozen=True)
class Sentence:
    """One sentence, and what it speaks of. `coat` is None where it speaks of no single coat, `grade` where it has none."""

    text: str
    coat: str | None = None
    parts: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    grade: Grade | None = None


def sentences(record: Record, history: History) -> tuple[Sentence, ...]:
    """Contradictions first, then coat by coat the parts and the taped zones, then what was left out of account."""
    names = Names(record)
    told = [*_contradictions(names, history)]
    if history.explanation:
        told += _Teller(names, history.explanation, history.looks).all()
    return (*told, *(Sentence(f"{note}.") for note in history.notes))


def alternative(record: Record, explanation: Explanation, fact: PartFact) -> str:
    """What else a part may have been at a coat, in words; empty where its state is proven."""
    return _Teller(Names(record), explanation, ()).alternative(fact)


# --- contradictions ----------------------------------------------------------------------------------------------------


def _contradictions(names: Names, history: History) -> Iterator[Sentence]:
    for circle in history.order.circles:
        yield _circle(names, circle)
    if history.circle_removals:
        yield Sentence(_removals(history.circle_removals))
    for found in history.found.contradictions:
        yield _zone(names, found)
    for observation in history.unexplained:
        yield _unexplained(names, observation)


def _circle(names: Names, circle: Circle) -> Sentence:
    relations = [
        f"{relation.below} under {relation.above} ({listed(relation.stacks, ', ')})" for relation in circle.relations
    ]
    coats = ", ".join(names.coat(coat) for coat in circle.coats)
    return Sentence(f"The order of {coats} runs in a circle: {'; '.join(relations)}.")


def _removals(removals: tuple[tuple[str, ...], ...]) -> str:
    sets = [" and ".join(gone) for gone in removals]
    if len(sets) == 1 and len(removals[0]) == 1:
        return f"{sets[0]} is the only single stack without which nothing runs in a circle: look at it again."
    if len(removals[0]) == 1:
        return f"Without any one of these stacks nothing runs in a circle: {listed(sets, ', ')}. Look at them again."
    return f"At least {len(removals[0])} stacks must be wrong: {listed(sets, '; or ')}. Look at them again."


def _zone(names: Names, found: ZoneContradiction) -> Sentence:
    said = ", ".join(f"{stack} {STATE_WORDS[state]}" for stack, state in found.said)
    text = f"Stacks of {names.zone(found.zone)} disagree on {names.coat(found.coat)}: {said}."
    return Sentence(f"{text} A boundary runs through the zone.", found.coat, zones=(found.zone,))


def _unexplained(names: Names, observation: Unexplained) -> Sentence:
    where = names.places(observation.stacks)
    text = f"At {names.coat(observation.coat)}: nothing explains {where}: {observation.why}. It is left out of account."
    return Sentence(text, observation.coat, zones=(observation.zone,))


# --- facts -------------------------------------------------------------------------------------------------------------


class _Teller:
    """Tells the facts of an explanation."""

    def __init__(self, names: Names, explanation: Explanation, looks: tuple[Look, ...]) -> None:
        self.names = names
        self.explanation = explanation
        self.best = best_looks(looks)

    def all(self) -> Iterator[Sentence]:
        """Coat by coat: parts of which something tells, the others together, taped zones."""
        for coat in self.explanation.scene.coats:
            yield from self._came(coat)
            facts = [self.explanation.parts[coat, part] for part in self.explanation.scene.moving[coat]]
            for fact in facts:
                if fact.evidence:
                    yield self._fact(fact)
            yield from self._unsupported(coat, [fact for fact in facts if not fact.evidence])
            yield from self._taped(coat)

    def _came(self, coat: str) -> Iterator[Sentence]:
        """Parts that came to the vehicle with this coat."""
        scene = self.explanation.scene
        before = scene.coats[: scene.coats.index(coat)][-1:]
        new = set(scene.moving[coat]) - set(scene.moving[before[0]]) if before else set()
        for part in scene.moving[coat]:
            if part in new:
                text = f"{self.names.part(part)} {self.names.was(part)} not on the vehicle before {self.names.coat(coat)}"
                yield Sentence(f"{text[:1].upper()}{text[1:]}, by the order of coats.", coat, (part,))

    def _fact(self, fact: PartFact) -> Sentence:
        verb = "may have been" if fact.grade == "open" else self.names.was(fact.part)
        text = f"{self.names.part(fact.part)} {verb} {states_words(fact.values)}"
        text += f" ({fact.grade}: {self.names.places(fact.evidence)})"
        if fact.grade != fact.on_vehicle_grade:
            text += f"; that it was {'on' if fact.on_vehicle == 'yes' else 'not on'} the vehicle is {fact.on_vehicle_grade}"
        if fact.grade == "likely":
            text += f"; else {self.alternative(fact)}"
        look = self.best.get(state_fact(fact)) or self.best.get(vehicle_fact(fact))
        if look and fact.grade != "proven":
            text += f"; a look at {self.names.zone(look.zone)} would tell"
        return Sentence(f"At {self.names.coat(fact.coat)}: {text}.", fact.coat, (fact.part,), (), fact.grade)

    def alternative(self, fact: PartFact) -> str:
        """What else the part may have been, with the zones that must then have been taped."""
        if fact.grade == "proven":
            return ""
        if fact.grade == "open":
            return states_words(fact.values)
        taped: dict[tuple[str, ...], list[PartState]] = {}
        for state in alternatives(fact):
            if state not in fact.values:
                taped.setdefault(self._more_tape(fact, state), []).append(state)
        return ", or ".join(
            states_words(states) + (f" with tape over {listed(zones, ' and ')}" if zones else "")
            for zones, states in taped.items()
        )

    def _more_tape(self, fact: PartFact, state: PartState) -> tuple[str, ...]:
        """Zones that must have been taped if the part was in another state."""
        scene, states = self.explanation.scene, self.explanation.states_at(fact.coat)
        other = {**states, fact.part: (state,)}
        return tuple(
            self.names.zone(sight.zone)
            for sight in scene.of_part.get((fact.part, fact.coat), ())
            if price(sight, states) < price(sight, other) == TAPED_COST
        )

    def _unsupported(self, coat: str, facts: list[PartFact]) -> Iterator[Sentence]:
        """Parts of which no zone tells at this coat: open, or as before and after because nothing says it changed."""
        at = f"At {self.names.coat(coat)}:"
        unknown = [fact.part for fact in facts if fact.grade == "open"]
        if unknown:
            parts = listed([self.names.part(part) for part in unknown])
            text = f"{at} no zone that was looked at tells the state of {parts}."
            yield Sentence(text, coat, tuple(unknown), (), "open")
        for fact in facts:
            if fact.grade != "open":
                part = f"{self.names.part(fact.part)} {self.names.was(fact.part)} {states_words(fact.values)}"
                text = f"{at} {part} ({fact.grade}: as at the coats next to this one)."
                yield Sentence(text, coat, (fact.part,), (), fact.grade)

    def _taped(self, coat: str) -> Iterator[Sentence]:
        """Zones taped in every explanation together; then each that need not have been, with what else explains it."""
        sights = {sight.zone: sight for sight in self.explanation.scene.sights[coat]}
        facts = [fact for (when, _), fact in self.explanation.taped.items() if when == coat]
        always = tuple(fact.zone for fact in facts if fact.grade == "proven")
        if always:
            where = listed([self.names.zone(zone) for zone in always])
            verb, it = ("were", "them") if len(always) > 1 else ("was", "it")
            text = f"At {self.names.coat(coat)}: {where} {verb} taped, or the coat was not meant for {it} (proven)."
            yield Sentence(text, coat, (), always, "proven")
        for fact in facts:
            if fact.grade != "proven":
                verb = "may have been" if fact.grade == "open" else "was"
                text = f"At {self.names.coat(coat)}: {self.names.zone(fact.zone)} {verb} taped ({fact.grade}: "
                text += f"{', '.join(fact.stacks)}); else {self._untaped(sights[fact.zone])}."
                yield Sentence(text, coat, (), (fact.zone,), fact.grade)

    def _untaped(self, sight: Sight) -> str:
        """What else explains a zone that need not have been taped: one part in another state, or several together."""
        states = self.explanation.states_at(sight.coat)
        others = [
            f"{self.names.part(part)} {self.names.was(part)} {states_words((state,))}"
            for part in sight.parts
            for state in self.explanation.parts[sight.coat, part].allowed
            if price(sight, {**states, part: (state,)}) == 0
        ]
        return ", or ".join(others) or "several parts were otherwise"
