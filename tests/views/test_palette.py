"""Colours: readable against their ground, the film ramp as published, and what a coat leaves to be seen."""

from __future__ import annotations

import plotly.colors
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.model import Coat
from bodymap.views import palette
from bodymap.views.palette import CIVIDIS, DARK, FILM_KNOTS_UM, LIGHT, blend, colour_over, contrast, film_colour, tint_share

COLOURS = st.tuples(*[st.integers(0, 255)] * 3).map(lambda rgb: "#{:02x}{:02x}{:02x}".format(*rgb))
TEXT_ROLES = ("ink", "ink_soft", "accent", "kept", "mask", "finding", "datum", "stack", "refused", "reading")


def coat(kind: str, colour: str | None = "#2f62a0", low=None, high=None) -> Coat:
    return Coat(coat_id="c", name="c", kind=kind, colour=colour, um_low=low, um_high=high)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # #767676 on white: the lightest grey that passes 4.5:1 (W3C technique G18; 4.54 from memory, not seen).
        ("#767676", "#ffffff", 4.54),
        ("#000000", "#ffffff", 21.0),
        ("#ffffff", "#ffffff", 1.0),
    ],
)
def test_contrast_of_known_pairs(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("theme", [LIGHT, DARK])
@pytest.mark.parametrize("role", TEXT_ROLES)
def test_text_and_marks_read_on_paper(theme, role):
    # WCAG 2.2, 1.4.3: 4.5:1 for text.
    assert contrast(theme[role], theme["paper"]) >= 4.5
    assert contrast(theme[role], theme["zone"]) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK])
@pytest.mark.parametrize("ground", ["unseen", "partly", "zone"])
def test_textures_are_seen_on_their_grounds(theme, ground):
    # WCAG 2.2, 1.4.11: 3:1 for graphics needed to understand.
    assert contrast(theme["texture"], theme[ground]) >= 3.0


def test_both_themes_know_the_same_roles():
    assert set(LIGHT) == set(DARK)


def test_the_ramp_is_cividis():
    # The same ten colours as the chart library publishes for it.
    assert list(CIVIDIS) == plotly.colors.sequential.Cividis
    assert len(CIVIDIS) == len(FILM_KNOTS_UM)


@given(st.floats(0, 2000), st.floats(0, 2000))
def test_thicker_film_is_never_darker(one, other):
    thin, thick = sorted((one, other))
    # One step of rounding in each channel is no difference.
    assert palette._luminance(film_colour(thick)) >= palette._luminance(film_colour(thin)) - 0.006


@given(COLOURS, COLOURS, st.floats(0, 1))
def test_a_blend_lies_between(upper, lower, share):
    for at in (1, 3, 5):
        a, b, mixed = (int(colour[at : at + 2], 16) for colour in (upper, lower, blend(upper, lower, share)))
        assert min(a, b) <= mixed <= max(a, b)


@given(COLOURS, COLOURS)
def test_clear_coats_and_lines_leave_the_colour(green, own):
    below = [(coat("colour", green), 40.0)]
    assert colour_over(None, [*below, (coat("clear", own), 45.0), (coat("line", own), 25.0)]) == green


@given(COLOURS, COLOURS)
def test_an_opaque_coat_hides_what_is_below(lower, upper):
    assert colour_over("#a7acb0", [(coat("primer", lower), None), (coat("colour", upper), None)]) == upper


def test_a_translucent_coat_shows_more_of_its_ground_the_thinner_it_is():
    silver = (coat("colour", "#c0c0c0"), 25.0)
    thin, thick = (colour_over(None, [silver, (coat("tinted", "#0000ff"), film)]) for film in (16.0, 40.0))
    assert thin == blend("#0000ff", "#c0c0c0", 1 - 0.5**0.8)
    assert thick == blend("#0000ff", "#c0c0c0", 0.75)
    assert int(thin[1:3], 16) > int(thick[1:3], 16) > 0


def test_film_of_a_translucent_coat_comes_from_the_place_then_from_the_coat():
    ranged = coat("tinted", low=36, high=44)
    assert palette.coat_film_um(ranged, 16) == 16
    assert palette.coat_film_um(ranged) == 40
    assert palette.coat_film_um(coat("tinted")) is None
    assert tint_share(None) == tint_share(40)


def test_nothing_seen_gives_no_colour():
    assert colour_over(None, []) is None
    assert colour_over(None, [(coat("clear"), 45.0)]) is None
    assert colour_over("#a7acb0", [(coat("clear"), 45.0)]) == "#a7acb0"
