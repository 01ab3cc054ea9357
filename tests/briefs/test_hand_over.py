"""The printed hand-over file: tagged, the same bytes each time, head of the journal on every page, no glyph lost unsaid."""

from __future__ import annotations

import io

import pikepdf
import pytest

from bodymap.briefs.hand_over import hand_over_pdf, hand_over_png, photo_files, plates_ready, unprintable
from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.sheet_svg import sheet_svg
from bodymap.views.hand_over import HandedOver, hand_over_view
from bodymap.views.hand_over_evidence import MediaCopy
from bodymap.views.hand_over_parts import Standing
from bodymap.views.palette import LIGHT
from tests.briefs.pdf_text import pages_text
from tests.folders import BARE, write_case
from tests.hand_over_case import OBSERVER, photograph, trailer, trailer_folder

SHA256 = "a1b2c3d4e5f6" + "07" * 26
STANDING = Standing(128, SHA256, "Record as it was kept")


def printed(folder, at="2026-05-01T08:00:00Z", copies=()):
    record = read_folder(folder).record
    view = hand_over_view(HandedOver(record, (), copies, (), STANDING, STANDING, at))
    maps = {
        one.ident: sheet_svg(
            one.view, ident=one.ident, title=one.title, alt=one.alt, paint=lambda paint: LIGHT.get(paint, paint)
        )
        for one in view.maps
    }
    return view, maps


@pytest.fixture
def pdf(tmp_path):
    with pikepdf.open(io.BytesIO(hand_over_pdf(*printed(trailer_folder(tmp_path))))) as opened:
        yield opened


def roles(node, found):
    """The structure types of a tagged PDF, in reading order (ISO 32000-1, 14.7.2; from memory, not seen)."""
    if isinstance(node, pikepdf.Dictionary):
        if "/S" in node:
            found.append((str(node.S), node))
        if "/K" in node:
            roles(node.K, found)
    elif isinstance(node, pikepdf.Array):
        for child in node:
            roles(child, found)
    return found


def test_it_is_made_to_the_standard_for_archives(pdf):
    # ISO 19005-2, 6.6.4: part and conformance level stand in the metadata under this name space; 6.2.2: an output intent
    # says what colours are meant; 6.2.11.4: every font is embedded (from memory, not seen).
    with pdf.open_metadata() as said:
        assert said["{http://www.aiim.org/pdfa/ns/id/}part"] == "2"
        assert said["{http://www.aiim.org/pdfa/ns/id/}conformance"] == "A"
    assert pdf.Root.OutputIntents[0].S == "/GTS_PDFA1"
    for page in pdf.pages:
        for font in page.resources.get("/Font", {}).values():
            assert "/FontFile2" in font.DescendantFonts[0].FontDescriptor
    assert "/JavaScript" not in pdf.Root.get("/Names", {})
    assert "/AA" not in pdf.Root


def test_a_text_that_the_standard_forbids_is_printed_all_the_same(tmp_path):
    # U+E000 is of the private use area: PDF/A-2a asks what it means, and nobody knows.
    files = trailer()
    files["vehicle.csv"] = [files["vehicle.csv"][0] | {"notes": "a\ue000b \ufdd0 c"}]
    record = read_folder(write_case(tmp_path / "case", files)).record
    view = hand_over_view(HandedOver(record, (), (), (), STANDING, STANDING, "2026-05-01T08:00:00Z"))
    maps = {
        one.ident: sheet_svg(
            one.view, ident=one.ident, title=one.title, alt=one.alt, paint=lambda paint: LIGHT.get(paint, paint)
        )
        for one in view.maps
    }
    with pikepdf.open(io.BytesIO(hand_over_pdf(view, maps))) as opened:
        assert "128·a1b2c3d4e5f6" in pages_text(opened)[0]


def test_every_page_bears_count_and_hash(pdf):
    texts = pages_text(pdf)
    assert len(texts) > 10
    for number, text in enumerate(texts, start=1):
        assert "128·a1b2c3d4e5f6" in text
        assert f"page {number} of {len(texts)}" in text


def test_the_whole_hash_is_printed_once_unbroken(pdf):
    assert SHA256 in "".join(pages_text(pdf)).replace(" ", "")


def test_it_is_tagged_with_headings_tables_and_described_pictures(pdf):
    assert pdf.Root.MarkInfo.Marked
    assert str(pdf.Root.Lang) == "en"
    assert str(pdf.docinfo.Title) == "Hand-over file: Boat trailer"
    found = roles(pdf.Root.StructTreeRoot, [])
    kinds = [kind for kind, _ in found]
    assert kinds.count("/H1") == 12
    assert kinds.count("/Table") > 10
    assert "/TH" in kinds
    figures = [node for kind, node in found if kind == "/Figure"]
    assert len(figures) >= 8
    assert all(str(node.get("/Alt", "")) for node in figures)


def test_chapters_are_in_the_bookmarks(pdf):
    with pdf.open_outline() as outline:
        assert [item.title for item in outline.root] == [
            "The job and the vehicle",
            "As found",
            "As left",
            "Retained original finish",
            "What was made again",
            "The history and its evidence",
            "Film before and after",
            "Steps, materials, quantities",
            "Deviations and decisions",
            "What nobody has seen",
            "Sources and files",
            "How to read this folder in fifty years",
        ]


