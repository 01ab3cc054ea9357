"""Long work in a real browser: it says how far it is, is stopped by hand, leaves nothing, and is begun again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from time import monotonic, sleep

import pytest

from bodymap.model import Source
from bodymap.store.record_file import Put, RecordFile
from tests.hand_over_case import photograph

from .conftest import DESK, Shop, served
from .looking import expect, new_page, open_page, settle, type_in, watch

pytestmark = pytest.mark.browser
_PICTURES = 24
_PATIENCE_MS, _PATIENCE_S = 90_000, 60


@pytest.fixture(scope="module")
def shop(shop: Shop, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shop, Path]]:
    """The demo vehicle with pictures enough that no machine is done before a hand is at the button; and where it works."""
    place, work = tmp_path_factory.mktemp("many"), tmp_path_factory.mktemp("work")
    path = place / "van.gpkg"
    shop.file.backup(path)
    file, puts = RecordFile(path), []
    for number in range(_PICTURES):
        item = file.add_media(f"look-{number}.jpg", photograph(1800 + number, 1200))
        puts += [Put(item), Put(Source(source_id=f"LQ{number}", kind="photo", title=f"Look {number}", file=item.name))]
    file.append(puts, by="tests", why="photos", at="2026-01-02T00:00:00.000Z", expect=None)
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("TMPDIR", str(work))
        with served(path) as running:
            yield running, work


def comes_to_nothing(folder: Path) -> bool:
    """Whether a folder is empty, now or a little later: the work ends at its next step."""
    until = monotonic() + _PATIENCE_S
    while any(folder.iterdir()) and monotonic() < until:
        sleep(0.05)
    return not any(folder.iterdir())


def test_the_hand_over_file_is_stopped_and_then_made(chromium, shop):
    running, work = shop
    with new_page(chromium, DESK) as page:
        watched = watch(page)
        open_page(page, running.url, "Hand-over file", "[data-testid=stMetric]")
        before = running.file.head(), sorted(running.path.parent.iterdir())
        type_in(page, "Who hands over *", "Ann Example")
        page.get_by_role("button", name="Make the hand-over file").click()
        bar = page.get_by_role("progressbar")
        expect(bar).to_be_visible()
        expect(page.get_by_text("Writing the pictures anew").first).to_be_visible()
        page.locator(".st-key-stop_made button").click()
        expect(page.get_by_text("Stopped; nothing was written.")).to_be_visible()
        settle(page)
        assert not bar.count()
        assert not page.get_by_role("button", name="Hand-over file (.zip").count()
        assert comes_to_nothing(work)
        assert (running.file.head(), sorted(running.path.parent.iterdir())) == before
        page.get_by_role("button", name="Begin again").click()
        expect(bar).to_be_visible()  # the work was stopped, and not only out of sight until it was done
        page.get_by_role("button", name="Hand-over file (.zip").wait_for(timeout=_PATIENCE_MS)
        settle(page)
        assert not bar.count()
        assert not page.get_by_text("Stopped; nothing was written.").count()
        assert comes_to_nothing(work)
        assert watched.complaints == []
