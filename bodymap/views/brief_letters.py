"""Letters of boundary pieces on the picture: one for each piece, and one for a short run of pieces that say the same thing.

Every piece has its figures in the table; on the picture a short run of pieces that say the same is called by its first and
its last, so that it can be read from two metres (how short: our own choice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

from bodymap.views.paper import Point

# On paper: a run is no longer than this, and no piece that is longer than this alone loses its letter to its neighbours.
_RUN_MOST_MM = 60.0
_NEAR_MM = 0.01


@dataclass(frozen=True)
class LetteredPiece:
    """A boundary piece as it is drawn: its letter and its line in drawing mm.

    `says`: what the painter has to know of it (tape, tolerance, what it lies along); `follows`: it goes on smoothly from the
    piece before it.
    """

    letter: str
    coordinates: tuple[Point, ...]
    says: Hashable = None
    follows: bool = False

    @property
    def length_mm(self) -> float:
        """Its length on the drawing."""
        return math.fsum(math.dist(a, b) for a, b in zip(self.coordinates, self.coordinates[1:], strict=False))


@dataclass(frozen=True)
class Lettered:
    """What is written: a letter, or the first and the last of a run; and the line it is written beside."""

    text: str
    coordinates: tuple[Point, ...]
    run: bool


def follows(before: Sequence[Point], piece: Sequence[Point], corner_deg: float) -> bool:
    """Whether a piece begins where the one before it ends, and turns there by no more than a corner does.

    >>> follows([(0, 0), (9, 0)], [(9, 0), (18, 2)], 30), follows([(0, 0), (9, 0)], [(9, 0), (9, 9)], 30)
    (True, False)
    """
    if math.dist(before[-1], piece[0]) > _NEAR_MM:
        return False
    (x0, y0), (x1, y1) = before[-2], before[-1]
    (x2, y2), (x3, y3) = piece[0], piece[1]
    turn = math.degrees(math.atan2(y3 - y2, x3 - x2) - math.atan2(y1 - y0, x1 - x0))
    return abs((turn + 180) % 360 - 180) <= corner_deg


def lettered(pieces: Iterable[LetteredPiece], scale: float) -> tuple[Lettered, ...]:
    """What is written on a picture of this scale (mm of the drawing on a mm of paper): every piece, alone or in a run."""
    runs: list[list[LetteredPiece]] = []
    for piece in pieces:
        if runs and _goes_on(runs[-1], piece, scale):
            runs[-1].append(piece)
        else:
            runs.append([piece])
    return tuple(_written(run) for run in runs)


def _goes_on(run: Sequence[LetteredPiece], piece: LetteredPiece, scale: float) -> bool:
    long_mm = math.fsum(one.length_mm for one in (*run, piece)) / scale
    return piece.follows and piece.says == run[-1].says and long_mm <= _RUN_MOST_MM


def _written(run: Sequence[LetteredPiece]) -> Lettered:
    longest = max(run, key=lambda one: one.length_mm)
    text = run[0].letter if len(run) == 1 else f"{run[0].letter}–{run[-1].letter}"
    return Lettered(text, longest.coordinates, len(run) > 1)