def test_the_figures_on_paper_are_those_worked_out_by_hand(pdf):
    text = " ".join(pages_text(pdf))
    assert "≈ 0.105 m² of 1.160 m² true surface lies in kept areas: 9.05 %" in text
    assert "Made again is never shown as old" in text


def test_the_same_input_gives_the_same_bytes(tmp_path):
    first, second = (hand_over_pdf(*printed(trailer_folder(tmp_path / name))) for name in "ab")
    assert first == second
    other = hand_over_pdf(*printed(trailer_folder(tmp_path / "c"), "2026-05-02T08:00:00Z"))
    assert other != first


def test_no_page_is_empty_but_for_its_foot(tmp_path):
    from PIL import Image

    for data in hand_over_png(*printed(trailer_folder(tmp_path)), ppi=40):
        page = Image.open(io.BytesIO(data)).convert("L")
        above_foot = page.crop((0, 0, page.width, int(page.height * 0.92)))
        assert above_foot.getextrema()[0] < 128


def test_a_name_in_many_scripts_is_printed_or_told(tmp_path):
    name = "Čižek Σωκράτης Жук 漢 שלום\u0301"
    zones = [row | {"name": name} if row["zone_id"] == "low" else row for row in trailer()["zones.geojson"]]
    folder = trailer_folder(tmp_path, zones__geojson=zones)
    view, maps = printed(folder)
    assert unprintable(view, maps)[-1] == "U+6F22 CJK UNIFIED IDEOGRAPH-6F22"
    with pikepdf.open(io.BytesIO(hand_over_pdf(view, maps))) as opened:
        texts = pages_text(opened)
    assert "U+6F22" in texts[0]
    whole = " ".join(texts)
    for word in ("Čižek", "Σωκράτης", "Жук", "□"):
        assert word in whole


def test_text_of_a_user_is_never_markup(tmp_path):
    notes = '#panic("x") $ *a* <b> \\ [c] @d `e` ${f} &amp; </svg>'
    vehicle = [{"vehicle_id": "t", "name": notes}]
    with pikepdf.open(io.BytesIO(hand_over_pdf(*printed(trailer_folder(tmp_path, vehicle__csv=vehicle))))) as opened:
        assert notes in " ".join(pages_text(opened)).replace("\u200b", "")


def test_a_record_with_nothing_in_it_is_printed(tmp_path):
    with pikepdf.open(io.BytesIO(hand_over_pdf(*printed(write_case(tmp_path / "bare", BARE))))) as opened:
        assert "No zone is drawn: nothing can be measured." in " ".join(pages_text(opened))


def test_a_map_that_is_not_drawn_is_refused(tmp_path):
    view, _ = printed(trailer_folder(tmp_path))
    with pytest.raises(KeyError, match="as-found-outside"):
        hand_over_pdf(view, {})


COPIES = tuple(
    MediaCopy(name, "0" * 64, name, "1" * 64, 9, "re-encoded", "", picture=True, width_px=40, height_px=80)
    for name in ("side.jpg", "raw.dng")
)


def test_pictures_are_printed_upright_small_and_without_what_the_camera_wrote(tmp_path):
    view, maps = printed(trailer_folder(tmp_path), copies=COPIES)
    assert photo_files(view) == ("side.jpg", "raw.dng")
    ready = plates_ready(view, {"side.jpg": photograph(turned=6), "raw.dng": b"no picture"}.get)
    assert set(ready) == {"side.jpg"}
    assert OBSERVER.encode() not in ready["side.jpg"]
    data = hand_over_pdf(view, maps, ready)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        shown = [image for page in pdf.pages for image in page.get_images().values()]
        assert [(int(one.Width), int(one.Height)) for one in shown] == [(40, 80)]  # 80 wide as taken, a quarter turned
        assert b"Exif" not in shown[0].read_raw_bytes()
        alts = [str(node.get("/Alt", "")) for kind, node in roles(pdf.Root.StructTreeRoot, []) if kind == "/Figure"]
        assert any("Side, <unwashed>" in alt for alt in alts)
        text = " ".join(pages_text(pdf))
    assert "q1: Side, <unwashed>" in text
    assert "The picture cannot be shown here." in text
    assert hand_over_pdf(view, maps, ready) == data


def test_a_row_of_a_table_stays_on_one_page_unless_it_is_longer_than_one(tmp_path):
    from bodymap.briefs.hand_over import _pages

    def breaks(note):
        findings = [row | {"note": note} for row in trailer()["findings.geojson"]]
        view, _ = printed(trailer_folder(tmp_path / str(len(note)), findings__geojson=findings))
        blocks = (one for chapter in _pages(view, {})["chapters"] for run in chapter["runs"] for one in run["blocks"])
        (row,) = next(one for one in blocks if one.get("caption") == "Findings")["rows"]
        return row["breaks"]

    assert not breaks("some words")
    assert breaks("many words " * 400)
