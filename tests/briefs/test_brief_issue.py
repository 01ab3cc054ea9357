"""The issue of a print is the head of the journal: it must be copied from the sheet just as it is."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest

from bodymap.briefs.mask_pages import made_ready, pages_of
from bodymap.model.journal import Head
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from tests.briefs.pdf_text import lines_in, opened, page_text, pdf_of
from tests.views.brief_specimen import WITNESS, van


@pytest.mark.parametrize("count", [1, 1802, 123456, 10**12])
def test_nothing_is_put_into_the_head_on_its_way_to_the_typesetter(count):
    head = Head(count=count, hash="a1b2c3d4e5f6" + "0" * 52)
    view = brief_view(van(areas=(WITNESS,)), in_force())
    assert made_ready(pages_of(view, head, ""))["issue"] == f"{count}·a1b2c3d4e5f6"


@pytest.mark.parametrize("count", [1, 999, 1802, 123456, 123456789])
def test_the_head_of_the_journal_is_printed_letter_by_letter_on_one_line(count):
    # It is copied from the print and compared, so not one letter may be put into it or left out.
    head = Head(count=count, hash="a1b2c3d4e5f6" + "0" * 52)
    with opened(van(areas=(WITNESS,), steps=()), head=head) as pdf:
        for number, page in enumerate(pdf.pages):
            assert re.findall(r"\d+·[^ ]*", page_text(page)) == [head.short] * (1 if number > 2 else 2)
            shown = [line for line in lines_in(page) if "·a1b2" in line.replace("\u200b", "")]
            assert len(shown) == 2
            assert all(head.short in line for line in shown)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("count", [1802, 123456])
def test_another_reader_copies_the_head_as_it_is(count, tmp_path):
    head = Head(count=count, hash="a1b2c3d4e5f6" + "0" * 52)
    (tmp_path / "brief.pdf").write_bytes(pdf_of(van(areas=(WITNESS,), steps=()), head=head))
    text = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "brief.pdf", "-"], check=True, capture_output=True, text=True
    ).stdout
    # On the list, on the front and on the back: twice each.
    assert text.count(head.short) == 6
    assert text.count("a1b2") == 6
