"""The quantities as they are read, against sums done on paper, and the print of them."""

from __future__ import annotations

import io

import pikepdf
import pytest

from bodymap.briefs.quantities import quantities_pdf, unprintable
from bodymap.model.journal import Head
from bodymap.settings import in_force
from bodymap.views.quantities_sheet import quantities_view
from tests.briefs.pdf_text import pages_text
from tests.finish.tinted_van import COATS, area, rect, van

SETTINGS = in_force()


def test_paint_on_paper():
    view = quantities_view(van([("coat", "t"), ("coat", "t")]), SETTINGS)
    # (2 m² × 1.25 + 1 m²) × 40 µm ÷ (1000 × 0.12 × 0.25) = 4.667 L; half as much thinner; twice.
    (total,) = view.totals
    assert (total.surface, total.paint, total.thinner, total.ready, total.steps) == (
        "7.00 m²",
        "9.3 L",
        "4.7 L",
        "14.0 L",
        "1, 2",
    )
    row = view.coats[0]
    # 8 µm of 12 % solids, thinned by half: 8 × 1.5 ÷ 0.12 = 100 µm wet.
    assert (row.film, row.passes, row.wet_pass, row.paint) == ("40 µm", "5", "100 µm", "4.7 L")


def test_what_is_not_stated_is_said_and_spreads_to_the_total():
    coats = [coat.model_copy(update={"volume_solids_pct": None}) if coat.coat_id == "t" else coat for coat in COATS]
    view = quantities_view(van([("coat", "t")], coats=coats), SETTINGS)
    assert (view.totals[0].paint, view.coats[0].wet_pass, view.coats[0].film) == ("not stated", "not stated", "40 µm")
    assert view.coats[0].lacks[0].startswith("volume solids not stated")


def test_filler_in_place_and_mixed():
    view = quantities_view(van([("coat", "f")]), SETTINGS)
    # 3.5 m² × 1 mm = 3.5 L in place; 60 % rubbed off again.
    assert (view.coats[0].in_place, view.coats[0].paint) == ("3.5 L", "5.6 L")
    assert "No filler coat is planned: none is counted." not in view.notes


def test_strip_tape_and_film():
    mask = area(rect(0, 0, 1000, 500), "mask", area_id="m", edge="part_edge")
    view = quantities_view(van([("strip", "body", "", "blade"), ("mask", "m"), ("coat", "t")], areas=[mask]), SETTINGS)
    assert (view.strips[0].method, view.strips[0].surface, view.strip_totals) == (
        "blade",
        "2.50 m²",
        (("blade", "2.50 m²"),),
    )
    # 3 m round it and a tenth more; half a square metre × 1.25, and a fifth more.
    assert view.masks[0].film == view.film_total == "0.75 m²"
    assert "3.3 m" in view.masks[0].tape
    assert "No filler coat is planned: none is counted." in view.notes


def test_a_schematic_drawing_is_marked():
    view = quantities_view(van([("strip", "body"), ("coat", "t")], scale="schematic"), SETTINGS)
    assert view.totals[0].paint.startswith("≈ ")
    assert view.strips[0].surface.startswith("≈ ")
    assert any("schematic" in note for note in view.notes)


def text_of(pdf):
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        return " ".join(pages_text(opened)).replace("\u200b", "")


def test_the_print_says_what_the_screen_says():
    view = quantities_view(van([("strip", "body", "", "blade"), ("coat", "t"), ("coat", "bare")], coats=(
        *COATS, COATS[0].model_copy(update={"coat_id": "bare", "name": "Bare *paint* #x", "um_low": None, "um_high": None}),
    )), SETTINGS)  # fmt: skip
    head = Head(count=7, hash="ab" * 32)
    pdf = quantities_pdf(view, head, "2026-03-01")
    said = text_of(pdf)
    for words in ("Quantities", "4.7 L", "100 µm", "not stated", "2.50 m²", "blade", head.short, "2026-03-01",
                  "Bare *paint* #x", "volume solids 12 %", "transfer 25 %"):  # fmt: skip
        assert words in said, words
    assert pdf == quantities_pdf(view, head, "2026-03-01")
    assert "no journal" in text_of(quantities_pdf(view, None, "2026-03-01"))
    with pytest.raises(ValueError, match="ISO 8601"):
        quantities_pdf(view, head, "yesterday")


def test_an_empty_plan_and_lost_characters_are_said():
    empty = quantities_view(van(), SETTINGS)
    assert "nothing to reckon yet" in text_of(quantities_pdf(empty, None, "2026-03-01"))
    coats = [COATS[2].model_copy(update={"name": "Blue 漢"})]
    strange = quantities_view(van([("coat", "t")], coats=coats), SETTINGS)
    assert unprintable(strange) == ("U+6F22 CJK UNIFIED IDEOGRAPH-6F22",)
    assert "U+6F22" in text_of(quantities_pdf(strange, None, "2026-03-01"))
