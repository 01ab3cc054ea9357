"""Dimension lines from a datum to a boundary: as many as the paper holds without lying on one another.

A dimension that would run through the area itself is drawn beside it, on extension lines from the corner. What finds no
room in the drawing stands in the table of offsets all the same.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import shapely
from shapely import LineString, box
from shapely.geometry.base import BaseGeometry

from bodymap.views.paper import Desk, Label, Paper, Point, Stroke, spots_of, text_box

_TEXT_MM = 3.1
_BESIDE_MM = (9.0, 16.0, 23.0, 30.0)
_APART_MM = 3.2
_ARROW_MM = 2.2
_ARM_MM = 2 * _ARROW_MM
_BESIDE_TEXT_MM = 2.4
_MOST = 14
_SAME_VALUE_MOST = 2
_CLEAR_MM = 3.0
_ALONG_TEXT_MM = 2.4


@dataclass(frozen=True)
class Offset:
    """A boundary point and its distance from the datum [mm].

    Attributes:
        piece: letter of the boundary piece; `number`: 1 at its beginning.
        along_mm: place of the foot along the datum, from the datum's beginning.
        x, y: the point on the boundary, in drawing mm; foot_x, foot_y: the nearest point of the datum.
        offset_mm: the distance; negative on the side of the datum on which less of the boundary lies.
        corner: the point is an end of its piece, or the piece has none: it may be dimensioned beside the area.
        beyond: it lies past an end of the datum, so the distance runs slanting to that end.
    """

    piece: str
    number: int
    along_mm: float
    x: float
    y: float
    offset_mm: float
    foot_x: float
    foot_y: float
    corner: bool
    beyond: bool = False


@dataclass
class _Ink:
    lines: list[tuple[Point, ...]] = field(default_factory=list)
    extensions: list[tuple[Point, ...]] = field(default_factory=list)
    arrows: list[tuple[Point, ...]] = field(default_factory=list)
    drawn: list[LineString] = field(default_factory=list)
    points: set[Point] = field(default_factory=set)
    values: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Surface:
    """The area on paper: a little smaller, so that its edge is outside, and a little larger, so that its edge is in it."""

    inside: BaseGeometry
    round_it: BaseGeometry

    @classmethod
    def of(cls, area: BaseGeometry) -> _Surface:
        inside, round_it = area.buffer(-0.4), area.buffer(0.4)
        shapely.prepare([inside, round_it])
        return cls(inside, round_it)


@dataclass(frozen=True)
class _Way:
    """One way to draw a dimension: its line from `foot` to `end`, and the extension lines it needs."""

    foot: Point
    end: Point
    extensions: tuple[tuple[Point, Point], ...] = ()


def half_mm(value_mm: float) -> str:
    """A length for a rule: to the nearest 0.5 mm.

    >>> half_mm(123.3), half_mm(60.0), half_mm(-0.1)
    ('123.5', '60', '0')
    """
    rounded = round(value_mm * 2) / 2
    return f"{rounded:.1f}".removesuffix(".0") if rounded else "0"


def dimensions(
    paper: Paper, desk: Desk, offsets: Iterable[Offset], area: BaseGeometry, datum: BaseGeometry
) -> tuple[Stroke, ...]:
    """Strokes of the dimension lines that found room; their labels are put on the desk.

    Args:
        paper: where the drawing lies.
        desk: what is there already.
        offsets: boundary points with their offsets; the first ones come first.
        area: the area, in drawing mm.
        datum: the datum, in drawing mm.
    """
    ink = _Ink()
    surface, line = _Surface.of(paper.laid(area)), paper.laid(datum)
    for offset in sorted(offsets, key=lambda one: (not one.corner, one.piece, one.number)):
        if len(ink.drawn) >= _MOST:
            break
        if abs(offset.offset_mm) >= 0.25 and not _told(offset, ink):
            for way in _ways(paper, offset, surface, line):
                if _placed(desk, ink, way, offset):
                    break
    return (
        Stroke("extension", tuple(ink.extensions)),
        Stroke("dimension", tuple(ink.lines)),
        Stroke("arrow", tuple(ink.arrows), closed=True),
    )


def _told(offset: Offset, ink: _Ink) -> bool:
    """Whether the same point is drawn already (a corner belongs to two pieces), or the same value often enough."""
    return _key(offset) in ink.points or ink.values.count(half_mm(abs(offset.offset_mm))) >= _SAME_VALUE_MOST


def _key(offset: Offset) -> Point:
    return round(offset.x), round(offset.y)


def _ways(paper: Paper, offset: Offset, surface: _Surface, datum: BaseGeometry) -> Iterator[_Way]:
    foot, end = paper.spot(offset.foot_x, offset.foot_y), paper.spot(offset.x, offset.y)
    length = math.dist(foot, end)
    if length < 0.5:
        return
    straight = LineString([foot, end])
    # Neither through the area nor along its edge.
    if not surface.inside.intersects(straight) and straight.intersection(surface.round_it).length < 2:
        yield _Way(foot, end)
    if not offset.corner or offset.beyond:
        return
    ux, uy = (end[0] - foot[0]) / length, (end[1] - foot[1]) / length
    for beside in _BESIDE_MM:
        for side in (beside, -beside):
            dx, dy = -uy * side, ux * side
            moved_foot, moved_end = (foot[0] + dx, foot[1] + dy), (end[0] + dx, end[1] + dy)
            moved = LineString([moved_foot, moved_end])
            if surface.inside.distance(moved) < _CLEAR_MM or surface.inside.intersects(LineString([end, moved_end])):
                continue
            extensions = [(end, _longer(end, moved_end))]
            if datum.distance(shapely.Point(moved_foot)) > 0.4:
                extensions.append((foot, _longer(foot, moved_foot)))
            yield _Way(moved_foot, moved_end, tuple(extensions))


def _longer(start: Point, end: Point, by_mm: float = 1.5) -> Point:
    length = math.dist(start, end)
    return end[0] + (end[0] - start[0]) / length * by_mm, end[1] + (end[1] - start[1]) / length * by_mm


def _placed(desk: Desk, ink: _Ink, way: _Way, offset: Offset) -> bool:
    """Draws a dimension if its line and its label have room."""
    seen = LineString([way.foot, way.end]).intersection(box(1, 1, desk.width_mm - 1, desk.height_mm - 1))
    if not isinstance(seen, LineString) or seen.is_empty or not _clear(desk, ink, seen):
        return False
    arms = _arms(way) if seen.length < 2 * _ARROW_MM else ()
    if any(not (_on_picture(desk, tip) and _on_picture(desk, back)) for tip, back in arms):
        return False
    thin = [LineString(line) for line in (*way.extensions, *arms)]
    if any(not _clear_of_labels(desk, line) for line in thin):
        return False
    labels = _labels_outside(way, offset) if arms else _labels(seen, offset)
    label = next((one for one in labels if desk.free(text_box(one))), None)
    if label is None:
        return False
    desk.put(label, seen.buffer(0.5), *(line.buffer(0.3) for line in thin))
    ink.drawn.append(seen)
    ink.points.add(_key(offset))
    ink.values.append(half_mm(abs(offset.offset_mm)))
    ink.lines.append(spots_of(seen))
    ink.extensions += [*way.extensions, *arms]
    if arms:
        ink.arrows += [_arrow(tip, back) for tip, back in arms]
        return True
    ink.arrows.append(_arrow(way.end, way.foot))
    # A line cut by the edge of the picture has no arrow there: the datum lies further on.
    if _on_picture(desk, way.foot):
        ink.arrows.append(_arrow(way.foot, way.end))
        if not way.extensions:
            desk.put_first_free([_along(way, label, offset)])
    return True


def _arms(way: _Way) -> tuple[tuple[Point, Point], ...]:
    """Tip and back of the arrows that point at a short dimension from outside (as ISO 129-1 has it; from memory)."""
    return (way.foot, _longer(way.end, way.foot, _ARM_MM)), (way.end, _longer(way.foot, way.end, _ARM_MM))


def _labels_outside(way: _Way, offset: Offset) -> Iterator[Label]:
    """Places for the value of a short dimension: in line with it past one of its arrows, or beside that arrow."""
    text = half_mm(abs(offset.offset_mm))
    half, turn = len(text) * _TEXT_MM * 0.3, _upright(way.foot, way.end)
    for start, end in ((way.end, way.foot), (way.foot, way.end)):
        x, y = _longer(start, end, _ARM_MM + half + 1.0)
        yield Label(text, x, y, _TEXT_MM, "dimension", turn)
        (x, y), length = _longer(start, end, half + 1.2), math.dist(start, end)
        for side in (_BESIDE_TEXT_MM, -_BESIDE_TEXT_MM):
            nx, ny = -(end[1] - start[1]) / length * side, (end[0] - start[0]) / length * side
            yield Label(text, x + nx, y + ny, _TEXT_MM, "dimension", turn)


def _upright(start: Point, end: Point) -> float:
    """The turn of a text along a line that is not upside down [degrees]."""
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    return turn - 180 if turn > 89 else turn + 180 if turn <= -91 else turn


def _along(way: _Way, label: Label, offset: Offset) -> Label:
    """Where along the datum the foot lies, on the far side of it."""
    text, length = half_mm(offset.along_mm), math.dist(way.foot, way.end)
    away = len(text) * _ALONG_TEXT_MM * 0.3 + 2.0
    x, y = (way.foot[i] - (way.end[i] - way.foot[i]) / length * away for i in (0, 1))
    return Label(text, x, y, _ALONG_TEXT_MM, "along", label.turn_deg)


def _on_picture(desk: Desk, spot: Point) -> bool:
    return 1 <= spot[0] <= desk.width_mm - 1 and 1 <= spot[1] <= desk.height_mm - 1


def _clear(desk: Desk, ink: _Ink, line: LineString) -> bool:
    near = line.buffer(_APART_MM, cap_style="flat")
    beside = any(near.intersection(other).length > 2 for other in ink.drawn)
    return not beside and _clear_of_labels(desk, line)


def _clear_of_labels(desk: Desk, line: LineString) -> bool:
    return not any(box.intersects(line) for box in desk.boxes)


def _labels(line: LineString, offset: Offset) -> Iterator[Label]:
    text = half_mm(abs(offset.offset_mm))
    (x0, y0), (x1, y1) = spots_of(line)
    turn = _upright((x0, y0), (x1, y1))
    room = len(text) * _TEXT_MM * 0.6 + 2 * _ARROW_MM + 0.5
    if line.length > room:
        for share in (0.5, 0.38, 0.62, 0.28, 0.72):
            if min(share, 1 - share) * line.length > room / 2:
                yield Label(text, x0 + share * (x1 - x0), y0 + share * (y1 - y0), _TEXT_MM, "dimension", turn)
    nx, ny = -(y1 - y0) / line.length * _BESIDE_TEXT_MM, (x1 - x0) / line.length * _BESIDE_TEXT_MM
    for side in (1, -1):
        yield Label(text, (x0 + x1) / 2 + side * nx, (y0 + y1) / 2 + side * ny, _TEXT_MM, "dimension", turn)


def _arrow(tip: Point, back: Point) -> tuple[Point, ...]:
    length = math.dist(tip, back)
    ux, uy = (back[0] - tip[0]) / length, (back[1] - tip[1]) / length
    base, half = _ARROW_MM, _ARROW_MM / 6
    left = (tip[0] + ux * base - uy * half, tip[1] + uy * base + ux * half)
    right = (tip[0] + ux * base + uy * half, tip[1] + uy * base - ux * half)
    return (tip, left, right, tip)
