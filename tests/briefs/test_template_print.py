"""The printed template, measured on its pages as a shop would: with a rule, bar by bar, cross by cross."""

from __future__ import annotations

import io
import re

import pikepdf
import pytest

from bodymap.briefs.template_print import template_pdf, template_png
from bodymap.errors import BodymapError
from bodymap.model import Head
from bodymap.settings import in_force
from bodymap.views.line_strip import line_strip
from bodymap.views.template import template_of
from bodymap.views.template_page import TemplateChoice
from bodymap.views.template_sheets import template_sheets
from tests.briefs.page_raster import by_poppler, by_typesetter
from tests.briefs.pdf_text import page_text, pages_text
from tests.views.template_specimen import HIGH, WIDE, panel

HEAD = Head(count=128, hash="a1b2c3d4e5f6" + "0" * 52)
DAY = "2024-05-06T10:00:00Z"
SETTINGS = in_force()


def view_of(ident="K1", choice=None, record=None, **how):
    return template_sheets(template_of(record or panel(), ident, SETTINGS, **how), SETTINGS, choice or TemplateChoice())


def print_of(view, head=HEAD, at=DAY, strip=None):
    return template_pdf(view, head, at, strip)


def opened(pdf):
    return pikepdf.open(io.BytesIO(pdf))


# --- true size ----------------------------------------------------------------------------------------------------------


def bars(page, frame):
    """The two bars of a page as a rule measures them: level, upright [mm]."""
    foot = frame.top_mm + frame.live_height_mm
    left, right = page.run_level(foot + 5.12, frame.left_mm - 3, frame.left_mm + 125)
    above, below = page.run_upright(frame.margin_mm + 0.12, foot - 125, foot + 3)
    return right - left, below - above


@pytest.mark.parametrize(
    ("choice", "dpi", "within"),
    [(TemplateChoice(), 300, 0.1), (TemplateChoice(), 600, 0.05), (TemplateChoice(paper="A3", landscape=True), 300, 0.1)],
    ids=["A4", "A4 fine", "A3 landscape"],
)
def test_both_bars_are_100_mm(tmp_path, choice, dpi, within):
    view = view_of(choice=choice)
    for number in (2, len(view.sheets) + 1)[: 1 if dpi > 300 else 2]:
        page = by_poppler(print_of(view), number, dpi, tmp_path)
        assert bars(page, view.frame) == (pytest.approx(100, abs=within), pytest.approx(100, abs=within))


def test_both_bars_are_100_mm_in_the_preview_too():
    view = view_of()
    page = by_typesetter(template_png(view, HEAD, DAY, ppi=300)[1], 300)
    assert bars(page, view.frame) == (pytest.approx(100, abs=0.1), pytest.approx(100, abs=0.1))


def test_the_bars_of_a_plotter_page(tmp_path):
    view = view_of(choice=TemplateChoice(plotter=True))
    page = by_poppler(print_of(view), 1, 300, tmp_path)
    assert bars(page, view.frame) == (pytest.approx(100, abs=0.1), pytest.approx(100, abs=0.1))


def crosses(page, view, sheet):
    """Where the crosses of a sheet lie on its paper, read off the outer half of their arms."""
    found = []
    for (x, y), (right, down) in zip(sheet.crosses, ((-1, 1), (1, 1), (1, -1), (-1, -1)), strict=True):
        at_x, at_y = view.frame.left_mm + x, view.frame.top_mm + y
        ys, xs = sorted((at_y + down * 1.5, at_y + down * 3.5)), sorted((at_x + right * 1.5, at_x + right * 3.5))
        found.append((page.upright_line(at_x, *ys), page.level_line(at_y, *xs)))
    return found


