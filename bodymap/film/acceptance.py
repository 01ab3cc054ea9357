"""Two judges of a film against a specification, kept apart: they judge different things.

ISO 19840 judges single readings against a nominal film (NDFT); it is written for rough steel and not for nominal films
under 40 µm (scope of ISO 19840:2012). SSPC-PA 2 judges spots (means of at least three readings) and areas (means of
five spots) against a least and a greatest film. Readings taken on purpose at suspect places belong to neither.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.units import MM2_PER_M2

Judgement = Literal["accept", "reject", "cannot tell", "out of scope"]

ISO_SCOPE_LEAST_UM = 40.0
ISO_SINGLE_LEAST = 0.80
ISO_SHARE_UNDER = 0.20
ISO_MOST_TIMES = 3.0
PA2_READINGS_PER_SPOT = 3
PA2_SPOTS_PER_AREA = 5
PA2_AREA_M2 = 10.0


@dataclass(frozen=True)
class Verdict:
    """What a judge says, and why, in words with the figures."""

    verdict: Judgement
    why: str


def iso19840_least_readings(area_mm2: float) -> int:
    """Fewest readings on an inspection area, ISO 19840:2012 table 1 (from memory, not seen).

    Up to 1 m² 5, to 3 m² 10, to 10 m² 15, to 30 m² 20, to 100 m² 30, and 10 more for each further 100 m².

    Raises:
        BodymapError: an area not above 0.
    """
    area_m2 = area_mm2 / MM2_PER_M2
    if area_m2 <= 0:
        raise BodymapError(f"area: found {area_mm2:g} mm²; allowed: greater than 0")
    for most_m2, count in ((1, 5), (3, 10), (10, 15), (30, 20), (100, 30)):
        if area_m2 <= most_m2:
            return count
    return 30 + 10 * math.ceil(area_m2 / 100 - 1)


def iso19840(readings_um: Sequence[float], nominal_um: float, max_um: float | None, area_mm2: float) -> Verdict:
    """Judge single readings [µm] against a nominal film [µm].

    Rules A–D as quoted from NEN-ISO 19840:2005: mean at least nominal; every reading at least 80 % of it; fewer than
    20 % of the readings between 80 % and 100 % of it; none above the maximum (three times nominal where none is stated).

    Raises:
        BodymapError: a nominal film or an area not above 0.
    """
    _positive("nominal film", nominal_um)
    if nominal_um < ISO_SCOPE_LEAST_UM:
        return Verdict(
            "out of scope", f"ISO 19840 is not for nominal films under {ISO_SCOPE_LEAST_UM:g} µm; here {nominal_um:g} µm"
        )
    least = iso19840_least_readings(area_mm2)
    if len(readings_um) < least:
        return Verdict(
            "cannot tell", f"{len(readings_um)} readings; an area of {area_mm2 / MM2_PER_M2:.2f} m² needs {least}"
        )
    most_um = ISO_MOST_TIMES * nominal_um if max_um is None else max_um
    mean, low, high = fmean(readings_um), min(readings_um), max(readings_um)
    under = sum(ISO_SINGLE_LEAST * nominal_um <= um < nominal_um for um in readings_um)
    if mean < nominal_um:
        return Verdict("reject", f"mean {mean:.1f} µm is under the nominal {nominal_um:g} µm")
    if low < ISO_SINGLE_LEAST * nominal_um:
        return Verdict("reject", f"a reading of {low:g} µm is under 80 % of the nominal {nominal_um:g} µm")
    if under >= ISO_SHARE_UNDER * len(readings_um):
        return Verdict(
            "reject",
            f"{under} of {len(readings_um)} readings are under the nominal {nominal_um:g} µm; allowed: fewer than 20 %",
        )
    if high > most_um:
        return Verdict("reject", f"a reading of {high:g} µm is over the greatest film {most_um:g} µm")
    return Verdict("accept", f"mean {mean:.1f} µm, least {low:g} µm, {under} of {len(readings_um)} under nominal")


def pa2_areas(area_mm2: float) -> int:
    """How many 10 m² areas SSPC-PA 2 has measured: each up to 30 m², three up to 100 m², then one to each further 100 m².

    Raises:
        BodymapError: an area not above 0.
    """
    area_m2 = area_mm2 / MM2_PER_M2
    if area_m2 <= 0:
        raise BodymapError(f"area: found {area_mm2:g} mm²; allowed: greater than 0")
    if area_m2 <= 3 * PA2_AREA_M2:
        return math.ceil(area_m2 / PA2_AREA_M2)
    return 3 + max(0, math.ceil(area_m2 / 100 - 1))


def pa2_spot_limits_um(min_um: float, max_um: float) -> tuple[float, float]:
    """Least and greatest spot [µm] at restriction level 3, the default: 80 % of the least, 120 % of the greatest film."""
    return 0.8 * min_um, 1.2 * max_um


def sspc_pa2(spots_um: Sequence[Sequence[float]], min_um: float, max_um: float) -> Verdict:
    """Judge one area of spots, each a list of its readings [µm], against the specified film [µm] at level 3.

    Raises:
        BodymapError: a least film not above 0, or a greatest one below it.
    """
    _positive("least film", min_um)
    if max_um < min_um:
        raise BodymapError(f"greatest film: found {max_um:g} µm; allowed: at least the least film, {min_um:g} µm")
    full = [fmean(spot) for spot in spots_um if len(spot) >= PA2_READINGS_PER_SPOT]
    if len(full) < PA2_SPOTS_PER_AREA:
        return Verdict("cannot tell", f"{len(full)} spots of three readings or more; an area needs {PA2_SPOTS_PER_AREA}")
    mean, (low_um, high_um) = fmean(full), pa2_spot_limits_um(min_um, max_um)
    if not min_um <= mean <= max_um:
        return Verdict("reject", f"area mean {mean:.1f} µm is outside {min_um:g}–{max_um:g} µm")
    wrong = [spot for spot in full if not low_um <= spot <= high_um]
    if wrong:
        worst = max(wrong, key=lambda spot: max(low_um - spot, spot - high_um))
        return Verdict(
            "reject",
            f"{len(wrong)} of {len(full)} spots are outside {low_um:g}–{high_um:g} µm "
            f"(80 % of least, 120 % of greatest), the worst at {worst:.1f} µm",
        )
    return Verdict("accept", f"area mean {mean:.1f} µm, spots {min(full):.1f}–{max(full):.1f} µm")


def _positive(what: str, um: float) -> None:
    if not um > 0 or not math.isfinite(um):
        raise BodymapError(f"{what}: found {um:g} µm; allowed: greater than 0")
