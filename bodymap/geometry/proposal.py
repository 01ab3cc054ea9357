"""What a change of the drawing would put and withdraw: shown first, saved by nobody here.

Entries with a key of their own (zones, stacks, covers) are put by it. An entry whose place alone tells it (outline) is
named by its number among its kind in the record the proposal was made from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bodymap.model import Entry, Record


@dataclass(frozen=True)
class Proposal:
    """Changes that belong together.

    Attributes:
        put: entries as they would stand from here on, new ones among them.
        withdraw: (kind, ident) of what would be no more part of the record.
        replace: (number, entry) of entries without a key: the one at that number of its kind would become this one.
        questions: what only a person can answer; the proposal leaves it as it is.
        notes: what the change does beside what was asked, in words.
    """

    put: tuple[Entry, ...] = ()
    withdraw: tuple[tuple[str, str], ...] = ()
    replace: tuple[tuple[int, Entry], ...] = ()
    questions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def and_then(self, other: Proposal) -> Proposal:
        """Both, this one first; where both put the same thing, the later one stands."""
        last = {(entry.KIND, entry.ident): entry for entry in (*self.put, *other.put) if entry.KEY}
        keyless = [entry for entry in (*self.put, *other.put) if not entry.KEY]
        gone = dict.fromkeys((*self.withdraw, *other.withdraw))
        replaced = {(entry.KIND, number): (number, entry) for number, entry in (*self.replace, *other.replace)}
        return Proposal(
            (*(entry for key, entry in last.items() if key not in gone), *keyless),
            tuple(gone),
            tuple(replaced.values()),
            tuple(dict.fromkeys((*self.questions, *other.questions))),
            tuple(dict.fromkeys((*self.notes, *other.notes))),
        )


def applied(record: Record, proposal: Proposal) -> Record:
    """The record as it would be: put things keep their place, new ones come last, withdrawn ones go."""
    kinds = {entry.KIND for entry in proposal.put} | {kind for kind, _ in proposal.withdraw}
    for kind in sorted(kinds | {entry.KIND for _, entry in proposal.replace}):
        record = record.with_kind(kind, _after(record, proposal, kind))
    return record


def _after(record: Record, proposal: Proposal, kind: str) -> Iterable[Entry]:
    replaced = {number: entry for number, entry in proposal.replace if kind == entry.KIND}
    put = {entry.ident: entry for entry in proposal.put if kind == entry.KIND and entry.KEY}
    gone = {ident for of_kind, ident in proposal.withdraw if of_kind == kind}
    for number, entry in enumerate(record.of_kind(kind)):
        if not entry.KEY:
            yield replaced.get(number, entry)
        elif entry.ident not in gone:
            yield put.pop(entry.ident, entry)
    yield from put.values()
    yield from (entry for entry in proposal.put if kind == entry.KIND and not entry.KEY)
