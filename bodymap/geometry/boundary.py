"""The boundary of a surface in pieces between corners, as a masker tapes it.

What a corner is: `bodymap.geometry.corners`. A tight curve longer than two windows is a piece of its own. A boundary
without corners is one closed piece. The turn of a rounded corner counts to neither of the two pieces that meet there
when their tightest bend is told: its radius stands beside them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bodymap.geometry.corners import Corner, ring_corners
from bodymap.geometry.curvature import Position, circumradius_mm, least_radius_mm
from bodymap.model.shapes import Shape
from bodymap.settings import Settings

__all__ = ["BoundaryPiece", "Position", "boundary_pieces", "circumradius_mm"]

Floats = NDArray[np.float64]
_SAME_MM = 1e-6


@dataclass(frozen=True)
class BoundaryPiece:
    """One piece of a boundary, from corner to corner in the direction of its ring.

    Attributes:
        ring: number of the ring in `shape.rings()`.
        coordinates: its positions [mm]; a closed piece ends where it begins.
        length_mm: along the piece.
        least_radius_mm: radius of its tightest bend between its corners; None where it is straight.
        closed: the ring has no corner, and this is all of it.
        hole: the ring is a hole of its polygon.
        corner_radii_mm: of the corners at its beginning and end, where they are rounded (about); None: sharp.
    """

    ring: int
    coordinates: tuple[Position, ...]
    length_mm: float
    least_radius_mm: float | None
    closed: bool
    hole: bool = False
    corner_radii_mm: tuple[float | None, float | None] = (None, None)

    @property
    def straight(self) -> bool:
        """No bend that a rule would show."""
        return self.least_radius_mm is None

    @property
    def chord_mm(self) -> float:
        """Straight from its beginning to its end."""
        return math.dist(self.coordinates[0], self.coordinates[-1])

    @property
    def rise_mm(self) -> float:
        """How far it stands off its chord at most; off its first position, where it ends there."""
        (x0, y0), (x1, y1) = self.coordinates[0], self.coordinates[-1]
        chord = self.chord_mm
        if chord < _SAME_MM:
            return max(math.dist((x0, y0), spot) for spot in self.coordinates)
        return max(abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / chord for x, y in self.coordinates)


def boundary_pieces(shape: Shape, settings: Settings) -> tuple[BoundaryPiece, ...]:
    """The pieces of every ring of a surface, outer rings and holes; their lengths add up to its perimeter."""
    window = settings.value("corner_window_mm")
    limit = math.radians(settings.value("corner_deg"))
    pieces: list[BoundaryPiece] = []
    for number, (ring, hole) in enumerate(_rings(shape)):
        points = _without_repeats(ring)
        pieces += _ring_pieces(number, points, ring_corners(points, window, limit), window, hole=hole)
    return tuple(pieces)


def _rings(shape: Shape) -> list[tuple[tuple[Position, ...], bool]]:
    """All rings in the order of `shape.rings()`, and whether each is a hole."""
    polygons = {"Polygon": (shape.coordinates,), "MultiPolygon": shape.coordinates}.get(shape.type, ())
    return [(ring, number > 0) for polygon in polygons for number, ring in enumerate(polygon)]


def _without_repeats(ring: tuple[Position, ...]) -> Floats:
    points = np.array(ring[:-1], dtype=float)
    new = np.any(points != np.roll(points, 1, axis=0), axis=1)
    return points[new] if new.any() else points[:1]


def _ring_pieces(
    number: int, points: Floats, corners: tuple[Corner, ...], window: float, *, hole: bool
) -> list[BoundaryPiece]:
    ring = np.vstack([points, points[:1]])
    steps = np.diff(ring, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    if not corners:
        radius = least_radius_mm(ring, window / 2, closed=True)
        return [BoundaryPiece(number, _positions(ring), float(along[-1]), radius, closed=True, hole=hole)]
    pieces = []
    for start, end in zip(corners, (*corners[1:], corners[0]), strict=True):
        to_mm = end.at_mm if end.at_mm > start.at_mm else end.at_mm + float(along[-1])
        run = _stretch(ring, along, start.at_mm, to_mm)
        between = _stretch(ring, along, start.at_mm + start.after_mm, to_mm - end.before_mm)
        radius = least_radius_mm(between, window / 2, closed=False)
        radii = (start.radius_mm, end.radius_mm)
        pieces.append(
            BoundaryPiece(
                number, _positions(run), to_mm - start.at_mm, radius, closed=False, hole=hole, corner_radii_mm=radii
            )
        )
    return pieces


def _stretch(ring: Floats, along: Floats, from_mm: float, to_mm: float) -> Floats:
    """The positions of a ring from one place along it to another, up to one turn on."""
    if to_mm - from_mm < _SAME_MM:
        return ring[:1]
    twice, places = np.vstack([ring, ring[1:]]), np.concatenate([along, along[1:] + along[-1]])
    between = twice[(places > from_mm + _SAME_MM) & (places < to_mm - _SAME_MM)]
    ends = [[np.interp(place, places, twice[:, axis]) for axis in (0, 1)] for place in (from_mm, to_mm)]
    at = [np.flatnonzero(np.abs(places - place) <= _SAME_MM) for place in (from_mm, to_mm)]
    first, last = (twice[found[0]] if len(found) else end for found, end in zip(at, ends, strict=True))
    return np.vstack([first, between, last])


def _positions(points: Floats) -> tuple[Position, ...]:
    return tuple((float(x), float(y)) for x, y in points)
