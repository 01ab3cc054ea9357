"""`journal.csv`: the record's own history, one entry a row, out and in with its chain checked.

The file is written and never edited. Its `body` cell is one JSON object, compact, with the keys in the order in which
the entry has them. Whole numbers and numbers with a fraction stay apart in it (1 and 1.0), as the hash tells them apart.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from bodymap.errors import Fault, Faults
from bodymap.exchange.cells import NotThisKind, shown, value_of
from bodymap.exchange.strict_json import parse_json, troubles
from bodymap.exchange.tables import format_csv, parse_csv
from bodymap.model import Column, JournalEntry
from bodymap.model.journal import broken_links
from bodymap.progress import Step, counted, silent, stretch

JOURNAL_FILE = "journal.csv"
COLUMNS = ("seq", "at", "by", "why", "act", "kind", "ident", "place", "body", "before", "hash")
_WHOLE = ("seq", "place")
# Of the time that reading takes: until the rows are read. The rest is the chain.
_ROWS_SHARE = 0.75
_ANEW = "the entries as they were written (removing journal.csv starts a new history for this folder)"


def read_journal(data: bytes, step: Step = silent) -> tuple[JournalEntry, ...]:
    """The entries of a `journal.csv` whose chain holds. `step` is told how far it is, and may stop it.

    Raises:
        Faults: rows that cannot be read, or entries that do not follow from one another.
    """
    rows = parse_csv(JOURNAL_FILE, data)
    _, header = next(rows, (1, []))
    if tuple(header) != COLUMNS:
        raise _faults(1, "", f"the columns {shown(', '.join(header))}", ", ".join(COLUMNS))
    entries: list[tuple[int, JournalEntry]] = []
    faults: list[Fault] = []
    many = data.count(b"\n")  # and a little more than there are rows, where cells have lines in them
    for number, cells in counted(rows, many, f"Reading {JOURNAL_FILE}", stretch(step, 0.0, _ROWS_SHARE)):
        try:
            entries.append((number, _entry(number, cells)))
        except Faults as error:
            faults += error.faults
    if not faults:
        row_of = {id(entry): number for number, entry in entries}
        chain = counted(entries, len(entries), "Checking the chain", stretch(step, _ROWS_SHARE, 1.0))
        broken = broken_links(entry for _, entry in chain)
        faults = [Fault(JOURNAL_FILE, row_of[id(entry)], "", what, _ANEW) for entry, what in broken]
    if faults:
        raise Faults(JOURNAL_FILE, faults)
    return tuple(entry for _, entry in entries)


def write_journal(entries: Iterable[JournalEntry]) -> bytes:
    """A `journal.csv` of entries, in their order."""
    return format_csv(COLUMNS, ([_cell(getattr(entry, name)) for name in COLUMNS] for entry in entries))


def _entry(number: int, cells: list[str]) -> JournalEntry:
    if len(cells) != len(COLUMNS):
        raise _faults(number, "", f"{len(cells)} cells", f"{len(COLUMNS)} cells, as in the header")
    said: dict[str, Any] = dict(zip(COLUMNS, cells, strict=True))
    for name in _WHOLE:
        try:
            said[name] = value_of(Column(name, "whole", required=True, words="a whole number"), said[name])
        except NotThisKind as error:
            raise _faults(number, name, shown(said[name]), "a whole number") from error
    said["body"] = _body(number, said["body"])
    try:
        return JournalEntry.model_validate(said)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raise _faults(number, str(first["loc"][0]), shown(first["input"]), first["msg"]) from error


def _body(number: int, cell: str) -> Mapping[str, Any]:
    try:
        body = parse_json(JOURNAL_FILE, cell)
    except Faults as error:
        raise _faults(number, "body", error.faults[0].found, error.faults[0].allowed) from error
    if not isinstance(body, dict):
        raise _faults(number, "body", shown(body), "one JSON object")
    for found, allowed in troubles(body):
        raise _faults(number, "body", found, allowed)
    return body


def _faults(number: int, column: str, found: str, allowed: str) -> Faults:
    return Faults(JOURNAL_FILE, [Fault(JOURNAL_FILE, number, column, found, allowed)])


def _cell(value: Any) -> str:
    if isinstance(value, dict):
        return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return str(value)
