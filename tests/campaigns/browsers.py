"""People at browsers for the campaign of many hands: each enters what somebody said, again and again, and notes what was
said to be saved.
"""

from __future__ import annotations

import os
import re
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bodymap.store.record_file import RecordFile
from tests.campaigns.workers import teller

_SAVED = re.compile(r"saved: entry (\d+) of the record")
_PATIENCE_S = 30


def browse(place: str, url: str, name: str, seconds: float) -> None:
    """One person at one browser of their own, for a time."""
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import DESK
    from tests.browser.looking import choose, go_to_screen, new_page, settle, type_in
    from tests.conftest import FLAGS

    tell = teller(Path(place) / f"{name}.txt")
    found = os.environ.get("BODYMAP_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=FLAGS)
        with new_page(browser, DESK) as page:
            page.goto(url)
            settle(page)
            go_to_screen(page, "Survey")
            choose(page, "Source")
            type_in(page, "By (your name) *", name)
            until, number, last = time.monotonic() + seconds, 0, 0
            while time.monotonic() < until:
                choose(page, "Statement")
                type_in(page, "What it is *", f"{name} heard {number}")
                page.get_by_role("button", name="Save to the record").click()
                seq = _told_after(page, last)
                if seq:
                    tell("browser-saved", seq, number)
                    last = seq
                else:
                    tell("browser-not-told")  # another was first, or the machine is too busy: nothing was promised
                    page.reload()
                    settle(page)
                    type_in(page, "By (your name) *", name)
                settle(page)
                number += 1
        browser.close()


def _told_after(page: Any, last: int) -> int:
    """The entry that the page says it saved, after the one told last; 0: it does not say so."""
    until = time.monotonic() + _PATIENCE_S
    while time.monotonic() < until:
        words = " ".join(page.get_by_test_id("stToast").all_inner_texts())
        seq = max((int(found) for found in _SAVED.findall(words)), default=0)
        if seq > last:
            return seq
        page.wait_for_timeout(100)
    return 0


def wrong_with(file: RecordFile, name: str, acknowledged: list[list[str]]) -> Iterator[str]:
    """What a page said was saved and is not there once, under the name of who saved it."""
    mine = {entry.seq: entry for entry in file.journal() if entry.by == name}
    titles = [source.title for source in file.record().sources]
    for seq, number in acknowledged:
        if int(seq) not in mine:
            yield f"{name}: the page told of entry {seq}, which is not theirs or not there"
        if titles.count(f"{name} heard {number}") != 1:
            yield f"{name}: number {number} is there {titles.count(f'{name} heard {number}')} times"
