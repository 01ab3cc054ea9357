"""The printed strip sheet, read back by independent means."""

from __future__ import annotations

import io

import pikepdf
import pytest

from bodymap.briefs.strip_sheet import strip_sheet_pdf, unprintable
from bodymap.model import Zone
from bodymap.views.strip_sheet import strip_sheet_view
from tests.briefs.pdf_text import DAY, HEAD, pages_text, text_size_pt
from tests.release.survey import SETTINGS, cart, rect


def pdf_of(record, head=HEAD, at=DAY, **how):
    return strip_sheet_pdf(strip_sheet_view(record, SETTINGS, **how), head, at)


def opened(record, **how):
    return pikepdf.open(io.BytesIO(pdf_of(record, **how)))


# ISO 216: A4 is 210 mm × 297 mm, A3 297 mm × 420 mm (from memory, not seen).
@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("a3", (297, 420))])
def test_pages_of_the_paper_that_was_asked(paper, size):
    with opened(cart(), paper=paper) as pdf:
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            left, low, right, high = (float(n) * 25.4 / 72 for n in page.mediabox)
            assert (right - left, high - low) == pytest.approx(size, abs=0.01)


def test_it_is_tagged_titled_whole_and_asks_for_true_size():
    with opened(cart()) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.docinfo.Title) == "Strip sheet: Cart"
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert not pdf.check_pdf_syntax()


def test_same_input_same_bytes():
    assert pdf_of(cart()) == pdf_of(cart())
    assert pdf_of(cart()) != pdf_of(cart(), at="2024-05-07T10:00:00Z")


def test_issue_and_day_are_on_every_page():
    with opened(cart()) as pdf:
        assert all("128·a1b2c3d4e5f6" in text and "2024-05-06" in text for text in pages_text(pdf))


def test_a_released_zone_says_who_and_an_unreleased_one_that_it_must_not_be_stripped():
    with opened(cart()) as pdf:
        first, leaf = pages_text(pdf)
    assert "All 1 zones are released" in first
    for words in ("RELEASED: every zone", "Ann, 2026-03-01", "Ben, 2026-03-02", "50 mm round it by hand only", "2 layers"):
        assert words in leaf
    assert "NOT RELEASED" not in leaf
    with opened(cart(without=("photo", "release to strip"))) as pdf:
        first, leaf = pages_text(pdf)
    assert "0 of 1 zones are released: strip no other" in first
    # The banner, the row of the zone, and the warning over the zone itself.
    assert leaf.count("NOT RELEASED") == 3
    assert "NOT RELEASED – do not strip" in leaf
    assert "no photograph as found" in leaf


def test_signed_but_blocked_is_not_free():
    with opened(cart(without=("photo",))) as pdf:
        leaf = pages_text(pdf)[1]
    assert "SIGNED, BUT BLOCKED" in leaf
    assert "do not strip" in leaf


def test_cautions_and_kept_areas_are_on_the_leaf():
    with opened(cart()) as pdf:
        leaf = pages_text(pdf)[1]
    for words in ("Never touch", "K K", "dichloromethane", "lead or chromate", "not a safety plan", "no nearer than 50 mm"):
        assert words in leaf


def test_what_is_read_beside_the_blaster_is_legible_at_two_metres():
    cap_height = 1493 / 2048  # the H of DejaVu Sans Condensed in units of its em (glyf table, read with fontTools)
    with opened(cart(without=("release to strip",))) as pdf:
        for words in ("NOT RELEASED – do", "How:", "Never touch:"):
            # Capitals of 1/400 of the distance can still be read (common practice, no source).
            assert text_size_pt(pdf.pages[1], words) * cap_height * 25.4 / 72 >= 2000 / 400


def test_nothing_to_strip_is_said():
    record = cart(without=("2",))
    record = record.with_kind("zone", [zone.model_copy(update={"intent": "keep"}) for zone in record.zones])
    with opened(record) as pdf:
        (text,) = pages_text(pdf)
    assert "Nothing to strip" in text


def test_words_of_a_record_are_text_and_no_markup():
    name, box = "#panic() *b* $x$ 漢", rect(1600, 0, 1900, 300)
    odd = Zone(zone_id="odd", drawing_id="left", part_id="board", face="outer", name=name, shape=box)
    view = strip_sheet_view(cart(odd), SETTINGS, ["odd"])
    assert len(unprintable(view)) == 1
    with pikepdf.open(io.BytesIO(strip_sheet_pdf(view, None, DAY))) as pdf:
        first, leaf = pages_text(pdf)
    assert "#panic() *b* $x$" in leaf
    assert "not stated (no journal)" in first
