"""Takes the README pictures by going through the demo's story in real Chromium.

`python -m tests.browser.take_pictures` writes those that the README shows; with a folder behind it, one picture of every
step of the story as well, strip and all, into that folder.
"""

from __future__ import annotations

import io
import os
import shutil
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from bodymap.briefs.mask_brief import mask_brief_png
from bodymap.exchange.open_folder import read_folder
from bodymap.settings import in_force
from bodymap.store import record_file
from bodymap.views.brief import brief_view
from demo import VEHICLE_FOLDER
from demo.story import STORY
from tests.browser.conftest import DESK, served
from tests.browser.looking import MAP, choose, new_page, open_screen, pick_from, settle
from tests.conftest import FLAGS

PICTURES = Path(__file__).parents[2] / "demo" / "screens"
AT = "2026-01-01T00:00:00.000Z"
MOST_BYTES = 300_000
# Steps of the story that the README shows: the name of the picture, and what stands at its top (blank: the page's top).
SHOWN = {
    "The left wing": ("coat_order", "order_and_words"),
    "The step plate stays": ("keep_and_strip", "keep_stages"),
    "Cap off for all the blue?": ("rehearsal", ""),
    "Left against right": ("film", ""),
}
_ZONE = "Left cargo side, lower, plain"


def main() -> None:
    """Write the pictures."""
    PICTURES.mkdir(exist_ok=True)
    every = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    if every:
        every.mkdir(parents=True, exist_ok=True)
    chromium = os.environ.get("BODYMAP_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "van.gpkg"
        content = read_folder(VEHICLE_FOLDER)
        record_file.create(path, content.record, by="demo", why="the demo vehicle", at=AT, media=content.media)
        with served(path) as shop, sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=chromium, args=FLAGS)
            with new_page(browser, DESK) as page:
                open_screen(page, shop.url)
                choose(page, "Finish now")
                pick_from(page, "Chosen zones", _ZONE)
                page.keyboard.press("Escape")
                _shoot(page, PICTURES / "panel_sheet.png")
            with new_page(browser, DESK) as page:
                page.goto(shop.url)
                page.wait_for_selector(MAP)
                _tell(page, every)
            browser.close()
        record = content.record
        head = record_file.RecordFile(path).head()
        pages = mask_brief_png(brief_view(record, in_force(record.settings), only=["K4"]), head, AT, ppi=70)
    _write(PICTURES / "mask_brief.png", pages[1])


def _tell(page: object, every: Path | None) -> None:
    """The story, step by step; the pictures for the README without its strip."""
    page.get_by_role("button", name="The van's story").click()
    settle(page)
    for number, step in enumerate(STORY, 1):
        if every or step.title in SHOWN:
            page.get_by_role("button", name="Show me").click()
            settle(page)
            page.wait_for_timeout(1500)  # the page moves to what is told
            settle(page)
        if every:
            _shoot(page, every / f"{number:02}_{step.screen.removesuffix('.py')}.png")
        if step.title in SHOWN:
            page.get_by_role("button", name="Put away").click()
            settle(page)
            name, top = SHOWN[step.title]
            page.get_by_test_id("stMain").evaluate("main => main.scrollTo(0, 0)")
            if top:
                page.locator(f".st-key-{top}").evaluate("box => box.scrollIntoView({block: 'start'})")
            _shoot(page, PICTURES / f"{name}.png")
            page.get_by_role("button", name="The van's story").click()
            settle(page)
        if number < len(STORY):
            page.get_by_role("button", name="Next", exact=True).click()
            settle(page)


def _shoot(page: object, path: Path) -> None:
    page.evaluate("() => document.activeElement?.blur()")
    page.mouse.move(5, 5)
    page.wait_for_timeout(700)
    _write(path, page.screenshot())


def _write(path: Path, data: bytes) -> None:
    """As small as it has to be: in 256 colours where it would be heavy."""
    if len(data) > MOST_BYTES:
        small = io.BytesIO()
        Image.open(io.BytesIO(data)).convert("RGB").quantize(256, dither=Image.Dither.NONE).save(small, "PNG", optimize=True)
        data = small.getvalue()
    path.write_bytes(data)


if __name__ == "__main__":
    main()
