"""What stands in a record at one moment: of each thing its last entry, unless that withdrew it.

`read_standing` reads all of it. `Stored` looks up only the things it is asked for, so that a change costs the same in a
large record as in a small one.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from bodymap.errors import RecordError
from bodymap.model.check import fields_that_name
from bodymap.model.entry import Entry
from bodymap.model.journal import FIRST_HASH, Head
from bodymap.model.part import Part
from bodymap.model.record import KINDS, Record
from bodymap.model.source import MediaFile
from bodymap.progress import Step, counted, silent, stretch
from bodymap.store.rows import entry_from, in_words, names_of
from bodymap.store.schema import log_of, view_of

Key = tuple[str, str]  # kind and ident
Order = tuple[int, ...]  # of two things of a kind, the lesser comes first
_BY_ID = tuple(kind for kind, model in KINDS.items() if len(model.KEY) == 1)
# The last entry about one thing, if it is a put that has its content. Asked by ident through the index of the journal.
_LAST = "SELECT seq FROM journal WHERE kind = ?1 AND ident = ?2 ORDER BY seq DESC LIMIT 1"


@dataclass(frozen=True)
class Thing:
    """One thing as it stands: its content, and the place that orders it among its kind."""

    place: int
    entry: Entry


# By kind, by ident, in the order of places.
Standing = Mapping[str, Mapping[str, Thing]]


def head_at(connection: sqlite3.Connection) -> Head:
    """Where the journal stands."""
    row = connection.execute("SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    return Head(count=row[0], hash=row[1]) if row else Head(count=0, hash=FIRST_HASH)


def had(connection: sqlite3.Connection, head: Head) -> bool:
    """Whether the journal once stood at a head."""
    row = connection.execute("SELECT hash FROM journal WHERE seq = ?", (head.count,)).fetchone()
    return row == (head.hash,) if head.count else True


def read_standing(connection: sqlite3.Connection, step: Step = silent) -> dict[str, dict[str, Thing]]:
    """The current state of every kind, from the views. `step` is told how far it is, and may stop it.

    Raises:
        RecordError: a row that is no such entry (somebody wrote into the file by other means).
    """
    many = len(KINDS)
    return {
        kind: _of_kind(connection, kind, stretch(step, number / many, (number + 1) / many))
        for number, kind in enumerate(KINDS)
    }


def read_media(connection: sqlite3.Connection) -> tuple[MediaFile, ...]:
    """The files that lie beside the record."""
    entries = (thing.entry for thing in _of_kind(connection, MediaFile.KIND).values())
    return tuple(entry for entry in entries if isinstance(entry, MediaFile))


def idents_of(connection: sqlite3.Connection, kind: str) -> tuple[str, ...]:
    """Idents of the things of a kind, in the order of places."""
    rows = connection.execute(
        f'SELECT j.ident FROM "{view_of(kind)}" v JOIN journal j ON j.seq = v.seq ORDER BY v.place, v.seq'  # noqa: S608
    )
    return tuple(ident for (ident,) in rows)


def record_of(standing: Standing) -> Record:
    """The record that stands. Raises ValueError unless there is one vehicle."""
    return Record.of(thing.entry for things in standing.values() for thing in things.values())


def _of_kind(connection: sqlite3.Connection, kind: str, step: Step = silent) -> dict[str, Thing]:
    columns = ", ".join(f'v."{name}"' for name in names_of(kind))
    rows = connection.execute(
        f'SELECT v.seq, j.ident, v.place, {columns} FROM "{view_of(kind)}" v JOIN journal j ON j.seq = v.seq '  # noqa: S608
        "ORDER BY v.place, v.seq"
    )
    told = counted(rows, 0, "Reading what stands", step)
    return {ident: Thing(place, _entry(seq, kind, ident, row)) for seq, ident, place, *row in told}


def _entry(seq: int, kind: str, ident: str, row: list[object]) -> Entry:
    try:
        return entry_from(kind, row)
    except (ValueError, TypeError, AttributeError) as error:
        raise RecordError(f"entry {seq} ({kind} {ident}) cannot be read: {in_words(error)}") from error


class Stored:
    """What stands in the file, each thing looked up when it is asked for, inside the caller's transaction.

    It answers what the check of one entry asks about its record (`model.check.Known`).
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._things: dict[Key, tuple[Order, Thing] | None] = {}
        self._there: dict[Key, bool] = {}
        self._ids: dict[str, frozenset[str]] = {}
        self._used: dict[str, int] = {}

    def thing(self, kind: str, ident: str) -> Thing | None:
        """A thing as it stands; None: there is none. Raises RecordError on a row that is no such entry."""
        found = self._found(kind, ident)
        return found[1] if found else None

    def order(self, kind: str, ident: str) -> Order:
        """Orders a thing that stands among its kind."""
        found = self._found(kind, ident)
        return found[0] if found else ()

    def has(self, ident: str, kinds: tuple[str, ...]) -> bool:
        """Whether an id is there among some kinds; no kinds: among all."""
        return any(self._is_there(kind, ident) for kind in kinds or _BY_ID)

    def ids_of(self, kind: str) -> Collection[str]:
        """The ids of a kind."""
        if kind not in self._ids:
            self._ids[kind] = frozenset(idents_of(self._connection, kind))
        return self._ids[kind]

    def part(self, ident: str) -> Part | None:
        """The part of that id, if it is there."""
        return part_in(self.thing(Part.KIND, ident))

    def media_sha256(self, name: str) -> str | None:
        """The hash of the media file of that name, if it is there."""
        return sha256_in(self.thing(MediaFile.KIND, name))

    def last_place(self, kind: str, ident: str) -> int | None:
        """The place a thing has or had; None: there never was one."""
        row = self._connection.execute(
            "SELECT place FROM journal WHERE kind = ? AND ident = ? ORDER BY seq DESC LIMIT 1", (kind, ident)
        ).fetchone()
        return row[0] if row else None

    def last_used(self, kind: str) -> int:
        """The greatest place a kind has had, and the greatest number that was the ident of one without a key."""
        if kind not in self._used:
            ident = "0" if KINDS[kind].KEY else "CAST(ident AS INTEGER)"
            row = self._connection.execute(
                f"SELECT max(place), max({ident}) FROM journal WHERE kind = ?",  # noqa: S608
                (kind,),
            ).fetchone()
            self._used[kind] = max(row[0] or 0, row[1] or 0)
        return self._used[kind]

    def referring(self, gone: Collection[Key]) -> Iterator[Key]:
        """The things in which the id of one of these stands."""
        by_field: dict[Key, set[str]] = {}
        for kind, ident in gone:
            for field in fields_that_name(kind):
                by_field.setdefault(field, set()).add(ident)
        for (kind, name), idents in by_field.items():
            rows = self._connection.execute(f'SELECT seq, "{name}" FROM {log_of(kind)} WHERE "{name}" IS NOT NULL')  # noqa: S608
            hits = [seq for seq, text in rows if text in idents or (";" in text and not idents.isdisjoint(text.split(";")))]
            for seq in hits:
                (ident,) = self._connection.execute("SELECT ident FROM journal WHERE seq = ?", (seq,)).fetchone()
                if self._connection.execute(_LAST, (kind, ident)).fetchone() == (seq,):
                    yield kind, ident

    def _is_there(self, kind: str, ident: str) -> bool:
        if (kind, ident) not in self._there:
            if not _is_text(ident):
                return False
            sql = f"SELECT 1 FROM {log_of(kind)} WHERE seq = ({_LAST})"  # noqa: S608
            self._there[kind, ident] = self._connection.execute(sql, (kind, ident)).fetchone() is not None
        return self._there[kind, ident]

    def _found(self, kind: str, ident: str) -> tuple[Order, Thing] | None:
        if (kind, ident) not in self._things:
            self._things[kind, ident] = self._looked_up(kind, ident)
        return self._things[kind, ident]

    def _looked_up(self, kind: str, ident: str) -> tuple[Order, Thing] | None:
        if kind not in KINDS or not _is_text(ident):
            return None
        columns = ", ".join(f'l."{name}"' for name in names_of(kind))
        found = self._connection.execute(
            f"SELECT j.seq, j.place, {columns} FROM journal j JOIN {log_of(kind)} l ON l.seq = j.seq "  # noqa: S608
            f"WHERE j.seq = ({_LAST})",
            (kind, ident),
        ).fetchone()
        if found is None:
            return None
        seq, place, *row = found
        return (place, seq), Thing(place, _entry(seq, kind, ident, row))


def _is_text(ident: str) -> bool:
    """Whether SQLite can be asked for it: half a surrogate pair is in no file."""
    return not any("\ud800" <= char <= "\udfff" for char in ident)


def part_in(thing: Thing | None) -> Part | None:
    """The part that a thing is."""
    return thing.entry if thing and isinstance(thing.entry, Part) else None


def sha256_in(thing: Thing | None) -> str | None:
    """The hash of the media file that a thing is."""
    return thing.entry.sha256 if thing and isinstance(thing.entry, MediaFile) else None
