"""Where each part is while a drafted coat goes on: on the vehicle, off and painted beside it, or away.

Two searches, one after the other. For each coat by itself, a descent from several starts: what it costs most is a zone that
wants the coat and does not get it as it should, then what history says of the same coat, then each zone to be masked, then
each part taken off or fitted. Then each part is taken through all coats at once, the others held still, by the cheapest
path (R. Bellman's dynamic programming), until no part gets cheaper: so that doors are not hung and taken off again
between coats. It is a draft to be edited: the very cheapest is not promised, but what is met stays met.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from bodymap.history.rules import GAP, OPEN, PART_STATES, PartState, Reach, Scene, Sight, scene_of
from bodymap.history.states import State
from bodymap.model.record import Record
from bodymap.model.stack import Extent

_UNMET, _AGAINST_HISTORY, _MASK, _SWITCH, _ONLY, _LASTING_MASK, _BESIDE = 10_000, 50, 40, 10, 5, 3, 1
_EVERY = "*"
_WANTED: dict[Extent, Reach] = {"full": "full", "mist": "mist", "none": "nothing"}


@dataclass(frozen=True)
class States:
    """State of every removable part, and whether only the parts beside the vehicle are painted."""

    parts: Mapping[str, PartState]
    only: bool = False

    @property
    def removed(self) -> frozenset[str]:
        """Parts off the vehicle, painted or not."""
        return frozenset(part for part, state in self.parts.items() if state != "fitted")

    @property
    def beside(self) -> tuple[str, ...]:
        """Parts painted beside the vehicle."""
        return tuple(part for part, state in self.parts.items() if state == "off")

    def having(self, part: str, state: PartState) -> States:
        """The same with one part in another state."""
        return replace(self, parts={**self.parts, part: state})


class Surroundings:
    """What hides what on a vehicle, made ready once; `worked`: zones that the plan paints at all."""

    def __init__(self, record: Record, worked: Iterable[str]) -> None:
        unknown: State = "unknown"
        unseen = {_EVERY: dict.fromkeys((zone.zone_id for zone in record.zones), unknown)}
        self.scene: Scene = scene_of(record, (_EVERY,), unseen, {})
        self.sights: tuple[Sight, ...] = self.scene.sights[_EVERY]
        self.removable: tuple[str, ...] = tuple(part.part_id for part in record.parts if part.removable)
        self.worked = frozenset(worked)

    def reach(self, sight: Sight, states: States) -> Reach:
        """How far the coat reaches an unmasked zone."""
        owner: PartState = states.parts[sight.owner] if sight.owner else "fitted"
        if owner == "fitted" and states.only:
            return "nothing"
        hidden = max((level for part, level in sight.covers if states.parts[part] == "fitted"), default=OPEN)
        return sight.reached(owner, hidden)

    def touched_by(self, part: str) -> tuple[Sight, ...]:
        """The zones in which a part has a say."""
        return self.scene.of_part.get((part, _EVERY), ())

    def price(self, states: States, wanted: Mapping[str, Extent], sights: Iterable[Sight]) -> int:
        """What zones that are not served and zones that have to be masked cost. Masks left on all through cost little."""
        cost = 0
        for sight in sights:
            reached, wish = self.reach(sight, states), _WANTED[wanted.get(sight.zone, "none")]
            if reached != wish:
                mask = _MASK if sight.zone in self.worked else _LASTING_MASK
                cost += (_UNMET if wish != "nothing" else 0) + (mask if reached != "nothing" else 0)
        return cost


def switch_price(was: PartState, state: PartState) -> int:
    """What it costs to take a part off or to fit it."""
    return _SWITCH if (was == "fitted") != (state == "fitted") else 0


@dataclass
class Pass:
    """One coat going on once.

    `told`: what history says of parts in this coat. `wanted`: extent by zone of what gets the coat in this pass.
    """

    coat_id: str
    states: States
    wanted: Mapping[str, Extent]
    told: Mapping[str, PartState] = field(default_factory=dict)

    def own_price(self, part: str, state: PartState) -> int:
        """What the state of a part costs by itself."""
        against = part in self.told and self.told[part] != state
        return (_BESIDE if state == "off" else 0) + (_AGAINST_HISTORY if against else 0)


@dataclass(frozen=True)
class Search:
    """The search for the states of one coat; `before`: the states as they stand."""

    around: Surroundings
    before: States
    going: Pass

    def best(self) -> States:
        """The cheapest states found. Some zone is served by them if any zone can be."""
        best = min((self._down(start) for start in self._starts()), key=self._cost)
        met = self.met(best)
        # a zone may need two parts moved at once, which no single step of a descent gets cheaper by
        left = [sight for sight in self.around.sights if sight.zone in self.going.wanted and sight.zone not in met]
        starts = {tuple(start.parts.items()): start for start in (self._serving(best, sight) for sight in left)}
        return min((best, *map(self._down, starts.values())), key=self._cost)

    def _serving(self, states: States, sight: Sight) -> States:
        """States in which one zone gets the coat as it wants it, if there are any."""
        parts = dict(states.parts)
        if self.going.wanted[sight.zone] == "mist":
            parts |= {part: "fitted" if level == GAP else "away" for part, level in sight.covers}
            if sight.owner:
                parts[sight.owner] = "fitted"
        elif sight.owner:
            parts[sight.owner] = "off"
        else:
            parts |= {part: "away" for part, _ in sight.covers}
        return States(parts)

    def met(self, states: States) -> dict[str, Extent]:
        """Zones that get the coat as they want it."""
        wanted = self.going.wanted
        return {
            sight.zone: wanted[sight.zone]
            for sight in self.around.sights
            if sight.zone in wanted and self.around.reach(sight, states) == _WANTED[wanted[sight.zone]]
        }

    def _starts(self) -> Iterator[States]:
        before, told = self.before.parts, self.going.told
        uncovered: dict[str, PartState] = {}
        for sight in self.around.sights:
            if self.going.wanted.get(sight.zone) == "full" and sight.owner is None:
                uncovered |= {part: "away" for part, _ in sight.covers}
        for start in ({}, told, uncovered, {**told, **uncovered}):
            yield States({**before, **start})
        for state in PART_STATES:
            yield States(dict.fromkeys(self.around.removable, state))

    def _down(self, states: States) -> States:
        """Change one thing after another as long as that is cheaper."""
        while True:
            cheaper = min((states, replace(states, only=not states.only)), key=self._cost)
            for part in self.around.removable:
                cheaper = self._with_best(cheaper, part)
            if cheaper == states:
                return states
            states = cheaper

    def _with_best(self, states: States, part: str) -> States:
        sights = self.around.touched_by(part)

        def price(state: PartState) -> int:
            zones = self.around.price(states.having(part, state), self.going.wanted, sights)
            return zones + self._part_price(part, state)

        best = min(PART_STATES, key=price)
        return states if price(best) == price(states.parts[part]) else states.having(part, best)

    def _cost(self, states: States) -> int:
        parts = sum(self._part_price(part, state) for part, state in states.parts.items())
        return self.around.price(states, self.going.wanted, self.around.sights) + parts + _ONLY * states.only

    def _part_price(self, part: str, state: PartState) -> int:
        return self.going.own_price(part, state) + switch_price(self.before.parts[part], state)


def smooth(around: Surroundings, passes: Sequence[Pass]) -> None:
    """Take each part through all passes by its cheapest path, the others held still, until none gets cheaper.

    Every part is on the vehicle before the first pass and after the last one.
    """
    changed = bool(passes)
    while changed:
        changed = False
        for part in around.removable:
            prices = [_prices(around, one, part) for one in passes]
            held = [one.states.parts[part] for one in passes]
            path = _cheapest_path(prices)
            if _path_price(prices, path) < _path_price(prices, held):
                changed = True
                for one, state in zip(passes, path, strict=True):
                    one.states = one.states.having(part, state)


_Prices = dict[PartState, int]


def _prices(around: Surroundings, one: Pass, part: str) -> _Prices:
    sights = around.touched_by(part)
    return {
        state: around.price(one.states.having(part, state), one.wanted, sights) + one.own_price(part, state)
        for state in PART_STATES
    }


def _cheapest_path(prices: Sequence[_Prices]) -> list[PartState]:
    best: dict[PartState, tuple[int, list[PartState]]] = {"fitted": (0, [])}
    for price in prices:
        best = {
            state: min(
                ((cost + switch_price(was, state) + price[state], [*path, state]) for was, (cost, path) in best.items()),
                key=lambda found: found[0],
            )
            for state in PART_STATES
        }
    return min(((cost + switch_price(state, "fitted"), path) for state, (cost, path) in best.items()), key=lambda f: f[0])[1]


def _path_price(prices: Sequence[_Prices], path: Sequence[PartState]) -> int:
    closed: list[PartState] = ["fitted", *path, "fitted"]
    switches = sum(switch_price(was, state) for was, state in pairwise(closed))
    return switches + sum(price[state] for price, state in zip(prices, path, strict=True))
