"""Spraying climate: dew point, and how far the metal is above it.

Magnus form with a = 17.625 and b = 243.04 °C (Alduchov & Eskridge 1996, recommended by Lawrence, Bull. Amer. Meteor.
Soc. 86 (2005) 225–233, doi 10.1175/BAMS-86-2-225), fitted over −40…+50 °C.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.settings import Settings

_A, _B_C = 17.625, 243.04
_LOW_C, _HIGH_C = -40.0, 50.0


def dew_point_c(air_c: float, humidity_pct: float) -> float:
    """Dew point [°C] of air at `air_c` [°C] and relative humidity [%].

    Raises:
        BodymapError: humidity outside 0 < RH ≤ 100 %, or air outside the range the formula was fitted over.

    >>> round(dew_point_c(20, 70), 2)
    14.36
    """
    if not 0 < humidity_pct <= 100:
        raise BodymapError(f"relative humidity: found {humidity_pct:g} %; allowed: above 0 and up to 100 %")
    if not _LOW_C <= air_c <= _HIGH_C:
        raise BodymapError(f"air temperature: found {air_c:g} °C; allowed: {_LOW_C:g} to {_HIGH_C:g} °C")
    g = math.log(humidity_pct / 100) + _A * air_c / (_B_C + air_c)
    return _B_C * g / (_A - g)


_ADVICE = ". Do not spray"


@dataclass(frozen=True)
class Air:
    """The air while a coat went on [°C], relative humidity [%], temperature of the metal [°C]; None: not stated."""

    air_c: float | None = None
    humidity_pct: float | None = None
    surface_c: float | None = None


@dataclass(frozen=True)
class AirVerdict:
    """Whether the metal was far enough above the dew point.

    `verdict`: `dry`; `damp`: nearer than the rule; `wet`: water condenses; `cannot tell`: something is not stated.
    """

    verdict: Literal["dry", "damp", "wet", "cannot tell"]
    dew_c: float | None
    margin_c: float | None
    words: str

    @property
    def warns(self) -> bool:
        """Nearer to the dew point than the rule."""
        return self.verdict in ("damp", "wet")

    @property
    def found(self) -> str:
        """What the air was, said of a coat that is on already: without the advice."""
        return self.words.removesuffix(_ADVICE)


def air_verdict(air: Air, settings: Settings) -> AirVerdict:
    """Judge the air by the working figure `dew_margin_c`.

    Raises:
        BodymapError: air or humidity outside its range.
    """
    named = {"air temperature": air.air_c, "humidity": air.humidity_pct, "surface temperature": air.surface_c}
    lacking = [name for name, value in named.items() if value is None]
    dew_c = None if air.air_c is None or air.humidity_pct is None else dew_point_c(air.air_c, air.humidity_pct)
    if dew_c is None or air.surface_c is None:
        return AirVerdict("cannot tell", dew_c, None, f"cannot tell: {', '.join(lacking)} not stated")
    margin_c, rule = air.surface_c - dew_c, settings.figures["dew_margin_c"]
    told = f"dew point {dew_c:.1f} °C, surface {air.surface_c:g} °C"
    if margin_c <= 0:
        return AirVerdict("wet", dew_c, margin_c, f"{told}: water condenses on the surface{_ADVICE}")
    stands = f"{told}: {margin_c:.1f} °C above it, at least {rule.value:g} °C wanted ({rule.basis})"
    if margin_c < rule.value:
        return AirVerdict("damp", dew_c, margin_c, f"{stands}{_ADVICE}")
    return AirVerdict("dry", dew_c, margin_c, stands)
