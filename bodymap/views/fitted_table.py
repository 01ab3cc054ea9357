"""The fitted-or-off table: every removable part at every coat, with how sure it is.

A coat of some parts only (a transit primer of one wing, the gelcoat of a roof) says little about the other parts; those
cells are `quiet` and shown only where they are asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bodymap.history.explain import Explanation, Grade, OnVehicle, PartFact
from bodymap.history.read import History
from bodymap.history.words import states_words
from bodymap.model.record import Record

_LETTERS = {"fitted": "F", "off": "O", "away": "A"}


@dataclass(frozen=True)
class FittedCell:
    """One part at one coat.

    Attributes:
        sign: F fitted, O off and painted apart, A away; several where it is open; a `?` behind it where the state is less
            sure than whether the part was on the vehicle.
        on_vehicle: yes, no or open; `grade`: how sure that is.
        quiet: the coat was one of other parts, and no zone tells of this one.
        words: the state with its grade, and the stacks behind it.
    """

    sign: str
    on_vehicle: OnVehicle
    grade: Grade
    quiet: bool
    words: str


@dataclass(frozen=True)
class FittedTable:
    """Rows and columns with their names; `cells` by (part, coat): there is none where the part was not made yet."""

    coats: tuple[tuple[str, str, str | None], ...]
    parts: tuple[tuple[str, str], ...]
    cells: Mapping[tuple[str, str], FittedCell]


def fitted_table(record: Record, history: History) -> FittedTable | None:
    """The table; None where relations run in a circle, or no removable part is recorded."""
    explanation = history.explanation
    parts = tuple((part.part_id, part.name) for part in record.parts if part.removable)
    if explanation is None or not parts or not explanation.scene.coats:
        return None
    local = local_coats(history)
    coats = tuple((coat, record.coat[coat].name, record.coat[coat].colour) for coat in explanation.scene.coats)
    cells = {
        (fact.part, fact.coat): _cell(fact, quiet=fact.coat in local and not painted(record, history, fact))
        for fact in explanation.parts.values()
    }
    return FittedTable(coats, parts, cells)


def local_coats(history: History) -> frozenset[str]:
    """Coats that were left off more of the zones that were looked at than they were seen on."""
    explanation = history.explanation
    return (
        frozenset(coat for coat in history.found.states if _local(history, explanation, coat))
        if explanation
        else frozenset()
    )


def painted(record: Record, history: History, fact: PartFact) -> bool:
    """Whether a part, or a face that it covers, was seen to have this coat."""
    states = history.found.states[fact.coat]
    own = {zone.zone_id for zone in record.zones_of_part.get(fact.part, ())}
    hidden = {cover.zone_id for cover in record.covers if cover.part_id == fact.part}
    return any(states[zone] in ("full", "mist") for zone in own | hidden)


def _local(history: History, explanation: Explanation, coat: str) -> bool:
    seen = sum(state in ("full", "mist") for state in history.found.states[coat].values())
    return sum(1 for when, _ in explanation.taped if when == coat) >= seen


def _cell(fact: PartFact, *, quiet: bool) -> FittedCell:
    sign = "".join(_LETTERS[state] for state in fact.values) if len(fact.values) < len(_LETTERS) else "?"
    less_sure = fact.grade != fact.on_vehicle_grade and len(fact.values) == 1
    words = f"{states_words(fact.values)} ({fact.grade})"
    if fact.grade != fact.on_vehicle_grade:
        words += f"; {'on' if fact.on_vehicle == 'yes' else 'not on'} the vehicle: {fact.on_vehicle_grade}"
    words += f"; {', '.join(fact.evidence)}" if fact.evidence else "; no zone that was looked at tells"
    return FittedCell(f"{sign}?" if less_sure else sign, fact.on_vehicle, fact.on_vehicle_grade, quiet, words)
