"""Paint from area and film: litres, spreading rate, wet film, passes.

Volume solids alone say how much of a wet film stays as a dry one; weight solids are another figure and give wrong litres
(ISO 3233 and ASTM D2697 determine volume solids; titles from memory). No percentage is ever assumed here. True surface is
the caller's to give (drawn area × surface ratio, once); transfer efficiency is taken off here, once, and nothing else is.

1 L over 1 m² is 1 mm, so 1 L at 100 % solids covers 1000 m² at 1 µm.
"""

from __future__ import annotations

import math

from bodymap.errors import BodymapError
from bodymap.units import MM2_PER_M2, UM_PER_MM

M2_UM_PER_LITRE = 1000.0
# A last pass thinner than this part of a pass is none: rounding.
_PASS_SLACK = 1e-9


def litres(surface_mm2: float, film_um: float, solids_pct: float | None, transfer: float) -> float:
    """Unthinned paint [L] for a true surface [mm²] and a dry film [µm].

    Args:
        surface_mm2: true surface.
        film_um: dry film.
        solids_pct: volume solids of the paint as it comes, above 0 and up to 100 %.
        transfer: transfer efficiency, above 0 and up to 1; 1 gives the theoretical amount.

    Raises:
        BodymapError: solids not stated, or a figure outside its range.

    >>> round(litres(2.0e6, 50, 40, 0.65), 6)
    0.384615
    """
    _least("surface", surface_mm2, "mm²")
    _least("film", film_um, "µm")
    solids = _solids(solids_pct)
    if not 0 < transfer <= 1:
        raise BodymapError(f"transfer efficiency: found {transfer:g}; allowed: above 0 and up to 1")
    return surface_mm2 / MM2_PER_M2 * film_um / (M2_UM_PER_LITRE * solids * transfer)


def wet_um(dry_um: float, solids_pct: float | None, thinning_pct: float = 0.0) -> float:
    """Wet film [µm] that dries to `dry_um`; `thinning_pct`: thinner added, in % of the paint's volume.

    Raises:
        BodymapError: solids not stated, or a figure outside its range.

    >>> round(wet_um(100, 65), 1)
    153.8
    """
    _least("film", dry_um, "µm")
    _least("thinning", thinning_pct, "%")
    return dry_um * (1 + thinning_pct / 100) / _solids(solids_pct)


def dry_um(wet_film_um: float, solids_pct: float | None, thinning_pct: float = 0.0) -> float:
    """Dry film [µm] that a wet film leaves; `thinning_pct`: thinner added, in % of the paint's volume.

    Raises:
        BodymapError: solids not stated, or a figure outside its range.
    """
    _least("film", wet_film_um, "µm")
    _least("thinning", thinning_pct, "%")
    return wet_film_um * _solids(solids_pct) / (1 + thinning_pct / 100)


def passes(film_um: float, pass_um: float) -> int:
    """How many passes of `pass_um` [µm dry] it takes to reach a film: the last may be a light one.

    Raises:
        BodymapError: a film below 0, or a film of a pass not above it.

    >>> passes(40, 8), passes(41, 8)
    (5, 6)
    """
    _least("film", film_um, "µm")
    _over("film of a pass", pass_um, "µm")
    return math.ceil(film_um / pass_um - _PASS_SLACK)


def filler_litres(surface_mm2: float, depth_um: float) -> float:
    """Filler in place [L]: surface [mm²] × mean depth [µm].

    Raises:
        BodymapError: a surface or a depth below 0.

    >>> round(filler_litres(0.18e6, 1400), 3)
    0.252
    """
    _least("surface", surface_mm2, "mm²")
    _least("depth", depth_um, "µm")
    return surface_mm2 / MM2_PER_M2 * depth_um / UM_PER_MM


def _solids(solids_pct: float | None) -> float:
    if solids_pct is None:
        raise BodymapError("volume solids: not stated; allowed: the data sheet's figure in % by volume, not by weight")
    if not 0 < solids_pct <= 100:
        raise BodymapError(f"volume solids: found {solids_pct:g} %; allowed: above 0 and up to 100 % by volume")
    return solids_pct / 100


def _least(what: str, value: float, unit: str) -> None:
    if not 0 <= value < math.inf:
        raise BodymapError(f"{what}: found {value:g} {unit}; allowed: 0 {unit} or more")


def _over(what: str, value: float, unit: str) -> None:
    if not 0 < value < math.inf:
        raise BodymapError(f"{what}: found {value:g} {unit}; allowed: greater than 0 {unit}")
