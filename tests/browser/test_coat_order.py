"""Coat order in a real browser: the riddle told, the circle put back, and from a disagreement to its spot on the map."""

from __future__ import annotations

import pytest

from .conftest import AT_DESK, ON_TABLET
from .looking import choose, expect, new_page, open_page, settle, watch

pytestmark = pytest.mark.browser
CHART = ".st-key-coat_chart .js-plotly-plot"
WING = "the left front wing was off, painted apart"


@AT_DESK
def test_from_the_riddle_to_the_spot(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        before = shop.file.head()
        open_page(page, shop.url, "Coat order", CHART)
        expect(page.get_by_text("Shown as if S12 were set aside. Nothing is changed in the record.")).to_be_visible()
        expect(page.get_by_role("listitem").filter(has_text="silver lacquer, body").filter(has_text=WING)).to_be_visible()
        assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), "nothing to scroll sideways"
        choose(page, "As the record stands")
        expect(page.get_by_text(WING)).to_have_count(0)
        expect(page.get_by_text("nothing can be told of what was fitted when")).to_be_visible()
        page.get_by_role("button", name="Go to S12").click()
        zone = shop.file.record().zone[shop.file.record().stack["S12"].zone_id]
        expect(page.get_by_role("heading", name=zone.title)).to_be_visible()
        settle(page)
        assert page.locator(".st-key-map .js-plotly-plot").count() == 1
        assert shop.file.head() == before
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}


def test_words_in_the_chart_do_not_overlap_as_they_are_drawn(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        open_page(page, shop.url, "Coat order", CHART)
        for box in (CHART, ".st-key-fitted_table .js-plotly-plot"):
            page.locator(box).scroll_into_view_if_needed()
            overlaps = page.evaluate(
                """box => {
                    const words = [...document.querySelectorAll(`${box} .annotation-text, ${box} .textpoint text`)];
                    const placed = words.map(e => [e.textContent, e.getBoundingClientRect()]).filter(([w]) => w);
                    const found = [];
                    placed.forEach(([w, a], i) => placed.slice(i + 1).forEach(([v, b]) => {
                        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
                        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
                        if (wide > 1 && high > 4) found.push(`${w} | ${v}`);
                    }));
                    return [placed.length, found];
                }""",
                box,
            )
            assert overlaps[0] > 30
            assert overlaps[1] == []


@ON_TABLET
def test_the_slider_on_the_panel_sheet_steps_through_the_coats(chromium, viewport, shop):
    with new_page(chromium, viewport) as page:
        open_page(page, shop.url, "Panel sheet", ".st-key-map .js-plotly-plot")
        choose(page, "Coat by coat")
        slider = page.get_by_role("slider", name="State at coat")
        expect(slider).to_have_attribute("aria-valuetext", "c1 · Red-oxide dip primer")
        slider.focus()
        page.keyboard.press("ArrowRight")
        settle(page)
        expect(slider).to_have_attribute("aria-valuetext", "c2 · Grey primer")
        thumb = page.locator("[data-testid=stSlider] div:has(> [data-testid=stSliderThumbValue])").bounding_box()
        assert min(thumb["width"], thumb["height"]) >= 44  # WCAG 2.2, 2.5.5
