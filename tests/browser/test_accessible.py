"""Every screen, for everyone: axe-core finds nothing serious, texts of charts are readable, targets large, nothing cut off.

What is asked: WCAG 2.2, 1.4.3 contrast 4.5:1; 1.4.10 reflow (a window of half the size is a page at 200 %; a phone is 390
CSS pixels wide); 2.5.5 targets of 44 CSS pixels. The rules are those of axe-core, by its own impact. Only colours differ
between the themes: in the dark one they alone are looked at, on a tablet, where they are the same as at a desk.
"""

from __future__ import annotations

import io
import re
from importlib.resources import files

import numpy as np
import pytest
from PIL import Image

from bodymap.views.palette import contrast
from dashboard.app import SCREENS
from dashboard.theme import TARGET_PX
from tests.browser.conftest import DESK, TABLET, served
from tests.browser.looking import go_to_screen, new_page, settle

pytestmark = pytest.mark.browser
ZOOMED, PHONE = {"width": 720, "height": 450}, {"width": 390, "height": 844}
LEAST = 4.5
_HALF_PX = 0.5

# What Streamlit draws and gives no hand in: (rule, what the element's selector holds, why it stays).
EXCEPTIONS: tuple[tuple[str, str, str], ...] = ()
# Targets that may be lower: the selector, and why.
LOW = (
    '[data-testid="stSkipToContent"]',  # shown only while it has the focus, by keyboard
    ".js-plotly-plot *",  # charts: every zone can be chosen by name beside the map
)

_TARGETS = """([least, low]) => {
  const box = '[data-testid=stRadioOption],[data-testid=stCheckbox] label,[data-testid=stTextInputRootElement],' +
    '[data-testid=stNumberInputContainer],[data-testid=stSelectbox] [role=group],[data-testid=stMultiSelect] [role=group],' +
    '[data-testid=stFileUploaderDropzone],[data-testid=stDateInputField],div:has(> [data-testid=stSliderThumbValue])';
  const some = 'button,a[href],input,select,textarea,summary,[role=tab],[role=slider],[role=combobox],[role=radio]';
  return [...document.querySelectorAll(some)].filter(one => {
    const shown = one.checkVisibility({visibilityProperty: true, opacityProperty: true});
    if (!shown || low.some(rule => one.matches(rule))) return false;
    const high = Math.max(...[one, one.closest(box)].filter(Boolean).map(two => two.getBoundingClientRect().height));
    return one.getBoundingClientRect().width > 0 && high < least;
  }).map(one => one.outerHTML.slice(0, 160));
}"""

# Texts that reach out of a frame which can not be moved sideways, and pages that are wider than their window.
_CUT = """() => {
  const main = document.querySelector('[data-testid=stMain]') || document.body, found = [];
  for (const one of [document.documentElement, main])
    if (one.scrollWidth > one.clientWidth + 1) found.push(`${one.tagName} is ${one.scrollWidth} wide`);
  const texts = document.createTreeWalker(main, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const text = texts.currentNode, range = document.createRange();
    if (!text.textContent.trim() || text.parentElement.closest('style,script,svg') ||
        !text.parentElement.checkVisibility({visibilityProperty: true})) continue;
    range.selectNodeContents(text);
    const is = range.getBoundingClientRect();
    for (let frame = text.parentElement; is.width && frame && frame !== main; frame = frame.parentElement) {
      const style = getComputedStyle(frame), room = frame.getBoundingClientRect();
      if (style.overflowX === 'auto' || style.overflowX === 'scroll' || style.textOverflow === 'ellipsis') break;
      if (style.overflowX !== 'visible' && (is.right > room.right + 1.5 || is.left < room.left - 1.5)) {
        found.push(text.textContent.trim().slice(0, 60));
        break;
      }
    }
  }
  return found;
}"""

_CHART_TEXTS = """chart => {
  const frame = chart.getBoundingClientRect();
  return [...chart.querySelectorAll('text')].filter(one => one.textContent.trim() && one.getBoundingClientRect().width &&
    one.checkVisibility({visibilityProperty: true}) && !one.closest('.hoverlayer, .modebar')).map(one => {
    const is = one.getBoundingClientRect(), inked = one.querySelector('tspan') || one;
    return [one.textContent, getComputedStyle(inked).fill, is.left - frame.left, is.top - frame.top, is.width, is.height];
  });
}"""


@pytest.fixture(scope="module")
def axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module", params=["light", "dark"])
def page(request, chromium, shop, axe):
    """One window for each theme, which goes from screen to screen."""
    with new_page(chromium, DESK, request.param) as window:
        window.goto(shop.url)
        window.wait_for_selector(".st-key-stages")
        settle(window)
        window.evaluate(axe)
        yield window


def faults(page, *rules: str) -> list[str]:
    """What axe-core calls serious or critical, less the exceptions; by some rules, or by all."""
    asked = {"resultTypes": ["violations"]} | ({"runOnly": list(rules)} if rules else {})
    found = page.evaluate("asked => axe.run(document, asked)", asked)["violations"]
    return [
        f"{one['id']}: {node['target']} {node['html'][:120]}"
        for one in found
        if one["impact"] in ("serious", "critical")
        for node in one["nodes"]
        if not any(one["id"] == rule and part in str(node["target"]) for rule, part, _ in EXCEPTIONS)
    ]


