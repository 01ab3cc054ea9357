"""A mask brief as plain data for the typesetter: texts ready to print, tables cut to the room a sheet has.

Two pages an area, and a further one where its offsets need it; what a table cannot hold is summed up or left out, and it
is said so on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from bodymap.briefs.drawn import drawn
from bodymap.briefs.glyphs import readied
from bodymap.model.journal import Head
from bodymap.units import mm_to_m
from bodymap.views.brief import AreaBrief, BriefView, Photo
from bodymap.views.brief_along import runs_of
from bodymap.views.brief_dimensions import Offset, half_mm
from bodymap.views.brief_facts import FOUND, STEP_NOTES
from bodymap.views.brief_pieces import PieceRow, TapeRow
from bodymap.views.brief_plan import CoatRow
from bodymap.views.running_sheet import RunningStep

_PIECES_MOST = 12
_CELLS_IN_A_ROW = 13
_OFFSET_ROWS_EASY, _BLANK_ROWS_MOST, _OFFSET_ROWS_MOST = 8, 16, 100
_COATS_MOST = 14
# Parts and masks of a step: who paints must find all of them; a plan that names more is cut, and it is told.
_PARTS_MOST = 400
_FACT_MOST, _REASON_MOST, _NOTES_MOST = 200, 220, 600
_NOTES = frozenset({FOUND, STEP_NOTES})
_WORD_MOST, _BREAK_EACH = 16, 8
# Strokes are many numbers and no text.
_MUTE = frozenset({"strokes"})
# The head of the journal is compared letter by letter: nothing is put into it.
_VERBATIM = frozenset({"issue", "file"})
Data = dict[str, Any]


def shortened(text: str, most: int) -> str:
    """At most so many characters, and how many more there are.

    >>> shortened("abcdefghij", 20), len(shortened("abcdefghij", 4))
    ('abcdefghij', 11)
    """
    # A left-to-right mark keeps the count in order after right-to-left text.
    return text if len(text) <= most else f"{text[:most].rstrip()}\u200e… (+{len(text) - most})"


def listed_within(names: Sequence[str], most: int) -> str:
    """Names one after another, as many as fit in `most` characters, and how many more there are.

    >>> listed_within(["nose", "bonnet", "roof"], 13), listed_within(["nose", "bonnet"], 20)
    ('nose, bonnet and 1 more', 'nose, bonnet')
    """
    for count in range(len(names), 1, -1):
        if len(", ".join(names[:count])) <= most:
            break
    else:
        count = min(len(names), 1)
    more = f" and {len(names) - count} more" if len(names) > count else ""
    return ", ".join(shortened(name, most) for name in names[:count]) + more


def breakable(text: str) -> str:
    """The text with places to break a line inside words that are longer than a column."""
    return " ".join(word if len(word) <= _WORD_MOST else _broken(word) for word in text.split(" "))


def _broken(word: str) -> str:
    return "\u200b".join(word[start : start + _BREAK_EACH] for start in range(0, len(word), _BREAK_EACH))


def issue_of(head: Head | None) -> str:
    """The issue of a print: where the journal stood."""
    return head.short if head else "not stated (no journal)"


def pages_of(view: BriefView, head: Head | None, printed_on: str, photos: Mapping[str, str] | None = None) -> Data:
    """The whole brief as data, its texts as they stand in the record.

    `photos`: names under which pictures lie beside the template, by the name of their media file.
    """
    return {
        "title": f"Mask brief: {view.vehicle}",
        "vehicle": shortened(view.vehicle, 80),
        "issue": issue_of(head),
        "printed": printed_on,
        "list": [_listed(area) for area in view.areas],
        "tape": _tape(_with_behind(view.tape, view.behind_m), estimate=view.estimate),
        "counting": list(view.counting),
        "sums": _sums(view),
        "film": _square_m(view.film_with_lap_m2, estimate=view.estimate),
        "figures": [f"{one.meaning}: {one.value:g} {one.unit} ({one.basis})" for one in view.figures],
        "steps": [_running(step) for step in view.steps],
        "areas": [{"number": number, **_area(area, photos or {})} for number, area in enumerate(view.areas, start=1)],
    }


def texts_in(value: object) -> Iterable[str]:
    """Every text in nested plain data."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, list)):
        for item in _said_in(value):
            yield from texts_in(item)


