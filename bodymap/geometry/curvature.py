"""How tightly a line bends: the circle through three of its vertices, a little way apart."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Position = tuple[float, float]
Floats = NDArray[np.float64]

# What stands off a straight line by less is straight to any rule: the finest tolerance of a taped edge.
STRAIGHT_MM = 0.5
# An arc through two neighbouring vertices that would bulge by more than this over the chord between them was not sampled
# from a curve: the vertex is a kink in straight lines. The second figure is for a vertex whose neighbour turns alike.
_KINK_BULGE_MM = 2.0
_KINK_BULGE_ALIKE_MM = 10.0
_ALIKE = 0.4


def circumradius_mm(a: Position, b: Position, c: Position) -> float:
    """Radius of the circle through three points [mm]; infinite where they lie on a line.

    R = abc / 4A, with the triangle's sides and area (plane geometry, in any textbook).

    >>> round(circumradius_mm((0, 0), (1, 1), (2, 0)), 12)
    1.0
    """
    twice_area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return math.inf if twice_area == 0 else math.dist(a, b) * math.dist(b, c) * math.dist(c, a) / (2 * twice_area)


def least_radius_mm(points: Floats, reach_mm: float, *, closed: bool) -> float | None:
    """Radius of the tightest bend of a line [mm]; None where it is straight.

    At each vertex the circle goes through it and through the vertices `reach_mm` before and after it, or as far again and
    again as it takes until the middle one stands off the chord by `STRAIGHT_MM`: so rounded coordinates do not pass for
    bends, and a circle sampled anyhow gives its own radius.

    Args:
        points: positions in mm, shape (n, 2), none twice in a row; a closed line ends where it begins.
        reach_mm: the least distance along the line to the outer two vertices.
        closed: the line is a ring without corners.
    """
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    length = float(lengths.sum())
    if len(points) < 3:
        return None
    if closed:
        points, lengths = np.vstack([points[:-1], points[:-1], points]), np.tile(lengths, 3)
        middle = slice(len(steps), 2 * len(steps))
    else:
        middle = slice(1, len(points) - 1)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    reach = min(reach_mm, length / 4)
    found = np.full(len(points), math.inf)
    kinks = _kinks(points, lengths)
    while reach <= length / (4 if closed else 2):
        radius, rise = _circles(points, along, reach, kinks)
        found = np.where(np.isinf(found) & (rise >= STRAIGHT_MM), radius, found)
        reach *= 2
    tightest = float(found[middle].min())
    return tightest if math.isfinite(tightest) else None


def _circles(points: Floats, along: Floats, reach: float, kinks: Floats) -> tuple[Floats, Floats]:
    """Radius at each vertex, and how far it stands off the chord between the vertices `reach` before and after it."""
    last = len(points) - 1
    before = np.clip(np.searchsorted(along, along - reach + 1e-9, side="right") - 1, 0, last)
    after = np.clip(np.searchsorted(along, along + reach - 1e-9), 0, last)
    ab, bc, ac = points - points[before], points[after] - points, points[after] - points[before]
    twice_area = np.abs(ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    sides = [np.hypot(side[:, 0], side[:, 1]) for side in (ab, bc, ac)]
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = np.where(twice_area > 0, sides[0] * sides[1] * sides[2] / (2 * twice_area), math.inf)
        rise = np.where(sides[2] > 0, twice_area / sides[2], 0.0)
    # at a kink: as if it had vertices `reach` to both sides on the straight lines that meet there
    bent = np.abs(np.sin(kinks / 2))
    with np.errstate(divide="ignore"):
        return np.where(bent > 0, reach / (2 * bent), radius), np.where(bent > 0, reach * bent, rise)


def _kinks(points: Floats, lengths: Floats) -> Floats:
    """Turn at the vertices where straight lines meet [rad]; 0 at the vertices that sample a curve."""
    steps = np.diff(points, axis=0)
    heading = np.arctan2(steps[:, 1], steps[:, 0])
    turn = (np.diff(heading) + math.pi) % (2 * math.pi) - math.pi
    bulge = np.minimum(lengths[:-1], lengths[1:]) * np.tan(np.abs(turn) / 4) / 2
    one, other = turn[:-1], turn[1:]
    pairs = (one * other > 0) & (np.minimum(np.abs(one), np.abs(other)) >= _ALIKE * np.maximum(np.abs(one), np.abs(other)))
    alike = np.pad(pairs, (1, 0)) | np.pad(pairs, (0, 1))
    return np.pad(np.where(bulge > np.where(alike, _KINK_BULGE_ALIKE_MM, _KINK_BULGE_MM), turn, 0.0), 1)
