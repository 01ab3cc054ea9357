"""Spraying climate: dew point, and how far the metal is above it.

Magnus form with a = 17.625 and b = 243.04 °C (Alduchov & Eskridge 1996, recommended by Lawrence, Bull. Amer. Meteor.
Soc. 86 (2005) 225–233, doi 10.1175/BAMS-86-2-225), fitted over −40…+50 °C.
"""

from __future__ import annotations

import math

from bodymap.errors import BodymapError

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


def dew_margin_c(surface_c: float, air_c: float, humidity_pct: float) -> float:
    """How far the surface is above the dew point [°C]; negative: water condenses on it."""
    return surface_c - dew_point_c(air_c, humidity_pct)
