"""All that a step card says at one film: the object that the `bodymap tint` command prints, and the same in lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from bodymap.finish.tint import MODEL, CardStep, TintFit, delta_e_curve, delta_e_per_um, fit_card
from bodymap.finish.tint_tolerance import (
    GaugeVerdict,
    PassEffect,
    Tolerance,
    gauge_verdict,
    pass_effect,
    tolerance,
)
from bodymap.settings import Settings


@dataclass(frozen=True)
class TintReport:
    """A fitted card and what it says at one film. `effect`: None where the film of a pass is not stated."""

    fit: TintFit
    curve: tuple[tuple[float, float], ...]
    slope_per_um: float
    tolerance: Tolerance
    effect: PassEffect | None
    gauge: GaugeVerdict
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The object that the `bodymap tint` command prints; keys that do not apply are absent."""
        allowed = self.tolerance
        report: dict[str, Any] = {
            "fit": _fit_json(self.fit),
            "delta_e_per_um": [list(point) for point in self.curve],
            "tolerance_um": _present(
                delta_e=allowed.delta_e, at_um=allowed.at_um, minus=allowed.minus_um, plus=allowed.plus_um
            ),
            "gauge": _present(
                reading_um=self.gauge.reading_um, u_um=self.gauge.u_um, sees=self.gauge.sees, verdict=self.gauge.words
            ),
            "notes": list(self.notes),
        }
        if self.effect:
            report["pass"] = _present(
                um=self.effect.pass_um, one_less_delta_e=self.effect.one_less, one_more_delta_e=self.effect.one_more
            )
        return report

    def lines(self) -> Iterator[str]:
        """The report for reading."""
        fit, allowed = self.fit, self.tolerance
        missed = f"ΔE {fit.rms_delta_e:.2f} (rms), at worst {fit.worst.delta_e:.2f} at {fit.worst.um:g} µm"
        yield f"{fit.steps} steps up to {fit.range_um[1]:g} µm; the law misses them by {missed}"
        for channel in fit.channels:
            if channel.attenuation_per_um is not None:
                u = "" if channel.u_per_um is None else f" ± {channel.u_per_um:.5f}"
                yield f"  {channel.name}: attenuation {channel.attenuation_per_um:.5f}{u} per µm, one way"
        minus, plus = (f"{side:.1f}" if side is not None else "any" for side in (allowed.minus_um, allowed.plus_um))
        yield f"At {allowed.at_um:g} µm: ΔE {self.slope_per_um:.2f} per µm; ΔE {allowed.delta_e:g} is −{minus} / +{plus} µm"
        if self.effect:
            less = "" if self.effect.one_less is None else f"one pass less ΔE {self.effect.one_less:.1f}, "
            yield f"A pass of {self.effect.pass_um:g} µm: {less}one more ΔE {self.effect.one_more:.1f}"
        yield self.gauge.words[:1].upper() + self.gauge.words[1:]


def tint_report(
    steps: tuple[CardStep, ...],
    settings: Settings,
    *,
    name: str = "step card",
    at_um: float | None = None,
    delta_e: float | None = None,
    pass_um: float | None = None,
    reading_um: float | None = None,
) -> TintReport:
    """Fit a card and say what it says.

    Args:
        steps: the readings of the card.
        settings: the figures in force.
        name: of the card, for messages.
        at_um: the film asked about [µm]; None: the middle of the card, and that is noted.
        delta_e: the ΔE00 allowed; None: the working figure.
        pass_um: film of one pass [µm]; None: not stated.
        reading_um: what the gauge reads with all coats under it [µm]; None: the tinted coat alone, and that is noted.

    Raises:
        BodymapError: a senseless card (Faults), or a figure outside its range.
    """
    fit, notes = fit_card(steps, settings, name), []
    if at_um is None:
        at_um = fit.range_um[1] / 2
        notes.append(f"film asked about not stated: the middle of the card, {at_um:g} µm")
    if delta_e is None:
        figure = settings.figures["tint_delta_e"]
        delta_e = figure.value
        notes.append(f"ΔE {delta_e:g} allowed: {figure.basis}; {figure.source}")
    allowed = tolerance(fit, delta_e, at_um)
    if reading_um is None:
        reading_um = at_um
        notes.append("reading of the whole build not stated: the gauge is judged on the tinted coat alone, at its best")
    return TintReport(
        fit=fit,
        curve=delta_e_curve(fit),
        slope_per_um=delta_e_per_um(fit, at_um),
        tolerance=allowed,
        effect=None if pass_um is None else pass_effect(fit, at_um, pass_um),
        gauge=gauge_verdict(allowed, reading_um, settings),
        notes=(*notes, *fit.notes, *allowed.notes),
    )


def _fit_json(fit: TintFit) -> dict[str, Any]:
    return {
        "model": MODEL,
        "channels": {
            channel.name: _present(
                ground=channel.ground,
                attenuation_per_um=channel.attenuation_per_um,
                u_per_um=channel.u_per_um,
                n=channel.n,
            )
            for channel in fit.channels
        },
        "range_um": list(fit.range_um),
        "steps": fit.steps,
        "residuals": [
            {"um": one.um, "delta_e": one.delta_e, "read": list(one.read), "fitted": list(one.fitted)}
            for one in fit.residuals
        ],
        "rms_delta_e": fit.rms_delta_e,
        "max_delta_e": fit.worst.delta_e,
    }


def _present(**values: Any) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value is not None}
