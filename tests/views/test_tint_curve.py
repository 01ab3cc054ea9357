"""The step card as drawn: a card made by the law itself, its band, and zones compared."""

from __future__ import annotations

import math

import pytest

from bodymap.finish.colour import lab_of_linear
from bodymap.finish.tint import CardStep
from bodymap.finish.tint_report import tint_report
from bodymap.settings import in_force
from bodymap.views.tint_curve import across_body, tint_curve
from dashboard.figures.tint_curve import tint_figure
from tests.finish.tinted_van import van

SETTINGS = in_force()
GROUND, FALL = (0.55, 0.55, 0.56), (0.03, 0.015, 0.004)


def card():
    """A card that follows R = Rg · exp(−2 · attenuation · film) to the last digit."""
    return tuple(
        CardStep(um, tuple(lab_of_linear([g * math.exp(-2 * a * um) for g, a in zip(GROUND, FALL, strict=True)]).tolist()))
        for um in (0.0, 8.0, 16.0, 24.0, 32.0, 40.0, 48.0)
    )


def report(**asked):
    return tint_report(card(), SETTINGS, at_um=40.0, delta_e=1.0, **asked)


def test_the_band_is_where_the_curve_meets_the_limit():
    said = report()
    view = tint_curve(said, card())
    assert view.low_um == pytest.approx(40 - said.tolerance.minus_um)
    assert view.high_um == pytest.approx(40 + said.tolerance.plus_um)
    inside = [point.delta_e for point in view.curve if view.low_um < point.um < view.high_um]
    outside = [point.delta_e for point in view.curve if not view.low_um <= point.um <= view.high_um]
    assert inside
    assert max(inside) < 1 < min(outside)
    assert min(point.delta_e for point in view.curve) == pytest.approx(0, abs=1e-9)
    # A perfect card lies on its curve.
    for read in view.read:
        assert read.delta_e == pytest.approx(said.fit.delta_e(read.um, 40), abs=1e-6)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_it_is_drawn_with_band_and_words(theme):
    view = tint_curve(report(), card())
    figure = tint_figure(view, theme)
    words = " ".join(note.text for note in figure.layout.annotations)
    assert "ΔE 1 allowed" in words
    assert f"{view.low_um:.1f} to {view.high_um:.1f} µm" in words
    assert {trace.name for trace in figure.data} >= {"law", "steps as read"}


def test_zones_are_compared_by_their_film():
    readings = [("body", um, "as found") for um in (99, 100, 101)] + [("door", um, "as found") for um in (139, 140, 141)]
    record = van(readings=readings, layers=[("body", "p t"), ("door", "p t")])
    found = across_body(record, report(), "t", SETTINGS)
    # Primer 40–60 µm: 100 − 50 = 50 and 140 − 50 = 90 µm; the median of the two is 70 µm.
    assert found.reference_um == pytest.approx(70)
    assert {row.zone_id: row.film.um for row in found.rows} == pytest.approx({"body": 50, "door": 90})
    assert all(row.across.delta_e > 0 and row.colour.startswith("#") for row in found.rows)
    asked = across_body(record, report(), "t", SETTINGS, reference=50.0)
    by_zone = {row.zone_id: row for row in asked.rows}
    assert by_zone["body"].across.delta_e == pytest.approx(0, abs=1e-9)
    assert by_zone["door"].across.verdict == "differs"
    assert asked.rows[0].zone_id == "door", "the farthest first"


def test_where_no_film_can_be_told_it_says_why():
    record = van(readings=[("body", 100, "as found")], layers=[("body", "p t t")])
    found = across_body(record, report(), "t", SETTINGS)
    assert found.reference_um is None
    assert "is not there once" in found.rows[0].why_not
