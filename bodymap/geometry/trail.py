"""Lines of straight and curved steps, kept as curves so that they can be scaled first and made into points after.

A step is (end,) where it is straight and (control, control, end) where it is a cubic Bézier. What counts as near enough
to the curve is a distance on the finished drawing, so it is asked after the scale is known.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bodymap.errors import BodymapError
from bodymap.geometry.curves import Point

Floats = NDArray[np.float64]
Step = tuple[Point] | tuple[Point, Point, Point]
# A drawing of a whole vehicle has some ten thousand; far more is no outline, and would only take memory.
POINTS_MOST = 400_000


@dataclass(frozen=True)
class Trail:
    """One unbroken line: where it begins, its steps, and whether it is closed (then it ends where it begins)."""

    start: Point
    steps: tuple[Step, ...]
    closed: bool = False

    def moved(self, move: Callable[[Floats], Floats]) -> Trail:
        """The same line, its points (n, 2) taken through an affine map, in the unit of both: cubics stay cubics."""
        held = [self.start, *(point for step in self.steps for point in step)]
        points = move(np.array(held, dtype=float))
        moved = iter([(float(x), float(y)) for x, y in points])
        start = next(moved)
        steps = tuple(tuple(next(moved) for _ in step) for step in self.steps)
        return Trail(start, steps, self.closed)  # type: ignore[arg-type]

    def count(self, chord_error_mm: float) -> int:
        """How many points the line becomes, its start among them; at most."""
        ends = [self.start, *(step[-1] for step in self.steps)]
        return 1 + sum(_count(at, step, chord_error_mm) for at, step in zip(ends, self.steps, strict=False))

    def points(self, chord_error_mm: float) -> tuple[Point, ...]:
        """The line as points, nowhere further than the chord error from the curve; a closed one ends where it begins.

        Raises:
            BodymapError: it takes more points than any outline has.
        """
        if self.count(chord_error_mm) > POINTS_MOST:
            raise BodymapError(f"line: found more than {POINTS_MOST} points; allowed: a coarser drawing, or a lower scale")
        points = [self.start]
        for step in self.steps:
            points += step if len(step) == 1 else _flat(points[-1], step, _count(points[-1], step, chord_error_mm))
        kept = [point for number, point in enumerate(points) if number == 0 or point != points[number - 1]]
        if self.closed and kept[0] != kept[-1]:
            kept.append(kept[0])
        return tuple(kept)


def _count(start: Point, step: Step, chord_error_mm: float) -> int:
    """How many straight steps stay within the chord error of a step: Wang's bound (see `geometry.curves.cubic`)."""
    if len(step) == 1:
        return 1
    first, second, end = step
    bend = max(
        math.hypot(start[0] - 2 * first[0] + second[0], start[1] - 2 * first[1] + second[1]),
        math.hypot(first[0] - 2 * second[0] + end[0], first[1] - 2 * second[1] + end[1]),
    )
    return max(1, math.ceil(math.sqrt(0.75 * bend / chord_error_mm)))


def _flat(start: Point, step: tuple[Point, Point, Point], count: int) -> list[Point]:
    """Points along one cubic, without its start; its end exactly."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = start, *step
    points = []
    for number in range(1, count):
        t = number / count
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        points.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    return [*points, step[-1]]
