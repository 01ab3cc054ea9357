"""Colour conversions and differences against published tables and a reference library."""

from __future__ import annotations

import csv
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.finish.colour import (
    ciede2000,
    hex_of_lab,
    lab_of_linear,
    lab_of_srgb8,
    linear_of_lab,
    linear_of_signal,
    linear_of_xyz,
    signal_of,
)

with warnings.catch_warnings():  # it warns of optional packages that are not there
    warnings.simplefilter("ignore")
    import colour as reference

DATA = Path(__file__).parent / "data"
LABS = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))
D65 = reference.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]


def pairs():
    """Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21–30, table 1."""
    with (DATA / "ciede2000.csv").open(newline="") as file:
        return [[float(cell) for cell in row.values()] for row in csv.DictReader(file)]


def test_all_34_pairs_are_there():
    assert len(pairs()) == 34


@pytest.mark.parametrize("row", pairs(), ids=range(1, 35))
def test_published_pairs_both_ways(row):
    one, other, published = row[:3], row[3:6], row[6]
    assert float(ciede2000(one, other)) == pytest.approx(published, abs=1e-4)
    assert float(ciede2000(other, one)) == pytest.approx(published, abs=1e-4)


def test_an_exact_tie_of_hues_does_not_hang_on_the_last_bit():
    # Pair 14 of the table lies exactly 180° apart: 4.8045, and 4.7461 on the other side of the tie. Opposite hues all
    # round, each turned by far less than anything measured: the mean hue must not jump to the other side.
    round_about, nudges = np.radians(np.arange(0.5, 180, 1))[:, None], np.array([-2e-15, 0.0, 2e-15])
    one = np.stack([np.full((180, 1), 50.0), 2.49 * np.cos(round_about), 2.49 * np.sin(round_about)], axis=-1)
    turned = round_about + np.pi + nudges
    other = np.stack([np.full((180, 3), 50.0), 2.49 * np.cos(turned), 2.49 * np.sin(turned)], axis=-1)
    differences = ciede2000(one, other)
    assert np.ptp(differences, axis=1).max() < 1e-6


# IEC 61966-2-1:1999 with its four-digit matrix, D65 x 0.3127 y 0.3290: computed with colour-science 0.4.7. Widely
# printed values differ by up to 0.03, rounding of matrix and white point; hence 0.05.
@pytest.mark.parametrize(
    ("rgb", "lab"),
    [
        ((255, 0, 0), (53.233, 80.111, 67.224)),
        ((0, 255, 0), (87.737, -86.183, 83.188)),
        ((0, 0, 255), (32.303, 79.198, -107.850)),
        ((255, 255, 0), (97.138, -21.554, 94.490)),
        ((0, 255, 255), (91.117, -48.078, -14.124)),
        ((255, 0, 255), (60.320, 98.256, -60.830)),
        ((128, 128, 128), (53.585, 0.005, 0.002)),
        ((119, 119, 119), (50.034, 0.004, 0.002)),
        ((255, 255, 255), (100.000, 0.008, 0.004)),
    ],
)
def test_srgb_to_lab(rgb, lab):
    assert lab_of_srgb8(rgb).tolist() == pytest.approx(lab, abs=0.05)
    assert hex_of_lab(lab) == "#{:02x}{:02x}{:02x}".format(*rgb)


def test_coding_of_the_standard():
    # IEC 61966-2-1, from memory; 0.214041 and 0.0031308 computed with colour-science 0.4.7.
    assert float(linear_of_signal(0.5)) == pytest.approx(0.214041, abs=5e-7)
    assert float(linear_of_signal(0.04045)) == pytest.approx(0.0031308, abs=5e-8)
    # First row of the seven-digit inverse matrix of the amendment (ICC note on sRGB).
    assert linear_of_xyz(np.eye(3))[:, 0].tolist() == pytest.approx([3.2406255, -1.537208, -0.4986286], abs=5e-7)


def test_many_colours_against_the_reference_library():
    chance = np.random.default_rng(1)
    signal = chance.uniform(0, 1, (5000, 3))
    lab = lab_of_linear(linear_of_signal(signal))
    assert np.abs(lab - reference.XYZ_to_Lab(reference.sRGB_to_XYZ(signal), D65)).max() < 1e-9
    far = chance.permutation(lab)
    near = lab + chance.normal(0, 1, lab.shape)
    for other in (far, near):
        assert np.abs(ciede2000(lab, other) - reference.delta_E(lab, other, method="CIE 2000")).max() < 1e-9


@settings(deadline=None)
@given(LABS, LABS)
def test_a_difference_is_symmetric_and_nothing_only_for_equals(one, other):
    assert float(ciede2000(one, one)) == 0
    assert float(ciede2000(one, other)) == pytest.approx(float(ciede2000(other, one)), rel=1e-9, abs=1e-12)
    assert one == other or float(ciede2000(one, other)) >= 0


@settings(deadline=None)
@given(LABS)
def test_there_and_back(lab):
    light = linear_of_lab(lab)
    assert lab_of_linear(light).tolist() == pytest.approx(lab, abs=1e-9)
    assert linear_of_signal(signal_of(light)).tolist() == pytest.approx(light.tolist(), rel=1e-9, abs=1e-9)
