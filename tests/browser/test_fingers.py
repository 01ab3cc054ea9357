"""With fingers, on a tablet: one touch on a figure, a swipe over it, a list without its keyboard, Save always in sight."""

from __future__ import annotations

import pytest

from bodymap.geometry.convert import to_shapely
from bodymap.views.sheet import lay_out

from .conftest import TABLET
from .looking import LISTEN, MAP, PATIENCE_MS, choose, expect, go_to_screen, on_screen, settle, type_in

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page(chromium, shop):
    """A tablet that is touched and has no mouse; one window for the module, since its server is one too."""
    context = chromium.new_context(viewport=TABLET, has_touch=True, reduced_motion="reduce")
    context.add_init_script(LISTEN)
    window = context.new_page()
    window.set_default_timeout(PATIENCE_MS)
    window.goto(shop.url)
    window.wait_for_selector(MAP)
    settle(window)
    yield window
    context.close()


def place_in(shop, zone_id: str) -> tuple[float, float]:
    record = shop.file.record()
    zone = record.zone[zone_id]
    spot = to_shapely(zone.shape).representative_point()
    return lay_out(record, "outside").to_sheet(zone.drawing_id, spot.x, spot.y)


def tap(page, x: float, y: float) -> None:
    page.touchscreen.tap(x, y)
    settle(page)


def tap_on(page, found) -> None:
    found.scroll_into_view_if_needed()
    box = found.bounding_box()
    tap(page, box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def touch_zone(page, shop, zone_id: str) -> None:
    page.locator(MAP).scroll_into_view_if_needed()
    tap(page, *on_screen(page, *place_in(shop, zone_id)))


def drawn_by_finger(page, places) -> None:
    """One finger down, along the places [px of the window], and up."""
    wire = page.context.new_cdp_session(page)
    for number, (x, y) in enumerate(places):
        kind = "touchMove" if number else "touchStart"
        wire.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        page.wait_for_timeout(16)
    wire.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    settle(page)


def scrolled(page) -> float:
    return page.evaluate("() => document.querySelector('[data-testid=stMain]').scrollTop")


def to_the_top(page) -> None:
    page.evaluate("() => document.querySelector('[data-testid=stMain]').scrollTo(0, 0)")


def test_one_touch_chooses_what_lies_under_the_finger(page, shop):
    titles = {zone: shop.file.record().zone[zone].title for zone in ("doorL_skin", "sideL_let_high", "bonnet_L")}
    for zone, title in titles.items():
        touch_zone(page, shop, zone)
        expect(page.locator(".st-key-card [data-testid=stHeading]").first).to_have_text(title)


def test_a_swipe_over_the_map_moves_the_page_and_chooses_nothing(page, shop):
    touch_zone(page, shop, "cap_L")
    heading = page.locator(".st-key-card [data-testid=stHeading]").first.inner_text()
    to_the_top(page)
    x, y = on_screen(page, *place_in(shop, "doorL_skin"))
    drawn_by_finger(page, [(x, y - 20 * step) for step in range(16)])
    assert scrolled(page) > 150
    expect(page.locator(".st-key-card [data-testid=stHeading]").first).to_have_text(heading)
    to_the_top(page)


def test_a_ring_is_drawn_with_one_finger_while_the_page_stays(page, shop):
    choose(page, "Lasso")
    page.wait_for_function(f"() => document.querySelector('{MAP}')._fullLayout.dragmode === 'lasso'")
    to_the_top(page)
    x, y = on_screen(page, *place_in(shop, "sideL_let_high"))
    ring = [(-40, -15), (0, -15), (40, -15), (40, 0), (40, 15), (0, 15), (-40, 15), (-40, -10)]
    drawn_by_finger(page, [(x + dx, y + dy) for dx, dy in ring])
    assert scrolled(page) == 0
    expect(page.locator(".st-key-map").get_by_text("not saved yet")).to_be_visible()
    choose(page, "Pick")


def test_a_list_opens_without_the_keyboard_and_brings_it_on_a_second_touch(page):
    box = page.get_by_role("combobox", name="Look at", exact=True)
    tap_on(page, box)
    assert box.evaluate("field => field.inputMode") == "none"
    tap_on(page, box)
    assert box.evaluate("field => field.inputMode") == "text"
    page.keyboard.press("Escape")


def test_save_stays_in_sight_and_after_it_the_map_is(page, shop):
    go_to_screen(page, "Survey")
    page.wait_for_selector(MAP)
    touch_zone(page, shop, "sideL_high")
    button = page.get_by_role("button", name="Save to the record")
    swatch = page.locator("[class*=st-key-swatch_] button").first
    expect(swatch).to_be_attached()
    to_the_top(page)
    for _ in range(2):
        expect(button).to_be_in_viewport(ratio=1)
        page.mouse.wheel(0, 700)
        page.wait_for_timeout(300)
    tap_on(page, swatch)
    tap_on(page, page.get_by_test_id("stButtonGroup").get_by_text("No", exact=True))
    tap_on(page, page.get_by_test_id("stButtonGroup").get_by_text("Chip", exact=True))
    type_in(page, "By (your name) *", "Mo")
    before = shop.file.head().count
    tap_on(page, button)
    expect(page.get_by_test_id("stToast").filter(has_text="saved").first).to_be_visible()
    expect(page.locator(MAP)).to_be_in_viewport(ratio=0.9)
    assert shop.file.head().count == before + 2  # the stack and its layer
