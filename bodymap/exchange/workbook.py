"""Tables as an XLSX workbook, one sheet a table. Text stays text, whatever it begins with.

A cell that begins with = + - @ would be run as a formula by a spreadsheet program (OWASP, "CSV Injection"). Every text is
therefore written as a string cell; there is no formula and no link in the file. The same tables give the same bytes.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from datetime import UTC, datetime

import xlsxwriter

from bodymap.views.hand_over_tables import Cell, Sheet

# Specifications and limits of the common spreadsheet programs: characters in a cell, and in the name of a sheet.
CELL_MOST = 32_767
_NAME_MOST = 31
_CUT = " … (cut: the whole text stands in the record)"
_NO_NAME = re.compile(r"[\[\]:*?/\\]")
_ROW_FIRST = 3
_WIDTHS = (8, 48)


def workbook_bytes(sheets: Sequence[Sheet], title: str, created: datetime) -> bytes:
    """A workbook of tables, dated `created`."""
    out = io.BytesIO()
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
    for sheet in sheets:
        _fill(book.add_worksheet(_NO_NAME.sub(" ", sheet.name)[:_NAME_MOST]), sheet, looks)
    book.close()
    return out.getvalue()


def _fill(page: xlsxwriter.worksheet.Worksheet, sheet: Sheet, looks: dict[str, object]) -> None:
    page.write_string(0, 0, _kept(sheet.about), looks["about"])
    if not sheet.columns:
        page.write_string(2, 0, "nothing is recorded here", looks["about"])
        return
    for column, name in enumerate(sheet.columns):
        page.write_string(_ROW_FIRST - 1, column, _kept(name), looks["head"])
        longest = max((len(_text(row[column])) for row in sheet.rows), default=0)
        page.set_column(column, column, min(max(longest, len(name), _WIDTHS[0]) + 1, _WIDTHS[1]))
    for number, row in enumerate(sheet.rows, start=_ROW_FIRST):
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
