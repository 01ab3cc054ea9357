"""A datum: a line or a point of the vehicle that lines, kept edges and templates are measured from."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.taking_in import free_ident
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.tracing import mark_of
from bodymap.model import Datum
from bodymap.views.board import Board, datum_shapes
from dashboard.components import board_map, fields, proposal_card
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import plain

_NAME_MOST = 120


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ("line",)


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The form; returns what is on the board."""
    held = desk.board()
    st.caption(
        "An edge, a swage or a hole that will still be there when all is stripped. One point is a mark; two or more are a "
        "line, and the way you set them is its direction: offsets to its left count +."
    )
    board_map.points_field("Points (mm: x y; x y; …)", held, "line")
    name = desk.said["datum_name"] = fields.line("Name *", "datum_name", desk.get("datum_name", ""), _NAME_MOST)
    there = [datum for datum in now.record.datums if datum.drawing_id == desk.drawing_id]
    if there:
        st.caption(plain("Here already: " + ", ".join(datum.name for datum in there)) + ".")
    proposal = None
    try:
        proposal = _proposal(now, desk, name.strip())
    except BodymapError as error:
        proposal_card.tell(error)
    why, needs = f"datum drawn: {name.strip()}", "a point or a line, and its name"
    if proposal_card.show(now, workspace, desk, proposal, name="datum", why=why, needs=needs):
        held.begin_again()
        desk.put_away("datum_")
        st.rerun()
    return drawings.board(now, desk.drawing_id, ()).with_more(datum_shapes(there))


def _proposal(now: Opened, desk: Desk, name: str) -> Proposal | None:
    points = desk.board().line
    if not points or not name:
        return None
    used = {*now.record.ids, *(entry.ident for entry in now.journal)}
    shape = mark_of([*points, points[0]] if desk.board().closed else points)
    return Proposal((Datum(datum_id=free_ident(name, used, "datum"), drawing_id=desk.drawing_id, name=name, shape=shape),))