@pytest.mark.parametrize(
    ("choice", "stretch"),
    [
        (TemplateChoice(), (1.0, 1.0)),
        (TemplateChoice(printed_x_mm=98.7, printed_y_mm=101.2), (0.987, 1.012)),
    ],
    ids=["true printer", "printer that errs"],
)
def test_a_known_panel_is_of_its_size_across_the_sheets(tmp_path, choice, stretch):
    """The paper of a printer that errs by `stretch` is measured: page length × stretch is what comes out of it."""
    view = view_of(choice=choice)
    pdf = print_of(view)
    page_of = {}
    for sheet in view.sheets:
        if sheet.name not in ("A1", "A2", "A3", "A4", "B1", "C1"):
            continue
        page = by_poppler(pdf, sheet.number + 1, 300, tmp_path)
        page_of[sheet.name] = page, crosses(page, view, sheet)
    assert (view.sheets[0].name, view.sheets[-1].name) == ("A1", "C4")
    step_x, step_y = [], []
    for _, (low_left, low_right, up_right, up_left) in page_of.values():
        step_x += [low_right[0] - low_left[0], up_right[0] - up_left[0]]
        step_y += [low_left[1] - up_left[1], low_right[1] - up_right[1]]
    # Neighbours share their crosses, so all cores are of one size; a pixel is 0.085 mm.
    assert max(step_x) - min(step_x) < 0.09
    assert max(step_y) - min(step_y) < 0.09
    mean_x, mean_y = sum(step_x) / len(step_x), sum(step_y) / len(step_y)
    wide = _edge_x(page_of, view, "A4") + 3 * mean_x - _edge_x(page_of, view, "A1")
    high = _edge_y(page_of, view, "C1") + 2 * mean_y - _edge_y(page_of, view, "A1")
    assert wide * stretch[0] == pytest.approx(WIDE, abs=0.15)
    assert high * stretch[1] == pytest.approx(HIGH, abs=0.15)


def _edge_x(page_of, view, name):
    """An upright edge of the panel, in mm to the right of the left crosses of a sheet, on which it must lie."""
    page, (low_left, *_) = page_of[name]
    sheet = next(one for one in view.sheets if one.name == name)
    (edge,) = {
        x for stroke in sheet.picture.strokes if stroke.style == "edge" for line in stroke.lines for x, _ in line
        if _is_end(line, x, axis=0)
    }  # fmt: skip
    middle = view.frame.top_mm + (sheet.crosses[0][1] + sheet.crosses[3][1]) / 2
    return page.upright_line(view.frame.left_mm + edge, middle, middle + 20) - low_left[0]


def _edge_y(page_of, view, name):
    page, (*_, up_left) = page_of[name]
    sheet = next(one for one in view.sheets if one.name == name)
    (edge,) = {
        y for stroke in sheet.picture.strokes if stroke.style == "edge" for line in stroke.lines for _, y in line
        if _is_end(line, y, axis=1)
    }  # fmt: skip
    middle = view.frame.left_mm + (sheet.crosses[0][0] + sheet.crosses[1][0]) / 2
    return page.level_line(view.frame.top_mm + edge, middle, middle + 20) - up_left[1]


def _is_end(line, value, axis):
    """Whether an edge runs along this value, square to the axis."""
    return sum(abs(spot[axis] - value) < 1e-9 for spot in line) > 1


# --- the file -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("choice", "size"),
    # ISO 216: A4 is 210 mm × 297 mm, A3 is 297 mm × 420 mm (from memory, not seen).
    [
        (TemplateChoice(), (210, 297)),
        (TemplateChoice(landscape=True), (297, 210)),
        (TemplateChoice(paper="A3"), (297, 420)),
        (TemplateChoice(paper="A3", landscape=True), (420, 297)),
    ],
)
def test_pages_are_of_iso_216(choice, size):
    with opened(print_of(view_of(choice=choice))) as pdf:
        for page in pdf.pages:
            left, low, right, high = (float(n) * 25.4 / 72 for n in page.mediabox)
            assert (right - left, high - low) == (pytest.approx(size[0], abs=0.01), pytest.approx(size[1], abs=0.01))


def test_the_same_input_gives_the_same_bytes():
    record = panel()
    strip = line_strip(record, "stripe_L", SETTINGS)
    for choice in (TemplateChoice(), TemplateChoice(plotter=True)):
        once, again = (print_of(view_of("stripe_L", choice, panel()), strip=strip) for _ in range(2))
        assert once == again
    assert print_of(view_of(), at="2024-05-07T10:00:00Z") != print_of(view_of())


