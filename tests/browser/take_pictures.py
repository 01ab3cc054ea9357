"""Takes the README pictures of the demo in real Chromium: `python -m tests.browser.take_pictures`."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from bodymap.briefs.mask_brief import mask_brief_png
from bodymap.exchange.open_folder import read_folder
from bodymap.settings import in_force
from bodymap.store import record_file
from bodymap.views.brief import brief_view
from demo import VEHICLE_FOLDER
from tests.browser.conftest import DESK, served
from tests.browser.looking import choose, new_page, open_screen, pick_from
from tests.conftest import FLAGS

PICTURES = Path(__file__).parents[2] / "demo" / "screens"
AT = "2026-01-01T00:00:00.000Z"
_ZONE = "Left cargo side, lower, plain"


def main() -> None:
    """Write the three pictures."""
    PICTURES.mkdir(exist_ok=True)
    chromium = os.environ.get("BODYMAP_CHROMIUM") or shutil.which("chromium")
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
                _shoot(page, "panel_sheet")
                choose(page, "Film")
                _shoot(page, "film")
            browser.close()
        record = content.record
        head = record_file.RecordFile(path).head()
        pages = mask_brief_png(brief_view(record, in_force(record.settings), only=["K4"]), head, AT, ppi=70)
    (PICTURES / "mask_brief.png").write_bytes(pages[1])


def _shoot(page: object, name: str) -> None:
    page.keyboard.press("Escape")
    page.mouse.move(5, 5)
    page.wait_for_timeout(500)
    page.screenshot(path=PICTURES / f"{name}.png")


if __name__ == "__main__":
    main()
