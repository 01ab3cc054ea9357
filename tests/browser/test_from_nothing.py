"""From an empty folder to a brief in the painter's hand, through the screens alone: no file is touched by hand."""

from __future__ import annotations

import io

import pytest
from PIL import Image, ImageDraw

from bodymap.geometry.areas import areas_of
from bodymap.geometry.convert import to_shapely
from bodymap.views.sheet import lay_out
from tests.briefs.pdf_text import pages_text

from .beginning import distance, give_file, save, start_record, task, touch_board, trace_surface
from .conftest import served
from .counting import Touches
from .looking import MAP, choose, drag, expect, go_to_screen, new_page, pick_from, settle, touch, type_in, watch

pytestmark = pytest.mark.browser
pikepdf = pytest.importorskip("pikepdf")

# The left side of a van, 4 mm to a unit, in a file whose size nobody can trust: no width, no height.
SIDE = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 500">
<path id="body" d="M60 410 V200 L160 80 H900 L940 240 V410 Z"/>
<g id="zones">
<rect id="nose" x="60" y="200" width="100" height="180"/>
<rect id="cab-door" x="160" y="200" width="240" height="180"/>
<rect id="cargo-upper" x="400" y="100" width="500" height="140"/>
<rect id="cargo-lower" x="400" y="240" width="500" height="140"/>
<rect id="sill" x="160" y="380" width="740" height="30"/>
<rect id="cab-roof" x="160" y="80" width="240" height="20"/>
<rect id="cargo-roof" x="400" y="80" width="500" height="20"/>
<rect id="rear-wing" x="900" y="240" width="40" height="140"/>
</g>
<rect id="cab-glass" x="170" y="105" width="220" height="90"/>
<circle id="front-wheel" cx="230" cy="430" r="60"/><circle id="rear-wheel" cx="790" cy="430" r="60"/>
</svg>"""
# They were 60 and 103 when this was written; ten seconds for each would be ten minutes to a useful sheet.
TOUCHES_TO_THE_SHEET, TOUCHES_TO_THE_BRIEF = 70, 115
MM, HIGH, PX = 4.0, 500, 25.4 / 96  # CSS Values 3: 96 px to the inch; a file without a size is read so


def on_file(x: float, y: float) -> tuple[float, float]:
    """A place of the file as the board shows it, before it has a scale."""
    return x * PX, (HIGH - y) * PX


def photo(exif: Image.Exif) -> bytes:
    """A board 600 by 300 px on a wall of 800 by 500 px, lying on its side as some cameras write it, with a place in it."""
    picture, out = Image.new("RGB", (800, 500), "#b9b2a3"), io.BytesIO()
    ImageDraw.Draw(picture).rectangle((100, 100, 699, 399), fill="#56704a")
    picture = picture.transpose(Image.Transpose.ROTATE_90)
    exif[0x0112] = 6  # to be seen turned a quarter clockwise (CIPA DC-008, orientation)
    exif.get_ifd(0x8825).update({1: "N", 2: (1.0, 2.0, 3.0), 3: "E", 4: (4.0, 5.0, 6.0)})  # CIPA DC-008: GPS IFD
    picture.save(out, "JPEG", quality=90, exif=exif.tobytes())
    return out.getvalue()


@pytest.fixture
def empty(tmp_path):
    with served(tmp_path / "new.gpkg") as running:
        yield running


def drawn(shop) -> dict[str, float]:
    """Drawn areas by the names of the zones [mm²]."""
    record = shop.file.record()
    return {record.zone[ident].title: area.drawn_mm2 for ident, area in areas_of(record).zones.items()}


def middle(shop, name: str) -> tuple[float, float]:
    """A place well inside a zone, in sheet mm."""
    record = shop.file.record()
    (zone,) = [zone for zone in record.zones if zone.title == name]
    spot = to_shapely(zone.shape).representative_point()
    return lay_out(record, record.drawing[zone.drawing_id].kind).to_sheet(zone.drawing_id, spot.x, spot.y)


def press(page, words: str) -> None:
    page.get_by_role("button", name=words).click()
    settle(page)


def saved(page) -> None:
    """Saves what is entered, and waits until it is told."""
    page.get_by_role("button", name="Save to the record").click()
    expect(page.get_by_test_id("stToast").filter(has_text="saved").last).to_be_visible()
    settle(page)


def bring_the_side_in(page, shop, tmp_path) -> None:
    """From a file, of which 740 units are 2960 mm on the vehicle."""
    file = tmp_path / "side.svg"
    file.write_text(SIDE)
    give_file(page, ".st-key-file_leaf", file)
    touch_board(page, on_file(160, 410), on_file(900, 410))
    distance(page, 740 * MM)
    pick_from(page, "New parts are of", "steel")
    pick_from(page, "Fixing of new parts", "comes off")
    save(page)
    # The points of the file are hit exactly: touches go to its corners.
    assert drawn(shop)["sill"] == pytest.approx(740 * 30 * MM**2, rel=1e-6)


def trace_the_rear(page, shop, tmp_path) -> None:
    """From a photo: the board is 1800 mm wide, so 300 px of it are 900 mm."""
    pick_from(page, "Drawing", "Rear")
    task(page, "From photo")
    file = tmp_path / "rear.jpg"
    file.write_bytes(photo(Image.Exif()))
    give_file(page, ".st-key-photo_leaf", file)
    touch_board(page, (100, 100), (700, 100))
    distance(page, 1800)
    trace_surface(page, "Tailboard", [(100, 100), (700, 100), (700, 400), (100, 400)], "other", "stays on")
    save(page)
    assert drawn(shop)["Tailboard"] == pytest.approx(1800 * 900, rel=0.02)  # touched, at 3 mm a pixel


def split_two_zones(page, shop) -> None:
    """One along a line that is touched, one at a distance from an edge."""
    was = drawn(shop)
    pick_from(page, "Drawing", "Left")
    task(page, "Split")
    (zone,) = [zone for zone in shop.file.record().zones if zone.title == "cargo-lower"]
    x0, y0, x1, y1 = to_shapely(zone.shape).bounds
    across = x0 + 0.4 * (x1 - x0)
    touch_board(page, (across, y0 + 150), (across, y1 - 150))
    type_in(page, "Name of piece 2", "cargo-lower, front")
    save(page)
    assert drawn(shop)["cargo-lower"] == pytest.approx(0.6 * was["cargo-lower"], rel=0.02)
    assert sum(area for name, area in drawn(shop).items() if "cargo-lower" in name) == pytest.approx(was["cargo-lower"])
    choose(page, "At a distance from an edge")
    pick_from(page, "Zone", "cab-door")
    type_in(page, "Distance from it, mm", "200")
    type_in(page, "Name of piece 2", "cab-door, edge")
    save(page)
    # Either way round: the door is 960 by 720 mm.
    assert drawn(shop)["cab-door, edge"] in (pytest.approx(200 * 960, rel=1e-6), pytest.approx(200 * 720, rel=1e-6))


def lay_a_hidden_face(page, shop) -> None:
    task(page, "Hidden face")
    pick_from(page, "It is on the part", "sill")
    type_in(page, "Length, mm *", "900")
    type_in(page, "Width, mm *", "20")
    type_in(page, "Name (blank: part and face)", "Sill flange")
    pick_from(page, "Covered by, when on the vehicle", "cab-door")
    page.keyboard.press("Escape")  # the list stays open for more
    choose(page, "a gap: mist can drift in")
    save(page)
    assert drawn(shop)["Sill flange"] == pytest.approx(900 * 20, rel=1e-9)


def add_coats(page, *coats: tuple[str, str]) -> None:
    page.locator(".st-key-new_coat summary").click()
    for name, kind in coats:
        type_in(page, "Name of the coat *", name)
        choose(page, kind)
        press(page, "Add this coat")
        expect(page.locator("[class*=st-key-swatch_] button").filter(has_text=name)).to_be_visible()
        settle(page)


def lay(page, *coats: str) -> None:
    for name in coats:
        page.locator("[class*=st-key-swatch_] button").filter(has_text=name).click()
        settle(page)


def enter_three_stacks(page, shop) -> None:
    """The first with a photo; of the others only what is different is touched."""
    touch(page, *middle(shop, "cab-door"))
    add_coats(page, ("Red oxide", "primer"), ("Signal green", "colour"))
    exif = Image.Exif()
    exif[0x8769] = {0x9003: "2025:10:06 14:03:22"}
    page.get_by_test_id("stFileUploaderDropzoneInput").set_input_files(
        {"name": "T1.jpg", "mimeType": "image/jpeg", "buffer": photo(exif)}
    )
    expect(page.get_by_text("place taken out")).to_be_visible()
    settle(page)
    lay(page, "Red oxide", "Signal green")
    choose(page, "Yes")
    choose(page, "Window")
    saved(page)
    for name in ("cargo-upper", "Tailboard"):
        touch(page, *middle(shop, name))
        lay(page, "Signal green")
        choose(page, "Mist")
        choose(page, "Yes")
        saved(page)


def read_five_times(page, shop) -> None:
    choose(page, "Reading")
    touch(page, *middle(shop, "cab-door"))
    type_in(page, "Readings in µm, blanks between *", "112 114 110 113 111")
    choose(page, "Magnetic")
    saved(page)


def keep_an_area(page, shop) -> None:
    go_to_screen(page, "Panel sheet")
    page.wait_for_selector(MAP)
    settle(page)
    pick_from(page, "Look at", "Left")
    choose(page, "Box")
    page.wait_for_function(f"() => document.querySelector('{MAP}')._fullLayout.dragmode === 'select'")
    x, y = middle(shop, "cargo-upper")
    drag(page, [(x - 300, y - 150), (x + 300, y + 150)])
    expect(page.locator(".st-key-card").get_by_text("not saved yet")).to_be_visible()
    type_in(page, "Name *", "First lettering")
    type_in(page, "Reason *", "the only lettering left")
    pick_from(page, "Kind of edge *", "hard taped edge")
    pick_from(page, "The boundary is *", "original")
    saved(page)


def print_the_brief(page, tmp_path) -> str:
    go_to_screen(page, "Mask brief")
    with page.expect_download() as download:
        page.get_by_role("button", name="Mask brief (PDF)").click()
    download.value.save_as(tmp_path / "brief.pdf")
    with pikepdf.open(tmp_path / "brief.pdf") as pdf:
        return " ".join(pages_text(pdf))


def test_from_an_empty_folder_to_a_brief(chromium, viewport, empty, tmp_path):
    with new_page(chromium, viewport) as page:
        watched, touches = watch(page), Touches(page)
        assert not empty.path.exists()
        start_record(page, empty.url, "Ice cart", "Ann")
        bring_the_side_in(page, empty, tmp_path)
        trace_the_rear(page, empty, tmp_path)
        split_two_zones(page, empty)
        lay_a_hidden_face(page, empty)
        to_the_sheet = touches.count()
        go_to_screen(page, "Survey")
        page.wait_for_selector(MAP)
        settle(page)
        enter_three_stacks(page, empty)
        read_five_times(page, empty)
        keep_an_area(page, empty)
        said = print_the_brief(page, tmp_path)
        touched = touches.count()
        assert not page.get_by_text("A fault in the program").count()
        assert watched.complaints == []
        assert watched.hosts <= {"127.0.0.1", ""}
    assert to_the_sheet <= TOUCHES_TO_THE_SHEET
    assert touched <= TOUCHES_TO_THE_BRIEF
    all_is_there(empty)
    for words in ("Ice cart", "First lettering", "Hard taped edge", "the only lettering left", "Zones cargo-upper"):
        assert words in said


def all_is_there(shop) -> None:
    """What the screens have written, as the store reads it back."""
    record = shop.file.record()
    measured = {drawing.drawing_id for drawing in record.drawings if drawing.kind == "outside" and not drawing.schematic}
    assert measured == {"left", "rear"}
    outside = [zone for zone in record.zones if record.drawing[zone.drawing_id].kind == "outside"]
    assert len(outside) == 11
    assert len(record.zones) == 12
    assert [(cover.part_id, cover.gap) for cover in record.covers] == [("cab-door", True)]
    coat = {coat.name: coat.coat_id for coat in record.coats}
    layers = [
        (record.zone[stack.zone_id].title, [(one.coat_id, one.extent) for one in record.layers_of[stack.stack_id]])
        for stack in record.stacks
    ]
    green = coat["Signal green"]
    assert layers == [
        ("cab-door", [(coat["Red oxide"], "full"), (green, "full")]),
        ("cargo-upper", [(green, "mist")]),
        ("Tailboard", [(green, "mist")]),
    ]
    assert [one.um for one in record.readings] == [112, 114, 110, 113, 111]
    (area,) = record.areas
    assert (area.purpose, area.name, area.origin) == ("keep", "First lettering", "original")
    assert to_shapely(area.shape).area == pytest.approx(600 * 300, rel=0.1)  # a drag is as exact as a pixel, some 5 mm
    photos = [source for source in record.sources if source.kind == "photo"]
    assert [source.about[0] for source in photos] == ["rear", record.stacks[0].zone_id]
    assert photos[1].date == "2025-10-06T14:03:22"
    for source in photos:
        with Image.open(shop.file.media_path(source.file)) as kept:
            assert not kept.getexif().get_ifd(0x8825)
    assert {entry.by for entry in shop.file.journal()} == {"Ann"}
    assert shop.file.verify() == ()
