"""A step card ready to be drawn: how far the colour is off at every film, the film that is allowed, and zone by zone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bodymap.errors import BodymapError
from bodymap.finish.colour import ciede2000, hex_of_lab
from bodymap.finish.tint import CardStep
from bodymap.finish.tint_across import TintAcross, TintFilm, reference_um, tint_across, tint_films
from bodymap.finish.tint_report import TintReport
from bodymap.model import Record
from bodymap.settings import Settings

_POINTS = 120


@dataclass(frozen=True)
class CurvePoint:
    """ΔE00 at a film [µm] against the colour at the film asked about; `colour` as #rrggbb."""

    um: float
    delta_e: float
    colour: str


@dataclass(frozen=True)
class TintCurve:
    """What is drawn.

    Attributes:
        curve: by the law fitted, from no film to the thickest step or a little beyond what is asked.
        read: the steps of the card as they were read.
        limit: the ΔE00 that is allowed; `low_um`, `high_um`: the films between which it is kept (None: never left).
        last_um: the thickest step: beyond it the curve is a guess.
    """

    at_um: float
    limit: float
    low_um: float | None
    high_um: float | None
    last_um: float
    curve: tuple[CurvePoint, ...]
    read: tuple[CurvePoint, ...]


def tint_curve(report: TintReport, steps: Sequence[CardStep]) -> TintCurve:
    """The curve of a card and its report."""
    fit, allowed = report.fit, report.tolerance
    last = max(fit.range_um[1], allowed.at_um + (allowed.plus_um or 0.0))
    films = np.unique(np.concatenate([np.linspace(0.0, last, _POINTS), [allowed.at_um]]))
    colours, here = fit.colours(films), fit.colours(allowed.at_um)
    off = ciede2000(colours, here)
    curve = tuple(
        CurvePoint(float(um), float(delta_e), hex_of_lab(lab)) for um, delta_e, lab in zip(films, off, colours, strict=True)
    )
    read = tuple(
        CurvePoint(step.um, float(ciede2000(step.lab, here)), hex_of_lab(step.lab))
        for step in sorted(steps, key=lambda step: step.um)
    )
    low = None if allowed.minus_um is None else allowed.at_um - allowed.minus_um
    high = None if allowed.plus_um is None else allowed.at_um + allowed.plus_um
    return TintCurve(allowed.at_um, allowed.delta_e, low, high, fit.range_um[1], curve, read)


@dataclass(frozen=True)
class AcrossRow:
    """One zone: film of the tinted coat, colour and difference predicted; all figures None where `why_not` says why."""

    zone_id: str
    title: str
    film: TintFilm
    across: TintAcross | None
    colour: str | None
    why_not: str | None


@dataclass(frozen=True)
class Across:
    """A tinted coat across the body. `reference_um`: what zones are compared with; None: no zone's film can be told."""

    coat_id: str
    reference_um: float | None
    rows: tuple[AcrossRow, ...]


def across_body(
    record: Record, report: TintReport, coat_id: str, settings: Settings, reference: float | None = None
) -> Across:
    """Predicted colour zone by zone against one film [µm], or the median of the zones where none is asked.

    Raises:
        BodymapError: no such coat.
    """
    films = tint_films(record, coat_id, settings)
    if reference is None:
        try:
            reference = reference_um(films)
        except BodymapError:
            reference = None
    found = {}
    if reference is not None:
        rows = tint_across(report.fit, films, settings, reference, report.tolerance.delta_e)
        found = {row.film.zone_id: row for row in rows}
    shown = [
        AcrossRow(
            film.zone_id,
            record.zone[film.zone_id].title,
            film,
            found.get(film.zone_id),
            hex_of_lab(found[film.zone_id].lab) if film.zone_id in found else None,
            film.why_not,
        )
        for film in films
    ]
    shown.sort(key=lambda row: -row.across.delta_e if row.across else 1.0)
    return Across(coat_id, reference, tuple(shown))
