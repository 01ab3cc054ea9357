"""Colour: sRGB, CIE XYZ and CIELAB under D65, and the CIEDE2000 difference of two colours.

sRGB is IEC 61966-2-1:1999 (its four-digit matrix, its inverse computed); CIELAB is ISO/CIE 11664-4 and CIEDE2000
ISO/CIE 11664-6, programmed after Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21–30 (formulas from memory, checked in
the tests against their 34 pairs and a reference library). Written here rather than taken from a colour library because
that would more than double the memory and start-up time of every command for these few formulas.

Colours are arrays whose last axis has three members; every function takes one colour or many. `linear` is light:
proportional to reflectance, 0..1 inside the sRGB gamut and not cut off outside it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_FROM_XYZ = np.linalg.inv(_TO_XYZ)
# D65 by its chromaticity x = 0.3127, y = 0.3290 (IEC 61966-2-1), Y = 1.
_WHITE = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
# The corner of CIELAB's cube root, exact: (6/29)³ and (29/3)³/27.
_DELTA = 6 / 29
# An exact 180° of hue must not flip with the last bit of rounding: published pair 14 differs by 0.06 between the two.
_TIE_DEG = 1e-12


def signal_of(linear: ArrayLike) -> Array:
    """Linear light to the sRGB signal, 0..1 in gamut; negative light gives a negative signal."""
    light = np.asarray(linear, float)
    size = np.abs(light)
    curve = 1.055 * np.maximum(size, 0.0031308) ** (1 / 2.4) - 0.055
    return np.asarray(np.sign(light) * np.where(size <= 0.0031308, 12.92 * size, curve))


def linear_of_signal(signal: ArrayLike) -> Array:
    """Signal of sRGB (0..1 in gamut) to linear light.

    >>> round(float(linear_of_signal(0.5)), 6)
    0.214041
    """
    coded = np.asarray(signal, float)
    size = np.abs(coded)
    curve = ((np.maximum(size, 0.04045) + 0.055) / 1.055) ** 2.4
    return np.asarray(np.sign(coded) * np.where(size <= 0.04045, size / 12.92, curve))


def xyz_of_linear(linear: ArrayLike) -> Array:
    """Linear sRGB to XYZ with Y = 1 for white."""
    return np.asarray(np.asarray(linear, float) @ _TO_XYZ.T)


def linear_of_xyz(xyz: ArrayLike) -> Array:
    """XYZ with Y = 1 for white to linear sRGB."""
    return np.asarray(np.asarray(xyz, float) @ _FROM_XYZ.T)


def lab_of_xyz(xyz: ArrayLike) -> Array:
    """XYZ with Y = 1 for white to CIELAB, D65."""
    t = np.asarray(xyz, float) / _WHITE
    f = np.where(t > _DELTA**3, np.cbrt(t), t / (3 * _DELTA**2) + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def xyz_of_lab(lab: ArrayLike) -> Array:
    """CIELAB, D65, to XYZ with Y = 1 for white."""
    lightness, a, b = np.moveaxis(np.asarray(lab, float), -1, 0)
    fy = (lightness + 16) / 116
    f = np.stack([fy + a / 500, fy, fy - b / 200], axis=-1)
    return np.asarray(np.where(f > _DELTA, f**3, 3 * _DELTA**2 * (f - 4 / 29)) * _WHITE)


def lab_of_linear(linear: ArrayLike) -> Array:
    """Linear sRGB to CIELAB."""
    return lab_of_xyz(xyz_of_linear(linear))


def linear_of_lab(lab: ArrayLike) -> Array:
    """CIELAB to linear sRGB, not cut off at the gamut: a saturated colour may have a channel below 0."""
    return linear_of_xyz(xyz_of_lab(lab))


def lab_of_srgb8(rgb: ArrayLike) -> Array:
    """Eight-bit sRGB (0..255 a channel) to CIELAB.

    >>> lab_of_srgb8([255, 0, 0]).round(2).tolist()
    [53.23, 80.11, 67.22]
    """
    return lab_of_linear(linear_of_signal(np.asarray(rgb, float) / 255))


def hex_of_lab(lab: ArrayLike) -> str:
    """One colour as #rrggbb for a screen, cut off at the sRGB gamut.

    >>> hex_of_lab([50.034, 0.004, 0.002])
    '#777777'
    """
    signal = np.clip(signal_of(linear_of_lab(lab)), 0, 1)
    red, green, blue = (round(float(channel) * 255) for channel in signal)
    return f"#{red:02x}{green:02x}{blue:02x}"


def ciede2000(one: ArrayLike, other: ArrayLike) -> Array:
    """CIEDE2000 difference ΔE00 of CIELAB colours, weights kL = kC = kH = 1. Symmetric; 0 for equal colours."""
    l1, a1, b1 = np.moveaxis(np.asarray(one, float), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(other, float), -1, 0)
    grey = 1 + (1 - _blue_root((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2)) / 2
    c1, c2 = np.hypot(grey * a1, b1), np.hypot(grey * a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, grey * a1)) % 360, np.degrees(np.arctan2(b2, grey * a2)) % 360
    turn, hue = _hues(c1 * c2 == 0, h1, h2)
    lightness, chroma = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * _cos(hue - 30)
        + 0.24 * _cos(2 * hue)
        + 0.32 * _cos(3 * hue + 6)
        - 0.20 * _cos(4 * hue - 63)
    )  # fmt: skip
    off = (lightness - 50) ** 2
    d_l = (l2 - l1) / (1 + 0.015 * off / np.sqrt(20 + off))
    d_c = (c2 - c1) / (1 + 0.045 * chroma)
    d_h = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2)) / (1 + 0.015 * chroma * t)
    rotation = -2 * _blue_root(chroma) * np.sin(np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2))))
    return np.asarray(np.sqrt(np.maximum(d_l**2 + d_c**2 + d_h**2 + rotation * d_c * d_h, 0)))


def _hues(grey: Array, h1: Array, h2: Array) -> tuple[Array, Array]:
    """Difference and mean of two hues [°], the short way round; where a colour is grey it has no hue."""
    turn, both = h2 - h1, h1 + h2
    far = np.abs(turn) > 180 + _TIE_DEG
    mean = both / 2 + np.where(far, np.where(both < 360, 180, -180), 0)
    turn = turn - np.where(far, 360 * np.sign(turn), 0)
    return np.where(grey, 0, turn), np.where(grey, both, mean)


def _blue_root(chroma: Array) -> Array:
    seventh = chroma**7
    return np.sqrt(seventh / (seventh + 25.0**7))


def _cos(degrees: Array) -> Array:
    return np.cos(np.radians(degrees))
