"""What the screens write: each change is one new entry in the record's journal, with who and why."""

from __future__ import annotations

import itertools
import re

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
    return _append(now, Put(area), by=by, why=why, seen=seen)


def withdraw_area(now: Opened, area_id: str, *, by: str, why: str, seen: int) -> JournalEntry:
    """Withdraw an area; its entries stay in the journal. Raises ConflictError, BodymapError."""
    return _append(now, Withdraw(Area.KIND, area_id), by=by, why=why, seen=seen)


def last_own_change(journal: tuple[JournalEntry, ...], by: str) -> JournalEntry | None:
    """The last change of an area by this person that is no undo and is not undone yet."""
    undone = {int(match[1]) for entry in journal if (match := _UNDO.match(entry.why))}
    for entry in reversed(journal):
        if entry.kind == Area.KIND and entry.by == by and entry.seq not in undone and not _UNDO.match(entry.why):
            return entry
    return None


def undo(now: Opened, change: JournalEntry, *, by: str) -> JournalEntry:
    """Put back what stood before `change`, as a new entry.

    Raises:
        BodymapError: the same thing was changed again since, by somebody else.
    """
    same = [entry for entry in now.journal if (entry.kind, entry.ident) == (change.kind, change.ident)]
    undone = {int(match[1]) for entry in same if (match := _UNDO.match(entry.why))}
    for later in same:
        if later.seq > change.seq and not _UNDO.match(later.why) and later.seq not in undone:
            raise BodymapError(f"{change.ident} was changed again since, in entry {later.seq} by {later.by}: not undone")
    before = [entry for entry in same if entry.seq < change.seq]
    step: Put | Withdraw = Withdraw(change.kind, change.ident)
    if before and before[-1].act == "put":
        step = Put(KINDS[change.kind].model_validate(before[-1].body))
    return _append(now, step, by=by, why=f"Undoes entry {change.seq}: {change.why}", seen=now.revision, undoing=True)


def _append(now: Opened, change: Put | Withdraw, *, by: str, why: str, seen: int, undoing: bool = False) -> JournalEntry:
    if _UNDO.match(why) and not undoing:
        why = f"“{why}”"  # words of a user are never taken for the mark of an undo
    if now.read_only:
        raise BodymapError(now.read_only)
    entries = RecordFile(now.path).append([change], by=by, why=why, at=moment(), expect=seen)
    if not entries:
        raise BodymapError("nothing was changed: it stands like this already")
    return entries[-1]
