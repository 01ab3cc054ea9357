"""Surface ratio (true surface ÷ drawn surface) of a crowned panel, from two tape girths or from chord and rise.

An arc of chord c and rise h has the radius R = (c² + 4h²) / 8h and the length 2R·asin(c / 2R) (Machinery's Handbook,
31st ed., p. 50).
"""

from __future__ import annotations

import math

from bodymap.errors import BodymapError
from bodymap.settings import Settings


def arc_radius_mm(chord_mm: float, rise_mm: float) -> float:
    """Radius [mm] of an arc from its chord and rise [mm]. Raises BodymapError on a rise above half the chord."""
    _positive("chord", chord_mm)
    _positive("rise", rise_mm)
    if rise_mm > chord_mm / 2:
        raise BodymapError(
            f"rise: found {rise_mm:g} mm on a chord of {chord_mm:g} mm; allowed: up to half the chord, "
            "measure a deeper curve in two parts"
        )
    return (chord_mm**2 + 4 * rise_mm**2) / (8 * rise_mm)


def arc_length_mm(chord_mm: float, rise_mm: float) -> float:
    """Length [mm] of an arc from its chord and rise [mm]; a rise of 0 is a straight line."""
    if rise_mm == 0:
        _positive("chord", chord_mm)
        return chord_mm
    radius = arc_radius_mm(chord_mm, rise_mm)
    return 2 * radius * math.asin(min(1.0, chord_mm / (2 * radius)))


def segment_area_mm2(chord_mm: float, rise_mm: float) -> float:
    """Area [mm²] between an arc and its chord."""
    radius = arc_radius_mm(chord_mm, rise_mm)
    angle = arc_length_mm(chord_mm, rise_mm) / radius
    return radius**2 * (angle - math.sin(angle)) / 2


def ratio_from_chord_and_rise(
    chord_mm: float, rise_mm: float, across_chord_mm: float = 0.0, across_rise_mm: float = 0.0
) -> float:
    """Surface ratio of a panel crowned one way, or both where a second chord and rise are given.

    >>> round(ratio_from_chord_and_rise(1000, 50), 6)
    1.006653
    """
    ratio = arc_length_mm(chord_mm, rise_mm) / chord_mm
    if across_chord_mm or across_rise_mm:
        ratio *= arc_length_mm(across_chord_mm, across_rise_mm) / across_chord_mm
    return ratio


def ratio_from_girths(
    length_mm: float, length_girth_mm: float, width_mm: float | None = None, width_girth_mm: float | None = None
) -> float:
    """Surface ratio from the tape girth over a panel against its drawn length, and the same across where it is crowned.

    Raises:
        BodymapError: a girth shorter than the drawn straight length, or only one of the two across.
    """
    if (width_mm is None) != (width_girth_mm is None):
        raise BodymapError("girth across: found one of drawn width and girth; allowed: both or neither")
    ratio = _girth_ratio("lengthwise", length_mm, length_girth_mm)
    if width_mm is not None and width_girth_mm is not None:
        ratio *= _girth_ratio("crosswise", width_mm, width_girth_mm)
    return ratio


def tape_error_mm(length_mm: float, settings: Settings) -> float:
    """Greatest error [mm] of a tape measure over a length: a + b·L, L in metres rounded up (2014/32/EU annex X)."""
    _positive("length", length_mm)
    return settings.value("tape_measure_a_mm") + settings.value("tape_measure_b_mm_per_m") * math.ceil(length_mm / 1000)


def ratio_error(length_mm: float, length_girth_mm: float, settings: Settings) -> float:
    """Greatest error of a lengthwise girth ratio, to first order: both lengths by tape, errors adding up."""
    ratio = _girth_ratio("lengthwise", length_mm, length_girth_mm)
    return (tape_error_mm(length_girth_mm, settings) + ratio * tape_error_mm(length_mm, settings)) / length_mm


def _girth_ratio(which: str, drawn_mm: float, girth_mm: float) -> float:
    _positive(f"{which} drawn length", drawn_mm)
    if not girth_mm >= drawn_mm or not math.isfinite(girth_mm):
        raise BodymapError(f"{which} girth: found {girth_mm:g} mm; allowed: at least the drawn length, {drawn_mm:g} mm")
    return girth_mm / drawn_mm


def _positive(what: str, value: float) -> None:
    if not value > 0 or not math.isfinite(value):
        raise BodymapError(f"{what}: found {value:g} mm; allowed: greater than 0")
