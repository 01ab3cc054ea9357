"""What is laid over the map: just where the map has it, on every screen and on paper; and touches tell one thing only."""

from __future__ import annotations

import shutil

import numpy as np
import pytest

from bodymap.geometry.convert import to_shapely
from bodymap.views.sheet import lay_out
from tests.briefs.page_raster import by_poppler
from tests.browser.conftest import AT_DESK, DESK, TABLET
from tests.browser.looking import (
    MAP,
    choose,
    expect,
    go_to_screen,
    new_page,
    on_screen,
    open_screen,
    pick_from,
    settle,
    touch,
    type_in,
)

pytestmark = pytest.mark.browser
DOOR, CARGO = "doorL_skin", "sideL_waist"
PHONE = {"width": 400, "height": 800}
# The box of the last line laid over the map, and where the chart library itself has the same corners [px].
_BOTH = """() => {
  const map = document.querySelector('.st-key-map .js-plotly-plot'), full = map._fullLayout;
  const frame = map.getBoundingClientRect(), line = [...document.querySelectorAll('.laid_over > svg path')].at(-1);
  const box = line.getBBox(), to = line.getScreenCTM();
  return [[box.x, box.y], [box.x + box.width, box.y + box.height]].flatMap(([x, y]) => {
    const at = new DOMPoint(x, y).matrixTransform(to);
    return [[at.x, frame.left + full.xaxis._offset + full.xaxis.d2p(x)],
            [at.y, frame.top + full.yaxis._offset + full.yaxis.d2p(-y)]];
  });
}"""


def place_in(shop, zone_id: str, share: float = 0.0) -> tuple[float, float]:
    """A place well inside a zone [sheet mm]; `share`: so far towards another one, of 200 mm."""
    record = shop.file.record()
    zone = record.zone[zone_id]
    spot = to_shapely(zone.shape).representative_point()
    return lay_out(record, record.drawing[zone.drawing_id].kind).to_sheet(zone.drawing_id, spot.x + 200 * share, spot.y)


def chosen(page) -> list[str]:
    return page.locator("[data-testid=stMultiSelectTagsContainer] [data-tag]").all_inner_texts()


def touched_twice(page, x_mm: float, y_mm: float) -> None:
    """Two quick touches of a gloved hand; where the machine was too busy for them to be quick, once more."""
    page.evaluate("() => addEventListener('mousedown', event => (window.__downs ||= []).push(event.timeStamp), true)")
    for _ in range(8):
        page.wait_for_timeout(500)
        page.mouse.dblclick(*on_screen(page, x_mm, y_mm))
        settle(page)
        first, second = page.evaluate("() => window.__downs.slice(-2)")
        if second - first < 400:
            return
    pytest.skip("the machine is too busy for two quick touches")


def lies_right(page) -> None:
    for laid, drawn in page.evaluate(_BOTH):
        assert laid == pytest.approx(drawn, abs=0.75)


@pytest.mark.parametrize("size", [DESK, TABLET, PHONE], ids=["desk", "tablet", "phone"])
def test_edges_of_what_is_chosen_lie_on_those_of_the_map(chromium, shop, size):
    with new_page(chromium, size) as page:
        open_screen(page, shop.url)
        touch(page, *place_in(shop, DOOR))
        lies_right(page)
        for screen in ("Keep and strip", "Film across the body", "Survey"):
            go_to_screen(page, screen)
            page.wait_for_selector(".laid_over path", state="attached")
            lies_right(page)
        x, y = place_in(shop, DOOR)
        touch(page, x, y)
        where, (left, top) = page.locator(".laid_sign svg").bounding_box(), on_screen(page, x, y)
        # As near as the places stand that a finger finds.
        assert where["x"] + where["width"] / 2 == pytest.approx(left, abs=6)
        assert where["y"] + where["height"] / 2 == pytest.approx(top, abs=6)
        if size == PHONE:
            page.locator(".st-key-map_held").evaluate("held => { held.scrollLeft = 120; }")
            lies_right(page)


