"""Tables as an XLSX workbook, one sheet a table. Text stays text, whatever it begins with.

A cell that begins with = + - @ would be run as a formula by a spreadsheet program (OWASP, "CSV Injection"). Every text is
therefore written as a string cell; there is no formula and no link in the file. The same tables give the same bytes.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import xlsxwriter

from bodymap.progress import Step, counted, silent, stretch
from bodymap.views.hand_over_tables import Cell, Sheet

# Specifications and limits of the common spreadsheet programs: characters in a cell, and in the name of a sheet.
CELL_MOST = 32_767
_NAME_MOST = 31
_CUT = " … (cut: the whole text stands in the record)"
_NO_NAME = re.compile(r"[\[\]:*?/\\]")
_ROW_FIRST = 3
_WORDS = "Writing the workbook"
# Of the time that it takes: until the cells are filled, and until they are written. The rest is packing them.
_FILLED, _PACKED = 0.4, 0.85
_WIDTHS = (8, 48)


def workbook_bytes(sheets: Sequence[Sheet], title: str, created: datetime, step: Step = silent) -> bytes:
    """A workbook of tables, dated `created`. `step` is told how far it is, and may stop it."""
    out = _Open()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "nan_inf_to_errors": False,
    }
    book = xlsxwriter.Workbook(out, options)
    book.set_properties({"title": _kept(title)[:255], "created": created.astimezone(UTC).replace(tzinfo=None)})
    looks = {
        "about": book.add_format({"italic": True}),
        "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
        "cell": book.add_format({"valign": "top"}),
    }
    many = sum(len(sheet.rows) for sheet in sheets)
    written = _Rows(many, stretch(step, _FILLED, _PACKED))
    done = 0
    for sheet in sheets:
        page = book.add_worksheet(_NO_NAME.sub(" ", sheet.name)[:_NAME_MOST], lambda: _Page(written))
        share = (done / many, (done + len(sheet.rows)) / many) if many else (0.0, 0.0)
        _fill(page, sheet, looks, stretch(stretch(step, 0.0, _FILLED), *share))
        done += len(sheet.rows)
    book.close()
    step(_WORDS, 1.0)
    return out.getvalue()


class _Open(io.BytesIO):
    """Is never closed: the archive of a workbook that was stopped closes itself later, and writes its end before."""

    def close(self) -> None:
        pass


class _Rows:
    """Told of each row as the library writes it."""

    def __init__(self, many: int, step: Step) -> None:
        self._rows = counted(range(many), many, _WORDS, step)

    def next(self) -> None:
        next(self._rows, None)


class _Page(xlsxwriter.worksheet.Worksheet):  # type: ignore[misc]
    """A sheet that tells of its rows. Should the library write them by another way one day, they are untold, and no more."""

    def __init__(self, told: _Rows) -> None:
        super().__init__()
        self._told = told

    def _write_row(self, *row: Any, **how: Any) -> None:
        self._told.next()
        super()._write_row(*row, **how)


def _fill(page: xlsxwriter.worksheet.Worksheet, sheet: Sheet, looks: dict[str, object], step: Step) -> None:
    page.write_string(0, 0, _kept(sheet.about), looks["about"])
    if not sheet.columns:
        page.write_string(2, 0, "nothing is recorded here", looks["about"])
        return
    for column, name in enumerate(sheet.columns):
        page.write_string(_ROW_FIRST - 1, column, _kept(name), looks["head"])
        longest = max((len(_text(row[column])) for row in sheet.rows), default=0)
        page.set_column(column, column, min(max(longest, len(name), _WIDTHS[0]) + 1, _WIDTHS[1]))
    rows = counted(sheet.rows, len(sheet.rows), _WORDS, step)
    for number, row in enumerate(rows, start=_ROW_FIRST):
        for column, value in enumerate(row):
            _put(page, number, column, value, looks["cell"])
    page.freeze_panes(_ROW_FIRST, 1)
    page.autofilter(_ROW_FIRST - 1, 0, _ROW_FIRST - 1 + len(sheet.rows), len(sheet.columns) - 1)


def _put(page: xlsxwriter.worksheet.Worksheet, row: int, column: int, value: Cell, look: object) -> None:
    if value is None:
        return
    if isinstance(value, (bool, str)):
        page.write_string(row, column, _kept(_text(value)), look)
    else:
        page.write_number(row, column, value, look)


def _text(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _kept(text: str) -> str:
    """A text that fits into a cell."""
    return text if len(text) <= CELL_MOST else text[: CELL_MOST - len(_CUT)] + _CUT
