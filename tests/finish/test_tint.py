"""Step cards that make no sense or say little, and what is said of them."""

from __future__ import annotations

import math

import pytest

from bodymap.errors import BodymapError, Faults
from bodymap.finish.colour import lab_of_linear, lab_of_srgb8
from bodymap.finish.tint import CardStep, delta_e_per_um, fit_card
from bodymap.finish.tint_report import tint_report
from bodymap.finish.tint_tolerance import gauge_verdict, pass_effect, tolerance
from bodymap.settings import in_force
from tests.outside.test_tint import SILVER, card

SETTINGS = in_force()


def step(um, *light):
    return CardStep(um, tuple(lab_of_linear(light or SILVER).tolist()))


@pytest.mark.parametrize(
    ("films", "said"),
    [
        ((8, 16, 24, 32), ["no row with um 0"]),
        ((0, 0, 8, 16, 24), ["2 rows with um 0"]),
        ((0, 8, 16), ["2 steps of different film"]),
        ((0, 8, 8, 8), ["1 step of different film"]),
        ((0, -8, 8, 16, 24), ["found -8"]),
        ((0, math.nan, 8, 16, 24), ["found nan"]),
        ((), ["no row with um 0", "0 steps"]),
        ((-1, -2), ["found -1", "found -2", "no row with um 0", "0 steps"]),
    ],
)
def test_senseless_cards_are_refused_with_all_that_is_wrong(films, said):
    with pytest.raises(Faults) as refused:
        fit_card([step(um) for um in films], SETTINGS, "card.csv")
    assert len(refused.value.faults) == len(said)
    for words in said:
        assert words in str(refused.value)


def test_a_black_ground_is_refused():
    with pytest.raises(Faults, match="black in every channel"):
        fit_card([step(um, 0, 0, 0) for um in (0, 8, 16, 24)], SETTINGS)


def test_a_good_card_needs_no_notes():
    fit = fit_card(card(), SETTINGS)
    assert fit.notes == ()
    assert (fit.steps, fit.range_um) == (8, (0, 64))
    assert fit.worst.delta_e < 1e-9


def test_order_of_rows_does_not_matter():
    assert fit_card(card()[::-1], SETTINGS) == fit_card(card(), SETTINGS)


def test_a_channel_too_dark_to_be_read_is_left_out_and_named():
    red = [
        CardStep(um, tuple(lab_of_srgb8(rgb).tolist()))
        for um, rgb in ((0, (200, 0, 0)), (10, (170, 0, 0)), (20, (145, 0, 0)), (30, (123, 0, 0)))
    ]
    fit = fit_card(red, SETTINGS)
    assert [channel.attenuation_per_um is None for channel in fit.channels] == [False, True, True]
    assert [note.partition(":")[0] for note in fit.notes] == ["green", "blue"]
    deep = fit_card(card(attenuation=(0.08, 0.02, 0.01)), SETTINGS)
    assert deep.channels[0].n < 8
    assert "readings too dark" in deep.notes[0]
    assert deep.channels[0].attenuation_per_um == pytest.approx(0.08)


def test_steps_changed_about_are_remarked_on():
    steps = card()
    steps[2], steps[3] = CardStep(steps[2].um, steps[3].lab), CardStep(steps[3].um, steps[2].lab)
    notes = " ".join(fit_card(steps, SETTINGS).notes)
    assert "from 16 to 24 µm although film grows" in notes
    assert "the law misses the step of" in notes


def test_noise_of_a_reading_is_not_remarked_on():
    steps = [CardStep(one.um, (one.lab[0] + (0.3 if k % 2 else -0.3), *one.lab[1:])) for k, one in enumerate(card())]
    assert fit_card(steps, SETTINGS).notes == ()


def test_a_coat_that_grows_lighter_is_no_tint():
    steps = [step(um, *(0.2 * math.exp(0.02 * um) for _ in range(3))) for um in (0, 10, 20, 30)]
    assert any("the law fitted does not hold" in note for note in fit_card(steps, SETTINGS).notes)


def test_a_coat_that_hides_does_not_follow_the_law():
    # Two thirds hidden at 8 µm and no change after: the law cannot follow, and that is said.
    steps = [step(0), *(step(um, 0.1, 0.15, 0.3) for um in (8, 16, 24, 32))]
    assert any("tolerances from this card are no better" in note for note in fit_card(steps, SETTINGS).notes)


# --- tolerance --------------------------------------------------------------------------------------------------------


