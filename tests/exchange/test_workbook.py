"""Tables as a workbook: text stays text. Texts that programs run: OWASP, "CSV Injection" (owasp.org, Attacks)."""

from __future__ import annotations

import io
import zipfile
from datetime import UTC, datetime

import openpyxl
import pytest

from bodymap.exchange.workbook import CELL_MOST, workbook_bytes
from bodymap.views.hand_over_tables import Sheet

NOW = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
# The characters named there, each with a text that does something in a spreadsheet program.
HOSTILE = (
    "=1+1", "+1", "-1", "@SUM(A1)", "\t=1+1", "\r=1+1", "=cmd|' /C calc'!A0", "＝1+1", "=HYPERLINK(\"http://x\",\"y\")",
    "http://example.org", "mailto:a@example.org", "internal:A1", "1e5", "007", " 12 ", "'quoted", "{=A1}", "<f>1</f>",
    "a\x07b",
)  # fmt: skip


def book_of(*cells, columns=("text",)):
    rows = tuple((cell,) for cell in cells)
    return workbook_bytes([Sheet("t", "about", columns, rows)], "title", NOW)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text):
    data = book_of(text)
    cell = openpyxl.load_workbook(io.BytesIO(data))["t"]["A4"]
    assert cell.data_type == "s"
    assert openpyxl.utils.escape.unescape(cell.value) == text
    assert cell.hyperlink is None


def test_there_is_no_formula_and_no_link_in_the_file():
    with zipfile.ZipFile(io.BytesIO(book_of(*HOSTILE))) as parts:
        names = parts.namelist()
        for name in names:
            said = parts.read(name)
            assert b"<f>" not in said.replace(b"&lt;f&gt;", b"")
            assert b"<f " not in said
            assert b"<hyperlink" not in said
            assert b"TargetMode" not in said
    assert not [name for name in names if "externalLink" in name or "vba" in name.lower()]


def test_figures_are_figures_and_blanks_blank():
    sheet = openpyxl.load_workbook(io.BytesIO(book_of(-12.5, 7, None, True, False)))["t"]
    assert [sheet.cell(row, 1).value for row in range(4, 9)] == [-12.5, 7, None, "yes", "no"]


def test_the_same_tables_give_the_same_bytes():
    assert book_of("a", 1.5) == book_of("a", 1.5)


def test_a_text_that_is_too_long_is_cut_and_says_so():
    value = openpyxl.load_workbook(io.BytesIO(book_of("x" * (CELL_MOST + 5))))["t"]["A4"].value
    assert len(value) == CELL_MOST
    assert value.endswith("(cut: the whole text stands in the record)")


def test_an_empty_table_says_that_it_is():
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_bytes([Sheet("t", "about", (), ())], "x", NOW)))["t"]
    assert sheet["A3"].value == "nothing is recorded here"
