"""How much film a tinted coat forgives for a chosen colour difference, what one pass does, and whether a gauge sees it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bodymap.errors import BodymapError
from bodymap.film.uncertainty import gauge_u_um
from bodymap.finish.colour import Array, ciede2000
from bodymap.finish.tint import TintFit
from bodymap.settings import Settings

# No coat is as thick: where the colour has not changed enough by then, it never will.
_MOST_UM = 1e5
_GRID = 512
_HALVINGS = 60


@dataclass(frozen=True)
class Tolerance:
    """Film that may be missing (`minus_um`) or too much (`plus_um`) at `at_um` before the colour is off by `delta_e`.

    None: on that side the colour never gets so far off, however much film there is (or with none at all).
    `notes`: what of it lies beyond the card.
    """

    delta_e: float
    at_um: float
    minus_um: float | None
    plus_um: float | None
    notes: tuple[str, ...]

    @property
    def least_um(self) -> float | None:
        """The smaller of the two; None where there is neither."""
        return min((side for side in (self.minus_um, self.plus_um) if side is not None), default=None)


@dataclass(frozen=True)
class PassEffect:
    """What one pass of `pass_um` does at a film [ΔE00]: one less (None: there is no whole one to leave out), one more."""

    pass_um: float
    one_less: float | None
    one_more: float


@dataclass(frozen=True)
class GaugeVerdict:
    """Whether a gauge that reads `reading_um` (all coats together) can see the film tolerance.

    `sees`: None where no film tolerance is there to be seen.
    """

    reading_um: float
    u_um: float
    tolerance_um: float | None
    sees: bool | None
    words: str


def tolerance(fit: TintFit, delta_e: float, at_um: float) -> Tolerance:
    """Film tolerance at `at_um` [µm] for a chosen ΔE00: the nearest film on either side which is that far off.

    Raises:
        BodymapError: ΔE not above 0, or a film below 0.
    """
    if not 0 < delta_e < math.inf:
        raise BodymapError(f"ΔE: found {delta_e:g}; allowed: greater than 0")
    if not 0 <= at_um < math.inf:
        raise BodymapError(f"film: found {at_um:g} µm; allowed: a film of 0 µm or more")
    minus = _nearest(fit, delta_e, at_um, -1.0, at_um)
    plus, reach = None, max(fit.range_um[1], at_um)
    while plus is None and reach <= _MOST_UM:
        plus, reach = _nearest(fit, delta_e, at_um, 1.0, reach), 4 * reach
    return Tolerance(delta_e, at_um, minus, plus, tuple(_beyond(fit, delta_e, at_um, minus, plus)))


def _nearest(fit: TintFit, delta_e: float, at_um: float, sign: float, reach_um: float) -> float | None:
    """Least change of film up to `reach_um` at which the colour is off by `delta_e`; None where there is none."""

    def off(change: Array) -> Array:
        return ciede2000(fit.colours(at_um), fit.colours(at_um + sign * change))

    changes = np.linspace(0.0, reach_um, _GRID + 1)
    reached = np.flatnonzero(off(changes) >= delta_e)
    if not reached.size:
        return None
    high = float(changes[reached[0]])
    low = float(changes[reached[0] - 1])
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if float(off(np.array(middle))) >= delta_e else (middle, high)
    return high


def _beyond(fit: TintFit, delta_e: float, at_um: float, minus: float | None, plus: float | None) -> list[str]:
    last, notes = fit.range_um[1], []
    if not fit.within(at_um):
        notes.append(f"{at_um:g} µm is beyond the thickest step, {last:g} µm: a guess, spray a thicker step")
    elif plus is not None and at_um + plus > last:
        notes.append(f"plus reaches {at_um + plus:.1f} µm, beyond the thickest step, {last:g} µm: a guess there")
    if minus is None:
        notes.append(f"minus: even without the tinted coat the colour is off by less than ΔE {delta_e:g}")
    if plus is None:
        notes.append(f"plus: no more film brings the colour off by ΔE {delta_e:g}")
    return notes


def pass_effect(fit: TintFit, at_um: float, pass_um: float) -> PassEffect:
    """ΔE00 of one pass less and one pass more at a film [µm].

    Raises:
        BodymapError: a film below 0, or a film of a pass [µm] not above it.
    """
    if not 0 < pass_um < math.inf:
        raise BodymapError(f"film of a pass: found {pass_um:g} µm; allowed: greater than 0")
    less = fit.delta_e(at_um, at_um - pass_um) if pass_um <= at_um else None
    return PassEffect(pass_um, less, fit.delta_e(at_um, at_um + pass_um))


def gauge_verdict(allowed: Tolerance, reading_um: float, settings: Settings) -> GaugeVerdict:
    """Compare a tolerance with the uncertainty of one reading of all coats together [µm], the gauge's drift included.

    A gauge reads the whole build; what it is out by there, the film of the tinted coat is out by.

    Raises:
        BodymapError: a reading below 0.
    """
    if not 0 <= reading_um < math.inf:
        raise BodymapError(f"reading: found {reading_um:g} µm; allowed: 0 µm or more")
    u, least = gauge_u_um(reading_um, settings), allowed.least_um
    if least is None:
        words = f"no film brings the colour off by ΔE {allowed.delta_e:g}: there is nothing to be gauged"
        return GaugeVerdict(reading_um, u, None, None, words)
    held = f"film may be out by {least:.1f} µm for ΔE {allowed.delta_e:g}; a reading of {reading_um:g} µm by ±{u:.1f} µm"
    if least > u:
        return GaugeVerdict(reading_um, u, least, sees=True, words=f"{held}: your gauge can see this")
    return GaugeVerdict(reading_um, u, least, sees=False, words=f"{held}: your gauge cannot see this: count passes")
