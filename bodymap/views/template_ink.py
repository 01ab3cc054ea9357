"""What a full-size template shows of one drawing, as lines by meaning in true mm, y up.

The thing asked for has the styles of the cut: `edge`, `hole`, `hatch` on the side that stays, `margin`, and for a painted
line `edge` and `centre`. All else on the drawing is there to lay the template by: `zone`, the outline by its kinds, other
areas and lines, `datum`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.geometry.painted_line import stripe_of
from bodymap.model import Area, Drawing, Line, Record, Shape, Zone
from bodymap.views.hatch import hatch_lines
from bodymap.views.paper import Point, simple_parts, spots_of

Subject = Area | Zone | Line | Drawing
Turn = Callable[[BaseGeometry], BaseGeometry]
HATCH_BAND_MM = 12.0
_HATCH_MM = 4.0
_HATCH_DEG = 45.0
_FAR_MM = 1e5


@dataclass(frozen=True)
class Ink:
    """Lines of one meaning in template mm, y up; `closed`: rings, whose last point repeats the first."""

    style: str
    lines: tuple[tuple[Point, ...], ...]
    closed: bool = False


@dataclass(frozen=True)
class Named:
    """Something whose name is written on it: a surface, or a line beside which it stands."""

    text: str
    style: str
    shape: BaseGeometry
    first: bool = False


def ink_of(record: Record, drawing_id: str, subject: Subject, turn: Turn, left_out: frozenset[str]) -> tuple[Ink, ...]:
    """All lines of a template, what matters least first.

    Args:
        record: the record.
        drawing_id: the drawing.
        subject: what is asked for.
        turn: from drawing mm to template mm.
        left_out: ids of what is not to be drawn.
    """
    inks = [*_outline(record, drawing_id), *_around(record, drawing_id, subject, left_out)]
    inks += [_closed("zone", [zone.shape for zone in record.zones_on.get(drawing_id, ())])]
    inks += list(_datums(record, drawing_id))
    if isinstance(subject, Line):
        inks += list(_line(subject, "edge", "centre"))
    elif not isinstance(subject, Drawing):
        inks += list(_surface(subject))
    return tuple(turned for ink in inks for turned in _turned(ink, turn))


def _turned(ink: tuple[str, Sequence[BaseGeometry], bool], turn: Turn) -> Iterator[Ink]:
    style, shapes, closed = ink
    rings: list[tuple[Point, ...]] = []
    lines: list[tuple[Point, ...]] = []
    for shape in shapes:
        for part in simple_parts(turn(shape)):
            if isinstance(part, shapely.Polygon):
                rings += [spots_of(ring) for ring in (part.exterior, *part.interiors) if not ring.is_empty]
            elif isinstance(part, shapely.LineString) and not part.is_empty:
                (rings if closed and part.is_ring else lines).append(spots_of(part))
            elif isinstance(part, shapely.Point) and not part.is_empty:
                lines += _cross(part)
    if rings:
        yield Ink(style, tuple(rings), closed=True)
    if lines:
        yield Ink(style, tuple(lines))


def _cross(spot: shapely.Point, arm_mm: float = 4.0) -> list[tuple[Point, ...]]:
    x, y = spot.x, spot.y
    return [((x - arm_mm, y), (x + arm_mm, y)), ((x, y - arm_mm), (x, y + arm_mm))]


_Raw = tuple[str, Sequence[BaseGeometry], bool]


def _closed(style: str, shapes: Iterable[Shape]) -> _Raw:
    return style, [to_shapely(shape) for shape in shapes], True


def _outline(record: Record, drawing_id: str) -> Iterator[_Raw]:
    for kind in ("glass", "wheel", "lamp", "trim", "body_line", "shut_line", "body"):
        yield _closed(kind, [one.shape for one in record.outline if one.drawing_id == drawing_id and one.kind == kind])


def _around(record: Record, drawing_id: str, subject: Subject, left_out: frozenset[str]) -> Iterator[_Raw]:
    whole = isinstance(subject, Drawing)
    for area in record.areas:
        if area.drawing_id != drawing_id or area is subject or area.area_id in left_out:
            continue
        yield from _surface(area) if whole else iter([_closed("other", [area.shape])])
        if not whole and area.purpose == "keep":
            yield "hatch", _hatch(to_shapely(area.shape)), False
    for line in record.lines:
        if line.drawing_id == drawing_id and line is not subject:
            yield from _line(line, "line", "line_centre")
    if isinstance(subject, (Drawing, Zone)):
        found = [one.shape for one in record.findings if one.drawing_id == drawing_id and one.finding_id not in left_out]
        yield _closed("finding", [shape for shape in found if shape is not None])


def _surface(one: Area | Zone) -> Iterator[_Raw]:
    shape = to_shapely(one.shape)
    polygons = [part for part in simple_parts(shape) if isinstance(part, shapely.Polygon)]
    if isinstance(one, Area):
        yield "hatch", _hatch(shape), False
        if one.purpose == "keep" and one.margin:
            yield "margin", [shape.buffer(min(one.margin, _FAR_MM), quad_segs=32)], True
    yield "edge", [shapely.Polygon(part.exterior) for part in polygons], True
    yield "hole", [shapely.Polygon(ring) for part in polygons for ring in part.interiors], True


def _hatch(shape: BaseGeometry) -> list[BaseGeometry]:
    """Hatch in a band along the edge, on the side that stays: a whole surface of it would only drown the rest."""
    band = shape.difference(shape.buffer(-HATCH_BAND_MM))
    return [shapely.LineString(line) for line in hatch_lines(band, _HATCH_MM, _HATCH_DEG)]


def _line(line: Line, edge: str, centre: str) -> Iterator[_Raw]:
    stripe = stripe_of(line)
    if stripe is not None:
        yield edge, [stripe], True
    yield centre, [to_shapely(line.shape)], False


def _datums(record: Record, drawing_id: str) -> Iterator[_Raw]:
    yield "datum", [to_shapely(one.shape) for one in record.datums if one.drawing_id == drawing_id], False


def names_of(record: Record, drawing_id: str, subject: Subject, turn: Turn, left_out: frozenset[str]) -> tuple[Named, ...]:
    """What is written where, what matters most first."""
    found = []
    if isinstance(subject, (Area, Zone)):
        found.append(Named(_title(subject), "subject", turn(to_shapely(subject.shape)), first=True))
    lines = [line for line in record.lines if line.drawing_id == drawing_id]
    lines.sort(key=lambda line: line is not subject)
    found += [Named(line_title(line), "line", turn(to_shapely(line.shape)), first=line is subject) for line in lines]
    for datum in record.datums:
        if datum.drawing_id == drawing_id:
            found.append(Named(f"datum: {datum.name}", "datum", turn(to_shapely(datum.shape))))
    for area in record.areas:
        if area.drawing_id == drawing_id and area is not subject and area.area_id not in left_out:
            found.append(Named(_title(area), "area", turn(to_shapely(area.shape))))
    for zone in record.zones_on.get(drawing_id, ()):
        if zone is not subject:
            found.append(Named(zone.title, "zone", turn(to_shapely(zone.shape))))
    return tuple(found)


def _title(one: Area | Zone) -> str:
    if isinstance(one, Zone):
        return f"{one.zone_id} · {one.title}" if one.name else one.zone_id
    sign = "KEEP" if one.purpose == "keep" else "MASK"
    return f"{sign} {one.area_id} · {one.title}" if one.name else f"{sign} {one.area_id}"


def line_title(line: Line) -> str:
    """A painted line in a few words.

    >>> from bodymap.model import Shape
    >>> run = Shape.model_validate({"type": "LineString", "coordinates": [[0, 0], [9, 0]]})
    >>> line_title(Line(line_id="L1", drawing_id="left", width=4, hand="tape", shape=run))
    'line L1 · 4 mm · tape'
    """
    width = "width not stated" if line.width is None else f"{line.width:g} mm"
    return " · ".join([f"line {line.line_id}", width, *([line.hand] if line.hand else [])])
