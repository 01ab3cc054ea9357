"""The printed mask brief, read back by independent means: pikepdf for the file, pixels for what is on the page."""

from __future__ import annotations

import io
import re

import numpy as np
import pikepdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from bodymap.briefs.mask_brief import mask_brief_pdf, mask_brief_png, unprintable
from bodymap.briefs.mask_pages import breakable, pages_of, shortened
from bodymap.errors import BodymapError
from bodymap.model import Area, Cover, Finding, Part, Shape, Signoff, Source, Step
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.brief_dimensions import half_mm
from bodymap.views.edge_words import edge_words
from tests.briefs.pdf_text import DAY, HEAD, opened, pages_text, pdf_of, text_size_pt
from tests.strategies import records
from tests.views.brief_specimen import AREAS, STEPS, WITNESS, circle, point, polygon, rect, van

PPI = 200
MM_PER_PIXEL = 25.4 / PPI


# --- the file -----------------------------------------------------------------------------------------------------------


def test_every_page_is_iso_a4():
    with opened(van()) as pdf:
        for page in pdf.pages:
            left, low, right, high = (float(n) * 25.4 / 72 for n in page.mediabox)
            # ISO 216: A4 is 210 mm × 297 mm (from memory, not seen).
            assert (right - left, high - low) == (pytest.approx(210, abs=0.01), pytest.approx(297, abs=0.01))


def test_two_pages_an_area_after_the_list_and_the_order_of_work_last():
    with opened(van()) as pdf:
        assert len(pdf.pages) == 1 + 2 * len(AREAS) + 1


def test_it_is_tagged_titled_and_asks_for_true_size():
    with opened(van()) as pdf:
        assert pdf.Root.MarkInfo.Marked
        kinds = _tags(pdf.Root.StructTreeRoot)
        assert kinds.count("/H1") == 1 + len(AREAS) + 1
        assert {"/H2", "/Table", "/TH", "/TD", "/Figure"} <= set(kinds)
        assert str(pdf.docinfo.Title) == "Mask brief: Delivery van"
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert not pdf.check_pdf_syntax()


def _tags(node):
    kids = node.get("/K")
    held = [] if kids is None else list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    own = [str(node.S)] if "/S" in node else []
    nodes = [kid for kid in held if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]
    return own + [tag for kid in nodes for tag in _tags(kid)]


def test_headings_are_bookmarks():
    with opened(van()) as pdf, pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
    assert titles[0] == "Mask brief: all areas"
    assert titles[1:] == [*(area.title for area in AREAS), "Order of work"]


def test_same_input_same_bytes_and_another_day_others():
    assert pdf_of(van()) == pdf_of(van())
    assert pdf_of(van()) != pdf_of(van(), at="2024-05-07T10:00:00Z")


def test_issue_and_day_are_on_every_page():
    with opened(van()) as pdf:
        for text in pages_text(pdf):
            assert "128·a1b2c3d4e5f6" in text
            assert "2024-05-06" in text


def test_no_journal_is_said():
    with opened(van(), head=None) as pdf:
        assert "not stated (no journal)" in pages_text(pdf)[0]


@pytest.mark.parametrize("at", ["yesterday", "2024-13-01", ""])
def test_a_day_that_is_none_is_refused(at):
    with pytest.raises(ValueError, match="ISO 8601"):
        pdf_of(van(), at=at)


# --- what it says -------------------------------------------------------------------------------------------------------


def test_a_page_says_what_the_painter_needs():
    with opened(van()) as pdf:
        front, back = pages_text(pdf)[1:3]
    for words in ("KEEP", "Full-stack witness", "Hard taped edge", "fine-line tape 6 mm", "± 0.5", "STAYS", "Mask ON"):
        assert words in front
    for words in (
        "fine-line 6 mm",
        "0.52 m",
        "Waist swage",
        "0.57 m",
        "0.015 m²",
        "All coats lie here.",
        "keep: owner, 2024-02-01",
        "Silver lacquer",
    ):
        assert words in back
    for words in ("ON", "Gun side", "not stated", "Cautions", "Taped by", "Checked by", "Who to call before deciding"):
        assert words in back


