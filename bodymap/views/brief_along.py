"""What a piece of a mask's boundary lies along: a body line, a shut line, the edge of a panel; or nothing that is drawn.

The kind of edge is stated for an area as a whole; where it meets the edge of a part or a line of the body, the painter
makes that piece there, whatever the rest is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record, Zone
from bodymap.settings import Settings
from bodymap.views.edge_words import EDGE_WORDS

# The kind of edge with which a piece is made where it lies along one of these; between zones of one part there is nothing.
_MADE_THERE = {"body line": "body_line", "shut line": "part_edge", "part joint": "part_edge", "panel edge": "part_edge"}
_LINES = {"body_line": "body line", "shut_line": "shut line"}
# How much of a piece has to lie on a line to count as lying along it.
_SHARE = 0.9


def along(record: Record, area: Area, coordinates: Sequence[tuple[float, float]], settings: Settings) -> str | None:
    """What one boundary piece of an area lies along, in words; None: nothing that is drawn.

    Args:
        record: the record.
        area: the area the piece bounds.
        coordinates: the piece, positions in drawing mm.
        settings: figures in force; `edge_on_line_mm` says how near counts as on it.
    """
    piece = shapely.LineString(coordinates)
    near = settings.value("edge_on_line_mm")

    def lies_on(line: BaseGeometry) -> bool:
        if line.is_empty or piece.distance(line) > near:
            return False
        return piece.intersection(line.buffer(near)).length >= _SHARE * piece.length

    for kind, word in _LINES.items():
        for one in record.outline:
            if one.drawing_id == area.drawing_id and one.kind == kind and lies_on(to_shapely(one.shape)):
                return word
    touching = [zone for zone in record.zones_on.get(area.drawing_id, ()) if lies_on(to_shapely(zone.shape).boundary)]
    return _seam(touching)


def other_edges(edge: str | None, pieces: Iterable[tuple[str, str | None]]) -> tuple[str, ...]:
    """How pieces are made that a taped or a soft edge meets a part's edge or a line of the body with, in words.

    Args:
        edge: the kind stated for the whole area; the other kinds say by themselves how all of it is made.
        pieces: letter of each piece, and what it lies along.
    """
    if edge not in ("hard", "soft"):
        return ()
    there: dict[str, list[str]] = {}
    named = list(pieces)
    order = [letter for letter, _ in named]
    for letter, lies_on in named:
        if lies_on in _MADE_THERE:
            there.setdefault(lies_on, []).append(letter)
    return tuple(f"{runs_of(letters, order)} on a {lies_on}: {_made(lies_on)}" for lies_on, letters in there.items())


def _made(lies_on: str) -> str:
    words = EDGE_WORDS[_MADE_THERE[lies_on]]
    return " ".join((words.make, *(f"{what[0].upper()}{what[1:]}: ______" for what in words.to_be_stated)))


def runs_of(letters: Sequence[str], order: Sequence[str], most: int = 6) -> str:
    """Letters of pieces, neighbours drawn together, and of how many pieces no more is told.

    >>> runs_of(["A", "B", "C", "E", "G", "H"], list("ABCDEFGH"))
    'A–C, E, G, H'
    """
    runs: list[list[str]] = []
    for letter in letters:
        if runs and order.index(letter) == order.index(runs[-1][-1]) + 1:
            runs[-1].append(letter)
        else:
            runs.append([letter])
    said = [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    left = sum(len(run) for run in runs[most:])
    return ", ".join(said[:most]) + (f" and {left} more pieces" if left else "")


def _seam(zones: Sequence[Zone]) -> str | None:
    """The edge of a panel, the joint of two parts, or the border of two zones of one part."""
    if not zones:
        return None
    if len({zone.part_id for zone in zones}) > 1:
        return "part joint"
    return "zone border" if len(zones) > 1 else "panel edge"
