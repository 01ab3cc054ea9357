"""The panel sheet in a real browser: touching, tinting, drawing, saving, undoing, at a desk and on a tablet."""

from __future__ import annotations

import pytest
from conftest import DESK, TABLET
from looking import (MAP, choose, drag, new_page, on_screen, open_screen, pick_from, settle, touch, traces, type_in, watch)

from bodymap.geometry.convert import to_shapely
from bodymap.views.sheet import lay_out

pytestmark = pytest.mark.browser
DOOR = "lz_door"


@pytest.fixture
def page(chromium, viewport):
    with new_page(chromium, viewport) as window:
        watched = watch(window)
        yield window
        assert not window.get_by_test_id("stException").count()
        assert watched.complaints == []
        assert watched.hosts == {"127.0.0.1"}, "something outside this machine was asked"
