"""The step card of a tinted transparent coat: how its colour goes with film, and how much film it forgives.

A step card is the coat sprayed in steps over its true ground, each step's film gauged on a coupon and its colour taken at
the bench. The law fitted is Beer–Lambert twice through: light of each channel passes the film down to the ground and up
again, so R = Rg · T², T = exp(−attenuation · film), and the logarithm of reflectance falls linearly with film from the
ground as read. It is the limit of Kubelka & Munk without scatter. Taken per channel in linear sRGB light.
Source of the law: IUPAC Gold Book, "Beer–Lambert law" (from memory, not seen).

Left out: reflection at the surface (card and panel under the same clear, or both without), flake that looks different
from another angle, scatter. Where a card does not follow the law its residuals say so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.finish.colour import Array, ciede2000, lab_of_linear, linear_of_lab, signal_of
from bodymap.settings import Settings

Lab = tuple[float, float, float]
CHANNELS = ("r", "g", "b")
STEPS_LEAST = 3
MODEL = "R = Rg · exp(−2 · attenuation · film), per channel of linear sRGB light, Rg as read on the ground"
_NAMES = {"r": "red", "g": "green", "b": "blue"}
# Half of one step of an 8-bit channel, in linear light: darker than this a channel says nothing.
_DARKEST = 0.5 / 255 / 12.92
# Small against any film that can be sprayed, large against rounding.
_SLOPE_UM = 0.01


@dataclass(frozen=True)
class CardStep:
    """One reading of a step card: film [µm] and CIELAB colour (D65). `row`: its row in the file, 0 if there is none."""

    um: float
    lab: Lab
    row: int = 0


@dataclass(frozen=True)
class Channel:
    """One channel of the fit, in linear light (0..1).

    `attenuation_per_um` and its standard error `u_per_um` are for one way through; None where `n` readings of the
    channel were too dark to tell.
    """

    name: str
    ground: float
    attenuation_per_um: float | None
    u_per_um: float | None
    n: int


@dataclass(frozen=True)
class Residual:
    """How far the law misses one reading: ΔE00 between colour read and colour fitted."""

    um: float
    read: Lab
    fitted: Lab
    delta_e: float


@dataclass(frozen=True)
class TintFit:
    """A fitted step card. `range_um`: from the ground to the thickest step; beyond it every figure is a guess."""

    channels: tuple[Channel, ...]
    range_um: tuple[float, float]
    steps: int
    residuals: tuple[Residual, ...]
    notes: tuple[str, ...]

    def transmittance(self, um: float) -> tuple[float, ...]:
        """Share of light that gets through a film [µm] once, by channel (r, g, b).

        Raises:
            BodymapError: a film below 0.
        """
        _film("film", um)
        return tuple(math.exp(-(channel.attenuation_per_um or 0.0) * um) for channel in self.channels)

    def colour_at(self, um: float) -> Lab:
        """CIELAB colour with a film [µm] of the tinted coat over the ground of the card.

        Raises:
            BodymapError: a film below 0.
        """
        return _lab(self.colours(_film("film", um)))

    def colours(self, um: ArrayLike) -> Array:
        """CIELAB colours at many films [µm]; films are not checked."""
        film = np.asarray(um, float)[..., None]
        ground = np.array([channel.ground for channel in self.channels])
        fall = np.array([channel.attenuation_per_um or 0.0 for channel in self.channels])
        return lab_of_linear(ground * np.exp(-2 * fall * film))

    def delta_e(self, um: float, other_um: float) -> float:
        """ΔE00 between two films [µm].

        Raises:
            BodymapError: a film below 0.
        """
        _film("film", um)
        _film("film", other_um)
        return float(ciede2000(self.colours(um), self.colours(other_um)))

    def within(self, um: float) -> bool:
        """Whether a film [µm] lies in the fitted range."""
        return self.range_um[0] <= um <= self.range_um[1]

    @property
    def rms_delta_e(self) -> float:
        """Root mean square of the residuals [ΔE00], the ground left out: the law starts from it."""
        return math.sqrt(sum(one.delta_e**2 for one in self.residuals) / len(self.residuals))

    @property
    def worst(self) -> Residual:
        """The reading that the law misses most."""
        return max(self.residuals, key=lambda one: one.delta_e)


def card_faults(steps: Sequence[CardStep], name: str = "step card") -> list[Fault]:
    """What makes a card senseless: a film below 0, no ground or several, fewer than three films over it."""
    faults = [
        Fault(name, step.row, "um", f"{step.um:g}", "a film of 0 µm (the ground) or more")
        for step in steps
        if not step.um >= 0 or math.isinf(step.um)
    ]
    return faults + build_faults([step.um for step in steps], name)


def build_faults(films_um: Sequence[float], name: str, unread: int = 0) -> list[Fault]:
    """What makes the films of a card [µm] senseless as a whole; `unread`: rows whose film is not known."""
    grounds, films = sum(um == 0 for um in films_um), len({um for um in films_um if um > 0})
    faults = []
    if grounds > 1 or not grounds + unread:
        found = f"{grounds or 'no'} row{'s' if grounds else ''} with um 0"
        faults.append(Fault(name, 0, "um", found, "one row with um 0: the ground without the tinted coat"))
    if films + unread < STEPS_LEAST:
        found = f"{films} step{'' if films == 1 else 's'} of different film over the ground"
        faults.append(Fault(name, 0, "um", found, f"at least {STEPS_LEAST}"))
    return faults


def fit_card(steps: Sequence[CardStep], settings: Settings, name: str = "step card") -> TintFit:
    """Fit a step card.

    Least squares through the ground on the logarithm of each channel. Readings are taken to be equally good in the coded
    signal, as an eye, a camera and a colour meter are; in the logarithm a dark reading then counts for less.

    Raises:
        Faults: a senseless card (`card_faults`), or one without light in any channel.
    """
    faults = card_faults(steps, name)
    if faults:
        raise Faults(name, faults)
    ground = next(step for step in steps if step.um == 0)
    over = sorted((step for step in steps if step.um > 0), key=lambda step: step.um)
    films = np.array([step.um for step in over])
    light = linear_of_lab([step.lab for step in over])
    base = linear_of_lab(ground.lab)
    channels = tuple(_channel(CHANNELS[k], float(base[k]), films, light[:, k]) for k in range(3))
    if all(channel.attenuation_per_um is None for channel in channels):
        dark = Fault(name, ground.row, "", "ground or steps black in every channel", "a ground that gives light back")
        raise Faults(name, [dark])
    bare = TintFit(channels, (0.0, float(films[-1])), len(over), (), ())
    residuals = tuple(_residual(bare, step) for step in over)
    notes = (*_channel_notes(channels, len(over)), *_rising(ground, over, settings), *_misfit(residuals, settings))
    return TintFit(channels, bare.range_um, len(over), residuals, notes)


def _channel(name: str, ground: float, films: Array, light: Array) -> Channel:
    usable = light > _DARKEST
    if ground <= _DARKEST or not usable.any():
        return Channel(name, max(ground, 0.0), None, None, 0)
    film, fall = films[usable], np.log(light[usable] / ground)
    # d ln R / d signal = 2.4 / (signal + 0.055) on the curved part of sRGB
    weight = (signal_of(light[usable]) + 0.055) ** 2
    leverage = float(np.sum(weight * film**2))
    attenuation = -float(np.sum(weight * film * fall)) / leverage / 2
    n = int(usable.sum())
    spread = float(np.sum(weight * (fall + 2 * attenuation * film) ** 2))
    u = math.sqrt(spread / (n - 1) / leverage) / 2 if n > 1 else None
    return Channel(name, ground, attenuation, u, n)


def _residual(fit: TintFit, step: CardStep) -> Residual:
    fitted = fit.colour_at(step.um)
    return Residual(step.um, step.lab, fitted, float(ciede2000(step.lab, fitted)))


def _channel_notes(channels: Sequence[Channel], steps: int) -> list[str]:
    notes = []
    for channel in channels:
        colour = _NAMES[channel.name]
        if channel.attenuation_per_um is None:
            notes.append(f"{colour}: too dark to be read on this card; nothing is told from it")
        elif channel.n < steps:
            notes.append(f"{colour}: {steps - channel.n} of {steps} readings too dark to be read, left out of its fit")
        if (channel.attenuation_per_um or 0) < -2 * (channel.u_per_um or 0):
            notes.append(f"{colour} grows lighter with film: this coat scatters or hides, and the law fitted does not hold")
    return notes


def _rising(ground: CardStep, over: Sequence[CardStep], settings: Settings) -> list[str]:
    """Steps that are lighter in a channel than a thinner step, by more than a reading may be out."""
    noise = settings.value("card_noise_8bit")
    films = sorted({step.um for step in over})
    means = {um: np.mean([step.lab for step in over if step.um == um], axis=0) for um in films}
    coded = {0.0: signal_of(linear_of_lab(ground.lab)) * 255}
    coded |= {um: signal_of(linear_of_lab(lab)) * 255 for um, lab in means.items()}
    notes = []
    for thin, thick in pairwise(coded):
        for k, name in enumerate(CHANNELS):
            rise = float(coded[thick][k] - coded[thin][k])
            if rise > noise:
                notes.append(
                    f"{_NAMES[name]} rises by {rise:.0f} of 255 from {thin:g} to {thick:g} µm although film grows: "
                    "steps changed about, or a bad reading"
                )
    return notes


def _misfit(residuals: Sequence[Residual], settings: Settings) -> list[str]:
    worst = max(residuals, key=lambda one: one.delta_e)
    limit = settings.value("tint_delta_e")
    if worst.delta_e <= limit:
        return []
    missed = f"the law misses the step of {worst.um:g} µm by ΔE {worst.delta_e:.1f}, more than ΔE {limit:g}"
    return [f"{missed}: tolerances from this card are no better than that"]


# --- what a change of film does to the colour --------------------------------------------------------------------------


def delta_e_per_um(fit: TintFit, um: float) -> float:
    """Slope of the colour at a film [µm]: ΔE00 for each µm more or less.

    Raises:
        BodymapError: a film below 0.
    """
    return float(_slopes(fit, np.array([_film("film", um)]))[0])


def delta_e_curve(fit: TintFit) -> tuple[tuple[float, float], ...]:
    """(film [µm], ΔE00 per µm) over the fitted range, about fifty points at round films and the last one."""
    last = fit.range_um[1]
    pace = _round_pace(last / 50)
    films = [um for um in np.arange(0, last, pace).tolist() if um < last * (1 - 1e-9)] + [last]
    return tuple(zip(films, _slopes(fit, np.array(films)).tolist(), strict=True))


def _slopes(fit: TintFit, films: Array) -> Array:
    # Half the span to either side; below no film at all the law runs on, so the ground has a slope too.
    return ciede2000(fit.colours(films - _SLOPE_UM), fit.colours(films + _SLOPE_UM)) / (2 * _SLOPE_UM)


def _round_pace(least: float) -> float:
    """The next of 1, 2, 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(pace * power for pace in (1, 2, 5, 10) if pace * power >= least * (1 - 1e-9))


def _film(what: str, um: float, *, least: float = 0.0) -> float:
    if not least <= um < math.inf:
        raise BodymapError(f"{what}: found {um:g} µm; allowed: a film of {least:g} µm or more")
    return float(um)


def _lab(colour: Array) -> Lab:
    lightness, a, b = colour.tolist()
    return lightness, a, b
