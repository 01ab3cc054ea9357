"""From an empty folder to zones: a file brought in and calibrated, a photo traced, a zone split, a face hidden."""

from __future__ import annotations

import io

import pytest
from PIL import Image, ImageDraw

from bodymap.geometry.areas import areas_of
from bodymap.store.record_file import RecordFile

from .beginning import (
    distance,
    give_file,
    save,
    start_record,
    task,
    touch_board,
    trace_surface,
)
from .conftest import served
from .looking import expect, new_page, pick_from, settle, type_in, watch

pytest.importorskip("playwright")

# A door of 500 by 600 units with a window, in a file whose size nobody can trust: no width, no height.
SVG = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 700">
<rect id="door-panel" x="100" y="50" width="500" height="600"/>
<rect id="door-glass" x="160" y="90" width="380" height="200"/>
</svg>"""


@pytest.fixture
def empty(tmp_path):
    with served(tmp_path / "new.gpkg") as running:
        yield running


def photo_of_a_panel() -> bytes:
    """A board 600 by 300 px on a wall of 800 by 500 px, lying on its side as some cameras write it, with a place in it."""
    picture = Image.new("RGB", (800, 500), "#b9b2a3")
    ImageDraw.Draw(picture).rectangle((100, 100, 699, 399), fill="#56704a")
    exif = Image.Exif()
    exif[0x0112] = 6  # to be seen turned a quarter clockwise (CIPA DC-008, orientation)
    exif.get_ifd(0x8825).update({1: "N", 2: (1.0, 2.0, 3.0)})
    out = io.BytesIO()
    picture.transpose(Image.Transpose.ROTATE_90).save(out, "JPEG", quality=90, exif=exif.tobytes())
    return out.getvalue()


def drawn_mm2(path, name: str) -> float:
    record = RecordFile(path).record()
    (zone,) = [zone for zone in record.zones if zone.name == name]
    return areas_of(record).zones[zone.zone_id].drawn_mm2


def test_from_nothing_to_zones(chromium, viewport, empty, tmp_path):
    with new_page(chromium, viewport) as page:
        watched = watch(page)
        assert not empty.path.exists()
        start_record(page, empty.url, "Ice cart", "Ann")
        assert RecordFile(empty.path).record().zones == ()

        # A file: two corners of the door, 1000 mm apart on the vehicle. 500 × 600 units become 1000 × 1200 mm.
        file = tmp_path / "door.svg"
        file.write_text(SVG)
        give_file(page, ".st-key-file_leaf", file)
        left, low = 100 * 25.4 / 96, (700 - 650) * 25.4 / 96  # CSS Values 3: 96 px to the inch
        wide = 500 * 25.4 / 96
        touch_board(page, (left, low), (left + wide, low))
        distance(page, 1000)
        pick_from(page, "New parts are of", "steel")
        pick_from(page, "Fixing of new parts", "comes off")
        save(page)
        assert drawn_mm2(empty.path, "door-panel") == pytest.approx(1000 * 1200, rel=1e-3)
        record = RecordFile(empty.path).record()
        assert [(part.name, part.substrate, part.removable) for part in record.parts] == [("door-panel", "steel", True)]
        assert record.drawing["left"].scale == "measured"
        assert [shape.kind for shape in record.outline] == ["glass"]

        # Split it: two touches inside, run on to the edges.
        task(page, "Split")
        x0, y0, x1, _ = bounds_of(record.zones[0])
        touch_board(page, (x0 + 300, y0 + 400), (x1 - 300, y0 + 400))
        expect(page.get_by_test_id("stTable").first).to_contain_text("new")
        save(page)
        halves = sorted(areas_of(RecordFile(empty.path).record()).zones.values(), key=lambda zone: zone.drawn_mm2)
        assert sum(half.drawn_mm2 for half in halves) == pytest.approx(1000 * 1200, rel=1e-3)
        assert halves[0].drawn_mm2 == pytest.approx(1000 * 400, abs=3 * 2.2 * 1000)  # 3 px at 2.2 mm a px

        # A photo, upright as it is seen: the board's long side is 1800 mm, so 300 px are 900 mm.
        pick_from(page, "Drawing", "Rear")
        task(page, "From photo")
        file = tmp_path / "rear.jpg"
        file.write_bytes(photo_of_a_panel())
        give_file(page, ".st-key-photo_leaf", file)
        corners = [(100, 100), (700, 100), (700, 400), (100, 400)]
        touch_board(page, *corners[:2])
        distance(page, 1800)
        trace_surface(page, "Tailboard", corners, "other", "stays on")
        save(page)
        assert drawn_mm2(empty.path, "Tailboard") == pytest.approx(1800 * 900, rel=0.02)  # touched, at 3 mm a pixel
        file = RecordFile(empty.path)
        (photo,) = file.record().sources
        assert photo.about == ("rear",)
        with Image.open(file.media_path(photo.file)) as kept:
            assert not kept.getexif().get_ifd(0x8825)
            assert kept.size == (500, 800)

        # A hidden face: 900 × 20 mm, on the door, covered by the tailboard.
        task(page, "Hidden face")
        type_in(page, "Length, mm *", "900")
        type_in(page, "Width, mm *", "20")
        type_in(page, "Name (blank: part and face)", "Sill flange")
        pick_from(page, "Covered by, when on the vehicle", "Tailboard")
        page.keyboard.press("Escape")  # the list stays open for more, and hides the page from readers meanwhile
        save(page)
        assert drawn_mm2(empty.path, "Sill flange") == pytest.approx(900 * 20, rel=1e-9)
        assert [cover.part_id for cover in RecordFile(empty.path).record().covers] == ["tailboard"]
        assert RecordFile(empty.path).verify() == ()
        assert watched.complaints == []
        assert watched.hosts <= {"127.0.0.1", ""}


def bounds_of(zone):
    x, y = zip(*zone.shape.rings()[0], strict=True)
    return min(x), min(y), max(x), max(y)


def test_a_shape_to_begin_with_shows_the_panel_sheet(chromium, viewport, empty):
    with new_page(chromium, viewport) as page:
        start_record(page, empty.url, "Test van", "Ann", "Van")
        expect(page.locator(".st-key-map .js-plotly-plot")).to_be_visible()
        settle(page)
        record = RecordFile(empty.path).record()
        assert all(drawing.schematic for drawing in record.drawings)
        assert record.zones