def made_ready(value: Any) -> Any:
    """The same data with every text ready for print."""
    if isinstance(value, str):
        return breakable(readied(value))
    if isinstance(value, dict):
        return {key: item if key in _MUTE | _VERBATIM else made_ready(item) for key, item in value.items()}
    return [made_ready(item) for item in value] if isinstance(value, list) else value


def _said_in(value: dict[str, Any] | list[Any]) -> Iterable[Any]:
    return (item for key, item in value.items() if key not in _MUTE) if isinstance(value, dict) else value


def _listed(area: AreaBrief) -> Data:
    flags = ["RE-CREATED"] if any(text.startswith("RE-CREATED") for text in area.banners) else []
    flags += ["schematic: estimates"] if area.estimate else []
    flags += ["would be painted over"] if any(row.harms for row in area.plan.coats) else []
    return {
        "area_id": area.area_id,
        "title": shortened(area.title, 60),
        "purpose": area.purpose.upper(),
        "drawing": shortened(area.drawing, 60),
        "edge": area.edge.title,
        "boundary": _metres(mm_to_m(area.boundary_mm), estimate=area.estimate),
        "film": _square_m(area.film.with_lap_m2, estimate=area.estimate),
        "on": _when(area),
        "flags": flags,
    }


def _when(area: AreaBrief) -> str:
    if not area.plan.planned:
        others = area.plan.covered_by
        unplanned = "no coat reaches it" if area.plan.out_of_reach else "not planned yet"
        return f"by {', '.join(others[:3])}" if others else unplanned
    spans = [f"{on}–{'end' if off is None else off}" for on, off in area.plan.spans]
    return "steps " + ", ".join(spans[:3])


def _photo(one: Photo, photos: Mapping[str, str]) -> Data:
    said = (one.date, one.by and f"by {one.by}", one.source_id)
    return {
        "title": shortened(one.title, 120),
        "said": shortened(" · ".join(text for text in said if text), 120),
        "file": photos.get(one.file),
    }


def _running(step: RunningStep) -> Data:
    return {
        "number": str(step.number),
        "verb": step.verb,
        "coat": step.is_coat,
        "colour": step.colour,
        "what": listed_within(step.what, 150),
        "beside": ("ONLY " if step.only_beside else "") + listed_within(step.beside, _PARTS_MOST) if step.beside else "",
        "off": listed_within(step.off, _PARTS_MOST),
        "masked": listed_within(step.masked, _PARTS_MOST),
        "said": shortened(step.said, 120),
    }


def _area(area: AreaBrief, photos: Mapping[str, str]) -> Data:
    offsets = _offset_rows(area)
    # A row that says "1 more" takes as much room as the row itself.
    pieces_most = _PIECES_MOST + (len(area.pieces) == _PIECES_MOST + 1)
    return {
        "area_id": area.area_id,
        "title": shortened(area.title, 90),
        "purpose": area.purpose.upper(),
        "drawing": shortened(area.drawing, 60),
        "estimate": area.estimate,
        "banners": [shortened(text, 160) for text in area.banners],
        "stays": area.stays,
        "edge": {
            "title": area.edge.title,
            "make": area.edge.make,
            "fails": area.edge.fails,
            "tapes": _tapes(area),
            "others": [shortened(text, 200) for text in area.other_edges],
        },
        "pieces": [_piece(piece, area) for piece in area.pieces[:pieces_most]],
        "pieces_more": _more_pieces(area.pieces[pieces_most:], area),
        "boundary": _metres(mm_to_m(area.boundary_mm), estimate=area.estimate),
        "datum": area.datum and shortened(area.datum, 60),
        "offsets": offsets,
        "offsets_note": _offsets_note(area, offsets),
        "tape": _tape(_with_behind(area.tape, area.behind_m), estimate=area.estimate),
        "film": _film(area),
        "facts": [
            [label, shortened(value, _NOTES_MOST if label in _NOTES else _FACT_MOST if at else _REASON_MOST)]
            for at, (label, value) in enumerate(area.facts)
        ],
        "booth": [[line.label, shortened(line.words, 200), line.loud] for line in area.booth],
        "plan": shortened(area.plan.words, 160),
        "coats": [_coat(row) for row in area.plan.coats[:_COATS_MOST]],
        "coats_more": max(len(area.plan.coats) - _COATS_MOST, 0),
        "cautions": list(area.cautions),
        "checks": list(area.checks),
        "photos": [_photo(one, photos) for one in area.photos],
        "picture": drawn(area.picture),
        "key": drawn(area.key),
        "scale": f"1 : {area.picture.scale:g}",
    }


