"""Changes as a writer asks for them, and as the journal will say them."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bodymap.errors import ConflictError, Fault, Faults
from bodymap.model.entry import Entry
from bodymap.model.journal import JournalEntry, chained
from bodymap.model.record import KINDS
from bodymap.store.coming import Coming, Said
from bodymap.store.rows import exactly, names_of, row_of, storable
from bodymap.store.schema import log_of
from bodymap.store.standing import Thing, head_at

# What a DATETIME column of a GeoPackage holds (OGC 12-128, table 1), seconds with three digits or none.
_AT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{3})?Z")
_AT_WORDS = "ISO 8601 in UTC, YYYY-MM-DDThh:mm:ss.sssZ"


@dataclass(frozen=True)
class Put:
    """That a thing is from here on as `entry` says.

    `place` orders it among its kind; blank: where it was, or last. `ident` names the one to take the place of where the
    kind has no key of its own (outline, signoff: see `RecordFile.idents`); blank there: a new one.
    """

    entry: Entry
    place: int | None = None
    ident: str | None = None


@dataclass(frozen=True)
class Withdraw:
    """That a thing is no more part of the record. Its entries stay in the journal."""

    kind: str
    ident: str


def check_signature(by: str, why: str, at: str) -> None:
    """That a change says who and when.

    Raises:
        Faults: `by` is blank, `at` is no ISO 8601 UTC time, or a text that no file can hold.
    """
    faults = []
    if not by.strip():
        faults.append(Fault("journal", column="by", found="a blank", allowed="the name of who makes the change"))
    if not is_moment(at):
        faults.append(Fault("journal", column="at", found=repr(at), allowed=_AT_WORDS))
    for name, text in (("by", by), ("why", why)):
        if "\x00" in text or any("\ud800" <= char <= "\udfff" for char in text):
            faults.append(Fault("journal", column=name, found=ascii(text), allowed="text of Unicode characters, no NUL"))
    if faults:
        raise Faults("the change", faults)


def is_moment(at: str) -> bool:
    """Whether a text is a moment as the journal has them."""
    try:
        return bool(_AT.fullmatch(at) and datetime.fromisoformat(at))
    except ValueError:
        return False


def check_conflicts(connection: sqlite3.Connection, changes: Sequence[Put | Withdraw], expect: int | None) -> None:
    """That nothing about to be changed was changed since the writer looked.

    Raises:
        ConflictError: it was, by somebody else or from another window; or the record is older than what was seen.
    """
    if expect is None:
        return
    count = head_at(connection).count
    if expect > count:
        raise ConflictError(
            f"the record was seen with {expect} entries and has {count}: it is another or older copy; nothing was written"
        )
    for change in changes:
        kind, ident = subject_of(change)
        last = connection.execute(
            "SELECT seq, by, at FROM journal WHERE kind = ? AND ident = ? AND seq > ? ORDER BY seq DESC LIMIT 1",
            (kind, ident, expect),
        ).fetchone()
        if last:
            raise ConflictError(
                f"{kind} {ident} was changed since, in entry {last[0]} by {last[1]} at {last[2]}; "
                "nothing was written: look at it again"
            )


def subject_of(change: Put | Withdraw) -> tuple[str, str]:
    """Kind and ident of what a change is about; the ident of a new thing without a key is empty."""
    if isinstance(change, Withdraw):
        return change.kind, change.ident
    return change.entry.KIND, change.entry.ident or change.ident or ""


def planned(coming: Coming, changes: Sequence[Put | Withdraw]) -> tuple[Said, ...]:
    """What the journal will say, in order, laid over what stands in `coming`. A put that changes nothing says nothing.

    Raises:
        Faults: something withdrawn or replaced that is not there.
    """
    said, faults = [], []
    for number, change in enumerate(changes, 1):
        kind, ident = subject_of(change)
        known = coming.thing(kind, ident)
        if not known and (isinstance(change, Withdraw) or (not change.entry.KEY and change.ident is not None)):
            faults.append(
                Fault(
                    KINDS[kind].FILE or kind if kind in KINDS else kind,
                    found=f"change {number} of {ident!r}",
                    allowed="something that is in the record",
                    subject=ident,
                )
            )
            continue
        if isinstance(change, Put):
            one = _put(coming, change, known)
        else:
            one = Said("withdraw", kind, ident, known.place if known else 0)
        if one:
            said.append(one)
            coming.lay(one)
    if faults:
        raise Faults("the change", faults)
    return tuple(said)


def write(connection: sqlite3.Connection, said: Iterable[Said], *, by: str, why: str, at: str) -> tuple[JournalEntry, ...]:
    """Writes entries behind the head, inside the transaction of the caller; returns them."""
    head = head_at(connection)
    before, seq, entries = head.hash, head.count, []
    for one in said:
        seq += 1
        entry = chained(
            before,
            seq=seq,
            at=at,
            by=by,
            why=why,
            act=one.act,
            kind=one.kind,
            ident=one.ident,
            place=one.place,
            body=dict(one.body),
        )
        write_entry(connection, entry)
        before = entry.hash
        entries.append(entry)
    return tuple(entries)


def write_entry(connection: sqlite3.Connection, entry: JournalEntry) -> None:
    """Writes one entry as it is: its row in the journal, and what it says in the log of its kind."""
    connection.execute(
        "INSERT INTO journal (seq, at, by, why, act, kind, ident, place, before, hash) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            entry.seq,
            entry.at,
            entry.by,
            entry.why,
            entry.act,
            entry.kind,
            entry.ident,
            entry.place,
            entry.before,
            entry.hash,
        ),
    )
    if entry.act == "put":
        names = names_of(entry.kind)
        columns = ", ".join(f'"{name}"' for name in names)
        marks = ", ".join("?" * (len(names) + 1))
        connection.execute(
            f"INSERT INTO {log_of(entry.kind)} (seq, {columns}) VALUES ({marks})",  # noqa: S608
            (entry.seq, *row_of(entry.kind, entry.body)),
        )


def _put(coming: Coming, change: Put, known: Thing | None) -> Said | None:
    kind, ident = subject_of(change)
    body = storable(change.entry)
    if known:
        place = known.place if change.place is None else change.place
        if place == known.place and exactly(body) == exactly(storable(known.entry)):
            return None
        return Said("put", kind, ident, place, change.entry, body)
    was = coming.last_place(kind, ident) if ident else None
    wanted = was if change.place is None else change.place
    free = 0 if ident and wanted is not None else coming.last_used(kind) + 1
    return Said("put", kind, ident or str(free), free if wanted is None else wanted, change.entry, body)
