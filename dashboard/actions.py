"""What the screens write: each change is one new entry in the record's journal, with who and why."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Collection, Sequence

from bodymap.errors import BodymapError
from bodymap.model import KINDS, Area, JournalEntry
from bodymap.store.record_file import Put, RecordFile, Withdraw
from dashboard.loaders import Opened, moment

_UNDO = re.compile(r"^Undoes entry (\d+)")
_PREFIX = {"keep": "K", "mask": "M"}


def new_area_id(now: Opened, purpose: str) -> str:
    """The next id for an area, K or M and a number, that never stood for anything else in this record."""
    used = now.record.ids | {entry.ident for entry in now.journal}
    return next(name for number in itertools.count(1) if (name := f"{_PREFIX[purpose]}{number}") not in used)


def save_area(now: Opened, area: Area, *, by: str, why: str, seen: int) -> JournalEntry:
    """Put an area, new or amended. `seen`: revision the writer looked at. Raises ConflictError, BodymapError."""
    return save(now, [Put(area)], by=by, why=why, seen=seen)[-1]


def withdraw_area(now: Opened, area_id: str, *, by: str, why: str, seen: int) -> JournalEntry:
    """Withdraw an area; its entries stay in the journal. Raises ConflictError, BodymapError."""
    return save(now, [Withdraw(Area.KIND, area_id)], by=by, why=why, seen=seen)[-1]


def last_own_change(
    journal: Sequence[JournalEntry],
    by: str,
    kinds: Collection[str],
    ours: Callable[[Sequence[JournalEntry]], bool] | None = None,
) -> tuple[JournalEntry, ...]:
    """The last save by this person that is no undo and is not undone yet; nothing: there is none.

    One save is what stands together in the journal with one name, moment and reason; all of it is of these kinds, and it is
    one of `ours`.
    """
    undone = _undone(journal)
    for save in reversed(_saves(journal)):
        first, these = save[0], {one.kind for one in save} <= set(kinds)
        if these and first.by == by and first.seq not in undone and not _UNDO.match(first.why) and (not ours or ours(save)):
            return save
    return ()


def _saves(journal: Sequence[JournalEntry]) -> list[tuple[JournalEntry, ...]]:
    together = itertools.groupby(journal, key=lambda entry: (entry.by, entry.at, entry.why))
    return [tuple(entries) for _, entries in together]


def _undone(journal: Sequence[JournalEntry]) -> set[int]:
    """Numbers of all entries of the saves that were undone."""
    firsts = {int(match[1]) for entry in journal if (match := _UNDO.match(entry.why))}
    return {entry.seq for save in _saves(journal) if save[0].seq in firsts for entry in save}


def undo(now: Opened, changes: Sequence[JournalEntry], *, by: str) -> tuple[JournalEntry, ...]:
    """Put back what stood before one save, as new entries.

    Raises:
        BodymapError: the same thing was changed again since, by somebody else.
    """
    undone = _undone(now.journal)
    steps = [_put_back(now.journal, change, undone) for change in reversed(changes)]
    why = f"Undoes entry {changes[0].seq}: {changes[0].why}"
    return _append(now, steps, by=by, why=why, seen=now.revision, undoing=True)


def _put_back(journal: Sequence[JournalEntry], change: JournalEntry, undone: Collection[int]) -> Put | Withdraw:
    same = [entry for entry in journal if (entry.kind, entry.ident) == (change.kind, change.ident)]
    for later in same:
        if later.seq > change.seq and not _UNDO.match(later.why) and later.seq not in undone:
            raise BodymapError(f"{change.ident} was changed again since, in entry {later.seq} by {later.by}: not undone")
    before = [entry for entry in same if entry.seq < change.seq]
    if before and before[-1].act == "put":
        entry = KINDS[change.kind].model_validate(before[-1].body)
        # What has no key of its own is told by the number it stands under; once withdrawn it comes back under a new one.
        number = change.ident if not entry.KEY and change.act == "put" else None
        return Put(entry, ident=number)
    return Withdraw(change.kind, change.ident)


def save(now: Opened, changes: Sequence[Put | Withdraw], *, by: str, why: str, seen: int) -> tuple[JournalEntry, ...]:
    """Write changes that belong together: all of them, or none. `seen`: revision the writer looked at.

    Raises:
        ConflictError: somebody else changed the same thing meanwhile.
        BodymapError: what is written cannot stand, or it is there already.
    """
    return _append(now, changes, by=by, why=why, seen=seen)


def _append(
    now: Opened, changes: Sequence[Put | Withdraw], *, by: str, why: str, seen: int, undoing: bool = False
) -> tuple[JournalEntry, ...]:
    if _UNDO.match(why) and not undoing:
        why = f"“{why}”"  # words of a user are never taken for the mark of an undo
    if now.read_only:
        raise BodymapError(now.read_only)
    entries = RecordFile(now.path).append(changes, by=by, why=why, at=moment(), expect=seen)
    if not entries:
        raise BodymapError("nothing was changed: it stands like this already")
    return entries
