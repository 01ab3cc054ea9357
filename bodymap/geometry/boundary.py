"""The boundary of a surface in pieces between corners, as a masker tapes it.

A corner is where the boundary turns by more than `corner_deg` within `corner_window_mm`: a sharp angle, or a curve so
tight that tape is cut there rather than bent. A tight curve longer than two windows is a piece of its own, between two
corners. A boundary without corners is one closed piece.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bodymap.model.shapes import Shape
from bodymap.settings import Settings

Position = tuple[float, float]
Floats = NDArray[np.float64]

# A piece that stays this close to its chord is straight to any rule; well under the 0.5 mm to which tape is laid.
STRAIGHT_MM = 0.2


@dataclass(frozen=True)
class BoundaryPiece:
    """One piece of a boundary, from corner to corner in the direction of its ring.

    Attributes:
        ring: number of the ring in `shape.rings()`.
        coordinates: its positions [mm]; a closed piece ends where it begins.
        length_mm: along the piece.
        least_radius_mm: radius of its tightest bend away from its ends; None where it is straight.
        closed: the ring has no corner, and this is all of it.
    """

    ring: int
    coordinates: tuple[Position, ...]
    length_mm: float
    least_radius_mm: float | None
    closed: bool


def boundary_pieces(shape: Shape, settings: Settings) -> tuple[BoundaryPiece, ...]:
    """The pieces of every ring of a surface, outer rings and holes; their lengths add up to its perimeter."""
    window = settings.value("corner_window_mm")
    limit = math.radians(settings.value("corner_deg"))
    return tuple(piece for number, ring in enumerate(shape.rings()) for piece in _ring_pieces(number, ring, window, limit))


def circumradius_mm(a: Position, b: Position, c: Position) -> float:
    """Radius of the circle through three points [mm]; infinite where they lie on a line. R = abc / 4A."""
    twice_area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    return math.inf if twice_area == 0 else math.dist(a, b) * math.dist(b, c) * math.dist(c, a) / (2 * twice_area)


def _ring_pieces(number: int, ring: tuple[Position, ...], window: float, limit: float) -> list[BoundaryPiece]:
    points = np.array(_without_repeats(ring[:-1]))
    corners = _corners(points, window, limit)
    count = len(points)
    if not corners:
        return [_piece(number, np.vstack([points, points[:1]]), window, closed=True)]
    pieces = []
    for start, end in zip(corners, [*corners[1:], corners[0] + count], strict=True):
        run = points[np.arange(start, end + 1) % count]
        pieces.append(_piece(number, run, window, closed=False))
    return pieces


def _without_repeats(ring: tuple[Position, ...]) -> list[Position]:
    return [point for place, point in enumerate(ring) if point != ring[place - 1]] or list(ring)


def _corners(points: Floats, window: float, limit: float) -> list[int]:
    """Vertices at which a ring is cut, in order."""
    steps = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    heading = np.arctan2(steps[:, 1], steps[:, 0])
    turn = (heading - np.roll(heading, 1) + math.pi) % (2 * math.pi) - math.pi
    along = np.concatenate([[0.0], np.cumsum(lengths)[:-1]])
    turned = _turn_within(turn, along, float(lengths.sum()), window)
    tight = np.abs(turned) > limit
    gaps = lengths > window  # vertices this far apart do not bend one curve
    if tight.all() and not gaps.any():  # round a small hole, or a small polygon
        return [int(vertex) for vertex in np.flatnonzero(np.abs(turn) > limit)]
    return sorted({corner for run in _runs(tight, gaps) for corner in _cut(run, turn, lengths, window)})


def _turn_within(turn: Floats, along: Floats, perimeter: float, window: float) -> Floats:
    """Turn [rad] summed over the vertices within half a window before and after each vertex."""
    half = min(window, perimeter / 2) / 2
    place = np.concatenate([along - perimeter, along, along + perimeter])
    total = np.concatenate([[0.0], np.cumsum(np.tile(turn, 3))])
    first = np.searchsorted(place, along - half, side="left")
    last = np.searchsorted(place, along + half, side="right")
    within: Floats = total[last] - total[first]
    return within


def _runs(tight: NDArray[np.bool_], gaps: NDArray[np.bool_]) -> list[list[int]]:
    """Runs of neighbouring vertices that are tight, round the ring; `gaps` tells where the next vertex is far."""
    count = len(tight)
    # Begin behind a break: after a vertex that is not tight or that lies far from the next.
    begin = (int(np.flatnonzero(~tight | gaps)[0]) + 1) % count
    runs: list[list[int]] = [[]]
    for vertex in ((begin + step) % count for step in range(count)):
        if tight[vertex]:
            runs[-1].append(vertex)
        if not tight[vertex] or gaps[vertex]:
            runs.append([])
    return [run for run in runs if run]


def _cut(run: list[int], turn: Floats, lengths: Floats, window: float) -> list[int]:
    """Where a run of tight vertices is cut: at its middle turn, or at both ends of a long tight curve."""
    span = float(sum(lengths[vertex] for vertex in run[:-1]))
    if span > 2 * window:
        return [run[0], run[-1]]
    weights = np.abs(turn[run])
    middle = int(np.searchsorted(np.cumsum(weights), weights.sum() / 2))
    return [run[min(middle, len(run) - 1)]]


def _piece(number: int, points: Floats, window: float, *, closed: bool) -> BoundaryPiece:
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    coordinates = tuple((float(x), float(y)) for x, y in points)
    return BoundaryPiece(
        number, coordinates, float(along[-1]), _least_radius(coordinates, along, window, closed=closed), closed
    )


def _least_radius(points: tuple[Position, ...], along: Floats, window: float, *, closed: bool) -> float | None:
    """Tightest bend, by circles through vertices a window apart; the half window at a corner belongs to the corner."""
    length = float(along[-1])
    if not closed and _off_chord(points) <= STRAIGHT_MM:
        return None
    spaced = min(window, length / 4)
    tightest = math.inf
    for vertex in range(len(points)):
        if not closed and not window / 2 < along[vertex] < length - window / 2:
            continue
        before = _vertex_at(along, along[vertex] - spaced, length, closed=closed, up=False)
        after = _vertex_at(along, along[vertex] + spaced, length, closed=closed, up=True)
        if len({before, vertex, after}) == 3:
            tightest = min(tightest, circumradius_mm(points[before], points[vertex], points[after]))
    return tightest if math.isfinite(tightest) else None


def _vertex_at(along: Floats, place: float, length: float, *, closed: bool, up: bool) -> int:
    """The vertex at a place along a piece, or the next one outward."""
    if closed:
        place %= length
    found = int(np.searchsorted(along, place - 1e-9)) if up else int(np.searchsorted(along, place + 1e-9, side="right")) - 1
    return min(max(found, 0), len(along) - 1)


def _off_chord(points: tuple[Position, ...]) -> float:
    """Greatest distance of a piece from the straight line between its ends [mm]."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord == 0:
        return math.inf
    return max(abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / chord for x, y in points)