def test_beyond_the_card_is_said():
    fit = fit_card(card(), SETTINGS)
    assert tolerance(fit, 1, 40).notes == ()
    assert "beyond the thickest step" in tolerance(fit, 1, 63.5).notes[0]
    assert "plus reaches" in tolerance(fit, 1, 63.5).notes[0]
    assert "spray a thicker step" in tolerance(fit, 1, 80).notes[0]


def test_a_side_that_is_never_reached_is_none_and_said():
    fit = fit_card(card(), SETTINGS)
    thin = tolerance(fit, 5, 1)
    assert (thin.minus_um, thin.plus_um is not None) == (None, True)
    assert any(note.startswith("minus") for note in thin.notes)
    deep = tolerance(fit, 90, 64)
    assert deep.plus_um is None
    assert any(note.startswith("plus") for note in deep.notes)
    assert gauge_verdict(tolerance(fit, 90, 1), 100, SETTINGS).sees is None


@pytest.mark.parametrize(("delta_e", "at_um"), [(0, 40), (-1, 40), (math.nan, 40), (1, -1), (1, math.nan), (1, math.inf)])
def test_figures_out_of_range_are_refused(delta_e, at_um):
    with pytest.raises(BodymapError, match="allowed"):
        tolerance(fit_card(card(), SETTINGS), delta_e, at_um)


def test_films_below_nothing_are_refused():
    fit = fit_card(card(), SETTINGS)
    for ask in (fit.colour_at, fit.transmittance, lambda um: fit.delta_e(um, 1), lambda um: delta_e_per_um(fit, um)):
        with pytest.raises(BodymapError, match="0 µm or more"):
            ask(-0.1)
    with pytest.raises(BodymapError, match="film of a pass"):
        pass_effect(fit, 40, 0)


# ASTM E376-11, note 2: ±10 % or ±2.5 µm, whichever is greater.
@pytest.mark.parametrize(
    ("reading_um", "u_um", "sees"), [(15, 2.5, False), (25, 2.5, False), (255, 25.5, False), (10, 2.5, False)]
)
def test_the_gauge_is_judged_by_its_uncertainty_on_the_whole_build(reading_um, u_um, sees):
    said = gauge_verdict(tolerance(fit_card(card(), SETTINGS), 1, 40), reading_um, SETTINGS)
    assert (said.u_um, said.sees) == (pytest.approx(u_um), sees)


def test_a_weak_tint_can_be_gauged():
    weak = fit_card(card(attenuation=(0.004, 0.002, 0.0008)), SETTINGS)
    said = gauge_verdict(tolerance(weak, 1, 40), 60, SETTINGS)
    assert said.tolerance_um > 6 == said.u_um
    assert said.sees is True
    assert "can see this" in said.words


def test_a_pass_less_than_there_is_cannot_be_left_out():
    fit = fit_card(card(), SETTINGS)
    assert pass_effect(fit, 5, 8).one_less is None
    assert pass_effect(fit, 40, 8).one_more == pytest.approx(fit.delta_e(40, 48))
    assert pass_effect(fit, 40, 8).one_less == pytest.approx(fit.delta_e(40, 32))


def test_what_is_not_asked_is_said():
    said = " ".join(tint_report(tuple(card()), SETTINGS).notes)
    assert "the middle of the card, 32 µm" in said
    assert "unsourced working value" in said
    assert "the tinted coat alone" in said
    assert tint_report(tuple(card()), SETTINGS, at_um=40, delta_e=1, reading_um=255).notes == ()


def test_a_channel_that_hardly_changes_is_not_said_to_grow_lighter_for_the_noise_of_its_readings():
    still, lighter = [], []
    for k, um in enumerate((0, 10, 20, 30, 40)):
        red = 180 - 2 * um
        still.append(CardStep(um, tuple(lab_of_srgb8((red, 150 + (k % 2) * 1.5, 120)).tolist())))
        lighter.append(CardStep(um, tuple(lab_of_srgb8((red, 150 + um / 8 + (k % 2) * 1.5, 120)).tolist())))
    assert not any("lighter" in note for note in fit_card(still, SETTINGS).notes)
    assert [note.partition(" ")[0] for note in fit_card(lighter, SETTINGS).notes if "lighter" in note] == ["green"]


def test_the_narrower_side_is_what_the_gauge_has_to_see():
    allowed = tolerance(fit_card(card(), SETTINGS), 3, 40)
    assert allowed.minus_um < allowed.plus_um
    assert gauge_verdict(allowed, 40, SETTINGS).tolerance_um == allowed.minus_um
    assert tolerance(fit_card(card(), SETTINGS), 5, 1).least_um is not None