def test_page_one_says_how_the_masks_are_counted():
    with opened(van()) as pdf:
        first = pages_text(pdf)[0]
    # Steps mask K4 and M1 once each; M2, K1 and K9 are in no step.
    assert "No step masks it, counted once: M2, K1, K9." in first
    twice = [*STEPS, Step(step=8, action="unmask", target=("K4",)), Step(step=9, action="mask", target=("K4",))]
    with opened(van(steps=twice)) as pdf:
        texts = pages_text(pdf)
    assert "Taped anew each time it goes on: K4 2 times." in texts[0]
    # 2 × 0.52 m and 10 % lap on the list of all; one time on the page of the area.
    assert "the plan puts it on 2 times" in texts[2]


def test_what_was_found_is_printed_whole():
    note = "Chalk marks of the loaders, not fixed. " * 3 + "Do not wipe, do not tape."
    chalk = Finding(finding_id="F14", drawing_id="left", kind="other", note=note, shape=point(3400, 930))
    with opened(van(chalk, areas=(WITNESS,))) as pdf:
        back = pages_text(pdf)[2]
    assert f"F14 other: {note}" in back


def test_an_edge_made_again_and_a_sketch_are_said_on_the_list_and_on_their_page():
    with opened(van()) as pdf:
        texts = pages_text(pdf)
    assert "RE-CREATED" in texts[0]
    assert "RE-CREATED EDGE" in texts[3]
    assert "SCHEMATIC DRAWING" in texts[7]
    assert "NOT TO SCALE" in texts[7]
    assert "≈ 1800" in texts[8]
    assert "write them in" in texts[8]
    assert "scale 1" not in texts[7]


def test_a_record_without_areas_says_what_to_do():
    with opened(van(areas=(), steps=())) as pdf:
        (text,) = pages_text(pdf)
    assert "Nothing to mask" in text
    assert "That is a blank, not a decision" in text


NASTY = """#let x = 1 *b* _i_ <script>alert(1)</script> $x^2$ "q" 'a' [c] @r \\u{41} // c `raw` = h"""


def test_user_text_is_printed_as_it_is():
    area = WITNESS.model_copy(update={"name": NASTY, "reason": NASTY})
    with opened(van(areas=(area,))) as pdf, pdf.open_outline() as outline:
        said = outline.root[1].title.replace("\u200b", "")
        back = pages_text(pdf)[2].replace("\u200b", "")
    assert NASTY.startswith(said.split("\u200e…")[0])
    assert len(said) > 80
    assert NASTY in back


def test_other_scripts_and_pictures_print_and_what_does_not_is_told():
    area = WITNESS.model_copy(update={"name": "שלום Привет 😀 漢"})
    record = van(areas=(area,))
    assert unprintable(brief_view(record, in_force())) == ("U+6F22 CJK UNIFIED IDEOGRAPH-6F22",)
    with opened(record) as pdf:
        texts = pages_text(pdf)
    assert "U+6F22" in texts[0]
    assert "□" in texts[0]
    assert "Привет" in texts[1]
    assert "😀" in texts[1]


def test_nothing_is_told_where_all_can_be_printed():
    assert unprintable(brief_view(van(), in_force())) == ()
    with opened(van()) as pdf:
        assert "cannot be printed" not in pages_text(pdf)[0]


