"""What is written on one sheet of a template: names in their own free space, upright to be read, never mirrored."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.views.paper import Desk, Label, Stroke, simple_parts, spots_of, text_box
from bodymap.views.template_ink import Named

_SIZES_MM = {"subject": (5.0, 4.0, 3.2, 2.6), "line": (3.2,), "datum": (2.8,), "area": (3.2, 2.6), "zone": (3.2, 2.6)}
_LEAST_MM2 = 60.0
_LETTERS_MOST = 60
_BESIDE_MM = (4.5, 8.0)
_HEAVY = frozenset({"edge", "hole", "centre", "line"})
_SHARES = (0.5, 0.3, 0.7, 0.15, 0.85)


def names_on_sheet(
    names: Sequence[Named],
    window: BaseGeometry,
    paper: Callable[[BaseGeometry], BaseGeometry],
    size_mm: tuple[float, float],
    strokes: Sequence[Stroke],
    taken: Sequence[BaseGeometry] = (),
) -> tuple[Label, ...]:
    """The labels of one sheet; a name that finds no room is left out, and the title block says what the sheet is of.

    Args:
        names: what may be written, what matters most first.
        window: what the sheet shows, in template mm.
        paper: from template mm to paper mm.
        size_mm: of the drawing on paper.
        strokes: what is drawn there.
        taken: places of the paper on which nothing may be written.
    """
    desk = Desk(*size_mm)
    desk.keep_free(*taken)
    for stroke in strokes:
        if stroke.style in _HEAVY:
            desk.keep_free(*(shapely.LineString(line).buffer(0.4) for line in stroke.lines))
    hatch = [shapely.LineString(line) for stroke in strokes if stroke.style == "hatch" for line in stroke.lines]
    for name in names:
        if not name.first:
            # Only what is hatched has its name in the hatch.
            desk.keep_free(*hatch)
            hatch = []
        if not name.shape.intersects(window):
            continue
        seen = paper(_cut(name.shape, window))
        text = name.text if len(name.text) <= _LETTERS_MOST else f"{name.text[: _LETTERS_MOST - 1]}…"
        if name.style in ("line", "datum"):
            desk.put_first_free(_beside(seen, text, name.style))
        else:
            desk.put_first_free(_inside(seen, text, name.style))
    return tuple(desk.labels)


def _cut(shape: BaseGeometry, window: BaseGeometry) -> BaseGeometry:
    return shapely.clip_by_rect(shape, *window.bounds)


def _inside(seen: BaseGeometry, text: str, style: str) -> Iterator[Label]:
    surfaces = [part for part in simple_parts(seen) if isinstance(part, shapely.Polygon) and part.area > _LEAST_MM2]
    surfaces.sort(key=lambda part: -part.area)
    for size in _SIZES_MM[style]:
        for surface in surfaces[:4]:
            shapely.prepare(surface)
            for turn in (0.0, -90.0):
                for spot in _spots(surface):
                    label = Label(text, spot.x, spot.y, size, style, turn)
                    if surface.contains(text_box(label)):
                        yield label


def _spots(surface: BaseGeometry) -> Iterator[shapely.Point]:
    yield shapely.point_on_surface(surface)
    left, low, right, high = surface.bounds
    for row in (0.5, 0.3, 0.7, 0.1, 0.9):
        for column in (0.5, 0.3, 0.7):
            yield shapely.Point(left + column * (right - left), low + row * (high - low))


def _beside(seen: BaseGeometry, text: str, style: str) -> Iterator[Label]:
    lines = [part for part in simple_parts(seen) if isinstance(part, shapely.LineString) and part.length > 0]
    (size,) = _SIZES_MM[style]
    for line in sorted(lines, key=lambda part: -part.length):
        for share in _SHARES:
            (x, y), (x1, y1) = (spots_of(line.interpolate(at, normalized=True))[0] for at in (share, min(share + 0.02, 1.0)))
            (x0, y0) = spots_of(line.interpolate(max(share - 0.02, 0.0), normalized=True))[0]
            length = math.dist((x0, y0), (x1, y1)) or 1.0
            dx, dy = (x1 - x0) / length, (y1 - y0) / length
            turn = math.degrees(math.atan2(dy, dx))
            turn = turn - 180 if turn > 89 else turn + 180 if turn <= -91 else turn
            for away in _BESIDE_MM:
                for side in (-away, away):
                    yield Label(text, x - dy * side, y + dx * side, size, style, turn)
    for part in simple_parts(seen):
        if isinstance(part, shapely.Point) and not part.is_empty:
            wide = len(text) * size * 0.3 + 6
            yield from (Label(text, part.x + way * wide, part.y, size, style) for way in (1, -1))
