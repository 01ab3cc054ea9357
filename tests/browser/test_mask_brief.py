"""The mask brief in a real browser: shown, and printed to a file that a PDF reader accepts."""

from __future__ import annotations

import pytest

from .conftest import AT_DESK
from .looking import new_page, open_screen, watch

pytestmark = pytest.mark.browser
pikepdf = pytest.importorskip("pikepdf")


@AT_DESK
def test_the_brief_is_shown_and_downloaded(chromium, viewport, shop, tmp_path):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        open_screen(page, shop.url, "Mask brief")
        record = shop.file.record()
        rows = page.get_by_test_id("stTable").get_by_role("row").all_inner_texts()
        for area in record.areas:
            assert any(area.area_id in row for row in rows), area.area_id
        with page.expect_download() as download:
            page.get_by_role("button", name="Mask brief (PDF)").click()
        download.value.save_as(tmp_path / "brief.pdf")
        with pikepdf.open(tmp_path / "brief.pdf") as pdf:
            assert len(pdf.pages) >= len(record.areas)
        shown = page.get_by_role("img", name="Mask brief, sheet 1")
        assert shown.evaluate("image => image.complete && image.naturalWidth > 500")
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}
