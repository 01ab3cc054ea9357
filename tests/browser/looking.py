"""What a person does in the browser, as functions: open, wait, touch the map, draw on it."""

from __future__ import annotations

from contextlib import contextmanager, nullcontext, suppress
from dataclasses import dataclass, field
from time import monotonic

PATIENCE_MS = 60_000
# A page is at rest when it looked so this often in a row. A touch may take this long before it is sent: the slider waits.
_LOOKS_EACH_MS, _QUIET_LOOKS, _SENT_WITHIN_MS = 40, 4, 220
MAP = ".st-key-map .js-plotly-plot"
# What the page asks the server, and what it is answered, is read from the socket: a busy machine may take long to begin.
# Asked: a message of Streamlit that begins with its field 11 (run the script). Answered: after hash and metadata, field 4
# says that a run begins, field 6 how it ended; ended as 2, it gives way to the next run.
LISTEN = """
window.__asked = 0; window.__begun = 0; window.__ended = 0;
const Bare = window.WebSocket;
window.WebSocket = class extends Bare {
  constructor(...how) {
    super(...how);
    this.addEventListener('message', (event) => {
      const bytes = new Uint8Array(event.data);
      let at = 0;
      while (bytes[at] === 0x0a || bytes[at] === 0x12) {
        let long = 0, shift = 0, byte;
        at += 1;
        do { byte = bytes[at++]; long += (byte & 127) * 2 ** shift; shift += 7; } while (byte & 128);
        at += long;
      }
      if (bytes[at] === 0x22) window.__begun = window.__asked;
      if (bytes[at] === 0x30 && bytes[at + 1] !== 2) window.__ended = window.__begun;
    });
  }
  send(data) {
    const bytes = data instanceof Uint8Array ? data : new Uint8Array(data);
    if (bytes[0] === 0x5a) window.__asked += 1;
    super.send(data);
  }
};
"""
_QUIET = """() => new Promise(tell => requestAnimationFrame(() => tell(
    window.__asked > 0 && window.__ended === window.__asked
    && document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-stale=true]') && !document.querySelector('[data-testid=stSkeleton]'))))"""
_STATE = """() => [window.__asked, window.__begun, window.__ended,
    document.querySelector('[data-testid=stApp]')?.dataset.testScriptState]"""


@dataclass
class Watched:
    """What a page complained of, and which hosts it asked."""

    complaints: list[str] = field(default_factory=list)
    hosts: set[str] = field(default_factory=set)


def expect(locator, patience_ms: int = PATIENCE_MS):
    """What is looked for, waited for with patience: the machine may be busy."""
    from playwright.sync_api import expect as expected

    expected.set_options(timeout=patience_ms)
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
    """Waits until every run of the script the page asked for has ended, and the map, where there is one, is drawn again."""
    page.wait_for_timeout(_SENT_WITHIN_MS)
    quiet, until = 0, monotonic() + PATIENCE_MS / 1000
    while monotonic() < until:
        quiet = quiet + 1 if page.evaluate(_QUIET) else 0
        if quiet >= _QUIET_LOOKS:
            return
        page.wait_for_timeout(_LOOKS_EACH_MS)
    raise AssertionError(f"the page did not come to rest: {page.evaluate(_STATE)}")


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
    """Chooses from a list by typing, as the keyboard does. A list that was closed by a page drawn anew is opened again."""
    field_ = page.get_by_role("combobox", name=box, exact=True)
    offered = page.get_by_role("option").filter(has_text=option).first
    for last in (False, False, True):
        field_.click()
        field_.fill(option)
        with nullcontext() if last else suppress(AssertionError):
            expect(offered, PATIENCE_MS if last else PATIENCE_MS // 4).to_be_visible()
            break
        page.keyboard.press("Escape")
        settle(page)
    offered.click()
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


_touched = [0.0]  # when the map was touched last, in whatever window


def touch(page, x_mm: float, y_mm: float) -> None:
    """Touches a place on the sheet; not so soon after another touch that both would be one."""
    page.locator(MAP).scroll_into_view_if_needed()
    page.wait_for_timeout(max(0.0, 450 - 1000 * (monotonic() - _touched[0])))
    page.mouse.click(*on_screen(page, x_mm, y_mm))
    _touched[0] = monotonic()
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
    context.add_init_script(LISTEN)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    try:
        yield page
    finally:
        context.close()
