"""Step cards against the Beer–Lambert law, Kubelka–Munk's limit without scatter, and the invented vehicle's own figures."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.exchange.step_card import parse_step_card
from bodymap.finish.colour import ciede2000, lab_of_linear, linear_of_lab, signal_of
from bodymap.finish.tint import CardStep, delta_e_curve, delta_e_per_um, fit_card
from bodymap.finish.tint_report import tint_report
from bodymap.finish.tint_tolerance import tolerance
from bodymap.settings import in_force
from demo import __file__ as demo_file

SETTINGS = in_force()
SILVER = (0.49, 0.52, 0.54)
BLUE = (0.033, 0.0165, 0.0047)
FILMS = (0, 8, 16, 24, 32, 40, 48, 56, 64)
ATTENUATIONS = st.tuples(*[st.floats(0.0005, 0.03)] * 3)


def card(ground=SILVER, attenuation=BLUE, films=FILMS):
    """The card that the law itself makes: light goes down through the film and up again."""
    light = [[g * math.exp(-a * um) ** 2 for g, a in zip(ground, attenuation, strict=True)] for um in films]
    return [CardStep(um, tuple(lab.tolist())) for um, lab in zip(films, lab_of_linear(light), strict=True)]


def fitted(**law):
    return fit_card(card(**law), SETTINGS)


def attenuations(fit):
    return [channel.attenuation_per_um for channel in fit.channels]


# IUPAC Gold Book (definition; from memory, not seen): absorbance A = −lg T, so A 1 is T 0.1, A 0.3 is 0.501187.
@pytest.mark.parametrize(("absorbance", "through"), [(1, 0.1), (2, 0.01), (0.3, 0.501187), (0.1, 0.794328)])
def test_absorbance_and_transmittance(absorbance, through):
    per_um = absorbance * math.log(10) / 50
    fit = fitted(attenuation=(per_um, per_um / 2, per_um / 3), films=(0, 10, 20, 30, 40))
    assert fit.transmittance(50)[0] == pytest.approx(through, abs=1e-6)


# Kubelka & Munk without scatter: K 0.1, S 0, ground 0.8 gives R 0.654985 at X 1 and 0.536256 at X 2 (computed by
# integrating dR/dX = S − 2 (K + S) R + S R²).
@pytest.mark.parametrize(("thickness", "reflectance"), [(1, 0.654985), (2, 0.536256)])
def test_the_limit_of_kubelka_and_munk_without_scatter(thickness, reflectance):
    fit = fitted(ground=(0.8, 0.8, 0.8), attenuation=(0.1, 0.1, 0.1), films=(0, 0.5, 1.5, 2.5))
    assert linear_of_lab(fit.colour_at(thickness)).tolist() == pytest.approx([reflectance] * 3, abs=1e-6)


@settings(deadline=None)
@given(ATTENUATIONS, st.floats(0, 60), st.floats(0, 60))
def test_beer_lambert(attenuation, one, other):
    fit = fitted(attenuation=attenuation)
    assert attenuations(fit) == pytest.approx(attenuation, rel=1e-6)
    assert fit.transmittance(0) == (1, 1, 1)
    both = [a * b for a, b in zip(fit.transmittance(one), fit.transmittance(other), strict=True)]
    assert fit.transmittance(one + other) == pytest.approx(both)
    assert fit.transmittance(2 * one) == pytest.approx([t**2 for t in fit.transmittance(one)])
    light = linear_of_lab(fit.colour_at(one))
    assert light.tolist() == pytest.approx([g * t**2 for g, t in zip(SILVER, fit.transmittance(one), strict=True)], abs=1e-9)


@settings(deadline=None)
@given(ATTENUATIONS, st.floats(0.2, 3), st.floats(5, 60))
def test_at_the_tolerance_the_colour_is_off_by_just_so_much(attenuation, delta_e, at_um):
    fit = fitted(attenuation=attenuation)
    allowed = tolerance(fit, delta_e, at_um)
    for sign, side in ((-1, allowed.minus_um), (1, allowed.plus_um)):
        if side is not None:
            assert fit.delta_e(at_um, at_um + sign * side) == pytest.approx(delta_e, rel=1e-6)
            inside = np.linspace(0, side, 40, endpoint=False)
            off = ciede2000(fit.colours(at_um), fit.colours(at_um + sign * inside))
            assert (off < delta_e).all()
    if allowed.minus_um is None:
        assert fit.delta_e(at_um, 0) < delta_e


@settings(deadline=None)
@given(ATTENUATIONS, st.floats(1, 60))
def test_the_slope_is_that_of_small_steps(attenuation, um):
    fit = fitted(attenuation=attenuation)
    assert delta_e_per_um(fit, um) == pytest.approx(fit.delta_e(um - 0.1, um + 0.1) / 0.2, rel=1e-3)


def test_the_curve_goes_over_the_card_and_sums_to_the_way_travelled():
    fit = fitted()
    curve = delta_e_curve(fit)
    assert (curve[0][0], curve[-1][0]) == (0, 64)
    assert 30 <= len(curve) <= 70
    films, slopes = np.array(curve).T
    way = sum(fit.delta_e(a, a + 0.5) for a in np.arange(0, 64, 0.5))
    assert np.trapezoid(slopes, films) == pytest.approx(way, rel=0.01)


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_uncertainty_covers_the_truth_with_readings_that_are_out(seed):
    # Five standard errors of at most eight readings: Student's t (7) leaves 0.16 % for each channel, so a few of many
    # draws may lie outside; ten are allowed.
    chance = np.random.default_rng(seed)
    steps = card()
    coded = signal_of(linear_of_lab([step.lab for step in steps]))
    coded[1:] += chance.normal(0, 1 / 255, coded[1:].shape)
    light = np.where(coded > 0.04045, ((np.maximum(coded, 0.04045) + 0.055) / 1.055) ** 2.4, coded / 12.92)
    read = [CardStep(step.um, tuple(lab)) for step, lab in zip(steps, lab_of_linear(light).tolist(), strict=True)]
    fit = fit_card(read, SETTINGS)
    for channel, true in zip(fit.channels, BLUE, strict=True):
        assert abs(channel.attenuation_per_um - true) < 10 * channel.u_per_um
        assert abs(channel.attenuation_per_um / true - 1) < 0.08


def test_least_squares_against_numpy():
    # The same minimum found by numpy's general solver on the weighted equations.
    chance = np.random.default_rng(3)
    steps = [CardStep(s.um, tuple((np.array(s.lab) + chance.normal(0, 0.8, 3)).tolist())) for s in card()]
    light = linear_of_lab([step.lab for step in steps])
    films, fit = np.array(FILMS[1:], float), fit_card(steps, SETTINGS)
    for k, channel in enumerate(fit.channels):
        root = signal_of(light[1:, k]) + 0.055
        fall = np.log(light[1:, k] / light[0, k])
        found, rest, *_ = np.linalg.lstsq((root * -2 * films)[:, None], root * fall, rcond=None)
        assert channel.attenuation_per_um == pytest.approx(found[0])
        u = math.sqrt(rest[0] / 7 / np.sum((root * 2 * films) ** 2))
        assert channel.u_per_um == pytest.approx(u)


def test_the_demo_card_gives_the_figures_of_the_invented_vehicle():
    # The demo's story, no outside source: 40 µm over silver 0.4–0.6 ΔE per µm, ±1.6–2.6 µm for ΔE 1; roof 56 µm against
    # body 40 µm ΔE 6–8; one pass of 8 µm about 3–4.6.
    path = Path(demo_file).parent / "step_card.csv"
    steps = parse_step_card(path.name, path.read_bytes()).steps
    report = tint_report(steps, SETTINGS, at_um=40, pass_um=8, reading_um=255)
    assert 0.4 <= report.slope_per_um <= 0.6
    assert 1.6 <= report.tolerance.minus_um <= report.tolerance.plus_um <= 2.6
    assert 6 <= report.fit.delta_e(56, 40) <= 8
    assert 3 <= report.effect.one_more <= 4.6
    assert report.gauge.sees is False
    assert "count passes" in report.gauge.words
