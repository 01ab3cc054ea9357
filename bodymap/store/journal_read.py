"""The journal as it stands in the file: what each entry says, rebuilt from the typed columns."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from bodymap.errors import RecordError
from bodymap.model.journal import JournalEntry
from bodymap.model.record import KINDS
from bodymap.progress import Step, counted, silent, stretch
from bodymap.store.rows import body_from, in_words, names_of
from bodymap.store.schema import log_of

_Content = tuple[dict[str, object], str]  # what an entry says, and why that cannot be read
_WORDS = "Reading the entries"
# Of the time that reading takes: what the entries say.
_CONTENTS_SHARE = 0.8
SAID = ("seq", "at", "by", "why", "act", "kind", "ident", "place", "before", "hash")


@dataclass(frozen=True)
class ReadEntry:
    """One entry as read. `wrong`: why its content cannot be read or does not belong to it; empty: it can and does."""

    entry: JournalEntry
    wrong: str = ""


def read_journal(
    connection: sqlite3.Connection, *, after: int | None = None, step: Step = silent
) -> tuple[JournalEntry, ...]:
    """Every entry in order, or those behind entry `after`. Raises RecordError on one that cannot be read."""
    entries = []
    for read in read_entries(connection, after=after, step=step):
        if read.wrong:
            raise RecordError(read.wrong)
        entries.append(read.entry)
    return tuple(entries)


def read_entries(connection: sqlite3.Connection, *, after: int | None = None, step: Step = silent) -> Iterator[ReadEntry]:
    """Every entry in order, or those behind entry `after`, also those that cannot be read."""
    (last,) = connection.execute("SELECT max(seq) FROM journal").fetchone()
    many = (last or 0) - (after or 0)
    contents: dict[str, dict[int, _Content]] = {kind: {} for kind in KINDS}
    rows = ((kind, row) for kind in KINDS for row in _rows(connection, kind, after))
    for kind, (seq, *row) in counted(rows, many, _WORDS, stretch(step, 0.0, _CONTENTS_SHARE)):
        contents[kind][seq] = _content(kind, row)
    found = connection.execute(f"SELECT {', '.join(SAID)} FROM journal {_behind(after)} ORDER BY seq")  # noqa: S608
    for row in counted(found, many, _WORDS, stretch(step, _CONTENTS_SHARE, 1.0)):
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


def _rows(connection: sqlite3.Connection, kind: str, after: int | None) -> sqlite3.Cursor:
    columns = ", ".join(f'"{name}"' for name in names_of(kind))
    return connection.execute(f"SELECT seq, {columns} FROM {log_of(kind)} {_behind(after)}")  # noqa: S608


def _content(kind: str, row: list[object]) -> _Content:
    try:
        return body_from(kind, row), ""
    except (ValueError, TypeError, AttributeError) as error:
        return {}, in_words(error)


def _behind(after: int | None) -> str:
    return "" if after is None else f"WHERE seq > {after:d}"