@AT_DESK
def test_a_touch_is_told_of_the_zone_that_is_touched_however_often(chromium, shop, viewport):
    with new_page(chromium, viewport) as page:
        open_screen(page, shop.url)
        map_at_first = page.locator(MAP).element_handle()
        door, cargo = place_in(shop, DOOR), place_in(shop, CARGO)
        for turn in range(3):  # the very same point: the browser lets it go each second time
            touch(page, *door)
            assert len(chosen(page)) == 1, turn
            touch(page, *door)
            assert chosen(page) == [], turn
        touched_twice(page, *door)
        assert len(chosen(page)) == 1
        touch(page, *cargo)
        assert CARGO in chosen(page)[0]
        zone = shop.file.record().zone[CARGO]
        words = page.locator(".st-key-map .hoverlayer .hovertext")
        expect(words).to_have_count(1)
        said = words.text_content()
        assert said.startswith(zone.title)
        assert "zones" not in said, "the name of a trace is nobody's business"
        assert "%{" not in said
        assert page.locator(MAP).element_handle().evaluate("(now, before) => now === before", map_at_first), "drawn anew"
        # Chosen by name meanwhile: the point the browser held means nothing any more.
        pick_from(page, "Chosen zones", "Nose, left cheek")
        page.keyboard.press("Escape")
        settle(page)
        assert len(chosen(page)) == 2
        touch(page, *cargo)
        assert len(chosen(page)) == 1
        assert CARGO in chosen(page)[0]
        # Put down by another point of the same zone, and taken up again by that one.
        touch(page, *place_in(shop, CARGO, 1.0))
        assert chosen(page) == []
        touch(page, *place_in(shop, CARGO, 1.0))
        assert CARGO in chosen(page)[0]


@AT_DESK
def test_a_sign_of_no_zone_puts_nothing_down(chromium, shop, viewport):
    with new_page(chromium, viewport) as page:
        open_screen(page, shop.url)
        choose(page, "Datums")
        touch(page, *place_in(shop, DOOR))
        at = page.evaluate(f"""() => {{ const signs = document.querySelector('{MAP}')._fullData.find(one =>
            one.customdata && one.customdata.some(row => row[0] === ''));
            const which = signs.customdata.findIndex(row => row[0] === '');
            return [signs.x[which], signs.y[which], signs.customdata[which][0]]; }}""")
        assert at[2] == ""
        for _ in range(2):
            touch(page, at[0], at[1])
            assert DOOR in chosen(page)[0]


@AT_DESK
def test_nothing_is_laid_beside_what_the_map_shows(chromium, shop, viewport):
    with new_page(chromium, viewport) as page:
        open_screen(page, shop.url)
        touch(page, *place_in(shop, DOOR))
        pick_from(page, "Look at", "Front")
        settle(page)
        page.mouse.move(2, 2)
        with_it = page.locator(".st-key-map_held").screenshot()
        page.add_style_tag(content=".laid_over { visibility: hidden; }")
        assert page.locator(".st-key-map_held").screenshot() == with_it, "the door is on another drawing"


@AT_DESK
def test_a_place_that_is_touched_twice_stays_and_one_after_a_save_is_taken_anew(chromium, shop, viewport):
    with new_page(chromium, viewport) as page:
        open_screen(page, shop.url)
        go_to_screen(page, "Survey")
        place = place_in(shop, DOOR)
        for _ in range(2):
            touch(page, *place)  # the zone, and its places
        at = page.locator(".laid_sign").get_attribute("style")
        touch(page, *place)
        assert page.locator(".laid_sign").get_attribute("style") == at
        choose(page, "Reading")
        choose(page, "Magnetic")
        type_in(page, "By (your name) *", "Ann")
        type_in(page, "Readings in µm, blanks between *", "213")
        before = shop.file.head().count
        page.get_by_role("button", name="Save to the record").click()
        expect(page.get_by_test_id("stToast").first).to_contain_text(f"entry {before + 1}")
        settle(page)
        expect(page.locator(".laid_sign")).to_have_count(0)
        touch(page, *place)
        expect(page.locator(".laid_sign")).to_have_count(1)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not on the path: no print was read")
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_paper_it_lies_on_the_map_too(chromium, shop, tmp_path, scheme):
    with new_page(chromium, DESK, scheme) as page:
        open_screen(page, shop.url)
        touch(page, *place_in(shop, DOOR))
        page.mouse.move(2, 2)
        with_it = by_poppler(page.pdf(prefer_css_page_size=True), 1, 150, tmp_path).ink
        page.add_style_tag(content=".laid_over { visibility: hidden; }")
        without = by_poppler(page.pdf(prefer_css_page_size=True), 1, 150, tmp_path).ink
        (left, right), (high, low) = ([page.evaluate(_BOTH)[at][0] for at in two] for two in ((0, 2), (1, 3)))
        chart = page.locator(MAP).bounding_box()
    rows, columns = (np.percentile(found, [1, 99]) * 25.4 / 150 for found in np.nonzero(with_it - without > 0.2))
    mm = 25.4 / 96  # CSS Values 3: 96 px are 25.4 mm
    at = 10 + 16 * mm  # the margin of the sheet, and of the page on it
    assert columns == pytest.approx([at + 0.6 * mm * (edge - chart["x"]) for edge in (left, right)], abs=1)
    assert rows[1] - rows[0] == pytest.approx(0.6 * mm * (low - high), abs=1)