def crowded(scale="measured"):
    """The most that an area can bring along: long texts, sixty corners, many steps, signatures and sources."""
    spikes = [(2600 + (300 + 100 * (n % 2)) * np.cos(np.pi * n / 30), 1000 + (300 + 100 * (n % 2)) * np.sin(np.pi * n / 30))
              for n in range(60)]  # fmt: skip
    ring = [[float(x), float(y)] for x, y in spikes]
    star = Shape.model_validate({"type": "Polygon", "coordinates": [[*ring, ring[0]]]})
    area = Area(
        area_id="W" * 64, drawing_id="left", purpose="keep", name="Very long name " * 60, reason="Q" * 900, edge=None,
        margin=37.5, origin="recreated", shape=star,
    )  # fmt: skip
    lid = Part(part_id="lid", name="X" * 300, substrate="steel", removable=True)
    steps = [Step(step=n, action="coat", target=("blue",)) for n in range(1, 41)]
    steps.append(Step(step=50, action="strip", target=("upper",)))
    more = [Signoff(subject=area.area_id, what="keep", by="N" * 60, on="2024-01-01") for _ in range(20)]
    more += [Source(source_id=f"s{n}", kind="photo", title="T" * 80, about=(area.area_id,)) for n in range(20)]
    record = van(lid, Cover(zone_id="upper", part_id="lid", gap=True), *more, areas=(area,), steps=tuple(steps))
    return record.with_kind("drawing", [one.model_copy(update={"scale": scale}) for one in record.drawings])


@pytest.mark.parametrize("scale", ["measured", "schematic"])
def test_the_most_crowded_area_says_what_is_left_out_and_spills_its_offsets(scale):
    with opened(crowded(scale)) as pdf:
        texts = pages_text(pdf)
    assert len(texts) == 5
    assert "more pieces, together" in texts[2] + texts[3]
    # Of forty coat steps some are left out; of the offsets none.
    assert texts[2].count("NOT PRINTED for want of room") == 1
    assert "more coat steps" in texts[2]
    assert "on the next page" in texts[2]
    assert texts[3].startswith("KEEP")
    assert "Taped by" in texts[2]
    assert "Taped by" not in texts[3]
    assert texts[4].startswith("Order of work")


def stations_in(area):
    """The stations in the rows of a printed area: piece, along, offset."""
    found = []
    for row in area["offsets"]:
        for cell in row:
            if "piece" in cell:
                piece = cell["piece"]
            else:
                found.append((piece, cell["along"], cell["offset"].removesuffix("*")))
    return found


@settings(max_examples=25, deadline=None)
@given(st.integers(3, 40), st.floats(100, 700))
def test_every_station_is_in_the_rows_under_its_piece(corners, radius):
    area = WITNESS.model_copy(update={"shape": circle(2600, 1000, radius, corners)})
    view = brief_view(van(areas=(area,)), in_force())
    (page,) = pages_of(view, None, "")["areas"]
    wanted = [(one.piece, half_mm(one.along_mm), half_mm(one.offset_mm)) for one in view.areas[0].offsets]
    assert stations_in(page) == wanted
    assert "NOT PRINTED" not in page["offsets_note"]
    assert all("piece" in row[0] and len(row) <= 13 for row in page["offsets"])


def test_a_long_edge_prints_all_its_stations_over_the_pages():
    area = WITNESS.model_copy(update={"shape": rect(1650, 310, 2100, 1100)})
    notched = polygon(*((1650 + 40 * n, 310 + 300 * (n % 2)) for n in range(50)), (3700, 1400), (1650, 1400))
    for shape, least in ((area.shape, 3), (notched, 4)):
        record = van(areas=(area.model_copy(update={"shape": shape}),))
        view = brief_view(record, in_force())
        with opened(record) as pdf:
            texts = pages_text(pdf)
        said = " ".join(texts[2:])
        assert len(texts) >= least
        assert "NOT PRINTED" not in said
        assert all(half_mm(one.offset_mm) in said.split() for one in view.areas[0].offsets if not one.beyond)


def test_no_ink_leaves_the_margins():
    for picture in mask_brief_png(brief_view(crowded(), in_force()), HEAD, DAY, ppi=60):
        grey = np.asarray(Image.open(io.BytesIO(picture)).convert("L"))
        rows, columns = np.nonzero(grey < 200)
        margin = 8.5 / 25.4 * 60
        assert columns.min() >= margin
        assert columns.max() <= grey.shape[1] - margin
        assert rows.min() >= margin


