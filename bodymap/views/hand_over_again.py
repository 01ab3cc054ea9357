"""What was made again: surface, coats, edges and lines. Made again is never shown as old."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bodymap.film.summary import AS_FOUND, phase_of
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.validity import shape_fault
from bodymap.model import Area, Record
from bodymap.model.source import STEP_DONE
from bodymap.units import mm2_to_m2, mm_to_m
from bodymap.views.as_left import NEW, STATE_WORDS, LeftPiece, State
from bodymap.views.brief import zones_under
from bodymap.views.brief_facts import lost_edge
from bodymap.views.brief_plan import mask_plan
from bodymap.views.hand_over_parts import NONE, NOT_STATED, ROUNDED, Banner, Block, Column, Heading, Row, listed, table

_AS_FOUND = {"original": "original as found", None: "origin not stated"}


def again_blocks(record: Record, pieces: Sequence[LeftPiece]) -> Iterator[Block]:
    """The chapter on what was made again, from the pieces that the plan leaves."""
    yield Banner("Made again is never shown as old: nothing in this chapter is evidence of how the vehicle once was.")
    yield from not_known_to_be_done(record)
    yield _by_state(record, pieces)
    yield _new_coats(record, pieces)
    yield from _again_areas(record)
    yield _lines_lost(record, pieces)


def not_known_to_be_done(record: Record) -> Iterator[Banner]:
    """How much of it is a plan: what nobody has told done, read or accepted by name is not known to be made."""
    steps = {step.step for step in record.steps}
    told = {int(found[1]) for one in record.sources if one.kind == "statement" and (found := STEP_DONE.match(one.title))}
    done = len(steps & told)
    accepted = any(one.what == "coat accepted" for one in record.signoffs)
    read = any(phase_of(one) != AS_FOUND for one in record.readings)
    if not steps or done == len(steps):
        return
    if not done and not accepted and not read:
        yield Banner("PLANNED ONLY: no step is told done, no coat is accepted by name. Nothing here is known to be made.")
    else:
        yield Banner(f"PARTLY PLANNED: {done} of {len(steps)} steps are told done. The others are not known to be done.")


def _by_state(record: Record, pieces: Sequence[LeftPiece]) -> Block:
    groups: dict[State, list[LeftPiece]] = {}
    for piece in pieces:
        groups.setdefault(piece.state, []).append(piece)
    whole = sum(piece.surface_mm2 for piece in pieces)
    rows = [
        Row(
            (
                words,
                _m2(sum(piece.drawn_mm2 for piece in groups[state])),
                _m2(sum(piece.surface_mm2 for piece in groups[state])),
                f"{100 * sum(piece.surface_mm2 for piece in groups[state]) / whole:.2f}",
            ),
            "again" if state in NEW else "",
        )
        for state, words in STATE_WORDS.items()
        if state in groups
    ]
    rows.append(Row(("Whole vehicle", _m2(sum(p.drawn_mm2 for p in pieces)), _m2(whole), NONE), "total"))
    figures = (Column("Drawn m²", 1, right=True), Column("True m²", 1, right=True), Column("% of true", 1, right=True))
    rough = any(record.drawing[zone.drawing_id].schematic for zone in record.zones)
    note = f"Surface by what the steps of the plan leave on it. {ROUNDED}"
    note += " Drawings that are not to scale are among it: estimates." if rough else ""
    return table("Old and new surface, after the last step", (Column("Surface", 4), *figures), rows, "No zone.", note)


def _new_coats(record: Record, pieces: Sequence[LeftPiece]) -> Block:
    held: dict[str, list[LeftPiece]] = {}
    for piece in pieces:
        for coat_id in piece.new:
            held.setdefault(coat_id, []).append(piece)
    accepted = {one.subject: one for one in record.signoffs if one.what == "coat accepted"}
    rows = []
    for coat in record.coats:
        if coat.coat_id in held:
            zones = dict.fromkeys(record.zone[piece.zone_id].title for piece in held[coat.coat_id])
            steps = [str(s.step) for s in record.steps if s.action == "coat" and coat.coat_id in s.target]
            one = accepted.get(coat.coat_id)
            cells = (
                f"{coat.name} ({coat.coat_id})",
                ", ".join(steps),
                _m2(sum(piece.surface_mm2 for piece in held[coat.coat_id])),
                _m2(sum(piece.surface_mm2 for piece in held[coat.coat_id] if (coat.coat_id, "mist") in piece.stack)),
                listed([*zones], 6),
                f"accepted: {one.by}, {one.on}" if one else "planned; acceptance not signed",
            )
            rows.append(Row(cells, "again", colour=coat.colour))
    columns = (
        Column("Coat", 2.2), Column("Steps", 0.8), Column("True m²", 0.9, right=True),
        Column("Of it mist m²", 0.9, right=True), Column("On", 3), Column("Signed", 1.6),
    )  # fmt: skip
    return table("New coats", columns, rows, "No step lays a coat.")


def edges_lost(record: Record) -> frozenset[str]:
    """Ids of the masks whose edge is stripped before the plan masks it anew, whatever it was as found."""
    return frozenset(
        area.area_id for area in record.areas if lost_edge(record, area, mask_plan(record, area, _zone_ids(record, area)))
    )


def _zone_ids(record: Record, area: Area) -> tuple[str, ...]:
    return () if shape_fault(area.shape) else tuple(zone.zone_id for zone in zones_under(record, area))


def _again_areas(record: Record) -> Iterator[Block]:
    yield Heading("Edges and areas made again")
    lost = edges_lost(record)
    what = {area.area_id: "kept area" if area.purpose == "keep" else "mask" for area in record.areas}
    what |= {one: f"{what[one]}, {_AS_FOUND[record.area[one].origin]}; stripped, then masked anew" for one in lost}
    rows = [
        Row(
            (
                f"{area.title} ({area.area_id})",
                what[area.area_id],
                record.drawing[area.drawing_id].name,
                area.reason or NOT_STATED,
            ),
            "again",
        )
        for area in record.areas
        if area.origin == "recreated" or area.area_id in lost
    ]
    columns = (Column("Area", 2), Column("What", 1.6), Column("Drawing", 1.4), Column("Why", 3))
    open_ones = [area.area_id for area in record.areas if area.origin is None and area.area_id not in lost]
    note = f"Whether the edge is original or made again is not stated of: {listed(open_ones)}." if open_ones else ""
    yield table("Boundaries that were made again by us", columns, rows, "No area is marked as made again.", note)


def _lines_lost(record: Record, pieces: Sequence[LeftPiece]) -> Block:
    rows = []
    for line in record.lines:
        shape, lost = to_shapely(line.shape), 0.0
        for piece in pieces:
            stripped = piece.state in NEW or (piece.state == "bare")
            if stripped and record.zone[piece.zone_id].drawing_id == line.drawing_id:
                lost += piece.surface.intersection(shape).length
        if lost > 0:
            where = record.drawing[line.drawing_id].name
            cells = (line.line_id, where, f"{mm_to_m(shape.length):.2f}", f"{mm_to_m(lost):.2f}", line.note or NOT_STATED)
            rows.append(Row(cells, "again", colour=line.colour))
    columns = (
        Column("Line", 1), Column("Drawing", 1.2), Column("Length m", 0.8, right=True),
        Column("On surface made again m", 1.1, right=True), Column("Note", 3),
    )  # fmt: skip
    note = "Where such a line is on the vehicle again, it was painted again." if rows else ""
    return table("Painted lines on surface that was made again", columns, rows, "No recorded line lies there.", note)


def _m2(mm2: float) -> str:
    return f"{mm2_to_m2(mm2):.3f}"
