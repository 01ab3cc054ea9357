"""The boundary of an area as the painter tapes it: pieces, tape widths, offsets from a datum, tape and film to be used."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.offsets import offsets_to_datum
from bodymap.model import Area, Datum, Record, Zone
from bodymap.settings import Settings
from bodymap.units import mm_to_m
from bodymap.views.brief_dimensions import Offset
from bodymap.views.edge_words import EdgeWords

# Widest first: width [mm], setting with the least radius it follows.
FINE_LINE = ((6.0, "tape_6_least_radius_mm"), (3.0, "tape_3_least_radius_mm"), (1.5, "tape_1_5_least_radius_mm"))
CUT_FILM = "cut film"
_NEAR_MM = 0.01
# Counter-clockwise from the right, each 45°.
_SIDES = ("right", "above right", "above", "above left", "left", "below left", "below", "below right")


@dataclass(frozen=True)
class PieceRow:
    """One piece of a boundary, from corner to corner.

    `least_radius_mm`: None where it is straight. `tape`: what to make it with; `tolerance_mm`: None where no edge kind is
    stated. `stays`: on which side of it the hatched surface lies, as drawn. `corner_mm`: radius of the rounded corner at its
    beginning; None: sharp. `along`: what it lies along, in words; None: nothing that is drawn.
    """

    letter: str
    coordinates: tuple[tuple[float, float], ...]
    length_mm: float
    least_radius_mm: float | None
    tape: str
    tolerance_mm: float | None
    stays: str
    closed: bool
    corner_mm: float | None = None
    along: str | None = None


@dataclass(frozen=True)
class TapeRow:
    """Tape of one kind and width, its lap and waste included."""

    tape: str
    length_m: float


def letters(count: int) -> tuple[str, ...]:
    """Names of boundary pieces: A to Z, then AA, AB, and so on.

    >>> letters(28)[-3:]
    ('Z', 'AA', 'AB')
    """
    return tuple(_letter(index) for index in range(count))


def _letter(index: int) -> str:
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def piece_rows(area: Area, words: EdgeWords, settings: Settings) -> tuple[PieceRow, ...]:
    """The boundary of an area, piece by piece, with what each is to be taped with."""
    pieces = boundary_pieces(area.shape, settings)
    tolerance = settings.value(words.tolerance_key) if words.tolerance_key else None
    return tuple(
        PieceRow(
            letter,
            tuple(piece.coordinates),
            piece.length_mm,
            piece.least_radius_mm,
            tape_for(words, piece.least_radius_mm, settings),
            tolerance,
            stays_side(to_shapely(area.shape), piece.coordinates, closed=piece.closed),
            piece.closed,
            piece.corner_radii_mm[0],
        )
        for letter, piece in zip(letters(len(pieces)), pieces, strict=True)
    )


def tape_for(words: EdgeWords, least_radius_mm: float | None, settings: Settings) -> str:
    """The widest tape of the edge's kind that follows the least radius; None is a straight piece."""
    if not words.fine_line:
        return words.tape
    for width_mm, key in FINE_LINE:
        if least_radius_mm is None or least_radius_mm >= settings.value(key):
            return f"{words.tape} {width_mm:g} mm"
    return CUT_FILM


def tape_rows(pieces: Iterable[PieceRow], settings: Settings) -> tuple[TapeRow, ...]:
    """Metres of tape by kind and width: lengths of the pieces and the lap on top."""
    lengths_mm: dict[str, float] = {}
    for piece in pieces:
        lengths_mm[piece.tape] = lengths_mm.get(piece.tape, 0.0) + piece.length_mm
    lap = 1 + settings.value("tape_lap_pct") / 100
    return tuple(TapeRow(tape, mm_to_m(length_mm) * lap) for tape, length_mm in sorted(lengths_mm.items()))


def behind_m(pieces: Iterable[PieceRow], settings: Settings) -> float:
    """Metres of wide tape behind fine-line tape, lap included."""
    length_mm = sum(piece.length_mm for piece in pieces if piece.tape.startswith("fine-line"))
    return mm_to_m(length_mm) * (1 + settings.value("tape_lap_pct") / 100)


def tape_total(rows: Iterable[TapeRow]) -> tuple[TapeRow, ...]:
    """Rows of many areas added up by tape."""
    totals: dict[str, float] = {}
    for row in rows:
        totals[row.tape] = totals.get(row.tape, 0.0) + row.length_m
    return tuple(TapeRow(tape, length_m) for tape, length_m in sorted(totals.items()))