def test_sixty_areas():
    shapes = [rect(1000 + 45 * number, 700, 40, 90) for number in range(60)]
    areas = [
        Area(area_id=f"A{number}", drawing_id="left", purpose="mask", edge="hard", shape=shape)
        for number, shape in enumerate(shapes)
    ]
    with opened(van(areas=areas)) as pdf:
        texts = pages_text(pdf)
    listed = texts[: next(number for number, text in enumerate(texts) if "Area 1 of 60 · front" in text)]
    assert len(texts) == len(listed) + 120 + 1
    assert all(re.search(rf"\bA{n}\b", " ".join(listed)) for n in range(60))


# --- order of work, pictures as found -----------------------------------------------------------------------------------


def test_the_order_of_work_tells_each_step_with_what_is_masked_and_off():
    steps = (
        Step(step=3, action="remove", target=("door",)),
        Step(step=7, action="mask", target=("K4",)),
        Step(step=8, action="coat", target=("blue",), parts=("door",), batch="B 12"),
        Step(step=9, action="unmask", target=("K4",)),
        Step(step=11, action="fit", target=("door",)),
    )
    with opened(van(areas=(WITNESS,), steps=steps)) as pdf:
        text = pages_text(pdf)[-1]
    for words in ("TAKE OFF Cab door", "MASK K4 Full-stack witness", "COAT", "beside the vehicle: Cab door", "batch B 12"):
        assert words in text
    assert "masked: K4" in text
    assert "off: Cab door" in text
    assert text.index("TAKE OFF") < text.index("UNMASK") < text.index("FIT")


def test_a_long_plan_goes_on_to_another_page_and_is_read_at_arms_length():
    steps = [Step(step=n, action="coat", target=("blue",), note=f"note {n}: light coats") for n in range(1, 81)]
    with opened(van(areas=(WITNESS,), steps=steps)) as pdf:
        texts = pages_text(pdf)
        first = next(number for number, text in enumerate(texts) if text.startswith("Order of work"))
        # Arm's length is 0.7 m; capitals of 1/400 of it can still be read (common practice, no source).
        assert capitals_mm(pdf.pages[first], " · note 1") >= 700 / 400
    said = " ".join(texts[first:])
    assert len(texts) > first + 1
    assert all(f"note {n}: light coats" in said for n in range(1, 81))


def test_a_coat_step_names_every_part_that_is_off():
    names = [f"Removable part number {n}" for n in range(8)]
    lids = [Part(part_id=f"lid{n}", name=name, substrate="steel", removable=True) for n, name in enumerate(names)]
    steps = (
        *(Step(step=n + 1, action="remove", target=(lid.part_id,)) for n, lid in enumerate(lids)),
        Step(step=20, action="coat", target=("blue",)),
    )
    with opened(van(*lids, areas=(WITNESS,), steps=steps)) as pdf:
        text = pages_text(pdf)[-1]
    assert f"off: {', '.join(names)}" in text


def test_without_a_plan_there_is_no_order_of_work():
    with opened(van(areas=(WITNESS,), steps=())) as pdf:
        assert len(pdf.pages) == 3


def photograph(**how):
    """A picture 400 × 200 px, left half red, with a GPS place in its EXIF."""
    picture = Image.new("RGB", (400, 200), "white")
    picture.paste((255, 0, 0), (0, 0, 200, 200))
    exif = Image.Exif()
    exif[0x010F] = "maker of the camera"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (47.0, 30.0, 0.0)
    for tag, value in how.items():
        exif[int(tag.removeprefix("tag_"))] = value
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


def with_photos(*sources):
    record = van(*sources, areas=(WITNESS,), steps=())
    return brief_view(record, in_force(record.settings))


PHOTO = Source(source_id="Q1", kind="photo", title="Witness in raking light", date="2025-01-02", file="w.jpg", about=("K4",))


