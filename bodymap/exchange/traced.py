"""Lines traced by hand over a picture, as a sketch: the same paths as those of a file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bodymap.exchange.sketch import Sketch, SketchPath
from bodymap.geometry.curves import Point
from bodymap.geometry.tracing import ring_of, without_doubles
from bodymap.geometry.trail import Trail


@dataclass(frozen=True)
class Traced:
    """One finished line: its points in pixels of the picture, y up from its lower edge; `closed`: it is a ring."""

    points: tuple[Point, ...]
    closed: bool = True


def traced_sketch(lines: Sequence[Traced], source: str) -> Sketch:
    """The lines as paths `p1` on, in pixels: no scale is known until it is calibrated. `source`: name of the picture.

    Raises:
        BodymapError: a ring of fewer than three different points.
    """
    paths = []
    for number, line in enumerate(lines, start=1):
        points = ring_of(line.points) if line.closed else without_doubles(line.points)
        trail = Trail(points[0], tuple((point,) for point in points[1:]), line.closed)
        paths.append(SketchPath(f"p{number}", "", (), (trail,), even_odd=True))
    return Sketch(tuple(paths), (), "", trusted_scale=False, source=source)
