"""The two pictures of a mask brief: the area in its surroundings, and where on the vehicle it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Datum, Record
from bodymap.views.brief_dimensions import Offset, dimensions
from bodymap.views.brief_letters import Lettered, LetteredPiece, lettered
from bodymap.views.hatch import hatch_lines
from bodymap.views.paper import (
    Desk,
    Label,
    Paper,
    Picture,
    Point,
    Stroke,
    fitting_scale,
    lines_of,
    scale_bar,
    simple_parts,
    spots_of,
    text_box,
)

AREA_PICTURE_MM = (190.0, 110.0)
KEY_PICTURE_MM = (60.0, 44.0)
_ROOM_MM = 15.0
_HATCH_MM = 3.0
_HATCH_DEG = 45.0
_LETTER_MM = 4.2
_SMALL_MM = 8.0
_LEAST_AREA_MM = 18.0
_FAR_MM = 1e5
# Pale first, so that what matters is drawn over it.
_BACKGROUND = ("glass", "wheel", "lamp")
_OUTLINE = ("body", "trim", "shut_line", "body_line")


def area_picture(
    record: Record,
    area: Area,
    pieces: Sequence[LetteredPiece],
    offsets: Sequence[Offset],
    datum: Datum | None,
) -> Picture:
    """The area among its zones: hatched where the surface stays, lettered, dimensioned from its datum.

    Args:
        record: the whole record.
        area: the area drawn.
        pieces: its boundary.
        offsets: what may be dimensioned; none on a drawing that is not to scale.
        datum: the datum of the offsets.
    """
    shape = to_shapely(area.shape)
    paper = _paper_for(shape, offsets, to_shapely(datum.shape) if datum else None)
    desk = Desk(paper.width_mm, paper.height_mm)
    others = _others(record, area, paper)
    strokes = [*surroundings(record, area.drawing_id, paper), others]
    desk.keep_free(*(shapely.LineString(line).buffer(0.3) for line in others.lines))
    desk.keep_free(paper.cut(shape.boundary).buffer(0.6))
    margin = _margin(area, shape, paper)
    strokes.append(margin)
    desk.keep_free(*(shapely.LineString(line).buffer(0.3) for line in margin.lines))
    stays = paper.cut(shape)
    strokes.append(Stroke("stays", lines_of(stays), closed=True))
    strokes.append(Stroke("hatch", tuple(hatch_lines(stays, _HATCH_MM, _HATCH_DEG))))
    strokes.append(Stroke("edge", lines_of(paper.cut(shape.boundary))))
    if datum is not None:
        strokes += _datum(datum, paper, desk)
    strokes += [_letter(one, shape, paper, desk) for one in lettered(pieces, paper.scale)]
    strokes.append(Stroke("corner", tuple(_dots(paper, [piece.coordinates[0] for piece in pieces], 0.7)), closed=True))
    if datum is not None:
        strokes += dimensions(paper, desk, offsets, shape, datum_line(datum, offsets))
    _zone_names(record, area, shape, paper, desk)
    bar = scale_bar(paper.scale, 50)
    return Picture(paper.width_mm, paper.height_mm, paper.scale, _kept(strokes), tuple(desk.labels), bar)


def key_picture(record: Record, area: Area) -> Picture:
    """The whole drawing, small, with the area marked and ringed where it is too small to be seen."""
    width, height = KEY_PICTURE_MM
    shapes = [to_shapely(zone.shape) for zone in record.zones_on.get(area.drawing_id, ())]
    shapes += [to_shapely(one.shape) for one in record.outline if one.drawing_id == area.drawing_id]
    shape = to_shapely(area.shape)
    left, low, right, high = shapely.total_bounds([*shapes, shape])
    scale = max((right - left) / (width - 4), (high - low) / (height - 4), 1e-6)
    paper = Paper(width, height, scale, (left + right) / 2, (low + high) / 2)
    strokes = [*surroundings(record, area.drawing_id, paper)]
    strokes.append(Stroke("here", lines_of(paper.laid(shape)), closed=True))
    x, y = paper.spot(*shapely.centroid(shape).coords[0])
    x0, y0, x1, y1 = paper.laid(shape).bounds
    reach = math.hypot(x1 - x0, y1 - y0) / 2
    if reach < _SMALL_MM:
        strokes.append(Stroke("ring", lines_of(shapely.Point(x, y).buffer(max(reach + 1.5, 4.0)).boundary)))
    return Picture(width, height, scale, _kept(strokes), (), scale_bar(scale, 25))


def _kept(strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
    return tuple(stroke for stroke in strokes if stroke.lines)


def _paper_for(shape: BaseGeometry, offsets: Sequence[Offset], datum: BaseGeometry | None) -> Paper:
    """The window: the area and, as long as that does not make the area too small, the datum where it is measured from."""
    width, height = AREA_PICTURE_MM
    scale = _scale_for(shape.bounds)
    bounds: tuple[float, ...] = shape.bounds
    if datum is not None and offsets:
        feet = shapely.MultiPoint([(one.foot_x, one.foot_y) for one in offsets])
        wider = tuple(float(n) for n in shapely.total_bounds([shape, feet]))
        if max(bounds[2] - bounds[0], bounds[3] - bounds[1]) >= _LEAST_AREA_MM * _scale_for(wider):
            bounds, scale = wider, _scale_for(wider)
    return Paper(width, height, scale, (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2)


def _scale_for(bounds: tuple[float, ...]) -> float:
    width, height = AREA_PICTURE_MM
    return fitting_scale(bounds[2] - bounds[0], bounds[3] - bounds[1], width - 2 * _ROOM_MM, height - 2 * _ROOM_MM)


def surroundings(record: Record, drawing_id: str, paper: Paper) -> Iterator[Stroke]:
    """What is drawn of a drawing round anything: silhouettes, zones, outline."""
    outline = [one for one in record.outline if one.drawing_id == drawing_id]
    for kind in _BACKGROUND:
        parts = [part for one in outline if one.kind == kind for part in simple_parts(to_shapely(one.shape))]
        surfaces = [paper.cut(part) for part in parts if part.geom_type == "Polygon" and paper.shows(part)]
        yield Stroke(kind, tuple(line for shape in surfaces for line in lines_of(shape)), closed=True)
        yield _lined(kind, [part for part in parts if part.geom_type != "Polygon"], paper)
    yield _lined("zone", [to_shapely(zone.shape) for zone in record.zones_on.get(drawing_id, ())], paper)
    for kind in _OUTLINE:
        yield _lined(kind, [to_shapely(one.shape) for one in outline if one.kind == kind], paper)


def _lined(style: str, shapes: Sequence[BaseGeometry], paper: Paper) -> Stroke:
    """Boundaries and lines, cut at the edge of the picture (which itself is no line)."""
    parts = [part for shape in shapes if paper.shows(shape) for part in simple_parts(shape)]
    lines = [part.boundary if part.geom_type == "Polygon" else part for part in parts]
    return Stroke(style, tuple(line for one in lines for line in lines_of(paper.cut(one))))


def _others(record: Record, area: Area, paper: Paper) -> Stroke:
    others = [one for one in record.areas if one.drawing_id == area.drawing_id and one.area_id != area.area_id]
    return _lined("other", [to_shapely(one.shape) for one in others], paper)


def _margin(area: Area, shape: BaseGeometry, paper: Paper) -> Stroke:
    return Stroke("margin", lines_of(paper.cut(shape.buffer(min(area.margin, _FAR_MM)).boundary)) if area.margin else ())


def _dots(paper: Paper, points: Iterable[Point], radius_mm: float) -> Iterator[tuple[Point, ...]]:
    for x, y in points:
        yield spots_of(shapely.Point(paper.spot(x, y)).buffer(radius_mm, quad_segs=4))


def _letter(one: Lettered, shape: BaseGeometry, paper: Paper, desk: Desk) -> Stroke:
    """The letter of a piece or of a run beside its middle, outside the area where there is room, and a hair line to it."""
    line, surface = paper.laid(shapely.LineString(one.coordinates)), paper.laid(shape)
    style = "letters" if one.run else "letter"
    places = ((spot, Label(one.text, x, y, _LETTER_MM, style)) for spot, (x, y) in _beside(line, surface))
    first = next(places)
    on_line, label = next((place for place in (first, *places) if desk.free(text_box(place[1], 0))), first)
    desk.put(label, text_box(label, 0))
    return Stroke("leader", ((on_line, (label.x, label.y)),))


def _beside(line: BaseGeometry, surface: BaseGeometry) -> Iterator[tuple[Point, Point]]:
    """Points on a line, each with a place beside it: outside the surface first, near first."""
    for side in ("out", "in"):
        for away in (5.5, 9.0, 13.0, 18.0, 24.0):
            for share in (0.5, 0.42, 0.58, 0.3, 0.7, 0.2, 0.8):
                (x, y), (x1, y1) = (spot_at(line, place) for place in (share, share + 0.01))
                length = math.dist((x, y), (x1, y1)) or 1.0
                nx, ny = -(y1 - y) / length, (x1 - x) / length
                inward = surface.contains(shapely.Point(x + 0.3 * nx, y + 0.3 * ny))
                way = -away if inward == (side == "out") else away
                yield (x, y), (x + way * nx, y + way * ny)


def spot_at(line: BaseGeometry, share: float) -> Point:
    """The position at a share of a line's length, 0 to 1."""
    return spots_of(line.interpolate(share, normalized=True))[0]


