"""The only place where units are converted. Names say the unit; the record itself keeps mm, µm and mm².

1 inch is 25.4 mm exactly, so 1 mil (a thousandth of an inch, "thou") is 25.4 µm exactly
(NIST SP 811, appendix B; from memory, not seen).
"""

from __future__ import annotations

UM_PER_MIL = 25.4
MM2_PER_M2 = 1_000_000.0
UM_PER_MM = 1000.0
MM_PER_M = 1000.0
MM3_PER_LITRE = 1_000_000.0
MM_PER_INCH = 25.4
PT_PER_MM = 72.0 / MM_PER_INCH


def mil_to_um(film_mil: float) -> float:
    """Film in mil to µm.

    >>> mil_to_um(5)
    127.0
    """
    return film_mil * UM_PER_MIL


def um_to_mil(film_um: float) -> float:
    """Film in µm to mil."""
    return film_um / UM_PER_MIL


def mm2_to_m2(area_mm2: float) -> float:
    """Area in mm² to m².

    >>> mm2_to_m2(2_645_000)
    2.645
    """
    return area_mm2 / MM2_PER_M2


def mm_to_m(length_mm: float) -> float:
    """Length in mm to m."""
    return length_mm / MM_PER_M


def mm_to_pt(length_mm: float) -> float:
    """Length in mm to printer's points of 1/72 inch.

    >>> round(mm_to_pt(100), 5)
    283.46457
    """
    return length_mm * PT_PER_MM
