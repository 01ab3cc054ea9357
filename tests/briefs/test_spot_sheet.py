"""The spot sheet as it is printed: the same bytes twice, tagged, every number on it, and no markup of a user's."""

from __future__ import annotations

import io

import pytest

from bodymap.briefs.spot_sheet import spot_sheet_pdf, unprintable
from bodymap.film.spot_plan import plan_spots
from bodymap.model.journal import Head
from bodymap.settings import in_force
from bodymap.views.spot_sheet import spot_sheet
from tests.film.cases import box, part, record, zone

from .pdf_text import pages_text

pikepdf = pytest.importorskip("pikepdf")
SETTINGS = in_force()
HEAD = Head(count=17, hash="ab" * 32)
AT = "2026-03-01T08:00:00Z"


def sheet(zones=None, standard="shop"):
    zones = zones or [zone("wing", box(0, 0, 900, 600)), zone("roof", box(1000, 0, 800, 500), part="cap")]
    rec = record(zones, parts=[part(), part("cap", "grp")])
    return spot_sheet(rec, plan_spots(rec, standard, SETTINGS), standard, SETTINGS)


def text_in(data: bytes, page: int | None = None) -> str:
    with pikepdf.open(io.BytesIO(data)) as pdf:
        pages = pages_text(pdf)
    return pages[page] if page is not None else "\n".join(pages)


def test_the_same_sheet_gives_the_same_bytes():
    assert spot_sheet_pdf(sheet(), HEAD, AT) == spot_sheet_pdf(sheet(), HEAD, AT)


def test_it_is_tagged_and_asks_for_its_true_size():
    with pikepdf.open(io.BytesIO(spot_sheet_pdf(sheet(), HEAD, AT))) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.StructTreeRoot is not None
        assert str(pdf.Root.ViewerPreferences.PrintScaling) == "/None"
        assert len(pdf.pages) == 3


def test_issue_gauges_numbers_and_stickers_are_on_it():
    view = sheet()
    text = text_in(spot_sheet_pdf(view, HEAD, AT))
    assert HEAD.short in text
    assert f"{view.spots} spots, {view.readings} readings" in text
    assert "magnetic gauge, on steel" in text
    assert "ultrasonic gauge, on grp" in text
    stickers = text_in(spot_sheet_pdf(view, HEAD, AT), page=-1)
    for number, _ in view.stickers:
        assert str(number) in stickers.split()
    assert "not stated (no journal)" in text_in(spot_sheet_pdf(view, None, AT))


def test_a_plan_without_spots_says_so():
    rec = record([])
    empty = spot_sheet(rec, plan_spots(rec, "shop", SETTINGS), "shop", SETTINGS)
    assert "No spot is planned" in text_in(spot_sheet_pdf(empty, None, AT))


def test_names_are_set_as_text_and_what_the_font_lacks_is_told():
    named = zone("wing", box(0, 0, 900, 600)).model_copy(update={"name": "*bold* #heading $x$ 漢"})
    view = sheet([named])
    assert unprintable(view) == ("U+6F22 CJK UNIFIED IDEOGRAPH-6F22",)
    text = text_in(spot_sheet_pdf(view, None, AT))
    assert "*bold* #heading $x$ □" in text
