"""The printed labels: true size, every part on them, nothing of a user read as markup."""

from __future__ import annotations

import io

import pikepdf

from bodymap.briefs.labels import labels_pdf, unprintable
from bodymap.views.part_labels import SIZES, LabelSheet, PartLabel, sticker_sheet
from tests.briefs.pdf_text import pages_text

AT = "2026-01-01"


def label(part_id: str, **said) -> PartLabel:
    told = {
        "name": "Left front wing",
        "marks": "1047 in the flange",
        "side": "left",
        "partner": "wing_R",
        "substrate": "steel",
    }
    return PartLabel(part_id=part_id, **{**told, **said})


def printed(sheet) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(labels_pdf(sheet, AT)))


def test_a4_at_true_size_and_as_many_sheets_as_are_needed():
    for size in SIZES.values():
        pdf = printed(LabelSheet("Van", size, tuple(label(f"p{n}") for n in range(size.on_a_sheet + 1))))
        assert len(pdf.pages) == 2, size.key
        # ISO 216: 210 × 297 mm; a PDF point is 1/72 inch (ISO 32000-1, 8.3.2.3).
        assert [round(float(n) * 25.4 / 72) for n in pdf.pages[0].MediaBox] == [0, 0, 210, 297]
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"


def test_every_label_says_its_part_name_side_and_partner():
    sheet = LabelSheet(
        "Van", SIZES["tie"], (label("wing_L"), label("wing_R", side="right", partner="wing_L", marks="not stated"))
    )
    said = pages_text(printed(sheet))[0]
    for words in ("wing_L", "wing_R", "Left front wing", "1047 in the flange", "right", "not stated", "steel"):
        assert words in said


def test_a_small_label_still_has_tag_and_name_whole():
    said = pages_text(printed(LabelSheet("Van", SIZES["small"], (label("x" * 64, name="Right cargo side, skin let in"),))))[
        0
    ]
    assert "x" * 64 in said.replace(" ", "")
    assert "skin let in" in said


def test_markup_stands_as_it_was_typed():
    hostile = '#image("x.png") *bold* $x$ [a] <b> \\ `c`'
    said = pages_text(printed(LabelSheet(hostile, SIZES["rack"], (label("p1", name=hostile, marks=hostile),))))[0]
    assert said.replace(" ", "").count(hostile.replace(" ", "")) == 3


def test_every_number_is_printed_once():
    sheet = sticker_sheet("Van", ["S01"], set(), "S01", 150)
    said = " ".join(pages_text(printed(sheet))).split()
    assert [word for word in said if word in set(sheet.numbers)] == list(sheet.numbers)


def test_the_same_input_gives_the_same_bytes_and_lost_signs_are_told():
    sheet = LabelSheet("Van", SIZES["rack"], (label("p1", name="翼"),))
    assert labels_pdf(sheet, AT) == labels_pdf(sheet, AT)
    assert unprintable(sheet) == ("U+7FFC CJK UNIFIED IDEOGRAPH-7FFC",)
