"""With the keyboard alone: every stop shows where it is, and the screens' main actions are done by Tab, letters, Enter.

WCAG 2.2, 2.1.1 keyboard, 2.4.7 and 2.4.13 focus: a ring of at least 2 CSS pixels, 3:1 to the paper beside it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from bodymap.store import record_file
from bodymap.views.palette import contrast
from tests.browser.conftest import DESK, Shop, served
from tests.browser.looking import expect, go_to_screen, new_page, settle
from tests.dashboard.small import AT, small_record

pytestmark = pytest.mark.browser
_MOST_STOPS = 90

# The ring is on what has the focus, or on the frame of its field.
_RING = """() => {
  const at = document.activeElement;
  let ring = at;
  for (let up = 0; up < 7 && ring; up++, ring = ring.parentElement) {
    const style = getComputedStyle(ring);
    if (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2)
      return {at: at.outerHTML.slice(0, 200), width: parseFloat(style.outlineWidth), colour: style.outlineColor};
  }
  return {at: at.outerHTML.slice(0, 200), width: 0, colour: ''};
}"""


@pytest.fixture(scope="module")
def small_shop(tmp_path_factory) -> Iterator[Shop]:
    path = tmp_path_factory.mktemp("keys") / "van.gpkg"
    record_file.create(path, small_record(), by="start", why="a small record", at=AT, media={})
    with served(path) as running:
        yield running


@pytest.fixture
def page(chromium, small_shop):
    with new_page(chromium, DESK) as window:
        yield begun(window, small_shop)


def begun(window, shop):
    window.goto(shop.url)
    window.wait_for_selector(".st-key-stages")
    settle(window)
    return window


def hex_of(colour: str) -> str:
    return "#" + "".join(f"{int(part):02x}" for part in re.findall(r"\d+", colour)[:3])


def look_at_ring(page) -> None:
    """Where the focus is can be seen."""
    if page.evaluate("() => document.activeElement === document.body"):
        return
    ring = page.evaluate(_RING)
    assert ring["width"] >= 2, ring
    paper = page.evaluate("() => getComputedStyle(document.querySelector('[data-testid=stApp]')).backgroundColor")
    assert contrast(hex_of(ring["colour"]), hex_of(paper)) >= 3, ring


def tab_to(page, locator) -> None:
    """Goes on by Tab until it has the focus; every stop on the way shows where it is."""
    for _ in range(_MOST_STOPS):
        page.keyboard.press("Tab")
        look_at_ring(page)
        if locator.evaluate("one => one === document.activeElement || one.contains(document.activeElement)"):
            return
    raise AssertionError(f"not reached by Tab: {locator}")


def press(page, locator, key: str = "Enter") -> None:
    tab_to(page, locator)
    page.keyboard.press(key)
    settle(page)


def write(page, label: str, text: str) -> None:
    tab_to(page, page.get_by_label(label, exact=True))
    page.keyboard.press("Control+a")
    page.keyboard.type(text)


def pick(page, label: str, option: str) -> None:
    tab_to(page, page.get_by_role("combobox", name=label, exact=True))
    page.keyboard.type(option)
    expect(page.get_by_role("option").filter(has_text=option).first).to_be_visible()
    page.keyboard.press("Enter")
    settle(page)


def test_a_zone_is_chosen_by_name_and_an_area_along_its_edge_is_saved(page, small_shop):
    before = small_shop.file.head().count
    pick(page, "Chosen zones", "Door outside")
    page.keyboard.press("Escape")
    expect(page.get_by_role("heading", name="Door outside")).to_be_visible()
    press(page, page.locator("summary").filter(has_text="Mark a kept area"))
    pick(page, "How it is bounded", "Band along an edge")
    write(page, "Width in mm", "40")
    write(page, "Name *", "Front edge")
    write(page, "Reason *", "the only hard edge")
    pick(page, "Kind of edge *", "hard taped edge")
    pick(page, "The boundary is *", "original")
    write(page, "By (your name) *", "Ann")
    press(page, page.get_by_role("button", name="Save to the record"), "Space")
    expect(page.get_by_test_id("stToast").filter(has_text="saved").first).to_be_visible()
    entry = small_shop.file.journal()[-1]
    assert (entry.seq, entry.by) == (before + 1, "Ann")
    assert small_shop.file.record().area[entry.ident].name == "Front edge"


def test_a_stack_is_laid_from_its_swatches(page, small_shop):
    press(page, page.get_by_test_id("stPageLink").filter(has_text="Survey"))
    page.wait_for_selector(".st-key-survey_head")
    settle(page)
    pick(page, "Chosen zones", "Sill")
    page.keyboard.press("Escape")
    for coat in ("c1", "c2"):
        press(page, page.locator(f".st-key-swatch_{coat} button"))
        expect(page.locator(f".st-key-swatch_{coat} button")).to_be_disabled()
    press(page, page.locator(".st-key-card").get_by_role("radio", name="Yes"), "Space")
    expect(page.locator(".st-key-card").get_by_role("radio", name="Yes")).to_be_checked()


def test_a_step_of_the_plan_is_moved_and_taken_back(chromium, shop):
    with new_page(chromium, DESK) as page:
        begun(page, shop)
        go_to_screen(page, "Repaint rehearsal")
        page.wait_for_selector(".st-key-rehearsal_list")
        settle(page)
        before = shop.file.head()
        tab_to(page, page.get_by_role("slider"))
        for _ in range(16):
            page.keyboard.press("ArrowLeft")
        settle(page)
        expect(page.get_by_role("heading", name="Step 28 of 44: Fit High roof cap")).to_be_visible()
        press(page, page.get_by_role("button", name="Down"))
        expect(page.get_by_text("step 28 moved to place 29", exact=False).first).to_be_visible()
        press(page, page.locator(".st-key-rehearsal_undo_change button"))
        expect(page.get_by_text("step 28 moved to place 29", exact=False)).to_have_count(0)
        assert shop.file.head() == before, "what is tried beside the plan writes nothing"
