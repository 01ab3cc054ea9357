"""What explains the states: which part was fitted, off or away at each coat, and which zones were taped.

An explanation is allowed if it meets every observation. Its cost is 4 for each taped zone, 3 for each part away, 1 for
each change of a part's state from one coat to the next. A fact is `proven` if it holds in every allowed explanation,
`likely` if it holds in every cheapest one, `open` if cheapest ones disagree.

What is allowed is settled coat by coat without any search: `off` suits every observation that a removable part has a
say in, so a choice of states for some parts is allowed as soon as it is allowed among themselves. Only full coats bar
anything: the zone's own part was not away, and not fitted together with a part that hides the zone. What is cheapest is
found by `cost_network`, exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
import numpy.typing as npt

from bodymap.history.cost_network import CostNetwork
from bodymap.history.cost_tables import NEVER
from bodymap.history.rules import (
    AWAY_COST,
    GAP,
    OPEN,
    PART_STATES,
    SHUT,
    SWITCH_COST,
    TAPED_COST,
    PartState,
    Scene,
    Sight,
    needs_tape,
    reach,
    reaches,
)
from bodymap.history.states import State

Grade = Literal["proven", "likely", "open"]
OnVehicle = Literal["yes", "no", "open"]

# A zone hidden by more removable parts than this is put together cover by cover instead of in one table.
_COVERS_MOST = 6


@dataclass(frozen=True)
class PartFact:
    """State of a removable part at a coat.

    Attributes:
        values: its states among the cheapest explanations.
        allowed: its states among all allowed explanations.
        evidence: stacks of the zones that speak for `values` and against another state, the rest being as in the cheapest.
    """

    coat: str
    part: str
    values: tuple[PartState, ...]
    allowed: tuple[PartState, ...]
    evidence: tuple[str, ...]

    @property
    def grade(self) -> Grade:
        """How sure the state is."""
        return _grade(len(self.values), len(self.allowed))

    @property
    def on_vehicle(self) -> OnVehicle:
        """Whether it was on the vehicle, among the cheapest explanations."""
        fitted = {state == "fitted" for state in self.values}
        return "open" if len(fitted) > 1 else "yes" if fitted == {True} else "no"

    @property
    def on_vehicle_grade(self) -> Grade:
        """How sure that is."""
        return _grade(*(len({state == "fitted" for state in states}) for states in (self.values, self.allowed)))


@dataclass(frozen=True)
class TapedFact:
    """A zone that is taped in some cheapest explanation. `stacks`: where it was looked at."""

    coat: str
    zone: str
    grade: Grade
    stacks: tuple[str, ...]


@dataclass(frozen=True)
class Explanation:
    """Facts about parts by (coat, part) and about taped zones by (coat, zone), and the cost of a cheapest explanation."""

    scene: Scene
    cost: int
    parts: Mapping[tuple[str, str], PartFact]
    taped: Mapping[tuple[str, str], TapedFact]

    def states_at(self, coat: str) -> dict[str, tuple[PartState, ...]]:
        """States of the parts at a coat among the cheapest explanations."""
        return {part: self.parts[coat, part].values for part in self.scene.moving[coat]}


def explain(scene: Scene) -> Explanation:
    """Every fact about the parts and zones of a scene, with the least cost."""
    allowed = Allowed(scene)
    cost, states, taped = _Cheapest(scene).found()
    parts = {
        (coat, part): PartFact(coat, part, states[coat, part], allowed.states(coat, part), ())
        for coat in scene.coats
        for part in scene.moving[coat]
    }
    bare = Explanation(scene, cost, parts, {})
    return Explanation(
        scene,
        cost,
        {key: PartFact(*key, fact.values, fact.allowed, _evidence(bare, fact)) for key, fact in parts.items()},
        {(sight.coat, sight.zone): _taped_fact(sight, scene, allowed, always=always) for sight, always in taped},
    )


def _grade(cheapest: int, allowed: int) -> Grade:
    return "proven" if allowed == 1 else "likely" if cheapest == 1 else "open"


def _taped_fact(sight: Sight, scene: Scene, allowed: Allowed, *, always: bool) -> TapedFact:
    proven = not allowed.untaped(sight)
    grade: Grade = "proven" if proven else "likely" if always else "open"
    return TapedFact(sight.coat, sight.zone, grade, scene.evidence.get((sight.coat, sight.zone), ()))


def _evidence(explanation: Explanation, fact: PartFact) -> tuple[str, ...]:
    """Stacks of the zones to which it makes a difference in what state the part was."""
    scene, others = explanation.scene, explanation.states_at(fact.coat)
    stacks: dict[str, None] = {}
    for sight in scene.of_part.get((fact.part, fact.coat), ()):
        if sight.state not in ("full", "mist", "shielded"):
            continue
        prices = [price(sight, {**others, fact.part: (state,)}) for state in PART_STATES]
        own = min(prices[PART_STATES.index(state)] for state in fact.values)
        if own < max(prices):
            stacks.update(dict.fromkeys(scene.evidence[fact.coat, sight.zone]))
    return tuple(stacks)


def price(sight: Sight, states: Mapping[str, Sequence[PartState]]) -> int:
    """The least that an observation costs with the parts in some of these states: nothing, a taped zone, or NEVER."""
    needed = [needs_tape(sight.state, reached) for reached in reaches(sight, states)]
    return 0 if False in needed else TAPED_COST if True in needed else NEVER


class Allowed:
    """What the allowed explanations leave open, coat by coat."""

    def __init__(self, scene: Scene) -> None:
        self._not_away: set[tuple[str, str]] = set()
        self._not_fitted: set[tuple[str, str]] = set()
        self._not_together: set[tuple[str, str, str]] = set()
        for coat in scene.coats:
            for sight in scene.sights[coat]:
                if sight.state == "full":
                    self._bar(sight)

    def _bar(self, sight: Sight) -> None:
        coat, owner = sight.coat, sight.owner
        if owner is None:
            self._not_fitted.update((coat, part) for part, _ in sight.covers)
            return
        self._not_away.add((coat, owner))
        if max(sight.fixed, sight.own) != OPEN:
            self._not_fitted.add((coat, owner))
        for part, _ in sight.covers:
            self._not_together.update({(coat, owner, part), (coat, part, owner)})

    def states(self, coat: str, part: str) -> tuple[PartState, ...]:
        """States of a part in allowed explanations."""
        barred = {"away": (coat, part) in self._not_away, "fitted": (coat, part) in self._not_fitted, "off": False}
        return tuple(state for state in PART_STATES if not barred[state])

    def untaped(self, sight: Sight) -> bool:
        """Whether some allowed explanation leaves a zone untaped."""
        owner, coat = sight.owner, sight.coat
        if owner and sight.state == "shielded" and (coat, owner) not in self._not_away:
            return True
        if owner and (coat, owner) in self._not_fitted:
            return False
        # the fewest covers that can do it are enough: none, or one; all others are off
        if needs_tape(sight.state, sight.reached("fitted", OPEN)) is False:
            return True
        return any(
            needs_tape(sight.state, sight.reached("fitted", level)) is False
            for part, level in sight.covers
            if (coat, part) not in self._not_fitted and (coat, owner or "", part) not in self._not_together
        )


class _Cheapest:
    """The cost network of a scene: one variable for each part at each coat, and for each zone that may be taped."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.network = CostNetwork()
        self.number: dict[tuple[str, str], int] = {}
        self.maybe: list[tuple[Sight, tuple[int, ...], npt.NDArray[np.bool_]]] = []
        for coat in scene.coats:
            for part in scene.moving[coat]:
                self.number[coat, part] = self._part_variable()
        switch = SWITCH_COST * (1 - np.eye(len(PART_STATES)))
        for before, after in pairwise(scene.coats):
            for part in scene.moving[before]:
                self.network.add((self.number[before, part], self.number[after, part]), switch)
        for coat in scene.coats:
            for sight in scene.sights[coat]:
                self._add(sight)

    def _part_variable(self) -> int:
        number = self.network.variable(len(PART_STATES))
        self.network.add((number,), [AWAY_COST if state == "away" else 0 for state in PART_STATES])
        return number

    def found(self) -> tuple[int, dict[tuple[str, str], tuple[PartState, ...]], list[tuple[Sight, bool]]]:
        """Least cost; states by (coat, part); zones taped in some cheapest explanation, and whether in all of them."""
        self.network.keep_cheapest()
        # only now, when few states are left, whether a zone was taped is mostly settled by them
        taped = [(sight, self._taped_variable(scope, needed)) for sight, scope, needed in self.maybe]
        cheapest = self.network.cheapest()
        states = {key: tuple(PART_STATES[value] for value in cheapest.values[number]) for key, number in self.number.items()}
        answers = [(sight, cheapest.values[number]) for sight, number in taped]
        return cheapest.cost, states, [(sight, 0 not in values) for sight, values in answers if 1 in values]

    def _taped_variable(self, scope: tuple[int, ...], needed: npt.NDArray[np.bool_]) -> int:
        """A variable that says whether the zone is taped, which in a cheapest explanation it is only where it must be."""
        left = needed[np.ix_(*(self.network.left[number] for number in scope))]
        if left.all() or not left.any():
            return self.network.variable((int(left.all()),))
        number = self.network.variable(2)
        self.network.add((*scope, number), NEVER * np.stack([needed, ~needed], axis=-1))
        return number

    def _add(self, sight: Sight) -> None:
        if sight.state == "full":
            self._add_full(sight)
        elif sight.state in ("mist", "shielded"):
            self._add_less(sight)

    def _add_full(self, sight: Sight) -> None:
        covers = [self.number[sight.coat, part] for part, _ in sight.covers]
        if sight.owner is None:
            for cover in covers:
                self.network.add((cover,), [NEVER, 0, 0])
            return
        owner = self.number[sight.coat, sight.owner]
        self.network.add((owner,), [0 if max(sight.fixed, sight.own) == OPEN else NEVER, 0, NEVER])
        both = np.zeros((3, 3), dtype=np.int64)
        both[0, 0] = NEVER
        for cover in covers:
            self.network.add((owner, cover), both)

    def _add_less(self, sight: Sight) -> None:
        owner = (self.number[sight.coat, sight.owner],) if sight.owner else ()
        if len(sight.covers) <= _COVERS_MOST:
            covers = tuple(self.number[sight.coat, part] for part, _ in sight.covers)
            hidden = _hidden(sight.fixed, tuple(level for _, level in sight.covers))
        else:
            covers, hidden = (self._hidden_variable(sight),), _LEVELS
        needed = _needed(sight.state, sight.owner is not None, sight.own, hidden)
        if needed.any():
            self.network.add((*owner, *covers), TAPED_COST * needed)
            self.maybe.append((sight, (*owner, *covers), needed))

    def _hidden_variable(self, sight: Sight) -> int:
        """A variable that says how far the covers hide a zone, put together cover by cover."""
        hidden = self.network.variable((sight.fixed,))
        for part, level in sight.covers:
            further = self.network.variable(3)
            self.network.add((hidden, self.number[sight.coat, part], further), _link(level))
            hidden = further
        return hidden


