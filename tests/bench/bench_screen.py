"""From a touch to the changed screen in real Chromium, on a large record: `python -m tests.bench screen`.

Wanted: a median under 0.5 s, and the first screen 3 s after the server answers. What is measured is what a person waits
for: from the press of finger or key, as the browser has it, to the last change of the page. Beside a touch on the map stands
the same touch on a bare page of Streamlit's, which shows the same map with what was touched marked: at most 1.5 times that.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count, cycle
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record
from bodymap.views.sheet import lay_out
from dashboard.app import SCREENS
from dashboard.serve import command, free_port, wait_until_ready
from tests.bench.large import large_file
from tests.bench.measure import Row
from tests.browser.conftest import DESK, served
from tests.browser.looking import MAP, choose, go_to_screen, new_page, on_screen, settle, type_in
from tests.conftest import FLAGS

MOST_S, FIRST_S, RATIO = 0.5, 3.0, 1.5
_ROUNDS = 9
# The last change that is seen, and the press before it, by the browser's own clock.
_CLOCK = """
window.__pressed = 0; window.__changed = 0;
for (const what of ['pointerdown', 'keydown'])
  addEventListener(what, () => { window.__pressed = performance.now(); }, {capture: true});
addEventListener('DOMContentLoaded', () => new MutationObserver((changes) => {
  if (changes.some(one => (one.target.nodeType === 1 ? one.target : one.target.parentElement)
      ?.closest('[data-testid=stMain]'))) window.__changed = performance.now();
}).observe(document.body, {subtree: true, childList: true, characterData: true}));
"""


def rows(rounds: int = _ROUNDS) -> Iterator[Row]:
    """What is measured."""
    chromium = os.environ.get("BODYMAP_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        file = large_file(Path(folder) / "large.gpkg")
        record = file.record()
        browser = driver.chromium.launch(executable_path=chromium, args=FLAGS)
        with bare_page(file.path) as url, _window(browser) as page:
            page.goto(url)
            page.wait_for_selector(MAP)
            settle(page)
            bare = median(page, cycle([_touch(page, places_of(record))]), rounds)
        with served(file.path) as shop, _window(browser) as page:
            begun = time.monotonic()
            page.goto(shop.url)
            page.wait_for_selector(f"{MAP} .scatterlayer", timeout=60_000)
            yield Row("large record: first screen, server just up", time.monotonic() - begun, None, "", FIRST_S)
            settle(page)
            yield from _touches(page, record, bare, rounds)
        browser.close()


def _touches(page: Page, record: Record, bare_s: float, rounds: int) -> Iterator[Row]:
    touched = median(page, cycle([_touch(page, places_of(record))]), rounds)
    yield Row("large record: a zone touched", touched, None, "", MOST_S)
    yield Row("  the same", touched, bare_s, "the same touch on a bare page with the same map", RATIO)
    numbers = count(1)
    acts: dict[str, list[Callable[[], object]]] = {
        "another tint": [_press(page, words) for words in ("Finish now", "Film", "Not seen", "Plain")],
        "a mark put on, taken off": [_press(page, "Readings")],
        "the other sheet": [_press(page, words) for words in ("Hidden faces", "Outside")],
    }
    for what, turns in acts.items():
        for turn in turns:  # each once before it is measured: what is looked at again is what is felt
            turn()
            settle(page)
        yield Row(f"large record: {what}", median(page, cycle(turns), rounds), None, "", MOST_S)
    for title in list(SCREENS.values())[1:]:
        go_to_screen(page, title)
    screens = [_link(page, title) for title in SCREENS.values()]
    yield Row("large record: another screen", median(page, cycle(screens), len(screens)), None, "", MOST_S)
    go_to_screen(page, "Survey")
    _touch(page, places_of(record))()
    settle(page)
    choose(page, "Reading")
    choose(page, "Magnetic")
    type_in(page, "By (your name) *", "Ann")

    def save() -> None:
        type_in(page, "Readings in µm, blanks between *", str(100 + next(numbers)))
        page.evaluate("() => { window.__pressed = 0; }")
        page.get_by_role("button", name="Save to the record").click()

    yield Row("large record: a reading saved", median(page, cycle([save]), rounds), None, "", MOST_S)


def median(page: Page, turns: Iterator[Callable[[], object]], rounds: int) -> float:
    """The median of so many turns [s], each from its last press to the last change of the page; the first warms up."""
    times = []
    for _ in range(rounds + 1):
        page.evaluate("() => { window.__pressed = 0; }")
        next(turns)()
        settle(page)
        pressed, changed = page.evaluate("() => [window.__pressed, window.__changed]")
        if not 0 < pressed < changed:
            raise RuntimeError("nothing was pressed, or nothing changed")
        times.append((changed - pressed) / 1000)
    return statistics.median(times[1:])


def places_of(record: Record, least_mm2: float = 40_000) -> Iterator[tuple[float, float]]:
    """A place well inside one large outside zone after the other, in sheet mm, without end."""
    layout = lay_out(record, "outside")
    spots = {
        zone.zone_id: shape.representative_point()
        for zone in record.zones
        if layout.has(zone.drawing_id) and (shape := to_shapely(zone.shape)).area >= least_mm2
    }
    return cycle([layout.to_sheet(record.zone[ident].drawing_id, spot.x, spot.y) for ident, spot in spots.items()])


def _touch(page: Page, places: Iterator[tuple[float, float]]) -> Callable[[], object]:
    return lambda: page.mouse.click(*on_screen(page, *next(places)))


def _press(page: Page, words: str) -> Callable[[], object]:
    return lambda: page.get_by_test_id("stButtonGroup").get_by_text(words, exact=True).click()


def _link(page: Page, title: str) -> Callable[[], object]:
    return lambda: page.get_by_test_id("stPageLink").filter(has_text=title).click()


@contextmanager
def _window(browser: Browser) -> Iterator[Page]:
    with new_page(browser, DESK) as page:
        page.add_init_script(_CLOCK)
        yield page


@contextmanager
def bare_page(record: Path) -> Iterator[str]:
    """A page of Streamlit's that shows the map and nothing else, and takes touches on it."""
    port = free_port(9400)
    argv = command(record, port)
    argv[argv.index("run") + 1] = str(Path(__file__).with_name("bare_page.py"))
    server = subprocess.Popen(argv, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        if not wait_until_ready(server, port):
            raise RuntimeError("the bare page did not come up")
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait()
