"""What reaches a zone, and what an observation asks: the rules by which an explanation is judged.

At every coat each removable part is `fitted` (on the vehicle), `off` (painted on its own) or `away` (not painted in that
coat); a part that is not removable is always fitted. A part that came to the vehicle later has no state and hides
nothing; a coat seen on it cannot be explained.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from bodymap.history.order import natural
from bodymap.history.states import State, States
from bodymap.model.record import Record
from bodymap.model.zone import Zone

PartState = Literal["fitted", "off", "away"]
Reach = Literal["full", "mist", "nothing"]
# How far a zone is hidden by the covering parts that are fitted: by none, only by such as leave a gap, or shut.
Hidden = Literal[0, 1, 2]

PART_STATES: tuple[PartState, ...] = ("fitted", "off", "away")
OPEN, GAP, SHUT = 0, 1, 2
TAPED_COST, AWAY_COST, SWITCH_COST = 4, 3, 1


def reach(owner: PartState, hidden: int) -> Reach:
    """How far a coat reaches an untaped zone of a part in this state.

    >>> reach("fitted", GAP), reach("off", SHUT), reach("away", OPEN)
    ('mist', 'full', 'nothing')
    """
    if owner == "away" or (owner == "fitted" and hidden == SHUT):
        return "nothing"
    return "mist" if owner == "fitted" and hidden == GAP else "full"


def needs_tape(state: State, reached: Reach) -> bool | None:
    """Whether a zone must have been taped to look like that; None: not even tape explains it."""
    if state == "full":
        return False if reached == "full" else None
    if state == "mist":
        return reached != "mist"
    return state == "shielded" and reached == "full"


@dataclass(frozen=True)
class Sight:
    """One zone at one coat: what was seen there, and which parts have a say in what reaches it.

    Attributes:
        owner: the zone's part where it is removable; None: it is always fitted.
        fixed: how far parts that are always fitted hide it.
        own: how far the zone's own removable part hides it (a part may be said to cover a zone of its own).
        covers: removable parts that hide it, each with GAP or SHUT.
    """

    coat: str
    zone: str
    state: State
    owner: str | None
    fixed: int = OPEN
    own: int = OPEN
    covers: tuple[tuple[str, int], ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """Removable parts that have a say."""
        owner = (self.owner,) if self.owner else ()
        return (*owner, *(part for part, _ in self.covers))

    def reached(self, owner: PartState, hidden: int) -> Reach:
        """What reaches the zone when its removable covers hide it so far."""
        own = self.own if owner == "fitted" else OPEN
        return reach(owner, max(hidden, self.fixed, own))


@dataclass(frozen=True)
class Unexplained:
    """An observation which no allowed explanation meets; it is left out of the explanation."""

    coat: str
    zone: str
    stacks: tuple[str, ...]
    why: str


@dataclass(frozen=True)
class Scene:
    """All that the parts and zones of a record say about each coat.

    Attributes:
        coats: in computing order.
        moving: removable parts that were there, by coat.
        sights: every zone of a part that was there, by coat; an unexplained observation is in there as `unknown`.
        of_part: the sights in which a part has a say, by (part, coat).
        evidence: the stacks behind an observation, by (coat, zone).
    """

    coats: tuple[str, ...]
    moving: Mapping[str, tuple[str, ...]]
    sights: Mapping[str, tuple[Sight, ...]]
    unexplained: tuple[Unexplained, ...]
    evidence: Mapping[tuple[str, str], tuple[str, ...]]
    of_part: Mapping[tuple[str, str], tuple[Sight, ...]] = field(init=False)

    def __post_init__(self) -> None:
        found: dict[tuple[str, str], list[Sight]] = defaultdict(list)
        for coat in self.coats:
            for sight in self.sights[coat]:
                for part in sight.parts:
                    found[part, coat].append(sight)
        object.__setattr__(self, "of_part", {key: tuple(sights) for key, sights in found.items()})


def scene_of(
    record: Record, coats: tuple[str, ...], states: States, evidence: Mapping[tuple[str, str], tuple[str, ...]]
) -> Scene:
    """The scene at each coat, and the observations that no explanation can meet."""
    made = made_from(record, coats)
    zones = sorted(record.zones, key=lambda zone: natural(zone.zone_id))
    removable = sorted((part.part_id for part in record.parts if part.removable), key=natural)
    moving, sights, unexplained = {}, {}, []
    for place, coat in enumerate(coats):
        there = {part for part, since in made.items() if since <= place}
        moving[coat] = tuple(part for part in removable if part in there)
        found = []
        for zone in zones:
            state = states[coat][zone.zone_id]
            sight = _sight(record, zone, coat, state, there) if zone.part_id in there else None
            why = _why_not(record, zone, state, sight)
            if why:
                unexplained.append(Unexplained(coat, zone.zone_id, evidence.get((coat, zone.zone_id), ()), why))
            if sight:
                found.append(_unseen(sight) if why else sight)
        sights[coat] = tuple(found)
    return Scene(coats, moving, sights, tuple(unexplained), evidence)


def made_from(record: Record, coats: tuple[str, ...]) -> dict[str, int]:
    """Place in the order of the first coat at which each part was there; a first coat that no stack shows does not count."""
    place = {coat: number for number, coat in enumerate(coats)}
    return {part.part_id: place.get(part.first_coat or "", 0) for part in record.parts}


def reaches(sight: Sight, states: Mapping[str, Iterable[PartState]]) -> set[Reach]:
    """Everything that can reach an untaped zone when each part with a say is in one of some states, freely combined."""
    hidden = {OPEN}
    for part, level in sight.covers:
        levels = {level if state == "fitted" else OPEN for state in states[part]}
        hidden = {max(one, other) for one in hidden for other in levels}
    owners: Iterable[PartState] = states[sight.owner] if sight.owner else ("fitted",)
    return {sight.reached(owner, level) for owner in owners for level in hidden}


def _sight(record: Record, zone: Zone, coat: str, state: State, there: set[str]) -> Sight:
    levels: dict[str, int] = {}
    for cover in record.covers_of.get(zone.zone_id, ()):
        if cover.part_id in there:
            level = GAP if cover.lets_mist_in else SHUT
            levels[cover.part_id] = max(level, levels.get(cover.part_id, OPEN))
    fixed = max((level for part, level in levels.items() if not record.part[part].removable), default=OPEN)
    owner = zone.part_id if record.part[zone.part_id].removable else None
    own = levels.pop(owner, OPEN) if owner else OPEN
    covers = tuple((part, levels[part]) for part in sorted(levels, key=natural) if record.part[part].removable)
    return Sight(coat, zone.zone_id, state, owner, fixed, own, covers)


def _why_not(record: Record, zone: Zone, state: State, sight: Sight | None) -> str:
    """Why no explanation can meet an observation; empty where one can.

    Only `full` can fail, and only where nothing that can be taken off stands in the way: any removable part may have
    been off, and any zone that got less may have been taped.
    """
    if sight is None:
        part = record.part[zone.part_id]
        return f"{part.part_id} came to the vehicle later, with {part.first_coat}" if state in ("full", "mist") else ""
    if state == "full" and sight.owner is None and sight.fixed != OPEN:
        return f"always hidden by {' and '.join(sorted(_fixed_covers(record, zone), key=natural))}"
    return ""


def _fixed_covers(record: Record, zone: Zone) -> Iterator[str]:
    for cover in record.covers_of.get(zone.zone_id, ()):
        if not record.part[cover.part_id].removable:
            yield cover.part_id


def _unseen(sight: Sight) -> Sight:
    return Sight(sight.coat, sight.zone, "unknown", sight.owner, sight.fixed, sight.own, sight.covers)
