"""A record begun with a starting shape: it can be worked on at once. From nothing at all: `test_from_nothing.py`."""

from __future__ import annotations

import pytest

from bodymap.store.record_file import RecordFile

from .beginning import start_record
from .conftest import AT_DESK, served
from .looking import expect, new_page, settle

pytestmark = pytest.mark.browser
pytest.importorskip("playwright")


@pytest.fixture
def empty(tmp_path):
    with served(tmp_path / "new.gpkg") as running:
        yield running


@AT_DESK
def test_a_shape_to_begin_with_shows_the_panel_sheet(chromium, viewport, empty):
    with new_page(chromium, viewport) as page:
        start_record(page, empty.url, "Test van", "Ann", "Van")
        expect(page.locator(".st-key-map .js-plotly-plot")).to_be_visible()
        settle(page)
        record = RecordFile(empty.path).record()
        assert all(drawing.schematic for drawing in record.drawings)
        assert record.zones
