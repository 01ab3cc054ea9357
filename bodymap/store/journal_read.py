"""The journal as it stands in the file: what each entry says, rebuilt from the typed columns."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from bodymap.errors import RecordError
from bodymap.model.journal import JournalEntry
from bodymap.model.record import KINDS
from bodymap.store.rows import body_from, in_words, names_of
from bodymap.store.schema import log_of

SAID = ("seq", "at", "by", "why", "act", "kind", "ident", "place", "before", "hash")


@dataclass(frozen=True)
class ReadEntry:
    """One entry as read. `wrong`: why its content cannot be read or does not belong to it; empty: it can and does."""

    entry: JournalEntry
    wrong: str = ""


def read_journal(connection: sqlite3.Connection, *, after: int | None = None) -> tuple[JournalEntry, ...]:
    """Every entry in order, or those behind entry `after`. Raises RecordError on one that cannot be read."""
    entries = []
    for read in read_entries(connection, after=after):
        if read.wrong:
            raise RecordError(read.wrong)
        entries.append(read.entry)
    return tuple(entries)


def read_entries(connection: sqlite3.Connection, *, after: int | None = None) -> Iterator[ReadEntry]:
    """Every entry in order, or those behind entry `after`, also those that cannot be read."""
    contents = {kind: _contents(connection, kind, after) for kind in KINDS}
    for row in connection.execute(f"SELECT {', '.join(SAID)} FROM journal {_behind(after)} ORDER BY seq"):  # noqa: S608
        said = dict(zip(SAID, row, strict=True))
        seq, kind, ident = said["seq"], said["kind"], said["ident"]
        content = contents.get(kind, {}).get(seq)
        body, wrong = content or ({}, "")
        if kind not in KINDS:
            wrong = f"entry {seq} is of the kind {kind!r}, which this program does not know"
        elif said["act"] == "put" and content is None:
            wrong = f"entry {seq} ({kind} {ident}) has lost its content: its row of {log_of(kind)} is gone"
        elif wrong:
            wrong = f"entry {seq} ({kind} {ident}) cannot be read, its content was changed: {wrong}"
        yield ReadEntry(JournalEntry.model_construct(**said, body=body), wrong)


def _contents(connection: sqlite3.Connection, kind: str, after: int | None) -> dict[int, tuple[dict[str, object], str]]:
    """By seq: the body, and why it cannot be read."""
    columns = ", ".join(f'"{name}"' for name in names_of(kind))
    contents: dict[int, tuple[dict[str, object], str]] = {}
    for seq, *row in connection.execute(f"SELECT seq, {columns} FROM {log_of(kind)} {_behind(after)}"):  # noqa: S608
        try:
            contents[seq] = body_from(kind, row), ""
        except (ValueError, TypeError, AttributeError) as error:
            contents[seq] = {}, in_words(error)
    return contents


def _behind(after: int | None) -> str:
    return "" if after is None else f"WHERE seq > {after:d}"
