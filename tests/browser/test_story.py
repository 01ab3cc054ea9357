"""The van's story in a real browser: ten steps by Next and Show me, each on its screen with what it names in view."""

from __future__ import annotations

import re

import pytest

from demo.story import STORY

from .conftest import DESK, TABLET
from .looking import MAP, expect, new_page, open_page, settle, watch

pytestmark = pytest.mark.browser
TARGET_PX = 44  # WCAG 2.2, 2.5.5
# Step by step: the screen, and words that the story names and the screen shows, by the container they stand in.
LANDS = (
    ("Survey", {MAP: ("F05", "F04"), ".st-key-card": ("Right cargo side, lower lettered field",)}),
    ("Coat order", {".st-key-disagreements": ("runs in a circle", "Go to S12")}),
    (
        "Coat order",
        {".st-key-order_and_words": ("214 ± 13 µm against once 185–195 µm; twice 205–225 µm",)},
    ),
    ("Panel sheet", {".st-key-card": ("Gutter rail under the cap flange, left", "c6 Silver lacquer, body"), MAP: ("S04",)}),
    (
        "Keep and strip",
        {".st-key-blocker_frame_sill_2": ("100 mm away; Step plate, worn bands (K3) lies 40 mm",), MAP: ("K3",)},
    ),
    ("Mask brief", {".st-key-mask_brief_card": ("K4 · Witness, whole stack", "masking film 5.55 m²")}),
    (
        "Repaint rehearsal",
        {"[data-testid=stMain]": ("9 faces wrong", "Step 30 of 44"), ".st-key-plan_on_hidden": ("coat too many: step 30",)},
    ),
    ("Repaint rehearsal", {".st-key-rehearsal_card_box": ("At 40 µm: −1.7 / +1.8 µm for ΔE 1", "count passes")}),
    ("Film across the body", {".st-key-card": ("1480 µm", "GRP has none"), MAP: ("−40",)}),
    ("Hand-over file", {".st-key-hand_over_figures": ("2.0 %", "88.0 %")}),
)


def in_view(page, box: str, words: str) -> None:
    """Words are shown, within the window and not under the strip."""
    place = page.locator(box).get_by_text(words).first
    expect(place).to_be_visible()
    page.wait_for_function(
        """([box, words]) => {
            const strip = document.querySelector(".st-key-story").getBoundingClientRect();
            const said = e => e.textContent.replace(/\\s+/g, " ").includes(words);
            const holds = e => said(e) && ![...e.children].some(said);
            return [...document.querySelectorAll(`${box} *`)].filter(holds).some(e => {
                const r = e.getBoundingClientRect();
                const clear = r.top >= strip.bottom - 1 || r.bottom <= strip.top;
                return r.height > 0 && r.bottom <= window.innerHeight && clear;
            });
        }""",
        arg=[box, words],
    )


@pytest.mark.parametrize("window", [DESK, TABLET], ids=["desk", "tablet"])
def test_ten_steps_each_land_where_they_say(chromium, window, shop):
    with new_page(chromium, window) as page:
        watched = watch(page)
        before = shop.file.head()
        open_page(page, shop.url, "Panel sheet", MAP)
        assert not page.locator(".st-key-story").count(), "it is opened, it does not open itself"
        page.get_by_role("button", name="The van's story").click()
        settle(page)
        for name in ("Next", "Show me", "Put away"):
            box = page.locator(".st-key-story").get_by_role("button", name=name).bounding_box()
            assert min(box["width"], box["height"]) >= TARGET_PX
        for number, (step, (screen, shows)) in enumerate(zip(STORY, LANDS, strict=True), 1):
            expect(page.locator(".st-key-story")).to_contain_text(f"{number} of 10 · {step.title}")
            page.get_by_role("button", name="Show me").click()
            place = "" if screen == "Panel sheet" else step.screen.removesuffix(".py")
            page.wait_for_url(re.compile(rf"^{re.escape(shop.url)}/{place}(\?.*)?$"))
            for box, names in shows.items():
                for words in names:
                    if window is DESK:
                        in_view(page, box, words)
                    else:
                        expect(page.locator(box).get_by_text(words).first).to_be_visible()
            assert page.evaluate("() => document.documentElement.scrollWidth <= window.innerWidth"), (
                "nothing to scroll sideways"
            )
            if number < len(STORY):
                page.get_by_role("button", name="Next", exact=True).click()
        expect(page.get_by_role("button", name="Next", exact=True)).to_be_disabled()
        page.get_by_role("button", name="Put away").click()
        settle(page)
        assert not page.locator(".st-key-story").count()
        assert not page.get_by_text("A fault in the program").count()
        assert shop.file.head() == before, "a story writes nothing"
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}
