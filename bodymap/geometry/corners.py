"""Where the ring of a boundary has corners, whether it is drawn in few vertices or sampled finely.

A corner is where the boundary turns by more than a limit within a window. A sharp vertex is one. A curve that turns so
tightly is one as well, at the middle of its turn, unless it goes on for more than two windows: then it is a bend, with a
corner at each end of it, so that a masker gets it as a piece of its own. A ring that is tight all round (a small round
hole) has no corner.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Vertices that stand off the line between their neighbours by less are rounding or an unsteady hand, not shape.
NOISE_MM = 0.1
# A vertex belongs to a tight curve while the curve there is not wider than 1 / 0.3 of what just makes a corner.
_STILL_TIGHT = 0.3
# Turns of neighbouring vertices that differ by less than this factor sample one curve; the ends of an arc turn half as much.
_ALIKE = 0.4
_SAME = 1e-9


@dataclass(frozen=True)
class Corner:
    """A corner of a ring; lengths in mm along the ring from its first position.

    Attributes:
        at_mm: where the boundary is cut.
        before_mm, after_mm: how far the turn reaches to both sides; 0 at a sharp vertex and at the end of a bend.
        radius_mm: of a rounded corner, about; None where it is sharp or the end of a bend.
    """

    at_mm: float
    before_mm: float = 0.0
    after_mm: float = 0.0
    radius_mm: float | None = None


@dataclass(frozen=True)
class _Ring:
    """Vertices that matter: place [mm], turn [rad, plus to the left], and how far before and after it a turn is spread."""

    place: Floats
    turn: Floats
    before: Floats
    after: Floats
    perimeter: float
    window: float
    limit: float

    def ahead(self, first: int, last: int) -> float:
        """Length from one vertex on to another."""
        return float((self.place[last] - self.place[first]) % self.perimeter)


def ring_corners(points: Floats, window_mm: float, limit_rad: float) -> tuple[Corner, ...]:
    """The corners of a ring in order.

    Args:
        points: its positions in mm, shape (n, 2), the first not repeated at the end, none twice in a row.
        window_mm: within how much of the boundary a turn counts.
        limit_rad: the turn above which there is a corner.
    """
    if len(points) < 3:
        return ()
    ring = _ring(points, window_mm, limit_rad)
    sharp = _sharp(ring)
    smooth = np.where(sharp, 0.0, ring.turn)
    found = [Corner(float(ring.place[vertex])) for vertex in np.flatnonzero(sharp)]
    found += [corner for run in _tight_runs(ring, smooth, sharp) for corner in _cut(ring, run)]
    return tuple(sorted(found, key=lambda corner: corner.at_mm))


def _ring(points: Floats, window: float, limit: float) -> _Ring:
    steps = np.roll(points, -1, axis=0) - points
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    kept = _shaping(points)
    ahead = np.roll(points[kept], -1, axis=0) - points[kept]
    heading = np.arctan2(ahead[:, 1], ahead[:, 0])
    turn = (heading - np.roll(heading, 1) + math.pi) % (2 * math.pi) - math.pi
    place = along[kept]
    gap = np.diff(np.append(place, place[0] + along[-1]))
    after = np.minimum(gap, window) / 2
    return _Ring(place, turn, np.roll(after, 1), after, float(along[-1]), window, limit)


def _shaping(points: Floats) -> NDArray[np.int64]:
    """Indices of the vertices that make the shape, rounding and unsteadiness left out; begins at no vertex in particular."""
    from_middle = points - points.mean(axis=0)
    first = int(np.argmax(np.round(np.hypot(from_middle[:, 0], from_middle[:, 1]), 6)))
    turned = np.roll(points, -first, axis=0)
    thinned = shapely.get_coordinates(shapely.LineString(np.vstack([turned, turned[:1]])).simplify(NOISE_MM))[:-1]
    kept, vertex = [], 0
    for position in thinned:
        while not np.array_equal(turned[vertex], position):
            vertex += 1
        kept.append(vertex)
        vertex += 1
    if len(kept) < 3:
        return np.arange(len(points))
    return np.sort((np.array(kept) + first) % len(points))


def _sharp(ring: _Ring) -> NDArray[np.bool_]:
    """Vertices that are corners by themselves: not one of several that sample a tight curve."""
    size = np.abs(ring.turn)
    near = np.diff(np.append(ring.place, ring.place[0] + ring.perimeter)) <= ring.window
    ahead = np.roll(ring.turn, -1)
    # the next vertex turns the same way, and about as much
    alike = near & (ring.turn * ahead > 0) & (np.minimum(size, np.abs(ahead)) >= _ALIKE * np.maximum(size, np.abs(ahead)))
    alone = ~(alike | np.roll(alike, 1))
    sharp: NDArray[np.bool_] = (size > 2 * ring.limit + _SAME) | ((size > ring.limit + _SAME) & alone)
    return sharp


def _tight_runs(ring: _Ring, turn: Floats, sharp: NDArray[np.bool_]) -> list[list[int]]:
    """Runs of vertices, between sharp ones, along which the boundary turns too tightly; none where it does so all round."""
    # the end of an arc is as tight as the arc, though it turns half as much
    reach = np.minimum(ring.before, ring.after)
    rate = np.abs(turn) / (2 * reach)
    tight = _in_tight_windows(ring, turn) & (rate >= _STILL_TIGHT * ring.limit / ring.window)
    vertices = np.flatnonzero(tight).tolist()
    passed = np.cumsum(sharp)
    apart = [
        ring.ahead(one, other) - reach[one] - reach[other] > ring.window / 2
        or passed[other] - passed[one] + (passed[-1] if other <= one else 0) > 0
        for one, other in zip(vertices, vertices[1:] + vertices[:1], strict=True)
    ]
    if not any(apart):
        return []
    begin = apart.index(True) + 1
    runs: list[list[int]] = [[]]
    for place in range(begin, begin + len(vertices)):
        runs[-1].append(vertices[place % len(vertices)])
        if apart[place % len(vertices)]:
            runs.append([])
    return [run for run in runs if run and _makes_corner(ring, run, abs(float(turn[run].sum())))]


def _makes_corner(ring: _Ring, run: list[int], turned: float) -> bool:
    """Whether a run turns enough, and on the whole not wider than what just makes a corner."""
    ends = min(ring.before[run[0]], ring.after[run[0]]) + min(ring.before[run[-1]], ring.after[run[-1]])
    spread = ring.ahead(run[0], run[-1]) + float(ends)
    return turned > ring.limit + _SAME and turned * ring.window > ring.limit * spread


def _in_tight_windows(ring: _Ring, turn: Floats) -> NDArray[np.bool_]:
    """Vertices in a window over which the turn, spread over the reach of each vertex, is above the limit."""
    places = np.concatenate([ring.place + lap * ring.perimeter for lap in (-1, 0, 1)])
    before, after = np.tile(ring.before, 3), np.tile(ring.after, 3)
    edges = np.concatenate([places - before, places + after])
    order = np.argsort(edges, kind="stable")
    slope = np.tile(turn, 3) / (before + after)
    slope = np.concatenate([slope, -slope])
    rate = np.cumsum(slope[order])[:-1]
    total = np.concatenate([[0.0], np.cumsum(rate * np.diff(edges[order]))])
    width = min(ring.window, ring.perimeter)
    starts = np.concatenate([edges, edges - width])
    starts = starts[(starts >= -ring.window) & (starts <= ring.perimeter)]
    turned = np.interp(starts + width, edges[order], total) - np.interp(starts, edges[order], total)
    tight = np.zeros(len(places), dtype=np.bool_)
    for start in starts[np.abs(turned) > ring.limit + _SAME]:
        first = np.searchsorted(places + after, start - _SAME)
        tight[first : np.searchsorted(places - before, start + width + _SAME)] = True
    found: NDArray[np.bool_] = np.any(tight.reshape(3, -1), axis=0)
    return found


def _cut(ring: _Ring, run: list[int]) -> list[Corner]:
    """Where a tight run is cut: in the middle of its turn, or at both ends of a bend."""
    span = ring.ahead(run[0], run[-1])
    if span > 2 * ring.window:
        return [Corner(float(ring.place[run[0]])), Corner(float(ring.place[run[-1]]))]
    size = np.abs(ring.turn[run])
    along = np.array([ring.ahead(run[0], vertex) for vertex in run])
    greatest = int(np.argmax(size))
    middle = along[greatest] if size[greatest] >= size.sum() / 2 else _middle_turn(along, size)
    at_mm = (float(ring.place[run[0]]) + middle) % ring.perimeter
    return [Corner(at_mm, float(middle), float(span - middle), span / abs(float(ring.turn[run].sum())) or None)]


def _middle_turn(along: Floats, size: Floats) -> float:
    """Where half of a turn is done: at a vertex, or halfway between two where both sides are alike."""
    total = list(itertools.accumulate(size.tolist()))
    half = total[-1] / 2
    vertex = next(n for n, done in enumerate(total) if done >= half - _SAME)
    if total[vertex] <= half + _SAME:
        return float(along[vertex] + along[vertex + 1]) / 2
    return float(along[vertex])
