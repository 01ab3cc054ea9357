"""A dashboard on the local network: every window is asked the access code first; HTTPS with one's own certificate."""

from __future__ import annotations

from contextlib import contextmanager

import pytest

from bodymap.store import record_file
from dashboard.network import Tls
from tests.browser.conftest import DESK, served
from tests.browser.looking import LISTEN, PATIENCE_MS, expect, settle
from tests.certificates import certificate
from tests.store.specimen import AT, specimen

pytestmark = pytest.mark.browser
CODE = "793A-FFDA"
NAME = "Delivery tricycle"


@pytest.fixture
def path(tmp_path):
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"\xff\xd8 not really a picture \xff\xd9")
    made = tmp_path / "tricycle.gpkg"
    record_file.create(made, specimen(), by="tests", why="a small record", at=AT, media={"yard.JPG": photo})
    return made


class Seen:
    """Every byte that came to a window, over WebSocket and HTTP."""

    def __init__(self, page):
        self.frames = []
        page.on("websocket", lambda socket: socket.on("framereceived", lambda frame: self.frames.append(frame)))

    def says(self, word):
        return any(word.encode() in (frame if isinstance(frame, bytes) else frame.encode()) for frame in self.frames)


@contextmanager
def window(chromium, **how):
    context = chromium.new_context(viewport=DESK, **how)
    context.add_init_script(LISTEN)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    try:
        yield page, Seen(page)
    finally:
        context.close()


def give(page, code):
    page.get_by_role("textbox").fill(code)
    page.get_by_role("button", name="Open the record").click()
    settle(page)


def test_the_code_is_asked_by_every_window_and_wrong_ones_are_slowed(chromium, path):
    with served(path, code=CODE) as shop, window(chromium) as (page, seen):
        page.goto(shop.url)
        expect(page.get_by_text("Access code", exact=True)).to_be_visible()
        give(page, "WRONG-ONE")
        expect(page.get_by_text("That is not the code.")).to_be_visible()
        for _ in range(8):  # until a try falls into the wait after another
            give(page, "WRONG-ONE")
            if page.get_by_text("Too early after a wrong code").count():
                break
        expect(page.get_by_text("Too early after a wrong code")).to_be_visible()
        assert not seen.says(NAME)
        assert not seen.says("1969-07")  # no stack either
        for _ in range(40):
            give(page, CODE)
            page.wait_for_timeout(1000)
            if not page.get_by_role("button", name="Open the record").count():
                break
        expect(page.get_by_text(NAME).first).to_be_visible()
        assert seen.says(NAME)
        page.get_by_test_id("stPageLink").filter(has_text="Coat order").click()
        settle(page)
        expect(page.get_by_text("Access code", exact=True)).to_have_count(0)
        with window(chromium) as (other, other_seen):
            other.goto(f"{shop.url}/coat_order")
            expect(other.get_by_text("Access code", exact=True)).to_be_visible()
            assert not other_seen.says(NAME)
        page.reload()  # a new session: nothing that lets in lies in the browser
        expect(page.get_by_text("Access code", exact=True)).to_be_visible()


def test_https_with_a_certificate_of_ones_own(chromium, path, tmp_path):
    tls = Tls(*certificate(tmp_path))
    with served(path, code=CODE, tls=tls) as shop, window(chromium, ignore_https_errors=True) as (page, seen):
        assert shop.url.startswith("https://")
        page.goto(shop.url)
        give(page, CODE)
        expect(page.get_by_text(NAME).first).to_be_visible()
        assert seen.says(NAME)
        assert page.evaluate("isSecureContext")