def datum_line(datum: Datum, offsets: Sequence[Offset]) -> BaseGeometry:
    """The line that offsets are measured from: the datum, or the level through a datum point as far as it is used."""
    line = to_shapely(datum.shape)
    if line.geom_type != "Point":
        return line
    x, y = spots_of(line)[0]
    xs = [x, *(one.foot_x for one in offsets)]
    return shapely.LineString([(min(xs) - 1, y), (max(xs) + 1, y)])


def _datum(datum: Datum, paper: Paper, desk: Desk) -> Iterator[Stroke]:
    """The datum, its name, and the zero of the stations where it begins."""
    line = to_shapely(datum.shape)
    point = line.geom_type == "Point"
    x, y = spots_of(line)[0]
    level = shapely.LineString([(x - _FAR_MM, y), (x + _FAR_MM, y)]) if point else line
    seen = paper.cut(level)
    yield Stroke("level" if point else "datum", lines_of(seen))
    yield Stroke("zero", tuple(_dots(paper, [(x, y)], 1.2)), closed=True)
    zero = paper.spot(x, y)
    places = [
        (dx * far, dy * far)
        for far in (3.0, 4.5, 6.0)
        for dx, dy in ((-1, 1), (1, 1), (-1, -1), (1, -1), (-1.2, 0), (1.2, 0))
    ]
    desk.put_first_free(Label("0", zero[0] + dx, zero[1] + dy, 3.0, "datum") for dx, dy in places)
    if seen.is_empty:
        return
    shares = (0.5, 0.2, 0.8, 0.35, 0.65, 0.1, 0.9)
    spots = [(*spot_at(seen, share), away) for share in shares for away in (4.0, -4.0, 6.0, -6.0)]
    dx, dy = _across(seen)
    desk.put_first_free(
        Label(text, at_x + away * dx, at_y + away * dy, 3.0, "datum", _turn(dx, dy))
        for text in _whole_or_cut(datum.name, 40)
        for at_x, at_y, away in spots
    )
    desk.keep_free(seen.buffer(0.6))


