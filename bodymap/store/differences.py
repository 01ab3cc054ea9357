"""What has to be said so that a journal's state becomes a given record (an open folder that was edited by hand)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher

from bodymap.model.entry import Entry
from bodymap.model.record import KINDS, Record
from bodymap.model.source import Beside, MediaFile
from bodymap.progress import Step, counted, silent, stretch
from bodymap.store.coming import Said
from bodymap.store.rows import exactly, storable
from bodymap.store.standing import Standing, Thing

Named = tuple[str, Entry]


def first_entries(record: Record) -> Iterator[Said]:
    """A record said for the first time: each kind in its order, counted from 1."""
    for kind in KINDS:
        for place, entry in enumerate(record.of_kind(kind), 1):
            yield Said("put", kind, entry.ident or str(place), place, entry, storable(entry))


def differences(standing: Standing, record: Record, used: Mapping[str, int], step: Step = silent) -> Iterator[Said]:
    """The puts and withdrawals that lead from what stands to `record`, kind by kind. `step` is told how far it is.

    `used`: by kind, the greatest place or number that was ever an ident; things without a key get numbers beyond it.
    """
    for number, kind in enumerate(KINDS):
        inner = stretch(step, number / len(KINDS), (number + 1) / len(KINDS))
        things = standing[kind]
        wanted = _named(kind, things, record.of_kind(kind), used.get(kind, 0))
        last = 0
        for ident, entry in counted(wanted, len(wanted), "Comparing with the journal", inner):
            known, body = things.get(ident), storable(entry)
            place = known.place if known and known.place > last else last + 1
            last = place
            if not (known and known.place == place and exactly(body) == exactly(storable(known.entry))):
                yield Said("put", kind, ident, place, entry, body)
        kept = {ident for ident, _ in wanted}
        for ident, thing in things.items():
            if ident not in kept:
                yield Said("withdraw", kind, ident, thing.place)


def _named(kind: str, things: Mapping[str, Thing], entries: Sequence[Entry], used: int) -> Sequence[Named]:
    """The wanted entries of a kind with their idents, in their order."""
    if kind in (MediaFile.KIND, Beside.KIND):  # files in a folder have no order: they keep the one they had
        order = {ident: number for number, ident in enumerate(things)}
        entries = sorted(entries, key=lambda entry: order.get(entry.ident, len(order)))
    if KINDS[kind].KEY:
        return [(entry.ident, entry) for entry in entries]
    return list(_matched(list(things.items()), entries, used))


def _matched(things: Sequence[tuple[str, Thing]], entries: Sequence[Entry], used: int) -> Iterator[Named]:
    """Entries without a key, matched with those that stand by content and order; what is new gets a new number."""
    old = [exactly(storable(thing.entry)) for _, thing in things]
    new = [exactly(storable(entry)) for entry in entries]
    for _, old_from, old_to, new_from, new_to in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        idents = [ident for ident, _ in things[old_from:old_to]]
        for number, entry in enumerate(entries[new_from:new_to]):
            if number < len(idents):
                yield idents[number], entry
            else:
                used += 1
                yield str(used), entry
