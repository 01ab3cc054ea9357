"""Textures stay in their surface, show on every surface, and no two states look alike."""

from __future__ import annotations

import itertools
import math
from typing import get_args

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.views.sheet_parts import Texture
from bodymap.views.textures import hatch, texture_paths

TEXTURES = [name for name in get_args(Texture) if name != "solid"]
SURFACES = st.builds(
    lambda x, y, wide, high: shapely.box(x, y, x + wide, y + high),
    st.floats(-3000, 3000), st.floats(-3000, 3000), st.floats(8, 3000), st.floats(8, 3000),
)  # fmt: skip


@pytest.mark.parametrize("texture", TEXTURES)
@settings(max_examples=25, deadline=None)
@given(surface=SURFACES, mm_per_px=st.floats(0.5, 15))
def test_a_texture_shows_and_stays_inside(texture, surface, mm_per_px):
    paths = texture_paths(surface, texture, mm_per_px)
    assert paths
    lines = shapely.MultiLineString([shapely.LineString(path) for path in paths])
    assert lines.length > 0
    assert surface.buffer(1e-6).covers(lines)


@pytest.mark.parametrize("texture", TEXTURES)
def test_holes_stay_clear(texture):
    hole = shapely.box(400, 400, 800, 800)
    surface = shapely.box(0, 0, 1200, 1200).difference(hole)
    lines = shapely.MultiLineString([shapely.LineString(path) for path in texture_paths(surface, texture, 5)])
    assert lines.intersection(hole.buffer(-1e-6)).length == 0


@pytest.mark.parametrize(("one", "other"), list(itertools.combinations(TEXTURES, 2)))
def test_no_two_textures_look_alike(one, other):
    """Told apart without colour: by the directions of the strokes, or by whether they run on or are short."""
    assert _looks(one) != _looks(other)


def _looks(texture: Texture) -> tuple[frozenset[int], bool]:
    paths = texture_paths(shapely.box(0, 0, 600, 400), texture, 3)
    # Directions to the nearest 15°: finer ones the eye does not tell apart.
    turns = {
        round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) / 15) % 12 for p in paths for a, b in itertools.pairwise(p)
    }
    return frozenset(turns), max(shapely.LineString(path).length for path in paths) > 60


def test_solid_is_bare_and_so_is_nothing():
    assert texture_paths(shapely.box(0, 0, 10, 10), "solid", 5) == ()
    assert texture_paths(shapely.Polygon(), "mist", 5) == ()


def test_hatch_of_kept_areas_is_seen_on_a_narrow_strip():
    strip = shapely.box(0, 0, 1500, 12)
    lines = hatch(strip, 90, 45)
    # Lines at 45° across 12 mm, at most 0.7 of its width apart: at least one for each 12 mm of length.
    assert len(lines) >= 1500 / 12