def stays_side(area: BaseGeometry, coordinates: Sequence[tuple[float, float]], *, closed: bool) -> str:
    """On which side of a boundary piece the area lies, in words as drawn; told at the middle of the piece.

    >>> stays_side(shapely.box(0, 0, 9, 9), [(0, 0), (9, 0)], closed=False)
    'above'
    """
    line = shapely.LineString(coordinates)
    middle, ahead = line.interpolate(0.5, normalized=True), line.interpolate(0.5 * line.length + _NEAR_MM)
    nx, ny = -(ahead.y - middle.y), ahead.x - middle.x
    if not area.contains(shapely.Point(middle.x + nx, middle.y + ny)):
        nx, ny = -nx, -ny
    if closed:
        return "inside" if shapely.Polygon(coordinates).contains(shapely.Point(middle.x + nx, middle.y + ny)) else "outside"
    return _SIDES[round(math.degrees(math.atan2(ny, nx)) / 45) % 8]


def datum_for(record: Record, area: Area, zones: Sequence[Zone], settings: Settings) -> Datum | None:
    """The datum to measure an area from; None where there is none to be trusted.

    The nearest one; or, within a rule's reach, a point or a line that runs along the whole area: past the end of a line
    an offset runs slanting and fixes nothing. On a sheet of hidden faces it must lie on a part of the area's own: how
    far apart other parts are drawn there means nothing.
    """
    shape = to_shapely(area.shape)
    datums = [one for one in record.datums if one.drawing_id == area.drawing_id and _has_place(one)]
    drawing = record.drawing.get(area.drawing_id)
    if drawing is not None and drawing.kind == "hidden":
        own = {zone.part_id for zone in zones}
        datums = [one for one in datums if part_under(record, one) in own]
    away = {one.datum_id: to_shapely(one.shape).distance(shape) for one in datums}
    near = sorted(datums, key=lambda one: away[one.datum_id])
    reach = settings.value("datum_reach_mm")
    return next((one for one in near if away[one.datum_id] <= reach and _runs_along(one, shape)), near[0] if near else None)


def _has_place(datum: Datum) -> bool:
    """Whether a datum says where to measure from: a line without length has no direction."""
    place = to_shapely(datum.shape)
    return place.geom_type == "Point" or place.length > 0


def part_under(record: Record, datum: Datum) -> str | None:
    """The part whose zone lies nearest to a datum on its drawing."""
    place = to_shapely(datum.shape)
    zones = record.zones_on.get(datum.drawing_id, ())
    near = min(zones, key=lambda zone: to_shapely(zone.shape).distance(place), default=None)
    return near.part_id if near else None


def _runs_along(datum: Datum, area: BaseGeometry) -> bool:
    line = to_shapely(datum.shape)
    spots = shapely.get_coordinates(area.boundary).tolist()
    return line.geom_type == "Point" or not any(beyond_end(line, x, y) for x, y in spots)


def beyond_end(line: BaseGeometry, x: float, y: float) -> bool:
    """Whether a point lies past an end of a line, so that no square stands on the line towards it.

    >>> beyond_end(shapely.LineString([(0, 0), (9, 0)]), 10, 5)
    True
    >>> beyond_end(shapely.LineString([(0, 0), (9, 0)]), 9, 5)
    False
    """
    along = line.project(shapely.Point(x, y))
    if 0 < along < line.length:
        return False
    (x0, y0), (x1, y1) = line.coords[:2] if along <= 0 else line.coords[:-3:-1]
    return ((x - x0) * (x0 - x1) + (y - y0) * (y0 - y1)) / math.dist((x0, y0), (x1, y1)) > _NEAR_MM


def area_offsets(pieces: Sequence[PieceRow], datum: Datum, settings: Settings) -> tuple[Offset, ...]:
    """Offsets of all stations of all pieces; the side of the datum on which most of them lie counts as plus.

    From a datum point they are taken to the level through it, as drawn, and along it: a distance alone fixes no place.
    """
    offsets = tuple(offset for piece in pieces for offset in _piece_offsets(piece, datum, settings))
    if sum(offset.offset_mm for offset in offsets) < 0:
        offsets = tuple(replace(offset, offset_mm=-offset.offset_mm) for offset in offsets)
    return offsets


def _piece_offsets(piece: PieceRow, datum: Datum, settings: Settings) -> Iterable[Offset]:
    base = to_shapely(datum.shape)
    base_x, base_y = base.coords[0]
    stations = offsets_to_datum(piece.coordinates, datum.shape, settings)
    # A closed piece ends where it begins: its last station is its first.
    for number, station in enumerate(stations[: -1 if piece.closed else None], start=1):
        corner = piece.closed or number in (1, len(stations))
        x, y = station.x, station.y
        if base.geom_type == "Point":
            yield Offset(piece.letter, number, x - base_x, x, y, y - base_y, x, base_y, corner)
        else:
            foot_x, foot_y = station.foot
            beyond = beyond_end(base, x, y)
            yield Offset(piece.letter, number, station.along_mm, x, y, station.offset_mm, foot_x, foot_y, corner, beyond)
