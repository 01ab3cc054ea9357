"""What a person does to begin with nothing: start a record, bring a drawing in, trace a photo, split, lay a hidden face.

Steps to be used by tests that go on from there.
"""

from __future__ import annotations

from pathlib import Path

from .looking import PATIENCE_MS, choose, expect, pick_from, settle, type_in

BOARD = ".st-key-board .js-plotly-plot"
SCREEN = "Drawings and zones"


def start_record(page, url: str, name: str, by: str, shape: str = "") -> None:
    """Starts a record on the screen that is shown while there is none; `shape`: what its button says."""
    page.goto(url)
    page.wait_for_selector(".st-key-start_record", timeout=PATIENCE_MS)
    settle(page)
    type_in(page, "What the vehicle is called *", name)
    type_in(page, "By (your name) *", by)
    if shape:
        press(page, shape)
    press(page, "Start the record")
    page.wait_for_selector(".st-key-stages", timeout=PATIENCE_MS)
    settle(page)


def press(page, words: str) -> None:
    """Presses a button by its words."""
    page.get_by_role("button", name=words, exact=True).click()
    settle(page)


def give_file(page, place: str, path: Path) -> None:
    """Gives a file to the field in a leaf of the page (a css class)."""
    page.locator(f"{place} input[type=file]").set_input_files(str(path))
    settle(page)
    page.wait_for_selector(BOARD, timeout=PATIENCE_MS)
    settle(page)


def board_place(page, x: float, y: float) -> tuple[float, float]:
    """Where a place on the board is in the window [px]."""
    place = page.evaluate(
        f"""([x, y]) => {{
            const map = document.querySelector('{BOARD}'), full = map._fullLayout, frame = map.getBoundingClientRect();
            return [frame.left + full.xaxis._offset + full.xaxis.l2p(x), frame.top + full.yaxis._offset + full.yaxis.l2p(y)];
        }}""",
        [x, y],
    )
    return place[0], place[1]


def touch_board(page, *places: tuple[float, float]) -> None:
    """Touches places on the board, one after the other."""
    for x, y in places:
        page.locator(BOARD).scroll_into_view_if_needed()
        page.mouse.click(*board_place(page, x, y))
        settle(page)


def distance(page, length_mm: float) -> None:
    """Says how far apart the two scale points are on the vehicle."""
    type_in(page, "From A to B on the vehicle, mm", f"{length_mm:g}")


def save(page) -> None:
    """Saves what is proposed, and waits until it is told."""
    press(page, "Save to the record")
    expect(page.get_by_test_id("stToast").last).to_contain_text("Saved")
    expect(page.get_by_text("Not saved")).to_have_count(0)


def trace_surface(page, name: str, corners: list[tuple[float, float]], substrate: str = "", off: str = "") -> None:
    """Sets the corners of a zone on a photo and keeps it; `substrate`, `off`: what is said of its new part."""
    touch_board(page, *corners)
    type_in(page, "Name *", name)
    if substrate:
        pick_from(page, "The new part is of *", substrate)
        pick_from(page, "Fixing *", off)
    press(page, "Close the ring and keep it")


def task(page, words: str) -> None:
    """Chooses what to do on the screen."""
    choose(page, words)
