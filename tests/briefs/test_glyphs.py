"""Which characters can be printed, checked against fontTools, which reads the same tables independently."""

from __future__ import annotations

from importlib.resources import files

import pytest

from bodymap.briefs.glyphs import FONTS, code_points, missing, printable, readied, told

ttlib = pytest.importorskip("fontTools.ttLib")
FOLDER = files("bodymap.briefs") / "fonts"


@pytest.mark.parametrize("name", FONTS)
def test_the_character_map_is_read_as_fonttools_reads_it(name):
    with ttlib.TTFont(FOLDER / name) as font:
        expected = {code for table in font["cmap"].tables if table.isUnicode() for code in table.cmap}
    assert code_points((FOLDER / name).read_bytes()) == expected


@pytest.mark.parametrize("name", FONTS)
def test_digits_are_all_of_one_width(name):
    with ttlib.TTFont(FOLDER / name) as font:
        widths = {font["hmtx"][font.getBestCmap()[ord(digit)]][0] for digit in "0123456789"}
    assert len(widths) == 1


def test_the_scripts_of_european_shops_can_be_printed():
    latin = "ÄÖÜäöüßẞ éèêç ñ åøæ łńśź čřž ğışİ őű đħŧ ĀĒĪ"
    assert missing([latin, "ΑΒΓΩαβγως ά", "АБВЯабвя ЇїЄєЎў", "µ²·≈≤±×–’“”…→□✓"]) == ()


def test_what_cannot_be_printed_is_told_and_has_a_square_in_its_place():
    assert missing(["漢 ok", "ok \x07"]) == ("\x07", "漢")
    assert told("漢") == "U+6F22 CJK UNIFIED IDEOGRAPH-6F22"
    assert readied("a漢b\x07c") == "a□b□c"


def test_joiners_and_marks_are_not_missed():
    # Format characters have no picture of their own (Unicode, general category Cf).
    assert missing(["a\u200db\u200e\ufeff\ufe0f"]) == ()


def test_text_is_composed_and_in_one_line():
    assert readied("Tu\u0308r\nlinks\trechts") == "Tür links rechts"


def test_a_font_without_a_map_is_refused():
    with pytest.raises(ValueError, match="character map"):
        code_points(b"\0\1\0\0\0\0" + bytes(20))


def test_the_licence_lies_with_the_fonts():
    text = (FOLDER / "LICENSE.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in text
    assert sum(len((FOLDER / name).read_bytes()) for name in FONTS) < 2_500_000
    assert printable()
