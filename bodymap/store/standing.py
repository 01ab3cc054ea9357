"""What stands in a record at one moment: of each thing its last entry, unless that withdrew it."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from bodymap.errors import RecordError
from bodymap.model.entry import Entry
from bodymap.model.journal import FIRST_HASH, Head
from bodymap.model.record import KINDS, Record
from bodymap.model.source import MediaFile
from bodymap.store.rows import entry_from, in_words, names_of
from bodymap.store.schema import view_of


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


def read_standing(connection: sqlite3.Connection) -> dict[str, dict[str, Thing]]:
    """The current state of every kind, from the views.

    Raises:
        RecordError: a row that is no such entry (somebody wrote into the file by other means).
    """
    return {kind: _of_kind(connection, kind) for kind in KINDS}


def read_media(connection: sqlite3.Connection) -> tuple[MediaFile, ...]:
    """The files that lie beside the record."""
    entries = (thing.entry for thing in _of_kind(connection, MediaFile.KIND).values())
    return tuple(entry for entry in entries if isinstance(entry, MediaFile))


def record_of(standing: Standing) -> Record:
    """The record that stands. Raises ValueError unless there is one vehicle."""
    return Record.of(thing.entry for things in standing.values() for thing in things.values())


def _of_kind(connection: sqlite3.Connection, kind: str) -> dict[str, Thing]:
    columns = ", ".join(f'v."{name}"' for name in names_of(kind))
    rows = connection.execute(
        f'SELECT v.seq, j.ident, v.place, {columns} FROM "{view_of(kind)}" v JOIN journal j ON j.seq = v.seq '  # noqa: S608
        "ORDER BY v.place, v.seq"
    )
    things = {}
    for seq, ident, place, *row in rows:
        try:
            things[ident] = Thing(place, entry_from(kind, row))
        except (ValueError, TypeError, AttributeError) as error:
            raise RecordError(f"entry {seq} ({kind} {ident}) cannot be read: {in_words(error)}") from error
    return things
