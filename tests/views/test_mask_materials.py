"""Tape and masking film by step, against the lengths and areas of simple masks."""

from __future__ import annotations

import pytest

from bodymap.settings import in_force
from bodymap.views.brief_pieces import TapeRow
from bodymap.views.mask_materials import mask_materials, tape_of_all
from tests.finish.tinted_van import area, rect, van

SETTINGS = in_force()
HARD = area(rect(100, 100, 600, 400), "mask", area_id="m", edge="hard")
SOFT = area(rect(2105, 100, 2605, 400), "mask", area_id="s", edge="soft")
BLANK = area(rect(2105, 600, 2205, 700), "mask", area_id="b")


def test_tape_and_film_of_a_mask_on_paper():
    (row,) = mask_materials(van([("mask", "m"), ("coat", "t")], areas=[HARD]), SETTINGS)
    # Edge 2 × (500 + 300) mm and 10 % lap; film 0.15 m² × surface ratio 1.25 and 20 % lap.
    assert row.tape == (TapeRow("fine-line tape 6 mm", pytest.approx(1.6 * 1.1)),)
    assert row.behind_m == pytest.approx(1.6 * 1.1)
    assert row.film_m2 == pytest.approx(0.15 * 1.25 * 1.2)
    assert (row.step, row.area_id, row.estimate) == (1, "m", False)
    assert "edge 1.60 m, surface 0.19 m²" in row.basis
    assert any("common practice" in words for words in row.basis)


def test_each_time_a_mask_goes_on_it_is_taped_anew():
    steps = [("mask", "m"), ("unmask", "m"), ("mask", "s"), ("mask", "m")]
    rows = mask_materials(van(steps, areas=[HARD, SOFT]), SETTINGS)
    assert [(row.step, row.area_id) for row in rows] == [(1, "m"), (3, "s"), (4, "m")]
    assert {row.tape: row.length_m for row in tape_of_all(rows)} == pytest.approx(
        {"fine-line tape 6 mm": 2 * 1.76, "foam roll": 1.76, "wide tape behind": 2 * 1.76}
    )
    assert tape_of_all(()) == ()


def test_what_is_not_stated_is_said():
    (row,) = mask_materials(van([("mask", "b")], areas=[BLANK], scale="schematic"), SETTINGS)
    assert row.tape[0].tape == "tape not chosen yet"
    assert row.estimate
    assert any(words.startswith("kind of edge not stated") for words in row.basis)
    assert any("counted as flat" in words for words in row.basis)
