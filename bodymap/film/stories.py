"""Film as a witness: what each story of the history predicts where film was read, against the readings.

Two kinds of question are asked:

- `state`: a part's state at a coat is short of proven, and its alternatives would let the coat reach a zone differently
  where nobody saw whether it is there. Each story predicts the film of the zone: coats seen there count with their usual
  range, coats nobody looked for with anything from nothing to their range, the asked coat as the story lets it reach the
  zone, in full, as mist or not at all. A zone that may have been taped is not asked of tape.
- `second pass`: a part was, or may have been, off at a coat, painted on its own. Was it sprayed again on the vehicle? The
  coat is in the stack as one layer, so the record cannot hold it twice; its film can tell: once its usual range, or twice.

A story fits if its range and the figure with its uncertainty meet. The film separates the stories where some fit and some
do not; a story that fits is not proven by that, and the grade of a fact is left alone.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from bodymap.film.known import counted_layers, range_um
from bodymap.film.spots import Spot, spots_of
from bodymap.film.summary import zone_film
from bodymap.film.uncertainty import median_u_um
from bodymap.history.as_found import as_found_stack
from bodymap.history.explain import Explanation, PartFact
from bodymap.history.look_next import alternatives, state_fact
from bodymap.history.read import History, read_history
from bodymap.history.rules import Reach, Sight, reaches
from bodymap.history.words import PART_WORDS
from bodymap.model.record import Record
from bodymap.model.stack import Layer
from bodymap.settings import Settings

StoryVerdict = Literal["separates", "cannot separate"]

# Two standard deviations: about 95 % of places on a zone (normal distribution).
_COVERAGE = 2.0


@dataclass(frozen=True)
class Story:
    """One story and the film it predicts [µm]; None where it cannot be told. `fits`: whether the figure allows it."""

    name: str
    low_um: float | None
    high_um: float | None
    fits: bool


@dataclass(frozen=True)
class StoryTest:
    """Stories of one fact held against one film figure.

    Attributes:
        kind: what is asked (see above).
        basis: what the figure is and what the prediction rests on, in words.
        um, u_um: the figure and its uncertainty, with that of the measured layers in the prediction [µm].
        stories: what each predicts.
        verdict: `separates` where some stories fit and others do not; where none fits the film has another cause.
        why: in words, with the figures.
    """

    kind: Literal["state", "second pass"]
    coat: str
    part: str
    zone: str
    basis: str
    um: float
    u_um: float
    stories: tuple[Story, ...]
    verdict: StoryVerdict
    why: str

    @property
    def fitting(self) -> tuple[str, ...]:
        """Names of the stories that fit."""
        return tuple(story.name for story in self.stories if story.fits)


@dataclass(frozen=True)
class FilmStories:
    """Every test that readings allow. `silent`: facts short of proven of which no film tells. `why_none`: there are none."""

    tests: tuple[StoryTest, ...]
    silent: tuple[str, ...]
    why_none: str | None = None

    def as_json(self) -> dict[str, Any]:
        """For scripts: numbers not rounded, keys that do not apply left out."""
        told = {"film_stories": [_test_json(test) for test in self.tests], "film_silent": list(self.silent)}
        return told | ({"film_why_none": self.why_none} if self.why_none else {})


Predicted = tuple[str, float | None, float | None]


def film_stories(record: Record, settings: Settings, history: History | None = None) -> FilmStories:
    """Hold the stories of a history against the as-found readings. `history`: where it has been read already."""
    history = history or read_history(record)
    explanation = history.explanation
    if explanation is None:
        return FilmStories((), (), "relations run in a circle, so there is no history to tell stories of")
    asker = _StateAsker(record, settings, explanation)
    tests: list[StoryTest] = []
    silent = []
    for fact in explanation.parts.values():
        if fact.grade != "proven":
            found = list(asker.ask(fact))
            tests += found
            silent += [] if found else [state_fact(fact)]
        if "off" in fact.values:
            for sight in _sprayed_again(explanation, fact):
                tests += second_pass(record, settings, sight.zone, fact.coat)
    return FilmStories(tuple(tests), tuple(silent))


def second_pass(record: Record, settings: Settings, zone_id: str, coat_id: str) -> tuple[StoryTest, ...]:
    """Whether a coat seen in full in the as-found stack of a zone went on once or twice, by its film.

    Told by what there is, each a test of its own: the layer itself measured in the stack; the median of the zone less
    the other layers as measured in the stack (all in full must be, and two spots read, for the stack is one place and the
    median is not); the median less the usual films of the others. None where the coat is not in full in such a stack.
    """
    stack = as_found_stack(record, zone_id)
    if stack is None:
        return ()
    layers, _ = counted_layers(record, zone_id, stack.stack_id)
    own = [layer for layer in layers if layer.coat_id == coat_id and layer.extent == "full"]
    coat = record.coat[coat_id]
    if len(own) != 1 or coat.um_low is None or coat.um_high is None:
        return ()
    asked = _SecondPass(record, settings, zone_id, own[0], tuple(layer for layer in layers if layer is not own[0]))
    return tuple(test for test in (asked.by_itself(), asked.by_the_measured(), asked.by_the_usual()) if test)


class _SecondPass:
    """The tests of one coat on one zone; µm throughout."""

    def __init__(self, record: Record, settings: Settings, zone_id: str, own: Layer, others: tuple[Layer, ...]) -> None:
        self.record, self.settings, self.zone_id, self.own, self.others = record, settings, zone_id, own, others
        self.median_um = zone_film(record, zone_id).median_um
        self.spots = spots_of(record, zone_id)

    def by_itself(self) -> StoryTest | None:
        """The layer as measured."""
        if self.own.um is None:
            return None
        basis = f"the layer as measured in {self.own.stack_id}"
        return self._test(basis, self.own.um, self._section_u(self.own.um), (0.0, 0.0))

    def by_the_measured(self) -> StoryTest | None:
        """Median less the other layers as measured; their uncertainties and the scatter from place to place by squares."""
        told = [self._measured(layer) for layer in self.others]
        if self.own.um is not None or self.median_um is None or len(self.spots) < 2 or None in told:
            return None
        sure = [one for one in told if one is not None]
        place_um = _COVERAGE * statistics.stdev(spot.mean_um for spot in self.spots)
        median_u = median_u_um(self.median_um, self.spots, self.settings)
        u_um = math.hypot(median_u, place_um, *(u for _, u in sure))
        rest = math.fsum(um for um, _ in sure)
        basis = f"median of the zone, the other layers as measured in {self.own.stack_id}"
        return self._test(basis, self.median_um, u_um, (rest, rest))

    def by_the_usual(self) -> StoryTest | None:
        """Median less the usual films of the other layers."""
        ranges = [range_um(self.record, layer, self.settings) for layer in self.others]
        if self.median_um is None or None in ranges:
            return None
        told = [one for one in ranges if one is not None]
        u_um = median_u_um(self.median_um, self.spots, self.settings)
        rest = math.fsum(low for low, _ in told), math.fsum(high for _, high in told)
        return self._test("median of the zone, the other coats with their usual films", self.median_um, u_um, rest)

    def _measured(self, layer: Layer) -> tuple[float, float] | None:
        if layer.extent == "mist":
            half = self.settings.value("mist_most_um") / 2
            return half, half
        return None if layer.um is None else (layer.um, self._section_u(layer.um))

    def _section_u(self, um: float) -> float:
        return max(self.settings.value("section_u_abs_um"), um * self.settings.value("section_u_rel_pct") / 100)

    def _test(self, basis: str, um: float, u_um: float, rest: tuple[float, float]) -> StoryTest:
        coat = self.record.coat[self.own.coat_id]
        low, high = coat.um_low or 0.0, coat.um_high or 0.0
        predicted: list[Predicted] = [
            (name, rest[0] + times * low, rest[1] + times * high) for name, times in (("once", 1), ("twice", 2))
        ]
        part = self.record.zone[self.zone_id].part_id
        return _held_against("second pass", (coat.coat_id, part, self.zone_id), basis, um, u_um, predicted)


def _sprayed_again(explanation: Explanation, fact: PartFact) -> Iterator[Sight]:
    """Zones of a part that were seen in full, and would be had it been on the vehicle: there a second pass could be."""
    states = explanation.states_at(fact.coat)
    for sight in explanation.scene.of_part.get((fact.part, fact.coat), ()):
        seen = sight.owner == fact.part and sight.state == "full"
        if seen and "full" in reaches(sight, {**states, fact.part: ("fitted",)}):
            yield sight


class _StateAsker:
    """Asks of facts short of proven what the film of unseen zones says."""

    def __init__(self, record: Record, settings: Settings, explanation: Explanation) -> None:
        self.record, self.settings, self.explanation = record, settings, explanation
        self.film: dict[str, tuple[float, tuple[Spot, ...]]] = {}
        for zone in record.zones:
            median_um = zone_film(record, zone.zone_id).median_um
            if median_um is not None:
                self.film[zone.zone_id] = median_um, spots_of(record, zone.zone_id)
        self.sights: dict[str, list[Sight]] = {zone: [] for zone in self.film}
        for coat in explanation.scene.coats:
            for sight in explanation.scene.sights[coat]:
                if sight.zone in self.sights:
                    self.sights[sight.zone].append(sight)

    def ask(self, fact: PartFact) -> Iterator[StoryTest]:
        """A test for each zone with readings on which the alternatives of a fact differ and nobody saw which it was."""
        states = self.explanation.states_at(fact.coat)
        for sight in self.explanation.scene.of_part.get((fact.part, fact.coat), ()):
            if sight.zone not in self.film or sight.state != "unknown":
                continue
            reached = {state: reaches(sight, {**states, fact.part: (state,)}) for state in alternatives(fact)}
            if len({frozenset(one) for one in reached.values()}) < 2:
                continue
            um, spots = self.film[sight.zone]
            rest = self._rest(sight)
            predicted = [(PART_WORDS[state], *_sum(rest, self._reached_um(fact.coat, reached[state]))) for state in reached]
            basis = "median of the zone, coats with their usual films, those nobody looked for from nothing up"
            u_um = median_u_um(um, spots, self.settings)
            yield _held_against("state", (fact.coat, fact.part, sight.zone), basis, um, u_um, predicted)

    def _rest(self, asked: Sight) -> tuple[float, float] | None:
        """Film of the other coats of a zone [µm]; None where the usual film of one that may be there is not stated."""
        low = high = 0.0
        for sight in self.sights[asked.zone]:
            if sight.coat == asked.coat:
                continue
            seen: set[Reach] = {"full"} if sight.state == "full" else {"mist"} if sight.state == "mist" else {"nothing"}
            if sight.state in ("unknown", "cut back"):
                seen = {"full", "mist", "nothing"}
            told = self._reached_um(sight.coat, seen)
            if told is None:
                return None
            low, high = low + told[0], high + told[1]
        return low, high

    def _reached_um(self, coat_id: str, reached: set[Reach]) -> tuple[float, float] | None:
        coat = self.record.coat[coat_id]
        ends: list[float] = []
        if "nothing" in reached:
            ends.append(0.0)
        if "mist" in reached:
            ends += [0.0, self.settings.value("mist_most_um")]
        if "full" in reached:
            if coat.um_low is None or coat.um_high is None:
                return None
            ends += [coat.um_low, coat.um_high]
        return min(ends), max(ends)


def _sum(one: tuple[float, float] | None, other: tuple[float, float] | None) -> tuple[float, float] | tuple[None, None]:
    return (None, None) if one is None or other is None else (one[0] + other[0], one[1] + other[1])


def _held_against(
    kind: Literal["state", "second pass"],
    about: tuple[str, str, str],
    basis: str,
    um: float,
    u_um: float,
    predicted: list[Predicted],
) -> StoryTest:
    """A figure against what each story predicts. A story of which no film can be told is never excluded."""
    stories = tuple(
        Story(name, low, high, low is None or high is None or (um - u_um <= high and low <= um + u_um))
        for name, low, high in predicted
    )
    fits = [story.name for story in stories if story.fits]
    verdict: StoryVerdict = "separates" if 0 < len(fits) < len(stories) else "cannot separate"
    told = "; ".join(f"{story.name} {_range(story)}" for story in stories)
    outcome = f"separates: {' or '.join(fits)}" if verdict == "separates" else verdict
    if not fits:
        outcome += ", no story fits"
    return StoryTest(kind, *about, basis, um, u_um, stories, verdict, f"{um:.0f} ± {u_um:.0f} µm against {told}: {outcome}")


def _range(story: Story) -> str:
    if story.low_um is None or story.high_um is None:
        return "cannot be told (a usual film is not stated)"
    return f"{story.low_um:.0f}–{story.high_um:.0f} µm"


def _test_json(test: StoryTest) -> dict[str, Any]:
    stories = [{name: value for name, value in vars(story).items() if value is not None} for story in test.stories]
    return vars(test) | {"stories": stories, "fitting": list(test.fitting)}
