"""Keep and strip in a real browser: a blocked zone is cured, released and locked; the sheet says who may strip what."""

from __future__ import annotations

import pytest

from bodymap.model import Stack
from bodymap.release.checks import release_of
from bodymap.settings import in_force
from bodymap.store.record_file import Put
from tests.briefs.pdf_text import pages_text

from .conftest import AT_DESK, ON_TABLET
from .looking import MAP, choose, expect, go_to_screen, new_page, open_page, pick_from, settle, traces, type_in, watch

pytestmark = pytest.mark.browser
pikepdf = pytest.importorskip("pikepdf")
SILL, TITLE = "frame_sill", "Rear frame, lower member"


@pytest.fixture
def page(chromium, viewport, shop):
    """A window on the screen; when the test is done nothing may have been complained of or asked elsewhere."""
    with new_page(chromium, viewport) as window:
        watched = watch(window)
        open_page(window, shop.url, "Keep and strip", MAP)
        yield window
        assert not window.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


def states(shop):
    record = shop.file.record()
    return {zone: one.state for zone, one in release_of(record, in_force(record.settings)).items()}


def stage(page, name: str) -> None:
    page.locator(".st-key-keep_stages").get_by_text(name, exact=True).click()
    settle(page)


def press(page, name: str) -> None:
    page.get_by_role("button", name=name).click()
    settle(page)


def sign(page, name: str) -> None:
    type_in(page, "By (your name) *", name)
    press(page, "Sign the release of 1 zone")


def names(page) -> set[str]:
    return {trace["name"] for trace in traces(page)}


@AT_DESK
def test_from_a_blocked_zone_to_a_locked_one_and_its_sheet(page, shop, tmp_path):
    assert states(shop)[SILL] == "blocked"
    stage(page, "Release")
    assert "blocked" in names(page)
    _cure_the_rear_frame(page, shop)
    title = shop.file.record().zone[SILL].title
    sign(page, "Ann")
    assert states(shop)[SILL] != "released", "one person is not two"
    sign(page, "Ben")
    assert states(shop)[SILL] == "released"
    assert {"released, locked", "lock: as-found entries closed"} <= names(page)
    _sheet_says(page, tmp_path, title)
    _late_entry_is_marked(page, shop, SILL)
    assert shop.file.verify() == ()


def _cure_the_rear_frame(page, shop) -> None:
    """The margin of the step plate stands against it: another method cures that; the rest is overruled by name."""
    pick_from(page, "Look at one of these", "a kept area in reach of the method")
    blocker = page.locator("[class*=st-key-blocker_frame_sill]")
    expect(blocker).to_contain_text("Step plate, worn bands (K3) lies 40 mm from it")
    blocker.get_by_role("button", name="Choose another method").click()
    settle(page)
    assert "too near a kept area for its method" in names(page)
    pick_from(page, "Method *", "hand work")
    type_in(page, "Why *", "the worn step stays")
    type_in(page, "By (your name) *", "Ann")
    press(page, "Save the method")
    assert "too near a kept area for its method" not in names(page)
    assert {step.method for step in shop.file.record().steps if SILL in step.target} == {"hand"}
    stage(page, "Release")
    choose(page, "Overrule")
    for what in ("no stack down to the substrate", "other faces of the part not seen"):
        pick_from(page, "Overrule *", what)
    page.keyboard.press("Escape")
    type_in(page, "Reason *", "bare rust, nothing left to see")
    press(page, "Overrule by name and reason")
    assert states(shop)[SILL] == "ready to sign"
    choose(page, "Sign the release")


def _sheet_says(page, tmp_path, title: str) -> None:
    stage(page, "Strip sheet")
    choose(page, "Chosen")
    with page.expect_download() as download:
        page.get_by_role("button", name="Strip sheet (PDF)").click()
    download.value.save_as(tmp_path / "strip.pdf")
    with pikepdf.open(tmp_path / "strip.pdf") as pdf:
        first, leaf = pages_text(pdf)
    assert "All 1 zones are released" in first
    assert title in leaf
    assert "Ann, " in leaf
    assert "NOT RELEASED" not in leaf


def _late_entry_is_marked(page, shop, zone: str) -> None:
    late = Stack(stack_id=f"late_{zone}", zone_id=zone, method="chip", reaches_substrate=True)
    shop.file.append([Put(late)], by="Eve", why="seen while stripping", at="2030-01-01T00:00:00.000Z", expect=None)
    go_to_screen(page, "Panel sheet")
    card = page.locator(".st-key-card")
    expect(card.get_by_text("Released to strip: locked")).to_be_visible()
    expect(card.get_by_text("1 entry after release")).to_be_visible()


@ON_TABLET
def test_what_is_not_released_says_so_on_the_sheet(page, tmp_path):
    pick_from(page, "Chosen zones", "Left cab door (doorL_skin)")
    page.keyboard.press("Escape")
    stage(page, "Strip sheet")
    choose(page, "Chosen")
    with page.expect_download() as download:
        page.get_by_role("button", name="Strip sheet (PDF)").click()
    download.value.save_as(tmp_path / "strip.pdf")
    with pikepdf.open(tmp_path / "strip.pdf") as pdf:
        leaf = pages_text(pdf)[1]
    assert "NOT RELEASED – do not strip" in leaf
    assert leaf.count("NOT RELEASED") == 3, "the banner, the row, and over the zone itself"


def test_nothing_to_scroll_sideways_and_targets_big_enough(page):
    for name in ("Kept edges", "Methods", "Areas", "Release"):
        stage(page, name)
        assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), name
        small = page.evaluate(
            """() => [...document.querySelectorAll('[data-testid=stApp] :is(button, summary, [role=combobox])')]
                .map(e => [e.innerText || e.ariaLabel, e.getBoundingClientRect()])
                .filter(([_, box]) => box.width > 1 && box.height > 1 && (box.width < 44 || box.height < 44))
                .map(([words, box]) => `${words}: ${box.width} × ${box.height}`)"""
        )
        assert small == [], name  # WCAG 2.2, 2.5.5: 44 by 44 CSS pixels