def _whole_or_cut(name: str, most: int) -> tuple[str, ...]:
    """A name whole, as long as it is no book; then as much of it as is put where the whole has no room."""
    cut = name if len(name) <= most else name[: most - 1] + "…"
    return (name, cut) if most < len(name) <= 2 * most else (cut,)


def _across(line: BaseGeometry) -> Point:
    """The direction square to a line, from its first point to its last."""
    spots = shapely.get_coordinates(line)
    (x0, y0), (x1, y1) = spots[0], spots[-1]
    length = math.dist((x0, y0), (x1, y1)) or 1.0
    return -(y1 - y0) / length, (x1 - x0) / length


def _turn(across_x: float, across_y: float) -> float:
    """How far a text along a line is turned to be read from below or from the right [° clockwise]."""
    turn = math.degrees(math.atan2(-across_x, across_y))
    return turn - 180 if turn > 89 else turn + 180 if turn <= -91 else turn


def _zone_names(record: Record, area: Area, shape: BaseGeometry, paper: Paper, desk: Desk) -> None:
    """The names of the zones in view, in their own free space; a name that has no room is left to the list of zones."""
    blocked = paper.laid(shape)
    for zone in record.zones_on.get(area.drawing_id, ()):
        if not paper.shows(to_shapely(zone.shape)):
            continue
        seen = paper.cut(to_shapely(zone.shape)).difference(blocked)
        if seen.area < 100:
            continue
        texts = _whole_or_cut(zone.title, 36)
        labels = [Label(text, spot.x, spot.y, 2.8, "zone") for text in texts for spot in _spots_in(seen)]
        desk.put_first_free(one for one in labels if seen.contains(text_box(one)))


def _spots_in(surface: BaseGeometry) -> Iterator[shapely.Point]:
    yield shapely.point_on_surface(surface)
    left, low, right, high = surface.bounds
    for row in (0.5, 0.25, 0.75, 0.1, 0.9):
        for column in (0.5, 0.25, 0.75):
            yield shapely.Point(left + column * (right - left), low + row * (high - low))
