"""Places spread over a shape, and a short way round them. The same shape always gives the same places."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.film.contours import Floats
from bodymap.film.kriging import distances
from bodymap.progress import Step, silent, stretch

Place = tuple[float, float]

_TRIES_PER_PLACE = 60
_TRIES_LEAST = 600
_ROUNDS, _ROUNDS_TOLD = 40, 4
_STILL_MM = 0.1
_GAIN_MM = 1e-6


def spread(room: BaseGeometry, count: int, held: Sequence[Place] = (), step: Step = silent) -> list[Place]:
    """Places that fill a shape evenly up to `count`, beside those already held (which are not given back).

    `step` is told how far it is, and may stop it.

    At first each place is as far as may be from those before it; then each is moved to the middle of what lies nearest to
    it (Lloyd, IEEE Transactions on Information Theory 28 (1982) 129–137; from memory, not seen), on a fine grid. Of a few
    beginnings the best spread counts.

    Raises:
        BodymapError: the shape has no area.
    """
    wanted = count - len(held)
    if wanted <= 0:
        return []
    grid = _grid(room, max(_TRIES_LEAST, _TRIES_PER_PLACE * count))
    if len(grid) <= wanted:
        return _all_of(grid)
    fixed = np.asarray(held, float).reshape(-1, 2)
    centre = np.hypot(*(grid - np.asarray(room.centroid.coords[0], float)).T)
    starts = dict.fromkeys((int(np.argmin(centre)), int(np.argmax(centre)), 0))
    tried = [
        _settled(room, grid, fixed, _far_apart(grid, fixed, wanted, start), stretch(step, nth / 3, (nth + 1) / 3))
        for nth, start in enumerate(starts)
    ]
    return _all_of(min(tried, key=lambda places: _spacing(grid, fixed, places)))


def short_route(places: Sequence[Place]) -> list[Place]:
    """The places in an order that makes a short way: nearest next, from the lowest to the left, then crossings undone."""
    left = sorted(places, key=lambda place: (place[0] + place[1], place[0]))
    route = left[:1]
    del left[:1]
    while left:
        nearest = min(left, key=lambda place: (math.dist(place, route[-1]), place))
        route.append(nearest)
        left.remove(nearest)
    return _uncrossed(route)


def inmost(shape: BaseGeometry) -> Place:
    """The place of a shape farthest from its edge, to a hundredth of its size."""
    widest = max(shapely.get_parts(shape), key=lambda part: part.area)
    x0, y0, x1, y1 = widest.bounds
    centre = shapely.maximum_inscribed_circle(widest, tolerance=max(x1 - x0, y1 - y0) / 100).coords[0]
    return float(centre[0]), float(centre[1])


def _grid(room: BaseGeometry, tries: int) -> Floats:
    """About `tries` even places of a shape, in whole tenths of a millimetre where that is fine enough."""
    if room.area <= 0:
        raise BodymapError("spots: found no room; allowed: a shape with an area")
    step = math.sqrt(room.area / tries)
    x0, y0, x1, y1 = room.bounds
    x, y = np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    rounded = np.round(np.column_stack((x.ravel(), y.ravel())), 1 if step > 1 else 6)
    inside = rounded[shapely.contains_xy(room, *rounded.T)]
    return inside if len(inside) else np.array([inmost(room)], float)


def _far_apart(grid: Floats, fixed: Floats, wanted: int, start: int) -> Floats:
    """Places as far apart as may be; the first at `start` where nothing is fixed."""
    far = np.full(len(grid), np.inf)
    for place in fixed:
        far = np.minimum(far, np.hypot(*(grid - place).T))
    chosen: list[int] = []
    for _ in range(wanted):
        pick = int(np.argmax(far)) if len(fixed) or chosen else start
        chosen.append(pick)
        far = np.minimum(far, np.hypot(*(grid - grid[pick]).T))
    return grid[chosen]


def _settled(room: BaseGeometry, grid: Floats, fixed: Floats, places: Floats, step: Step) -> Floats:
    """Places moved to the middle of what lies nearest to each, until they stay; a middle outside the shape to its edge."""
    for turn in range(_ROUNDS):
        if not turn % _ROUNDS_TOLD:
            step("Spreading the spots", turn / _ROUNDS)
        nearest = np.argmin(distances(grid, np.concatenate((places, fixed))), axis=1)
        moved = np.array([
            grid[nearest == number].mean(axis=0) if (nearest == number).any() else places[number]
            for number in range(len(places))
        ])  # fmt: skip
        outside = np.flatnonzero(~shapely.contains_xy(room, *moved.T))
        moved[outside] = grid[np.argmin(distances(moved[outside], grid), axis=1)]
        still = np.abs(moved - places).max() < _STILL_MM
        places = moved
        if still:
            break
    rounded = np.round(places, 1)
    inside = np.asarray(shapely.contains_xy(room, *rounded.T))
    return np.where(inside[:, None], rounded, places)


def _spacing(grid: Floats, fixed: Floats, places: Floats) -> float:
    """Mean square distance of the shape from the nearest place: the less, the better spread."""
    return float(np.round(np.mean(distances(grid, np.concatenate((places, fixed))).min(axis=1) ** 2), 6))


def _all_of(grid: Floats) -> list[Place]:
    return [(float(x), float(y)) for x, y in grid]


def _uncrossed(route: list[Place]) -> list[Place]:
    """The route with every stretch turned round that makes it shorter (2-opt for an open way)."""
    better = True
    while better:
        better = False
        for start in range(len(route) - 1):
            for end in range(start + 1, len(route)):
                if _gained_mm(route, start, end) > _GAIN_MM:
                    route[start : end + 1], better = route[start : end + 1][::-1], True
    return route


def _gained_mm(route: Sequence[Place], start: int, end: int) -> float:
    """By how much the way becomes shorter where the stretch from `start` to `end` is turned round: only its ends move."""
    gained = 0.0
    if start > 0:
        gained += math.dist(route[start - 1], route[start]) - math.dist(route[start - 1], route[end])
    if end < len(route) - 1:
        gained += math.dist(route[end], route[end + 1]) - math.dist(route[start], route[end + 1])
    return gained
