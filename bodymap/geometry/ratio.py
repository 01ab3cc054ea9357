"""Surface ratio (true surface ÷ drawn surface) of a crowned panel, from two tape girths or from chord and rise.

The panel is taken as crowned evenly along and across, each measured through its middle: the two ratios multiply. Errors
are greatest errors of the tape, a + b·L with L in metres rounded up (Directive 2014/32/EU annex X), all of them taken to
add up; the drawn lengths count as measured with the same tape.
"""

from __future__ import annotations

import math

from bodymap.errors import BodymapError
from bodymap.geometry.arc import arc_angle_rad, arc_factor, arc_length_mm, arc_radius_mm, positive, segment_area_mm2
from bodymap.settings import Settings

__all__ = [
    "arc_length_mm",
    "arc_radius_mm",
    "area_error_mm2",
    "chord_and_rise_error",
    "ratio_error",
    "ratio_from_chord_and_rise",
    "ratio_from_girths",
    "segment_area_mm2",
    "tape_error_mm",
]


def ratio_from_chord_and_rise(
    chord_mm: float, rise_mm: float, across_chord_mm: float | None = None, across_rise_mm: float | None = None
) -> float:
    """Surface ratio of a panel crowned one way, or both where a second chord and rise are given.

    Raises:
        BodymapError: lengths that cannot be; a rise above half the chord, where the panel turns under and its drawing
            is wider than the chord; only one of the two across.

    >>> round(ratio_from_chord_and_rise(1000, 50), 6)
    1.006653
    """
    ratio = arc_factor(_shallow(chord_mm, rise_mm))
    across = _pair("across", "chord and rise", across_chord_mm, across_rise_mm)
    return ratio * arc_factor(_shallow(*across)) if across else ratio


def chord_and_rise_error(
    chord_mm: float,
    rise_mm: float,
    settings: Settings,
    across_chord_mm: float | None = None,
    across_rise_mm: float | None = None,
) -> float:
    """Greatest error of `ratio_from_chord_and_rise`: every chord too short and every rise too high by the tape's error.

    Not to first order, which says that a rise of 0 is sure.

    Raises:
        BodymapError: one of a pair alone, a rise above half its chord, or a chord no longer than the tape's error.
    """
    held = [(chord_mm, rise_mm)]
    across = _pair("across", "chord and rise", across_chord_mm, across_rise_mm)
    held += [across] if across else []
    ratio = math.prod(arc_factor(_shallow(*pair)) for pair in held)
    worst = 1.0
    for chord, rise in held:
        shorter = chord - tape_error_mm(chord, settings)
        positive("chord less the tape's error", shorter)
        worst *= arc_factor(arc_angle_rad(shorter, rise + tape_error_mm(max(rise, 1.0), settings)))
    return worst - ratio


def ratio_from_girths(
    length_mm: float,
    length_girth_mm: float,
    width_mm: float | None = None,
    width_girth_mm: float | None = None,
    settings: Settings | None = None,
) -> float:
    """Surface ratio from the tape girth over a panel against its drawn length, and the same across where it is crowned.

    With `settings` a girth that is shorter than drawn by no more than the tape's error counts as equal: the panel is flat.

    Raises:
        BodymapError: a girth shorter than the drawn straight length, or only one of the two across.
    """
    ratio = _girth_ratio("lengthwise", length_mm, length_girth_mm, settings)
    across = _pair("girth across", "drawn width and girth", width_mm, width_girth_mm)
    return ratio * _girth_ratio("crosswise", *across, settings) if across else ratio


def ratio_error(
    length_mm: float,
    length_girth_mm: float,
    settings: Settings,
    width_mm: float | None = None,
    width_girth_mm: float | None = None,
) -> float:
    """Greatest error of `ratio_from_girths`, to first order: d(g/l) = dg/l + g·dl/l², both ways adding up."""
    ratio = ratio_from_girths(length_mm, length_girth_mm, width_mm, width_girth_mm, settings)
    lengths = [length_mm, length_girth_mm]
    lengths += [width_mm, width_girth_mm] if width_mm is not None and width_girth_mm is not None else []
    return ratio * sum(tape_error_mm(length, settings) / length for length in lengths)


def area_error_mm2(width_mm: float, height_mm: float, settings: Settings) -> float:
    """Greatest error of a rectangle measured by tape [mm²], to first order: u(w)·h + u(h)·w."""
    return tape_error_mm(width_mm, settings) * height_mm + tape_error_mm(height_mm, settings) * width_mm


def tape_error_mm(length_mm: float, settings: Settings) -> float:
    """Greatest error [mm] of a tape measure over a length: a + b·L, L in metres rounded up (2014/32/EU annex X)."""
    positive("length", length_mm)
    return settings.value("tape_measure_a_mm") + settings.value("tape_measure_b_mm_per_m") * math.ceil(length_mm / 1000)


def _girth_ratio(which: str, drawn_mm: float, girth_mm: float, settings: Settings | None) -> float:
    positive(f"{which} drawn length", drawn_mm)
    slack = tape_error_mm(drawn_mm, settings) if settings else 0.0
    if not girth_mm >= drawn_mm - slack or not math.isfinite(girth_mm):
        raise BodymapError(f"{which} girth: found {girth_mm:g} mm; allowed: at least the drawn length, {drawn_mm:g} mm")
    return max(girth_mm, drawn_mm) / drawn_mm


def _shallow(chord_mm: float, rise_mm: float) -> float:
    """Angle of an arc that is no more than half a circle [rad]."""
    angle = arc_angle_rad(chord_mm, rise_mm)
    if rise_mm > chord_mm / 2:
        raise BodymapError(
            f"rise: found {rise_mm:g} mm on a chord of {chord_mm:g} mm; allowed: up to half the chord, "
            "measure a deeper curve in two parts"
        )
    return angle


def _pair(where: str, what: str, one: float | None, other: float | None) -> tuple[float, float] | None:
    if one is None and other is None:
        return None
    if one is None or other is None:
        raise BodymapError(f"{where}: found one of {what}; allowed: both or neither")
    return one, other
