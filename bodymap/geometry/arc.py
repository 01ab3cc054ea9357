"""Circle parts from chord and rise, as they are measured on a panel: straightedge across, rule down to the middle.

R = (c² + 4h²) / 8h, arc = R·φ, segment = R²·(φ − sin φ) / 2, with φ = 4·atan(2h / c), which is 2·asin(c / 2R) up to half
a circle and holds beyond it as well (Machinery's Handbook, 31st ed., p. 50).
"""

from __future__ import annotations

import math

from bodymap.errors import BodymapError


def arc_angle_rad(chord_mm: float, rise_mm: float) -> float:
    """Angle of an arc at its centre [rad] from its chord and rise [mm]; 0 where it is straight.

    The rise is taken square to the chord from its middle, 0 or more; above half the chord it is more than half a circle.

    Raises:
        BodymapError: a chord that is not greater than 0, or a rise below 0.

    >>> round(math.degrees(arc_angle_rad(2, 1)), 9)
    180.0
    """
    positive("chord", chord_mm)
    if not rise_mm >= 0 or not math.isfinite(rise_mm):
        raise BodymapError(f"rise: found {rise_mm:g} mm; allowed: 0 or more")
    return 4 * math.atan(2 * rise_mm / chord_mm)


def arc_radius_mm(chord_mm: float, rise_mm: float) -> float:
    """Radius of an arc from its chord and rise [mm]. Raises BodymapError on a rise of 0: a straight line has none."""
    positive("rise", rise_mm)
    positive("chord", chord_mm)
    return (chord_mm**2 + 4 * rise_mm**2) / (8 * rise_mm)


def arc_length_mm(chord_mm: float, rise_mm: float) -> float:
    """Length of an arc from its chord and rise [mm]; a rise of 0 is a straight line."""
    return chord_mm * arc_factor(arc_angle_rad(chord_mm, rise_mm))


def arc_factor(angle_rad: float) -> float:
    """Arc ÷ chord of an arc from its angle [rad]: (φ/2) / sin(φ/2); 1 where it is straight."""
    half = angle_rad / 2
    return half / math.sin(half) if half > 0 else 1.0


def sector_area_mm2(radius_mm: float, angle_rad: float) -> float:
    """Area [mm²] of a sector from its radius [mm] and angle [rad]: R²·φ / 2."""
    return radius_mm**2 * angle_rad / 2


def segment_area_mm2(chord_mm: float, rise_mm: float) -> float:
    """Area [mm²] between an arc and its chord, from chord and rise [mm]. Raises BodymapError on a chord not above 0."""
    angle = arc_angle_rad(chord_mm, rise_mm)
    return sector_area_mm2(arc_radius_mm(chord_mm, rise_mm), angle - math.sin(angle)) if rise_mm else 0.0


def positive(what: str, value: float) -> None:
    """Raises BodymapError on a length [mm] that is no number greater than 0."""
    if not value > 0 or not math.isfinite(value):
        raise BodymapError(f"{what}: found {value:g} mm; allowed: greater than 0")
