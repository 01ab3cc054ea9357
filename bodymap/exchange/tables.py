"""CSV (RFC 4180): a file as rows of cells, and the rows of one kind of entry in and out.

Lines end with CR LF when written, as RFC 4180 section 2 says; LF and CR are read as well. Row numbers are those a
spreadsheet program shows: the header is row 1, and a row with line breaks inside quotes is one row.
"""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from bodymap.errors import Fault, Faults
from bodymap.exchange.cells import plain_text, shown, text_of, value_of
from bodymap.exchange.plain_text import decoded
from bodymap.exchange.rows import FileContent
from bodymap.model import Entry, columns_of

# The largest cell is the body of a journal entry with a shape of some hundred thousand positions.
CELL_MOST = 20_000_000
# No table of ours has more than a few dozen; what has more is another file, and would only fill the memory.
CELLS_IN_A_ROW_MOST = 5_000
_LINE_TOO_LONG = re.compile(rb"[^\r\n]{%d}" % (CELL_MOST + 1_000_000))
COLUMNS = "columns"


def parse_csv(name: str, data: bytes, delimiter: str = ",") -> Iterator[tuple[int, list[str]]]:
    """The rows of a CSV file with their numbers, header first, rows without any content left out.

    Raises:
        Faults: bytes that are no text, quotes that do not end, a cell longer than `CELL_MOST` characters, a row of more than
            `CELLS_IN_A_ROW_MOST` cells.
    """
    if _LINE_TOO_LONG.search(data):
        found, allowed = "a line longer than any table has", f"lines of up to {CELL_MOST // 1_000_000} million characters"
        raise Faults(name, [Fault(name, found=found, allowed=allowed)])
    csv.field_size_limit(CELL_MOST)  # one limit for the whole process; always this one
    reader = csv.reader(io.StringIO(decoded(name, data), newline=""), delimiter=delimiter, strict=True)
    for number in itertools.count(1):
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            found = f"{error} (line {reader.line_num} of the text)"
            allowed = "CSV as in RFC 4180: quotes in pairs, doubled inside"
            raise Faults(name, [Fault(name, number, "", found, allowed)]) from error
        if len(cells) > CELLS_IN_A_ROW_MOST:
            allowed = f"up to {CELLS_IN_A_ROW_MOST}"
            raise Faults(name, [Fault(name, number, "", f"a row of {len(cells)} cells", allowed)])
        if any(cells) or number == 1:
            yield number, cells


def format_csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A CSV file: header and rows of text, UTF-8 without a byte-order mark, lines ending with CR LF."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")


def read_table(model: type[Entry], data: bytes) -> FileContent:
    """The entries of one CSV file, and everything wrong in it."""
    content = FileContent(model)
    names: list[str] = []
    try:
        rows = parse_csv(model.FILE, data)
        _, header = next(rows, (1, []))
        names = _header(content, header)
        if content.faults:
            content.lose()
            return content
        for number, cells in rows:
            _take_row(content, names, number, cells)
    except Faults as error:  # what came before it was read; of what comes after nothing can be told
        content.faults += error.faults
        content.lose()
    known = {column.name for column in columns_of(model)}
    _keep_columns(content, [name for name in names if name not in known])
    return content


def write_table(model: type[Entry], entries: Sequence[Entry], members: Mapping[str, Any] | None = None) -> bytes:
    """One CSV file: the known columns, then every unknown one in the order in which it was first seen."""
    columns = columns_of(model)
    unknown = dict.fromkeys([*(members or {}).get(COLUMNS, ()), *_first_seen(entries)])
    header = [column.name for column in columns] + list(unknown)
    rows = (
        [text_of(column, getattr(entry, column.name)) for column in columns]
        + [plain_text(entry.more.get(name, "")) for name in unknown]
        for entry in entries
    )
    return format_csv(header, rows)


def _header(content: FileContent, header: list[str]) -> list[str]:
    """The names of the columns; what is wrong with them is added to the faults."""
    known = [column.name for column in columns_of(content.model)]
    needed = [column.name for column in columns_of(content.model) if column.required]
    if not any(header):
        content.fail(found="no header row", allowed=f"a first row with {', '.join(needed)}")
        return []
    names = [name.strip() if name.strip() in known else name for name in header]
    other = next((mark for mark in (";", "\t") if mark in header[0]), None) if len(header) == 1 else None
    if other:
        content.fail(row=1, found=f"columns with {other!r} between", allowed="columns with a comma between (RFC 4180)")
        return []
    for place, name in enumerate(names, start=1):
        if not name.strip():
            content.fail(row=1, found=f"no name over column {place}", allowed="a name over every column")
        elif name in names[: place - 1]:
            content.fail(row=1, column=name, found=f"{shown(name)} again over column {place}", allowed="each column once")
    for name in needed:
        if name not in names:
            content.fail(row=1, column=name, found="no such column", allowed=f"the columns {', '.join(needed)} at least")
    return names


def _take_row(content: FileContent, names: list[str], number: int, cells: list[str]) -> None:
    row = dict(zip(names, cells, strict=False))
    if len(cells) != len(names):
        key = [row.get(name, "").strip() for name in content.model.KEY]
        content.fail(row=number, found=f"{len(cells)} cells", allowed=f"{len(names)} cells, as in the header")
        content.lose(number, "/".join(key) if all(key) else "")
        return
    known = {column.name for column in columns_of(content.model)}
    more = {name: cell for name, cell in row.items() if name not in known and cell}
    content.take(number, row, lambda column, cell: value_of(column, cell or ""), more)


def _keep_columns(content: FileContent, unknown: list[str]) -> None:
    """Note unknown columns, and keep their names where the rows alone would not give them back."""
    for name in unknown:
        content.notes.append(f"{content.model.FILE}: the column {shown(name)} is none of this version; it is kept as it is")
    if unknown != list(_first_seen([entry for _, entry in content.entries])):
        content.members[COLUMNS] = unknown


def _first_seen(entries: Iterable[Entry]) -> dict[str, None]:
    return dict.fromkeys(name for entry in entries for name in entry.more)
