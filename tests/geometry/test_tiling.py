"""Sheets over a drawing: they cover it once, neighbours meet at the same corners."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.tiling import row_letters, tiled

LENGTHS = st.floats(1, 6000)


@given(LENGTHS, LENGTHS, st.floats(-5000, 5000), st.floats(100, 400), st.floats(100, 400), st.floats(0, 30))
def test_cores_cover_the_drawing_once_and_windows_overlap(wide, high, x0, sheet_w, sheet_h, overlap):
    bounds = (x0, -x0, x0 + wide, high - x0)
    tiles = tiled(bounds, sheet_w, sheet_h, overlap)
    cores = [shapely.box(*tile.core) for tile in tiles]
    union = shapely.union_all(cores)
    assert sum(core.area for core in cores) == pytest.approx(union.area, rel=1e-6)
    assert union.buffer(1e-6).covers(shapely.box(*bounds))
    for tile in tiles:
        a0, b0, a1, b1 = tile.window
        assert (a1 - a0, b1 - b0) == (pytest.approx(sheet_w), pytest.approx(sheet_h))
    by_place = {(tile.row, tile.column): tile for tile in tiles}
    for (row, column), tile in by_place.items():
        right = by_place.get((row, column + 1))
        if right:
            assert tile.corners[1] == pytest.approx(right.corners[0])
            assert tile.corners[2] == pytest.approx(right.corners[3])
            assert tile.window[2] - right.window[0] == pytest.approx(overlap, abs=1e-6)


@given(LENGTHS, st.floats(100, 400), st.floats(0, 30))
def test_no_sheet_more_than_needed(wide, sheet, overlap):
    tiles = tiled((0, 0, wide, 50), sheet, 200, overlap)
    # A core is a sheet less its overlap, so this many reach.
    assert len(tiles) == max(1, math.ceil(wide / (sheet - overlap) - 1e-9))


def test_letters_run_from_the_top_and_numbers_from_the_left():
    tiles = {tile.name: tile.core for tile in tiled((0, 0, 300, 300), 160, 160, 10)}
    assert list(tiles) == ["A1", "A2", "B1", "B2"]
    assert tiles["A1"][1] > tiles["B1"][1]
    assert tiles["A1"][0] < tiles["A2"][0]


@pytest.mark.parametrize("row", [0, 25, 26, 51, 52, 701, 702])
def test_letters_count_as_in_a_spreadsheet(row):
    letters, number = row_letters(row), 0
    for letter in letters:
        number = 26 * number + ord(letter) - ord("A") + 1
    assert number == row + 1


@pytest.mark.parametrize("overlap", [-1, 70, 100])
def test_an_overlap_that_leaves_nothing_is_refused(overlap):
    with pytest.raises(BodymapError, match=r"overlap of the sheets: found .* allowed: 0 to 40 mm"):
        tiled((0, 0, 300, 300), 100, 250, overlap)