def test_a_picture_of_the_area_is_printed_without_what_the_camera_wrote():
    data = photograph()
    assert b"maker of the camera" in data
    pdf = mask_brief_pdf(with_photos(PHOTO), HEAD, DAY, {"w.jpg": data})
    with pikepdf.open(io.BytesIO(pdf)) as opened_:
        assert len(opened_.pages) == 4
        text = pages_text(opened_)[3]
        (image,) = opened_.pages[3].get_images().values()
        raw = image.read_raw_bytes()
    assert "Witness in raking light" in text
    assert "2025-01-02" in text
    assert raw.startswith(b"\xff\xd8")
    assert not Image.open(io.BytesIO(raw)).getexif()
    assert b"maker of the camera" not in pdf


def test_a_picture_turned_by_its_camera_is_printed_upright():
    # EXIF 2.3, tag 0x0112 (274): 6 is turned by a quarter; the red half is then above (from memory, not seen).
    pdf = mask_brief_pdf(with_photos(PHOTO), HEAD, DAY, {"w.jpg": photograph(tag_274=6)})
    with pikepdf.open(io.BytesIO(pdf)) as opened_:
        (image,) = opened_.pages[3].get_images().values()
        picture = Image.open(io.BytesIO(image.read_raw_bytes()))
    assert picture.height > picture.width
    top, bottom = (picture.getpixel((picture.width // 2, picture.height * part // 4)) for part in (1, 3))
    assert top[1] < 60 < 200 < bottom[1]


@pytest.mark.parametrize("photos", [{}, {"w.jpg": b"no picture at all"}, {"w.jpg": photograph()[:500]}])
def test_a_picture_that_is_not_there_is_said_and_never_left_out(photos):
    pdf = mask_brief_pdf(with_photos(PHOTO), HEAD, DAY, photos)
    with pikepdf.open(io.BytesIO(pdf)) as opened_:
        text = pages_text(opened_)[3]
        assert not opened_.pages[3].get_images()
    assert "Witness in raking light" in text
    assert "not in the record, or cannot be read" in text


def test_pictures_that_name_the_area_come_before_those_of_its_zones_and_papers_are_none():
    others = (
        Source(source_id="Q2", kind="photo", title="Whole side", date="1969", file="s.jpg", about=("upper",)),
        Source(source_id="Q3", kind="document", title="Invoice", date="1971", file="i.png", about=("K4",)),
        Source(source_id="Q4", kind="photo", title="Told of, without a file", date="1960", about=("K4",)),
    )
    (area,) = with_photos(*others, PHOTO).areas
    assert [photo.source_id for photo in area.photos] == ["Q1", "Q2"]


# --- on the page --------------------------------------------------------------------------------------------------------


def front(area):
    view = brief_view(van(areas=(area,)), in_force())
    picture = mask_brief_png(view, HEAD, DAY, ppi=PPI)[1]
    return view.areas[0], np.asarray(Image.open(io.BytesIO(picture)).convert("RGB")).astype(int)


def dark_runs(row):
    """Lengths of unbroken runs of dark pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], (row < 110).astype(int), [0]])))
    return edges[1::2] - edges[::2]


def test_the_scale_bar_is_as_long_as_it_says():
    area, pixels = front(WITNESS)
    bar = area.picture.bar
    assert bar.paper_mm * area.picture.scale == pytest.approx(bar.length_mm)
    grey = pixels.mean(axis=2)
    left = round(10 / MM_PER_PIXEL)
    # The bar begins at the left margin under the picture; its lower edge is dark all along.
    band = grey[round(150 / MM_PER_PIXEL) : round(200 / MM_PER_PIXEL), left - 2 : round(75 / MM_PER_PIXEL)]
    lengths = {int(run) for row in band for run in dark_runs(row)}
    wanted = bar.paper_mm / MM_PER_PIXEL
    assert any(abs(length - wanted) <= 1.5 for length in lengths)


def test_the_edge_is_drawn_to_scale():
    area, pixels = front(WITNESS.model_copy(update={"margin": None}))
    red, green, blue = (pixels[..., n] for n in range(3))
    accent = (red > 150) & (green < 110) & (blue < 80)
    rows, columns = np.nonzero(accent[round(48 / MM_PER_PIXEL) : round(155 / MM_PER_PIXEL)])
    line_mm = 1.6 * 25.4 / 72
    wide, high = ((found.max() - found.min() + 1) * MM_PER_PIXEL - line_mm for found in (columns, rows))
    assert wide * area.picture.scale == pytest.approx(200, abs=2 * MM_PER_PIXEL * area.picture.scale)
    assert high * area.picture.scale == pytest.approx(60, abs=2 * MM_PER_PIXEL * area.picture.scale)


def test_the_headline_is_legible_at_two_metres():
    _, pixels = front(WITNESS)
    block = pixels[round(10 / MM_PER_PIXEL) : round(34 / MM_PER_PIXEL), round(12 / MM_PER_PIXEL) : round(54 / MM_PER_PIXEL)]
    white = np.nonzero((block.min(axis=2) > 240).any(axis=1))[0]
    # Letters at least 1/200 of the distance high: common practice for signs, no source.
    assert (white.max() - white.min()) * MM_PER_PIXEL >= 2000 / 200 * 0.95


def capitals_mm(page, words):
    """How high the capitals of a text on a page of a PDF are, from its size and the font's own outlines."""
    cap_height = 0.729  # DejaVu Sans Condensed: its H is 1493 of 2048 units high (glyf table, read with fontTools).
    return text_size_pt(page, words) * cap_height * 25.4 / 72


@pytest.mark.parametrize("steps", [STEPS, ()])
def test_what_is_read_in_the_booth_is_legible_at_two_metres(steps):
    with opened(van(steps=steps)) as pdf:
        for number, area in enumerate(AREAS):
            front_page = pdf.pages[1 + 2 * number]
            # Capitals of 1/400 of the distance can still be read (common practice, no source).
            for words in ("Hatched:", "Not stated:", "Do NOT improve", edge_words(area.edge).title):
                assert capitals_mm(front_page, words) >= 2000 / 400 * 0.95, (area.area_id, words)


def test_the_front_tells_when_the_mask_is_on_and_for_which_coats():
    steps = (
        Step(step=1, action="coat", target=("silver",)),
        Step(step=2, action="mask", target=("K4",)),
        Step(step=3, action="coat", target=("blue",)),
        Step(step=4, action="unmask", target=("K4",)),
    )
    mask = WITNESS.model_copy(update={"purpose": "mask"})
    with opened(van(areas=(mask,), steps=steps)) as pdf:
        front_text = pages_text(pdf)[1]
    assert "Mask ON from step 2 to 4." in front_text
    assert "ON for 3 " in front_text
    assert "OFF for 1 Silver lacquer" in front_text
    # A kept surface that step 1 would coat: the first thing to be read.
    with opened(van(areas=(WITNESS,), steps=steps)) as pdf:
        front_text = pages_text(pdf)[1]
    assert "KEPT SURFACE HIT by 1 Silver lacquer: stop and ask." in front_text


# --- small pieces -------------------------------------------------------------------------------------------------------


@given(st.text(max_size=60), st.integers(1, 40))
def test_shortening_tells_how_much_is_gone(text, most):
    short = shortened(text, most)
    if len(text) <= most:
        assert short == text
    else:
        assert short.endswith(f"… (+{len(text) - most})")
        assert text.startswith(short[: short.rindex("\u200e")])


@given(st.text("ab -", max_size=80))
def test_places_to_break_change_no_letter(text):
    assert breakable(text).replace("\u200b", "") == text
    assert max((len(word) for word in re.split("[ \u200b]", breakable(text))), default=0) <= 16


def pages_or_refusal(record):
    """Number of pages; or what the refusal says."""
    try:
        view = brief_view(record, in_force(record.settings))
    except BodymapError as refused:
        return str(refused)
    with pikepdf.open(io.BytesIO(mask_brief_pdf(view, None, DAY))) as pdf:
        return len(pdf.pages)


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(records())
def test_any_record_prints_or_is_refused_in_words(record):
    done = pages_or_refusal(record)
    assert done if isinstance(done, str) else done >= 1 + 2 * len(record.areas)
