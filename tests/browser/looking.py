"""What a person does in the browser, as functions: open, wait, touch the map, draw on it."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, field

PATIENCE_MS = 20_000
# A page is at rest when it looked so this often in a row.
_LOOKS_EACH_MS, _QUIET_LOOKS = 50, 4
MAP = ".st-key-map .js-plotly-plot"
_QUIET = (
    "() => document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'"
    " && !document.querySelector('[data-stale=true]') && !document.querySelector('[data-testid=stSkeleton]')"
)


@dataclass
class Watched:
    """What a page complained of, and which hosts it asked."""

    complaints: list[str] = field(default_factory=list)
    hosts: set[str] = field(default_factory=set)


def expect(locator):
    """What is looked for, waited for with patience: the machine may be busy."""
    from playwright.sync_api import expect as expected

    expected.set_options(timeout=PATIENCE_MS)
    return expected(locator)


def watch(page) -> Watched:
    """Listens to console, page errors and requests."""
    from urllib.parse import urlsplit

    watched = Watched()
    page.on("console", lambda message: watched.complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: watched.complaints.append(str(error)))
    page.on("request", lambda request: watched.hosts.add(urlsplit(request.url).hostname or ""))
    return watched


def settle(page) -> None:
    """Waits until the page has asked the script to run, and it has, and the map, where there is one, is drawn again."""
    page.wait_for_timeout(150)
    quiet = 0
    for _ in range(PATIENCE_MS // _LOOKS_EACH_MS):
        quiet = quiet + 1 if page.evaluate(_QUIET) else 0
        if quiet >= _QUIET_LOOKS:
            return
        page.wait_for_timeout(_LOOKS_EACH_MS)
    raise AssertionError("the page did not come to rest")


def open_screen(page, url: str, screen: str = "Panel sheet") -> None:
    """Opens the dashboard, and one of its screens."""
    open_page(page, url, screen, MAP if screen == "Panel sheet" else "[data-testid=stTable]")


def open_page(page, url: str, screen: str, shows: str) -> None:
    """Opens the dashboard and a screen, and waits for what it shows."""
    page.goto(url)
    go_to_screen(page, screen)
    page.wait_for_selector(shows, timeout=PATIENCE_MS)
    settle(page)


def go_to_screen(page, screen: str) -> None:
    """Goes to another screen of the same window."""
    page.get_by_test_id("stPageLink").filter(has_text=screen).click()
    settle(page)


def choose(page, label: str) -> None:
    """Chooses a segment or a pill by its words."""
    page.get_by_test_id("stButtonGroup").get_by_text(label, exact=True).click()
    settle(page)


def pick_from(page, box: str, option: str) -> None:
    """Chooses from a list by typing, as the keyboard does."""
    field_ = page.get_by_role("combobox", name=box, exact=True)
    field_.click()
    field_.fill(option)
    page.get_by_role("option").filter(has_text=option).first.click()
    settle(page)


def type_in(page, label: str, text: str) -> None:
    """Types into a field and leaves it."""
    field_ = page.get_by_label(label, exact=True)
    field_.fill(text)
    field_.press("Tab")
    settle(page)


def traces(page) -> list[dict]:
    """Names and visible figures of what the map draws, as the browser holds it."""
    return page.evaluate(
        f"() => document.querySelector('{MAP}').data.map(t => ({{name: t.name, fill: t.fillcolor, n: (t.x || []).length}}))"
    )


def on_screen(page, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Where a place on the sheet [mm] is in the window [px]."""
    place = page.evaluate(
        f"""([x, y]) => {{
            const map = document.querySelector('{MAP}'), full = map._fullLayout, frame = map.getBoundingClientRect();
            return [frame.left + full.xaxis._offset + full.xaxis.l2p(x), frame.top + full.yaxis._offset + full.yaxis.l2p(y)];
        }}""",
        [x_mm, y_mm],
    )
    return place[0], place[1]


def touch(page, x_mm: float, y_mm: float) -> None:
    """Touches a place on the sheet."""
    page.locator(MAP).scroll_into_view_if_needed()
    page.mouse.click(*on_screen(page, x_mm, y_mm))
    settle(page)


def drag(page, places_mm: list[tuple[float, float]]) -> None:
    """Draws from place to place with the button held down."""
    page.locator(MAP).scroll_into_view_if_needed()
    places = [on_screen(page, x, y) for x, y in places_mm]
    page.mouse.move(*places[0])
    page.mouse.down()
    for place in places[1:]:
        page.mouse.move(*place, steps=6)
    page.mouse.up()
    settle(page)


@contextmanager
def new_page(browser, viewport, scheme: str = "light"):
    """A window of its own."""
    context = browser.new_context(viewport=viewport, color_scheme=scheme, reduced_motion="reduce", accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    try:
        yield page
    finally:
        context.close()