def _piece(piece: PieceRow, area: AreaBrief) -> Data:
    about = "≈ " if area.estimate else ""
    return {
        "letter": piece.letter,
        "length": about + half_mm(piece.length_mm),
        "radius": "straight" if piece.least_radius_mm is None else about + f"{piece.least_radius_mm:.0f}",
        "corner": None if piece.corner_mm is None else about + f"{piece.corner_mm:.0f}",
        "along": piece.along and shortened(piece.along, 60),
        "tape": piece.tape,
        "tolerance": None if piece.tolerance_mm is None else f"± {piece.tolerance_mm:g}",
        "stays": piece.stays,
    }


def _tapes(area: AreaBrief) -> str:
    """Which tape makes which pieces, and how near to the line, in one line for a reader two metres away."""
    by_tape: dict[str, list[str]] = {}
    for piece in area.pieces:
        by_tape.setdefault(piece.tape, []).append(piece.letter)
    tolerances = {piece.tolerance_mm for piece in area.pieces if piece.tolerance_mm is not None}
    within = f" · ± {min(tolerances):g} mm" if tolerances else ""
    if len(by_tape) == 1:
        return f"All pieces: {next(iter(by_tape))}{within}"
    order = [piece.letter for piece in area.pieces]
    return "; ".join(f"{runs_of(letters, order)}: {tape}" for tape, letters in by_tape.items()) + within


def _more_pieces(pieces: Sequence[PieceRow], area: AreaBrief) -> str:
    if not pieces:
        return ""
    radii = [piece.least_radius_mm for piece in pieces if piece.least_radius_mm is not None]
    length = _metres(mm_to_m(sum(piece.length_mm for piece in pieces)), estimate=area.estimate)
    tightest = f", least radius {min(radii):.0f} mm" if radii else ""
    tapes = ", ".join(sorted({piece.tape for piece in pieces}))
    return f"{pieces[0].letter} to {pieces[-1].letter}: {len(pieces)} more pieces, together {length}{tightest}; {tapes}"


def _offset_rows(area: AreaBrief) -> list[list[Data]]:
    """Rows of cells: the letter of a piece, then its stations; cells to be filled in where nothing can be told."""
    if area.estimate or not area.datum:
        blank = [{"along": "", "offset": ""}] * 6
        return [[{"piece": piece.letter}, *blank] for piece in area.pieces[:_BLANK_ROWS_MOST]]
    rows = [row for piece in area.pieces for row in _piece_rows(piece.letter, area.offsets)]
    if len(rows) > _OFFSET_ROWS_EASY:
        rows = _packed(rows)
    return rows[:_OFFSET_ROWS_MOST]


def _piece_rows(letter: str, offsets: Sequence[Offset]) -> list[list[Data]]:
    """All stations of a piece; every row begins with its letter, so that it can be read by itself."""
    cells = [_station(one) for one in offsets if one.piece == letter]
    each = _CELLS_IN_A_ROW - 1
    return [[{"piece": letter}, *cells[start : start + each]] for start in range(0, max(len(cells), 1), each)]


