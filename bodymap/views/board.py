"""A drawing, a sketch or a picture as a board to set points on: what is on it, by meaning, and the corners points snap to.

Positions are those of the drawing [mm] or of the picture [px], y up. Colours and strokes are decided by who draws it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.geometry.curves import Point
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.tidy import Flaw
from bodymap.model import Datum, OutlineShape, Record, Shape, Zone

Bounds = tuple[float, float, float, float]
Path = tuple[Point, ...]
_AIR = 0.06
_EMPTY: Bounds = (0.0, 0.0, 4000.0, 2000.0)
_UNDER = ("body", "wheel")
_AREA_LEAST_MM2 = 0.5
_LEVELS = 15
_CROSS_MM = 25.0
# A zone's name stands inside it or not at all; half the height of letters against the width of one.
_NAMED_INSIDE = ("zone", "chosen")
_TALL = 0.75
FLAWS = ("gap", "overlap", "hole", "shut_gap")


@dataclass(frozen=True)
class BoardShape:
    """One thing on a board.

    Attributes:
        style: kind of outline, `zone`, `left_out`, `gap`, `overlap`, `hole`, `shut_gap`, `chosen` or `draft`.
        rings: boundaries of its surface, closed.
        lines: open lines.
        label: what is written on it.
        place: where.
        room: how wide it is there, in units of the board.
    """

    style: str
    rings: tuple[Path, ...] = ()
    lines: tuple[Path, ...] = ()
    label: str = ""
    place: Point | None = None
    room: float = 0.0


@dataclass(frozen=True)
class Board:
    """What is drawn, the first lowest. `bounds`: least x and y, greatest x and y. `unit`: mm or px."""

    bounds: Bounds
    shapes: tuple[BoardShape, ...] = ()
    corners: tuple[Point, ...] = ()
    unit: str = "mm"

    def with_more(self, shapes: Iterable[BoardShape]) -> Board:
        """The board with more on it, in view; a name that is written on what is new is not written twice."""
        more = tuple(shapes)
        named = {shape.label for shape in more if shape.label}
        held = tuple(replace(shape, label="") if shape.label in named else shape for shape in self.shapes)
        spots = [point for shape in more for path in (*shape.rings, *shape.lines) for point in path]
        bounds = self.bounds
        if spots and not self.shapes:
            bounds = aired(_round(spots))
        elif spots:
            bounds = _both(self.bounds, _round(spots))
        return replace(self, bounds=bounds, shapes=(*held, *more))


@dataclass(frozen=True)
class SizeRow:
    """A zone that a proposal makes or changes: drawn area before (None: it is new) and after (None: it goes) [mm²]."""

    zone_id: str
    title: str
    before_mm2: float | None
    after_mm2: float | None


def drawing_board(record: Record, drawing_id: str, chosen: Collection[str] = ()) -> Board:
    """A drawing of a record: outline below and above its zones as on the sheet."""
    outline = [shape for shape in record.outline if shape.drawing_id == drawing_id]
    zones = record.zones_on.get(drawing_id, ())
    under = [_shape(shape.kind, shape.shape) for shape in outline if shape.kind in _UNDER and shape.shape.rings()]
    over = [_shape(shape.kind, shape.shape) for shape in outline if shape.kind not in _UNDER or not shape.shape.rings()]
    drawn = [_shape("chosen" if zone.zone_id in chosen else "zone", zone.shape, zone.title) for zone in zones]
    shapes = (*under, *drawn, *over)
    spots = tuple(dict.fromkeys(_spots(shapes)))
    return Board(aired(_round(spots)) if spots else _EMPTY, shapes, spots)


def drawn_bounds(board: Board) -> Bounds | None:
    """Least x and y, greatest x and y of what is drawn; None: nothing is."""
    return _round(board.corners) if board.corners else None


def path_shape(style: str, lines: Sequence[Path], surface: Shape | None = None, label: str = "") -> BoardShape:
    """A path of a sketch: its surface where it encloses one, else its lines."""
    if surface is not None:
        return _shape(style, surface, label)
    return BoardShape(style, (), tuple(lines), label, lines[0][len(lines[0]) // 2] if label else None, float("inf"))


def sketch_board(shapes: Sequence[BoardShape], unit: str = "mm", bounds: Bounds | None = None) -> Board:
    """A board of paths alone. `bounds`: of the picture they lie on."""
    spots = tuple(dict.fromkeys(_spots(shapes)))
    return Board(bounds or (aired(_round(spots)) if spots else _EMPTY), tuple(shapes), spots, unit)


def changed_shapes(record: Record, proposal: Proposal, drawing_id: str) -> tuple[BoardShape, ...]:
    """What a proposal draws anew on a drawing, as drafts: zones and outline that are not as they stand."""
    return tuple(
        _shape("draft", entry.shape, entry.title if isinstance(entry, Zone) else "")
        for entry in (*proposal.put, *(entry for _, entry in proposal.replace))
        if isinstance(entry, (Zone, OutlineShape))
        and entry.drawing_id == drawing_id
        and not (isinstance(entry, Zone) and _stands(record, entry))
    )


def datum_shapes(datums: Sequence[Datum]) -> tuple[BoardShape, ...]:
    """What is measured from, with its names: lines, and points as a cross."""
    shapes = []
    for datum in datums:
        x, y = datum.shape.coordinates[:2] if datum.shape.type == "Point" else datum.shape.coordinates[0]
        lines: tuple[Path, ...] = ((*map(tuple, datum.shape.coordinates),),) if datum.shape.type != "Point" else (
            ((x - _CROSS_MM, y), (x + _CROSS_MM, y)), ((x, y - _CROSS_MM), (x, y + _CROSS_MM)),
        )  # fmt: skip
        at = (len(lines[0]) - 1) // 2
        (x0, y0), (x1, y1) = lines[0][at : at + 2]
        place = ((x0 + x1) / 2, (y0 + y1) / 2)
        shapes.append(BoardShape("datum", (), lines, datum.name, place, float("inf")))
    return tuple(shapes)


def flaw_shapes(flaws: Sequence[Flaw]) -> tuple[BoardShape, ...]:
    """Gaps, overlaps and holes, each with its number and mm²; those that may be shut gaps lowest."""
    shapes = [
        replace(
            _shape("shut_gap" if flaw.may_be_shut_gap else flaw.kind, flaw.shape),
            label=f"{number}" if flaw.may_be_shut_gap else f"{number} · {flaw.area_mm2:.0f} mm²",
            place=flaw.place,
            room=float("inf"),
        )
        for number, flaw in enumerate(flaws, start=1)
    ]
    return tuple(sorted(shapes, key=lambda shape: shape.style != "shut_gap"))


def _holds(shape: BoardShape, text: tuple[float, float, float, float]) -> bool:
    """Whether letters (middle x and y, half their width and height) lie within a surface, none across its edge."""
    x, y, half, tall = text
    surface = shapely.build_area(shapely.MultiLineString(shape.rings))
    return bool(surface.covers(shapely.box(x - half, y - tall, x + half, y + tall)))


def written(shapes: Sequence[BoardShape], letter: float) -> tuple[BoardShape, ...]:
    """Shapes whose label has room, none over another; where a flaw's is too long, its number alone.

    Args:
        shapes: what is on the board, the most important label last.
        letter: width of a letter, in units of the board; a line is twice as high.
    """
    kept: list[BoardShape] = []
    boxes: list[Bounds] = []
    for shape in reversed(shapes):
        if shape.place is None or not shape.label:
            continue
        short = (shape.label.partition(" · ")[0],) if shape.style in FLAWS else ()
        for label in (shape.label, *short):
            half = (len(label) + 1) * letter / 2
            x, y = shape.place
            box = (x - half, y - letter, x + half, y + letter)
            free = 2 * half <= shape.room and not any(_meet(box, other) for other in boxes)
            named = shape.style in _NAMED_INSIDE and bool(shape.rings)
            if free and (not named or _holds(shape, (x, y, half, _TALL * letter))):
                kept.append(replace(shape, label=label))
                boxes.append(box)
                break
    return tuple(kept)


def size_rows(record: Record, proposal: Proposal) -> tuple[SizeRow, ...]:
    """Drawn areas of the zones whose shape a proposal makes, changes or withdraws, as it names them."""
    rows = []
    for entry in proposal.put:
        if isinstance(entry, Zone):
            before = record.zone.get(entry.zone_id)
            was = to_shapely(before.shape).area if before else None
            is_now = to_shapely(entry.shape).area
            if was is None or abs(was - is_now) > _AREA_LEAST_MM2:
                rows.append(SizeRow(entry.zone_id, entry.title, was, is_now))
    for kind, ident in proposal.withdraw:
        if kind == Zone.KIND:
            rows.append(SizeRow(ident, record.zone[ident].title, to_shapely(record.zone[ident].shape).area, None))
    return tuple(rows)


def aired(bounds: Bounds) -> Bounds:
    """Bounds with some air round them; a line or point gets room as well."""
    x0, y0, x1, y1 = bounds
    air = _AIR * max(x1 - x0, y1 - y0) or 1.0
    return x0 - air, y0 - air, x1 + air, y1 + air


def window_of(ring: Sequence[Point], within: Bounds) -> Bounds | None:
    """The part of a board that a drawn box or ring asks to look at; None: it is no more than a point."""
    x0, y0, x1, y1 = _round(ring)
    if min(x1 - x0, y1 - y0) <= 0 or max(x1 - x0, y1 - y0) < 0.002 * (within[2] - within[0]):
        return None
    return max(x0, within[0]), max(y0, within[1]), min(x1, within[2]), min(y1, within[3])


def _stands(record: Record, zone: Zone) -> bool:
    known = record.zone.get(zone.zone_id)
    return known is not None and known.shape == zone.shape


def _shape(style: str, shape: Shape, label: str = "") -> BoardShape:
    geometry = to_shapely(shape)
    if not shape.rings():
        paths = [part for part in shapely.get_parts(geometry).tolist() if part.geom_type in ("LineString", "LinearRing")]
        return BoardShape(style, (), tuple(tuple(map(tuple, shapely.get_coordinates(part).tolist())) for part in paths))
    spot, room = _longest_level(geometry) if label else (None, 0.0)
    return BoardShape(style, shape.rings(), (), label, spot, room)


def _longest_level(geometry: BaseGeometry) -> tuple[Point, float]:
    """Middle and length of the longest level line within a surface, of some tried; near the middle where they are alike."""
    x0, y0, x1, y1 = geometry.bounds
    best = ((x0 + x1) / 2, (y0 + y1) / 2), 0.0, 0.0
    for number in range(1, _LEVELS + 1):
        share = number / (_LEVELS + 1)
        y = y0 + share * (y1 - y0)
        parts = shapely.get_parts(geometry.intersection(shapely.LineString([(x0 - 1, y), (x1 + 1, y)]))).tolist()
        for part in parts:
            worth = part.length * (1 - 0.2 * abs(2 * share - 1))
            if worth > best[1]:
                left, _, right, _ = part.bounds
                best = ((left + right) / 2, y), worth, part.length
    return best[0], best[2]


def _spots(shapes: Iterable[BoardShape]) -> Iterator[Point]:
    for shape in shapes:
        for path in (*shape.rings, *shape.lines):
            yield from path


def _round(spots: Iterable[Point]) -> Bounds:
    x, y = zip(*spots, strict=True)
    return min(x), min(y), max(x), max(y)


def _meet(one: Bounds, other: Bounds) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _both(one: Bounds, other: Bounds) -> Bounds:
    return min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])


def bar_length(width: float) -> float:
    """A round length for a scale bar on something so wide: 1, 2 or 5 times a power of ten, about a fifth of it.

    >>> bar_length(4200.0), bar_length(260.0)
    (500.0, 50.0)
    """
    power = 10.0 ** math.floor(math.log10(width / 5))
    return max(step * power for step in (1, 2, 5) if step * power <= width / 5)
