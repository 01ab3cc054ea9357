"""Names in a record are shown as they stand: no markup in them is read, no script in them runs."""

from __future__ import annotations

import pytest

from bodymap.store import record_file

from ..dashboard.small import AT, small_record  # noqa: TID252 - tests are no package to import from
from .conftest import DESK, served
from .looking import new_page, open_screen, pick_from, settle, watch

pytestmark = pytest.mark.browser
EVIL = "<img src=x onerror=alert(1)> **bold** :smile: $x^2$ :red[r] www.example.org"


@pytest.fixture
def evil_path(tmp_path):
    """The small record with such words wherever a name or a note can stand."""
    record = small_record()
    update = {"name": EVIL, "note": EVIL, "title": EVIL, "reason": EVIL}
    for kind in ("zone", "part", "drawing", "coat", "datum", "area", "stack", "source"):
        record = record.with_kind(
            kind,
            [
                entry.model_copy(update={key: value for key, value in update.items() if key in type(entry).model_fields})
                for entry in record.of_kind(kind)
            ],
        )
    path = tmp_path / "evil.gpkg"
    record_file.create(path, record, by="tests", why=EVIL, at=AT, media={})
    return path


def test_nothing_from_the_record_is_markup(chromium, evil_path):
    with served(evil_path) as shop, new_page(chromium, DESK) as page:
        watched = watch(page)
        page.on("dialog", lambda dialog: (watched.complaints.append(f"a script ran: {dialog.message}"), dialog.dismiss()))
        open_screen(page, shop.url)
        pick_from(page, "Chosen zones", "side_out")
        page.keyboard.press("Escape")
        for tab in ("Area", "Found (0)", "Evidence", "Finish"):
            page.get_by_role("tab", name=tab).click()
            settle(page)
        heading = page.locator(".st-key-card").get_by_role("heading").first
        assert heading.inner_text().replace("\u2060", "") == EVIL
        for screen in ("Mask brief", "Panel sheet"):
            open_screen(page, shop.url, screen)
            assert page.locator("img[src='x'], .katex, strong:text-is('bold'), a[href*='example.org']").count() == 0
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}
