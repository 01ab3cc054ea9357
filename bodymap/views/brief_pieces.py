"""The boundary of an area as the painter tapes it: pieces, tape widths, offsets from a datum, tape and film to be used."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.offsets import nearest_datum, offsets_to_datum
from bodymap.model import Area, Datum, Record
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
    stated. `stays`: on which side of it the hatched surface lies, as drawn.
    """

    letter: str
    coordinates: tuple[tuple[float, float], ...]
    length_mm: float
    least_radius_mm: float | None
    tape: str
    tolerance_mm: float | None
    stays: str
    closed: bool


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


def datum_for(record: Record, area: Area) -> Datum | None:
    """The datum to measure an area from: the nearest one on its drawing; None where the drawing has none."""
    return nearest_datum(record, area)


def area_offsets(pieces: Sequence[PieceRow], datum: Datum, settings: Settings) -> tuple[Offset, ...]:
    """Offsets of all stations of all pieces; the side of the datum on which most of them lie counts as plus."""
    offsets = tuple(offset for piece in pieces for offset in _piece_offsets(piece, datum, settings))
    if sum(offset.offset_mm for offset in offsets) < 0:
        offsets = tuple(replace(offset, offset_mm=-offset.offset_mm) for offset in offsets)
    return offsets


def _piece_offsets(piece: PieceRow, datum: Datum, settings: Settings) -> Iterable[Offset]:
    stations = offsets_to_datum(piece.coordinates, datum.shape, settings)
    for number, station in enumerate(stations, start=1):
        corner = piece.closed or number in (1, len(stations))
        foot_x, foot_y = station.foot
        yield Offset(piece.letter, number, station.along_mm, station.x, station.y, station.offset_mm, foot_x, foot_y, corner)
