"""What comes out where somebody prints a screen from the browser: white paper, a whole map, no buttons."""

from __future__ import annotations

import re
import shutil
import subprocess

import numpy as np
import pytest

from bodymap.exchange.hand_over_page import page_html
from bodymap.exchange.open_folder import read_folder
from bodymap.views.hand_over import HandedOver, hand_over_view
from bodymap.views.hand_over_parts import Standing
from bodymap.views.palette import contrast
from tests.briefs.page_raster import by_poppler
from tests.browser.conftest import DESK, TABLET
from tests.browser.looking import go_to_screen, new_page, open_page, open_screen, settle
from tests.hand_over_case import trailer_folder

DPI = 72
pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler is not on the path: no print was read")


def printed(page) -> bytes:
    return page.pdf(prefer_css_page_size=True)


def words(pdf: bytes) -> str:
    """The text of the first page, by poppler."""
    done = subprocess.run(["pdftotext", "-l", "1", "-", "-"], input=pdf, capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())


@pytest.mark.parametrize(("size", "scheme"), [(DESK, "dark"), (TABLET, "light")])
def test_a_screen_prints_on_white_paper_with_its_map_whole(chromium, shop, tmp_path, size, scheme):
    with new_page(chromium, size, scheme) as page:
        open_screen(page, shop.url)
        pdf = printed(page)
        said, paper = words(pdf), by_poppler(pdf, 1, DPI, tmp_path)
    for word in ("The whole vehicle", "Drawn area", "Film readings"):
        assert word in said
    for button in ("Coat order", "Hand-over file"):
        assert button not in said
    # White paper: hardly a dark spot, in the dark theme as well.
    assert np.mean(paper.ink > 0.55) < 0.06
    # ISO 216: A4 is 210 mm wide (from memory, not seen). The map ends before the margin it would be cut at; what is printed
    # most to the right of it is the frame of its last drawing, well within.
    assert paper.cut(197, 210, 30, 90).max() < 0.1
    assert paper.cut(60, 197, 30, 110).max() > 0.4


def test_a_long_table_begins_below_what_is_said_of_it_and_goes_on(chromium, shop):
    with new_page(chromium, DESK) as page:
        open_screen(page, shop.url)
        go_to_screen(page, "Mask brief")
        page.wait_for_selector("[data-testid=stTable]")
        settle(page)
        pdf = printed(page)
    first = words(pdf)
    assert "In all:" in first
    assert "K1 · Screen flange" in first
    assert "Mask brief (PDF)" not in first


@pytest.mark.parametrize("size", [DESK, TABLET])
def test_no_box_lies_over_a_heading_where_the_rehearsal_is_printed(chromium, shop, size):
    with new_page(chromium, size) as page:
        open_page(page, shop.url, "Repaint rehearsal", ".st-key-rehearsal_card_box h3")
        page.emulate_media(media="print")
        hidden = page.evaluate(
            """() => [...document.querySelectorAll('.st-key-rehearsal_card_box h3')].filter(heading => {
                const box = heading.getBoundingClientRect();
                return [...document.querySelectorAll(':is([data-testid=stAlert], [data-testid=stTable])')]
                    .map(other => other.getBoundingClientRect())
                    .some(other => other.height && other.top < box.bottom - 1 && other.bottom > box.top + 1);
            }).map(heading => heading.innerText)"""
        )
        headings = page.locator(".st-key-rehearsal_card_box h3").count()
    assert headings >= 2
    assert hidden == []


def test_the_page_of_a_hand_over_is_printed_in_ink_whatever_the_theme(chromium, tmp_path):
    record = read_folder(trailer_folder(tmp_path)).record
    standing = Standing(7, "ab" * 32, "Record as it was kept")
    view = hand_over_view(HandedOver(record, (), (), (), standing, standing, "2026-05-01T00:00:00Z"))
    file = tmp_path / "index.html"
    file.write_bytes(page_html(view, set()))
    context = chromium.new_context(color_scheme="dark", offline=True)
    try:
        page = context.new_page()
        page.goto(file.as_uri())
        ink = {}
        for media in ("screen", "print"):
            page.emulate_media(media=media, color_scheme="dark")
            said = page.evaluate("() => getComputedStyle(document.querySelector('section p, section dd')).color")
            ink[media] = "#" + "".join(f"{int(value):02x}" for value in re.findall(r"\d+", said)[:3])
    finally:
        context.close()
    # WCAG 2.2, 1.4.3: 4.5 to 1; on paper nothing of the dark ground is printed.
    assert contrast(ink["print"], "#ffffff") >= 4.5
    assert contrast(ink["screen"], "#ffffff") < 4.5