def _tags(node):
    kids = node.get("/K")
    held = [] if kids is None else list(kids) if isinstance(kids, pikepdf.Array) else [kids]
    own = [str(node.S)] if "/S" in node else []
    nodes = [kid for kid in held if isinstance(kid, pikepdf.Dictionary) and "/S" in kid]
    return own + [tag for kid in nodes for tag in _tags(kid)]


def test_it_is_tagged_with_headings_and_asks_for_true_size():
    view = view_of("stripe_L", TemplateChoice(landscape=True))
    with opened(print_of(view, strip=line_strip(panel(), "stripe_L", SETTINGS))) as pdf:
        assert pdf.Root.MarkInfo.Marked
        tags = _tags(pdf.Root.StructTreeRoot)
        assert tags.count("/H1") == 2  # the map and the strip chart
        assert tags.count("/H2") >= len(view.sheets) + 3
        assert tags.count("/Figure") == len(view.sheets) + 2
        assert {"/Table", "/TH", "/TD"} <= set(tags)
        assert str(pdf.docinfo.Title).startswith("Full-size template: line stripe_L")
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert not pdf.check_pdf_syntax()


def test_the_sheets_are_bookmarks_by_name():
    view = view_of()
    with opened(print_of(view)) as pdf, pdf.open_outline() as outline:
        (root,) = outline.root
        titles = [item.title for item in root.children]
    assert [one for one in titles if re.fullmatch(r"[A-Z]\d+", one)] == [sheet.name for sheet in view.sheets]


def test_every_sheet_says_what_it_is():
    view = view_of()
    with opened(print_of(view)) as pdf:
        texts = pages_text(pdf)
    assert len(texts) == 1 + len(view.sheets)
    for sheet, text in zip(view.sheets, texts[1:], strict=True):
        said = (sheet.name, "Old panel", "K1 · Left side · Delivery van", "128·a1b2c3d4e5f6", "2024-05-06")
        for words in (*said, "Print at 100 %, no fit to page.", "Hatched side of the line: STAYS", f"of {len(view.sheets)}"):
            assert words in text, (sheet.name, words)
        for neighbour in sheet.neighbours:
            assert neighbour.name in text


def test_the_map_names_every_sheet_and_says_how_to_lay_them():
    view = view_of("ring")
    with opened(print_of(view)) as pdf:
        text = page_text(pdf.pages[0])
    assert view.empty > 0
    assert f"{view.empty} empty left out" in text
    for sheet in view.sheets:
        assert sheet.name in text
    for words in ("cross on cross", "fit to page", "Size over all 1400.0 × 1400.0 mm", "tape along the sill", "COVERED"):
        assert words in text


def test_a_correction_is_told_on_every_sheet():
    view = view_of(choice=TemplateChoice(printed_x_mm=99.5, printed_y_mm=100.4))
    with opened(print_of(view)) as pdf:
        for text in pages_text(pdf)[1:]:
            assert "level × 1.0050, upright × 0.9960" in text


def test_words_of_users_are_never_markup_and_lost_letters_are_told():
    record = panel()
    sly = record.area["K1"].model_copy(update={"name": "#panic() *bold* 漢 $x$"})
    with opened(print_of(view_of(record=record.with_kind("area", [sly])))) as pdf:
        texts = pages_text(pdf)
    assert "#panic() *bold* □ $x$" in texts[0]
    assert "U+6F22" in texts[0]


def test_no_journal_is_said():
    with opened(print_of(view_of(), head=None)) as pdf:
        assert "not stated (no journal)" in page_text(pdf.pages[1])


def test_a_line_without_a_datum_says_why_it_has_no_strip_chart():
    with opened(print_of(view_of("bare"), strip="No strip chart: nothing to measure from.")) as pdf:
        assert "nothing to measure from" in page_text(pdf.pages[-1])
        assert "WIDTH NOT STATED" in page_text(pdf.pages[0])


def test_a_page_no_pdf_can_have_is_refused():
    record = panel().with_kind("area", [panel().area["K1"].model_copy(update={"shape": _long(5200)})])
    with pytest.raises(BodymapError, match=r"found a side of 5\d\d\d mm; allowed: up to 5080 mm"):
        view_of(record=record, choice=TemplateChoice(plotter=True))


def _long(length):
    from tests.views.template_specimen import rect

    return rect(0, 0, length, 100)