def _packed(rows: Sequence[list[Data]]) -> list[list[Data]]:
    """Short rows one after another in the same row, as long as they fit whole."""
    packed: list[list[Data]] = []
    for row in rows:
        if packed and len(packed[-1]) + len(row) <= _CELLS_IN_A_ROW:
            packed[-1] = [*packed[-1], *row]
        else:
            packed.append(row)
    return packed


def _station(one: Offset) -> Data:
    return {"along": half_mm(one.along_mm), "offset": half_mm(one.offset_mm) + ("*" if one.beyond else "")}


def _offsets_note(area: AreaBrief, rows: list[list[Data]]) -> str:
    if area.estimate or not area.datum:
        why = "Schematic drawing: no offsets from it. Measure on the vehicle and write them in."
        if not area.estimate:
            why = "No datum to measure this area from: offsets not stated. Choose an edge that survives and write them in."
        without = len(area.pieces) - len(rows)
        return why + (f" NO ROOM here for {without} more pieces: use another sheet." if without else "")
    left_out = len(area.offsets) - sum("offset" in cell for row in rows for cell in row)
    said = "Along: from the datum's zero (ring). Offset: from the datum to the edge, to 0.5 mm."
    if area.datum_is_point:
        said = "The datum is a point. Along: level as drawn, from the ring. Offset: square to that, to 0.5 mm."
    if any(one.offset_mm < 0 or one.along_mm < 0 for one in area.offsets):
        said += " Minus: on the other side."
    if any(one.beyond for one in area.offsets):
        said += " *: past the end of the datum, measured slanting to that end; check it from a second datum."
    return said + (f" NOT PRINTED for want of room: {left_out} more stations." if left_out else "")


def _tape(rows: Iterable[TapeRow], *, estimate: bool) -> list[list[str]]:
    return [[row.tape, _metres(row.length_m, estimate=estimate)] for row in rows]


def _with_behind(rows: tuple[TapeRow, ...], length_m: float) -> tuple[TapeRow, ...]:
    return (*rows, TapeRow("wide tape behind the fine line", length_m)) if length_m else rows


def _sums(view: BriefView) -> Data:
    kept = sum(area.purpose == "keep" for area in view.areas)
    return {
        "areas": f"{kept} to keep, {len(view.areas) - kept} to mask",
        "boundary": _metres(mm_to_m(sum(area.boundary_mm for area in view.areas)), estimate=view.estimate),
        "estimate": view.estimate,
    }


def _film(area: AreaBrief) -> Data:
    film, times = area.film, area.plan.times_taped
    notes = [f"each time it goes on; the plan puts it on {times} times"] if times > 1 else []
    if not times:
        notes.append("if it is masked by itself: in the plan another mask covers it")
    if film.not_measured:
        notes.append(f"surface ratio not measured, counted as flat: {listed_within(film.not_measured, 120)}")
    if film.outside_m2 > 0.0001:
        notes.append(f"{film.outside_m2:.3f} m² of it lie in no zone")
    return {
        "surface": _square_m(film.surface_m2, estimate=area.estimate),
        "with_lap": _square_m(film.with_lap_m2, estimate=area.estimate),
        "notes": notes,
    }


def _coat(row: CoatRow) -> Data:
    on = f"ON ({', '.join(row.by)})" if row.by else "ON"
    mask = {"on": on, "off": "off: gets this coat", "not reached": "not reached"}[row.mask]
    return {
        "step": str(row.step),
        "coat": shortened(row.coat, 60),
        "colour": row.colour,
        "mask": "OFF: KEPT SURFACE HIT" if row.harms else shortened(mask, 40),
        "parts": shortened("; ".join(row.parts), 110),
    }


def _metres(length_m: float, *, estimate: bool) -> str:
    return f"{'≈ ' if estimate else ''}{length_m:.2f} m"


def _square_m(area_m2: float, *, estimate: bool) -> str:
    return f"{'≈ ' if estimate else ''}{area_m2:.2f} m²" if area_m2 >= 0.1 else f"{'≈ ' if estimate else ''}{area_m2:.3f} m²"
