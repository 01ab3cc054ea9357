"""Words are shown as they stand: in no screen is markup in them read, a script in them run, or a place in them asked.

Every text that a record can hold is hostile here, and every line that can be typed into is filled with the same.
"""

from __future__ import annotations

import io

import pytest

from bodymap.errors import BodymapError
from bodymap.model import KINDS, Datum, Finding, Goal, Line, MediaFile, Signoff, Source, Step, columns_of
from bodymap.model.shapes import Shape
from bodymap.store import record_file

from ..dashboard.small import AT, rectangle, small_record  # noqa: TID252 - tests are no package to import from
from .conftest import DESK, served
from .looking import go_to_screen, new_page, open_screen, pick_from, settle, watch

pytestmark = pytest.mark.browser
EVIL = (
    "<img src=x onerror=alert(1)> <script>alert(2)</script> <svg onload=alert(3)></svg> **heavy** :smile: $x^2$ :red[r] "
    "[here](javascript:alert(4)) ![](https://evil.example/p.png) <a href='https://evil.example'>there</a> "
    "www.example.org <b>fat</b>"
)
# What must not stand in the page, wherever it is: our own elements bear none of these.
_FORBIDDEN = (
    "img[src='x'], [onerror], [onload], .katex, strong:text-is('heavy'), b:text-is('fat'), "
    "tspan[style*='bold']:text-is('fat'), a[href*='example'], "
    "a[href^='javascript'], img[src*='example'], iframe:not([title*='bodymap'])"
)
_OPEN = """() => {
    const closed = [...document.querySelectorAll('details:not([open]) > summary, [role=tab]')];
    closed.forEach(one => one.click());
    return closed.length;
}"""
_LINES = "input[type=text]:visible:not([role=combobox]):enabled, textarea:visible:enabled"
# These say what a thing is; other words would make it another thing, or none.
_KEPT = {("reading", "phase"), ("setting", "value")}
_SCREENS = {
    "Panel sheet": (),
    "Drawings and zones": (),
    "Parts": (),
    "Survey": ("Stack", "Reading", "Finding", "Line", "Source", "Not yet seen"),
    "Film across the body": (
        "Left against right", "Judged", "Unexplained", "Filler", "Polishing", "Gauge file", "Spot plan", "Map",
    ),
    "Coat order": (),
    "Keep and strip": ("Kept edges", "Methods", "Areas", "Release", "Strip sheet", "Decide"),
    "Mask brief": ("Order of work", "Full-size template", "Lines", "Brief"),
    "Repaint rehearsal": (),
    "Hand-over file": ("Retained and made again", "History of entries", "Take out and verify", "Make the file"),
}  # fmt: skip


def picture():
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (40, 30), "#5f7f4a").save(out, "JPEG")
    return out.getvalue()


def evil_record(held):
    """The small record, with something of every kind in it, and the same words wherever a text may be."""
    line = Shape.model_validate({"type": "LineString", "coordinates": [[1100, 700], [2900, 700]]})
    record = small_record()
    more = {
        "finding": Finding(finding_id="f1", drawing_id="left", kind="dent", shape=rectangle(1500, 300, 1600, 400)),
        "line": Line(line_id="l1", drawing_id="left", width=4, shape=line),
        "goal": Goal(zone_id="side_out", position=1, coat_id="c2", extent="full"),
        "step": Step(step=1, action="coat", target=("c2",), note=EVIL),
        "signoff": Signoff(subject="K1", what="keep", by=EVIL, on="2026-01-02"),
        "source": Source(source_id="p2", kind="photo", title=EVIL, about=("side_out", "K1"), file="evil.jpg"),
        "datum": Datum(datum_id="d2", drawing_id="left", name=EVIL, shape=line),
        "media": held,
    }
    for kind, entry in more.items():
        record = record.with_kind(kind, [*record.of_kind(kind), entry])
    for kind, model in KINDS.items():
        texts = [
            one.name
            for one in columns_of(model)
            if one.kind == "text" and one.name not in ("file", "sha256") and (kind, one.name) not in _KEPT
        ]
        if kind not in ("media", "beside"):
            changed = [entry.model_copy(update=dict.fromkeys(texts, EVIL)) for entry in record.of_kind(kind)]
            record = record.with_kind(kind, changed)
    return record


@pytest.fixture
def evil_path(tmp_path):
    from bodymap.store.media import described

    photo = tmp_path / "evil.jpg"
    photo.write_bytes(picture())
    path = tmp_path / "evil.gpkg"
    held: MediaFile = described("evil.jpg", photo)
    record_file.create(path, evil_record(held), by=EVIL, why=EVIL, at=AT, media={"evil.jpg": photo})
    return path


def looked_over(page, where):
    """Nothing of what is said on the page has become a part of it; what can be opened is opened first."""
    if page.evaluate(_OPEN):
        settle(page)
    found = page.locator(_FORBIDDEN)
    assert found.count() == 0, f"{where}: {found.first.evaluate('e => e.outerHTML')[:300]}"


def typed_in_everywhere(page):
    """Fills every line that can be typed into. A line takes as much as it holds."""
    lines = [field for field in page.locator(_LINES).all() if field.is_visible() and field.is_editable()]
    for field in lines:
        field.fill(EVIL)
    if lines:
        page.keyboard.press("Tab")
        settle(page)


def test_nothing_from_the_record_is_markup(chromium, evil_path):
    with served(evil_path) as shop, new_page(chromium, DESK) as page:
        watched = watch(page)
        page.on("dialog", lambda dialog: (watched.complaints.append(f"a script ran: {dialog.message}"), dialog.dismiss()))
        open_screen(page, shop.url)
        pick_from(page, "Chosen zones", "side_out")
        page.keyboard.press("Escape")
        settle(page)
        heading = page.locator(".st-key-card").get_by_role("heading").first
        assert heading.inner_text().replace("\u2060", "") == EVIL
        for screen, sides in _SCREENS.items():
            go_to_screen(page, screen)
            looked_over(page, screen)
            assert "onerror=alert(1)" in page.locator("body").inner_text().replace("\u2060", ""), screen
            for side in sides:
                page.get_by_test_id("stButtonGroup").get_by_text(side, exact=True).first.click()
                settle(page)
                looked_over(page, f"{screen}, {side}")
            typed_in_everywhere(page)
            looked_over(page, f"{screen}, typed in")
        assert watched.complaints == []
        assert not shop.file.verify()
        assert watched.hosts == {"127.0.0.1"}


def test_a_record_whose_media_name_leads_elsewhere_is_refused(tmp_path):
    """The name of a picture is a plain file name: nothing outside the folder of the record can be asked for by it."""
    for name in ("../secret.txt", "/etc/passwd", "..\\secret.txt", ".hidden", "a/b.jpg"):
        with pytest.raises((BodymapError, ValueError)):
            MediaFile(name=name, sha256="0" * 64, size_bytes=1)
