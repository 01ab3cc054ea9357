"""A zone split along a line that is drawn, typed, or runs at a distance from one piece of its edge."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.geometry.boundary import boundary_pieces
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.tracing import line_of, ring_of, run_on, zone_crossed
from bodymap.geometry.zone_edits import cut_at_offset, cut_by_line
from bodymap.model import Zone
from bodymap.views.board import Board, changed_shapes
from dashboard import loaders
from dashboard.components import board_map, fields, proposal_card
from dashboard.components.drawing_desk import BoardState, Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace

_WAYS = {"line": "Along a line", "offset": "At a distance from an edge"}


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ("line",)


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The form; returns what is on the board."""
    zones = {zone.zone_id: zone.title for zone in now.record.zones_on.get(desk.drawing_id, ())}
    if not zones:
        st.caption("There is no zone on this drawing yet.")
        return drawings.board(now, desk.drawing_id, ())
    held = desk.board()
    way = desk.said["cut_way"] = fields.segments("Split", _WAYS, "cut_way", desk.get("cut_way", "line"))
    proposal = None
    try:
        zone_id, proposal = (_by_line if way == "line" else _at_offset)(now, desk, held, zones)
        proposal = _named(desk, proposal)
    except BodymapError as error:
        zone_id = desk.get("cut_zone")
        proposal_card.tell(error)
    title = zones.get(zone_id or "", "a zone")
    why, needs = f"{title} split in two", "where the zone is cut"
    if proposal_card.show(now, workspace, desk, proposal, name="cut", why=why, needs=needs):
        held.begin_again()
        desk.put_away("cut_")
        st.rerun()
    if proposal:
        return drawings.board(now, desk.drawing_id, ()).with_more(changed_shapes(now.record, proposal, desk.drawing_id))
    return drawings.board(now, desk.drawing_id, (zone_id,) if zone_id else ())


def _by_line(now: Opened, desk: Desk, held: BoardState, zones: dict[str, str]) -> tuple[str | None, Proposal | None]:
    st.caption("Touch where the line begins and ends (more points for a bend), or draw round a piece.")
    board_map.points_field("Line (mm: x y; x y)", held, "line")
    on = desk.said["cut_on"] = fields.tick("Run it on to the edges", "cut_on", desk.get("cut_on", True))
    line = line_of(ring_of(held.line) if held.closed else held.line) if len(held.line) > 1 else None
    found = zone_crossed(now.record, desk.drawing_id, line) if line else None
    names = {"": f"the one the line crosses{f': {zones[found]}' if found else ''}", **zones}
    chosen = desk.said["cut_zone"] = fields.one_of("Zone", names, "cut_zone", _known(desk.get("cut_zone", ""), names))
    zone_id = chosen or found
    if line is None or zone_id is None:
        return zone_id, None
    if on and not held.closed:
        line = run_on(line, now.record.zone[zone_id].shape)
    return zone_id, cut_by_line(now.record, zone_id, line)


def _at_offset(now: Opened, desk: Desk, _held: BoardState, zones: dict[str, str]) -> tuple[str | None, Proposal | None]:
    zone_id = desk.said["cut_zone"] = fields.one_of(
        "Zone", zones, "cut_of", _known(desk.get("cut_zone"), zones) or next(iter(zones))
    )
    labels = dict(enumerate(loaders.edge_pieces(now, zone_id)))
    piece = desk.said["cut_piece"] = fields.one_of("Edge piece", labels, f"cut_piece_{zone_id}", desk.get("cut_piece", 0))
    distance = desk.said["cut_mm"] = fields.millimetres("Distance from it, mm", "cut_mm", desk.get("cut_mm"))
    if piece is None or not distance:
        return zone_id, None
    pieces = boundary_pieces(now.record.zone[zone_id].shape, now.settings)
    return zone_id, cut_at_offset(now.record, zone_id, pieces[piece], distance)


def _named(desk: Desk, proposal: Proposal | None) -> Proposal | None:
    """The proposal with the names that were typed for the pieces."""
    if proposal is None:
        return None
    pieces = [entry for entry in proposal.put if isinstance(entry, Zone)]
    names = {}
    for number, zone in enumerate(pieces):
        label = "Name of the largest piece" if number == 0 else f"Name of piece {number + 1}"
        key = f"cut_name_{number}"
        names[zone.zone_id] = desk.said[key] = fields.line(label, f"{key}_{zone.zone_id}", desk.get(key) or zone.title, 120)
    put = tuple(
        entry.model_copy(update={"name": names[entry.zone_id].strip() or entry.name}) if isinstance(entry, Zone) else entry
        for entry in proposal.put
    )
    return Proposal(put, proposal.withdraw, proposal.replace, proposal.questions, proposal.notes)


def _known(value: str | None, names: dict[str, str]) -> str | None:
    return value if value in names else ("" if "" in names else None)
