"""Contours and volumes against closed forms, to 1 % as wanted (and better where the mesh allows)."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.film.contours import NODES_MOST, above, bands, grid_over, integral

PANEL = shapely.box(0, 0, 1100, 700).difference(shapely.Point(550, 0).buffer(250, quad_segs=64))


def values_on(grid, um_at):
    x, y = np.meshgrid(grid.x_mm, grid.y_mm)
    return um_at(x, y)


@pytest.mark.parametrize(
    ("mesh_mm", "level", "within"),
    [(5, 50, 0.001), (5, 150, 0.002), (10, 50, 0.002), (10, 150, 0.01), (20, 50, 0.01), (4, 250, 0.01)],
)
def test_a_cone_has_circles_for_contours_and_a_cone_for_volume(mesh_mm, level, within):
    # A cone 300 µm high on a circle of radius 200 mm: above a level lies a circle, and on it a smaller cone. Up to
    # radii of eight meshes both are within 1 %.
    square = shapely.box(-300, -300, 300, 300)
    grid = grid_over(square, mesh_mm)
    cone = values_on(grid, lambda x, y: 300 - 1.5 * np.hypot(x - 7, y + 3))
    circle = above(grid, cone, square, level)
    radius = (300 - level) / 1.5
    assert circle.area == pytest.approx(math.pi * radius**2, rel=within)
    assert integral(grid, cone - level, circle) == pytest.approx(math.pi * radius**2 * (300 - level) / 3, rel=within)


@pytest.mark.parametrize("slope", [(0.2, 0.0), (0.0, -0.3), (0.11, 0.07)])
def test_a_plane_is_cut_by_straight_lines(slope):
    grid = grid_over(PANEL, 10.0)
    plane = values_on(grid, lambda x, y: 200 + slope[0] * x + slope[1] * y)
    level = 200 + slope[0] * 480 + slope[1] * 300
    half = shapely.Polygon(
        [
            (
                480 + 3000 * (s * slope[1] + t * slope[0]) / math.hypot(*slope),
                300 + 3000 * (-s * slope[0] + t * slope[1]) / math.hypot(*slope),
            )
            for s, t in ((-1, 0), (1, 0), (1, 1), (-1, 1))
        ]
    )
    expected = PANEL.intersection(half)
    found = above(grid, plane, PANEL, level)
    assert found.area == pytest.approx(expected.area, rel=1e-9)
    assert found.symmetric_difference(expected).area < 1e-6 * PANEL.area
    centre = expected.centroid
    rise = 200 + slope[0] * centre.x + slope[1] * centre.y
    assert integral(grid, plane, expected) == pytest.approx(rise * expected.area, rel=1e-9)


def test_a_bump_that_runs_over_the_edge_loses_no_strip_there():
    # Half a paraboloid on the edge of a panel: its contour is half a circle up to the very edge.
    panel = shapely.box(0, 0, 600, 400)
    grid = grid_over(panel, 10.0)
    bump = values_on(grid, lambda x, y: 400 - 0.01 * ((x - 300) ** 2 + y**2))
    assert above(grid, bump, panel, 175.0).area == pytest.approx(math.pi * 150**2 / 2, rel=0.003)


@given(st.lists(st.floats(-50, 450), min_size=1, max_size=5, unique=True), st.integers(0, 5))
def test_bands_tile_the_panel(cuts, seed):
    chance = np.random.default_rng(seed)
    grid = grid_over(PANEL, 25.0)
    wave = values_on(grid, lambda x, y: 200 + 150 * np.sin(x / 90 + seed) * np.cos(y / 70) + chance.uniform(0, 9))
    found = bands(grid, wave, PANEL, [-math.inf, *sorted(cuts), math.inf])
    assert sum(band.area_mm2 for band in found) == pytest.approx(PANEL.area, rel=1e-9)
    assert shapely.union_all([band.geometry for band in found]).area == pytest.approx(PANEL.area, rel=1e-9)
    assert all(band.geometry.difference(PANEL).area < 1e-6 for band in found)


@given(st.floats(-100, 600), st.floats(8, 120))
def test_the_integral_of_a_constant_is_its_volume(value, mesh_mm):
    grid = grid_over(PANEL, mesh_mm)
    assert integral(grid, np.full(grid.form, value), PANEL) == pytest.approx(value * PANEL.area, rel=1e-9, abs=1e-3)


def test_a_mesh_too_fine_for_the_panel_is_widened():
    assert len(grid_over(PANEL, 0.5).nodes_mm) < 1.05 * NODES_MOST
    assert len(grid_over(PANEL, 10).nodes_mm) == (110 + 3) * (70 + 3)


def test_nothing_above_is_empty_and_everything_is_the_panel():
    grid = grid_over(PANEL, 20.0)
    flat = np.full(grid.form, 100.0)
    assert above(grid, flat, PANEL, 100.5).is_empty
    assert above(grid, flat, PANEL, 99.5).equals(PANEL) or above(grid, flat, PANEL, 99.5).area == pytest.approx(PANEL.area)
    assert integral(grid, flat, shapely.Polygon()) == 0


@pytest.mark.parametrize("levels", [[100.0], [100.0, 100.0], [200.0, 100.0]])
def test_levels_that_do_not_ascend_are_told(levels):
    grid = grid_over(PANEL, 50.0)
    with pytest.raises(BodymapError, match="contour levels"):
        bands(grid, np.zeros(grid.form), PANEL, levels)


def test_values_of_another_form_or_not_finite_are_told():
    grid = grid_over(PANEL, 50.0)
    for wrong in (np.zeros((2, 2)), np.full(grid.form, np.nan)):
        with pytest.raises(BodymapError, match="contour values"):
            bands(grid, wrong, PANEL, [0.0, 1.0])