def sized(page, size) -> None:
    """Another window width, and as high as the page is long: axe-core judges colours only of what is in the window.

    The script does not run for that; the charts are drawn again.
    """
    page.set_viewport_size(size)
    page.wait_for_timeout(250)
    long = page.evaluate("() => document.querySelector('[data-testid=stMain]')?.scrollHeight || 0")
    page.set_viewport_size(size | {"height": max(size["height"], long + 20)})
    page.wait_for_timeout(150)


def small_targets(page) -> list[str]:
    return page.evaluate(_TARGETS, [TARGET_PX - _HALF_PX, list(LOW)])


def hard_to_read(page) -> list[str]:
    """Texts of the charts whose ink is not far enough from most of what is under them."""
    found = []
    for chart in page.locator(".js-plotly-plot").all():
        texts = chart.evaluate(_CHART_TEXTS)
        hidden = page.add_style_tag(content=".js-plotly-plot text { visibility: hidden !important }")
        picture = np.asarray(Image.open(io.BytesIO(chart.screenshot(animations="disabled"))).convert("RGB"))
        hidden.evaluate("style => style.remove()")
        for text, fill, x, y, wide, high in texts:
            ground = picture[max(round(y), 0) : round(y + high), max(round(x), 0) : round(x + wide)].reshape(-1, 3)
            if not len(ground):
                found.append(f"{text}: outside its chart")
                continue
            under, ink = np.median(ground, axis=0), [int(part) for part in re.findall(r"\d+", fill)[:3]]
            ratio = contrast(*("#" + "".join(f"{int(v):02x}" for v in colour) for colour in (ink, under)))
            if ratio < LEAST:
                found.append(f"{text}: {ratio:.1f}")
    return found


@pytest.mark.parametrize("screen", SCREENS.values())
def test_a_screen_is_for_everyone(page, request, screen):
    page.mouse.move(2, 2)  # no tip may lie over the row of screens
    go_to_screen(page, screen)
    assert not page.get_by_text("A fault in the program").count()
    if request.node.callspec.params["page"] == "dark":
        sized(page, TABLET)
        assert faults(page, "color-contrast") == []
        assert hard_to_read(page) == []
        return
    for size in (DESK, TABLET):
        sized(page, size)
        assert faults(page) == []
        assert small_targets(page) == []
    for size in (TABLET, ZOOMED, PHONE):
        sized(page, size)
        assert page.evaluate(_CUT) == [], size
    assert small_targets(page) == []
    sized(page, DESK)
    assert hard_to_read(page) == []


def test_the_measures_find_what_is_wrong(page):
    # A page that is wrong in each of the ways: otherwise a check that sees nothing would pass everything.
    go_to_screen(page, "Parts")
    page.evaluate("""() => {
      const wrong = document.createElement('div');
      wrong.id = 'wrong';
      wrong.innerHTML = '<button style="min-height:0;height:20px;color:#999;background:#aaa"></button>' +
        '<p style="color:#999;background:#aaa">pale</p>' +
        '<div style="width:50px;overflow:hidden;white-space:nowrap">cut off here</div>';
      document.querySelector('[data-testid=stMainBlockContainer]').append(wrong);
    }""")
    sized(page, DESK)
    try:
        told = " ".join(faults(page))
        assert "button-name" in told
        assert "color-contrast" in told
        assert any("<button style" in one for one in small_targets(page))
        assert "cut off here" in page.evaluate(_CUT)
    finally:
        page.evaluate("() => document.getElementById('wrong').remove()")


def test_on_paper_map_and_card_stand_without_what_can_only_be_pressed(page):
    page.mouse.move(2, 2)
    go_to_screen(page, "Panel sheet")
    page.emulate_media(media="print")
    try:
        for shown in (".st-key-map .js-plotly-plot", ".st-key-card [data-testid=stTable]"):
            assert page.locator(shown).first.is_visible(), shown
        for hidden in (".st-key-stages", ".st-key-controls", ".st-key-over_the_map", "[data-testid=stButton]"):
            assert not page.locator(hidden).filter(visible=True).count(), hidden
        ground, ink = page.evaluate("""() => ['stMain', 'stHeading'].map((name, n) =>
          getComputedStyle(document.querySelector(`[data-testid=${name}]`))[n ? 'color' : 'backgroundColor'])""")
        assert ground == "rgb(255, 255, 255)"
        assert contrast("#" + "".join(f"{int(v):02x}" for v in re.findall(r"\d+", ink)[:3]), "#ffffff") >= LEAST
    finally:
        page.emulate_media(media="screen")


def test_the_first_pages_are_for_everyone(chromium, axe, tmp_path):
    code = "793A-FFDA"
    with served(tmp_path / "cart.gpkg", code=code) as shop, new_page(chromium, DESK) as window:
        window.goto(shop.url)
        window.wait_for_selector("[data-testid=stTextInput]")
        settle(window)
        window.evaluate(axe)
        first_page(window)
        window.get_by_role("textbox").fill(code)
        window.get_by_role("button", name="Open the record").click()
        window.wait_for_selector(".st-key-start_record")
        settle(window)
        first_page(window)


def first_page(window) -> None:
    for size in (DESK, TABLET, PHONE):
        sized(window, size)
        assert faults(window) == []
        assert small_targets(window) == []
        assert window.evaluate(_CUT) == []
