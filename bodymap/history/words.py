"""Words for coats, parts, zones and what was found, as the sentences of a history use them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bodymap.history.look_next import Look
from bodymap.history.rules import PartState, Reach
from bodymap.history.states import State
from bodymap.model.record import Record

_LISTED_MOST = 6

STATE_WORDS: dict[State, str] = {
    "full": "in full",
    "mist": "as mist",
    "shielded": "not there",
    "not made": "not made yet",
    "cut back": "cut back",
    "unknown": "not seen",
}
REACH_WORDS: dict[Reach, str] = {"full": "seen in full", "mist": "seen as mist", "nothing": "not there"}
PART_WORDS: dict[PartState, str] = {
    "fitted": "on the vehicle",
    "off": "off, painted apart",
    "away": "away, not painted",
}


class Names:
    """Names of what a record holds, ready to stand inside a sentence."""

    def __init__(self, record: Record) -> None:
        self._record = record

    def coat(self, coat: str) -> str:
        """A coat by name, with its id."""
        return f"{_inside(self._record.coat[coat].name)} ({coat})"

    def part(self, part: str) -> str:
        """A part by name."""
        return f"the {_inside(self._record.part[part].name)}"

    def was(self, part: str) -> str:
        """`was` or `were`, as the name of a part asks."""
        name = self._record.part[part].name
        last = name.split(",")[0].split()[-1]
        plural = " and " in name or (last.endswith("s") and not last.endswith(("ss", "is", "us")))
        return "were" if plural else "was"

    def zone(self, zone: str) -> str:
        """A zone by name."""
        return _inside(self._record.zone[zone].title)

    def places(self, stacks: Iterable[str]) -> str:
        """Stacks, each with the zone it is in."""
        zones: dict[str, list[str]] = {}
        for stack in stacks:
            zones.setdefault(self._record.stack[stack].zone_id, []).append(stack)
        return "; ".join(f"{', '.join(here)} on {self.zone(zone)}" for zone, here in zones.items())


def listed(names: Sequence[str], joint: str = "; ") -> str:
    """Names one after another; of many the first few and how many more."""
    if len(names) <= _LISTED_MOST:
        return joint.join(names)
    return f"{joint.join(names[:_LISTED_MOST])}{joint}and {len(names) - _LISTED_MOST} more"


def states_words(states: Sequence[PartState]) -> str:
    """States of a part, joined by or.

    >>> states_words(("fitted", "off"))
    'on the vehicle, or off, painted apart'
    """
    if tuple(states) == ("off", "away"):
        return "off the vehicle, painted apart or not at all"
    return ", or ".join(PART_WORDS[state] for state in states)


def why_look(record: Record, look: Look) -> str:
    """What a look would tell, by what is seen there."""
    names = Names(record)
    told = []
    for part, outcomes in look.outcomes:
        cases = [f"{REACH_WORDS[reach]}: {states_words(states)}" for reach, states in outcomes]
        told.append(f"{names.part(part)} ({'; '.join(cases)})")
    what = f"{names.zone(look.zone)} at {names.coat(look.coat)} tells of {' and '.join(told)}, unless it was taped"
    return what[:1].upper() + what[1:]


def _inside(name: str) -> str:
    """A name with its first letter small, where it is a word and no abbreviation."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name