_LEVELS: npt.NDArray[np.int64] = np.array([OPEN, GAP, SHUT])


@lru_cache(maxsize=256)
def _hidden(fixed: int, levels: tuple[int, ...]) -> npt.NDArray[np.int64]:
    """How far covers hide a zone: one axis for each cover, along its states."""
    hidden = np.full((3,) * len(levels), fixed, dtype=np.int64)
    for axis, level in enumerate(levels):
        own = np.array([level, OPEN, OPEN]).reshape([3 if other == axis else 1 for other in range(len(levels))])
        hidden = np.maximum(hidden, own)
    return hidden


@lru_cache(maxsize=8)
def _link(level: int) -> npt.NDArray[np.int64]:
    """0 where the third value is what the first becomes by a cover in the second state, else NEVER."""
    hidden = _hidden(OPEN, (level,))
    after = np.maximum(_LEVELS[:, None], hidden[None, :])
    return np.where(after[:, :, None] == _LEVELS[None, None, :], 0, NEVER)


def _needed(state: State, has_owner: bool, own: int, hidden: npt.NDArray[np.int64]) -> npt.NDArray[np.bool_]:  # noqa: FBT001
    """Whether the zone must have been taped: an axis for its own part where it is removable, then those of `hidden`."""
    if not has_owner:
        return _tape_at(state, "fitted")[hidden]
    fitted = _tape_at(state, "fitted")[np.maximum(hidden, own)]
    return np.stack([fitted, _tape_at(state, "off")[hidden], _tape_at(state, "away")[hidden]])


def _tape_at(state: State, owner: PartState) -> npt.NDArray[np.bool_]:
    return np.array([bool(needs_tape(state, reach(owner, level))) for level in (OPEN, GAP, SHUT)])
