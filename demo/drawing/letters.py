"""Block letters from our own strokes, for the ghosts of the 1962 lettering and the chalked cues."""

from __future__ import annotations

import math

import shapely
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from demo.drawing.curves import Pen, Point

STROKE = 0.20  # of the letter's height
GAP = 0.20


def _round(start: float, end: float, wide: float = 0.78) -> list[Point]:
    steps = [math.radians(start + (end - start) * k / 28) for k in range(29)]
    return [(wide / 2 + wide / 2 * math.cos(a), 0.5 + 0.5 * math.sin(a)) for a in steps]


def _fine(pen: Pen) -> list[Point]:
    """Curves drawn at 400 units to the letter's height, so that they stay smooth when enlarged."""
    return [(x / 400, y / 400) for x, y in pen.points]


def _half(foot: float, high: float, wide: float) -> list[Point]:
    """One ring of a figure eight."""
    return [(x, foot + y * high) for x, y in _round(0, 360, wide)]


_BOWL = _fine(Pen(0, 400).to((136, 400)).curve((284, 400), (284, 184), (136, 184)).to((0, 184)))
_BELLY = _fine(Pen(0, 0).to((0, 400), (104, 400)).curve((344, 400), (344, 0), (104, 0)).to((0, 0)))
_ESS = _fine(
    Pen(262, 330)
    .curve((236, 384), (200, 400), (148, 400))
    .curve((64, 400), (16, 362), (16, 302))
    .curve((16, 160), (268, 240), (268, 106))
    .curve((268, 40), (216, 0), (136, 0))
    .curve((76, 0), (28, 22), (6, 76))
)

# Width of the letter's centre lines, and the lines themselves, in a box one unit high.
STROKES: dict[str, tuple[float, list[list[Point]]]] = {
    "A": (0.82, [[(0, 0), (0.41, 1), (0.82, 0)], [(0.15, 0.32), (0.67, 0.32)]]),
    "B": (0.66, [[(0, 0), *_BOWL], [(0, 0), (0.36, 0), (0.60, 0.12), (0.60, 0.36), (0.36, 0.46)]]),
    "C": (0.72, [_round(42, 318)]),
    "D": (0.71, [_BELLY]),
    "E": (0.56, [[(0.56, 1), (0, 1), (0, 0), (0.56, 0)], [(0, 0.5), (0.48, 0.5)]]),
    "F": (0.56, [[(0.56, 1), (0, 1), (0, 0)], [(0, 0.5), (0.48, 0.5)]]),
    "G": (0.78, [[*_round(42, 335), (0.76, 0.46), (0.46, 0.46)]]),
    "H": (0.68, [[(0, 0), (0, 1)], [(0.68, 0), (0.68, 1)], [(0, 0.5), (0.68, 0.5)]]),
    "I": (0.0, [[(0, 0), (0, 1)]]),
    "L": (0.54, [[(0, 1), (0, 0), (0.54, 0)]]),
    "M": (0.90, [[(0, 0), (0, 1), (0.45, 0.22), (0.90, 1), (0.90, 0)]]),
    "N": (0.70, [[(0, 0), (0, 1), (0.70, 0), (0.70, 1)]]),
    "O": (0.78, [_round(0, 360)]),
    "P": (0.62, [[(0, 0), *_BOWL]]),
    "R": (0.66, [[(0, 0), *_BOWL], [(0.30, 0.46), (0.66, 0)]]),
    "S": (0.70, [_ESS]),
    "T": (0.70, [[(0, 1), (0.70, 1)], [(0.35, 1), (0.35, 0)]]),
    "U": (0.68, [_fine(Pen(0, 400).to((0, 144)).curve((0, -48), (272, -48), (272, 144)).to((272, 400)))]),
    "V": (0.76, [[(0, 1), (0.38, 0), (0.76, 1)]]),
    "W": (1.10, [[(0, 1), (0.28, 0), (0.55, 0.86), (0.82, 0), (1.10, 1)]]),
    "Y": (0.72, [[(0, 1), (0.36, 0.48), (0.72, 1)], [(0.36, 0.48), (0.36, 0)]]),
    "1": (0.22, [[(0, 0.8), (0.22, 1), (0.22, 0)]]),
    "8": (0.56, [_half(0.54, 0.46, 0.56), _half(0, 0.54, 0.56)]),
    "2": (0.6, [[(0, 0.8), (0.14, 0.97), (0.42, 0.97), (0.58, 0.76), (0.5, 0.52), (0, 0), (0.62, 0)]]),
    "3": (0.6, [[(0, 1), (0.56, 1), (0.24, 0.58), (0.52, 0.5), (0.58, 0.22), (0.4, 0.0), (0.14, 0), (0, 0.16)]]),
    "4": (0.64, [[(0.46, 0), (0.46, 1), (0, 0.3), (0.64, 0.3)]]),
    "7": (0.58, [[(0, 1), (0.58, 1), (0.2, 0)]]),
}


def _advance(text: str, gap: float) -> float:
    return sum((STROKES[c][0] + STROKE if c != " " else 0.42) + gap for c in text) - gap


def centre_lines(text: str, x: float, y: float, high: float, gap: float = GAP) -> list[LineString]:
    """The strokes' centre lines of a line of text that begins at (x, y) and is `high` mm high."""
    size, at, lines = high * (1 - STROKE), x + high * STROKE / 2, []
    for c in text:
        if c == " ":
            at += (0.42 + gap) * size
            continue
        wide, strokes = STROKES[c]
        lines += [LineString([(at + px * size, y + high * STROKE / 2 + py * size) for px, py in s]) for s in strokes]
        at += (wide + STROKE + gap) * size
    return lines


def lettering(text: str, x0: float, x1: float, y: float, high: float) -> BaseGeometry:
    """A line of painted letters, spaced out to run from x0 to x1."""
    size = high * (1 - STROKE)
    gap = GAP + ((x1 - x0) - _advance(text, GAP) * size) / size / (len(text) - 1)
    lines = centre_lines(text, x0, y, high, gap)
    thick = high * STROKE / 2
    strokes = [line.buffer(thick, cap_style="square", join_style="mitre", mitre_limit=1.6) for line in lines]
    painted = shapely.union_all(strokes).intersection(box(x0 - 50, y, x1 + 50, y + high))
    return shapely.set_precision(painted.simplify(0.15), 0.1)
