"""Zones merged to one, and a side turned into its left-right twin."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.taking_in import free_ident
from bodymap.geometry.twin_side import twin_side
from bodymap.geometry.zone_edits import merge
from bodymap.model import Drawing
from bodymap.views.board import Board, changed_shapes
from dashboard.components import fields, proposal_card
from dashboard.components.drawing_desk import NEW, Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace, forget
from dashboard.words import count, plain

_WAYS = {"merge": "Merge zones", "mirror": "Mirror the side"}


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ()


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The form; returns what is on the board."""
    way = desk.said["join_way"] = fields.segments("What", _WAYS, "join_way", desk.get("join_way", "merge"))
    return (_merge if way == "merge" else _mirror)(now, workspace, desk)


def _merge(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    zones = {zone.zone_id: zone.title for zone in now.record.zones_on.get(desk.drawing_id, ())}
    held = [zone for zone in desk.get("join_zones", []) if zone in zones]
    chosen = desk.said["join_zones"] = fields.some_of(
        "Zones to be one (the first keeps its name)",
        zones,
        f"join_zones_{desk.drawing_id}",
        held,
        placeholder="Choose two or more",
    )
    proposal = None
    if len(chosen) > 1:
        try:
            proposal = merge(now.record, chosen, drawings.states(now))
        except BodymapError as error:
            proposal_card.tell(error)
    why = f"merged: {', '.join(zones[zone] for zone in chosen)}"
    if proposal_card.show(now, workspace, desk, proposal, name="join", why=why, needs="two zones or more"):
        desk.put_away("join_")
        st.rerun()
    board = drawings.board(now, desk.drawing_id, tuple(chosen))
    return board.with_more(changed_shapes(now.record, proposal, desk.drawing_id)) if proposal else board


def _mirror(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    side = now.record.drawing[desk.drawing_id]
    drawn = _drawn_twin(now, side)
    if drawn:
        st.info(
            plain(
                f"Nothing to mirror: {drawn.name} is the twin of {side.name} and is drawn already. "
                "What is to differ or to follow is changed there, by Split, Merge and Zones."
            )
        )
        return drawings.board(now, side.drawing_id, ())
    target = _twin_goes_on(now, desk, side)
    st.caption(
        "What was seen on one side was not seen on the other: stacks, readings and findings stay. Lettering never mirrors."
    )
    twin = None
    try:
        twin = twin_side(now.record, side.drawing_id, target)
    except BodymapError as error:
        proposal_card.tell(error)
    if twin and twin.positions:
        st.caption(
            f"{count(len(twin.positions), 'place')} to look at on the twin: lines and findings of this side, not taken over."
        )
    proposal = twin.proposal if twin else None
    if proposal_card.show(now, workspace, desk, proposal, name="join", why=f"twin of {side.name}"):
        desk.put_away("join_")
        desk.drawing_id = target
        forget("desk_")
        st.rerun()
    board = drawings.board(now, target if target in now.record.drawing else side.drawing_id, ())
    if proposal and target not in now.record.drawing:
        board = Board(board.bounds)
    return board.with_more(changed_shapes(now.record, proposal, target)) if proposal else board


def _twin_goes_on(now: Opened, desk: Desk, side: Drawing) -> str:
    """Asks for the drawing that is to take the twin: an empty one, or the id of a new one."""
    empty = [d for d in now.record.drawings if d.kind == "outside" and _empty(now, d.drawing_id)]
    names = {**{d.drawing_id: f"{d.name} (empty)" for d in empty}, NEW: "a new drawing"}
    first = next((d.drawing_id for d in empty if d.mirror_of == side.drawing_id), None)
    value = desk.get("join_to")
    to_id = desk.said["join_to"] = fields.one_of(
        "Its twin goes on", names, f"join_to_{side.drawing_id}", value if value in names else first or next(iter(names))
    )
    return to_id if to_id != NEW else _free(now, f"{side.drawing_id[:55]}_twin")


def _drawn_twin(now: Opened, side: Drawing) -> Drawing | None:
    """The drawing of the other side, where something is drawn on it."""
    twins = [d for d in now.record.drawings if side.drawing_id == d.mirror_of or d.drawing_id == side.mirror_of]
    return next((twin for twin in twins if not _empty(now, twin.drawing_id)), None)


def _empty(now: Opened, drawing_id: str) -> bool:
    return not now.record.zones_on.get(drawing_id) and not any(s.drawing_id == drawing_id for s in now.record.outline)


def _free(now: Opened, wish: str) -> str:
    return free_ident(wish, {*now.record.ids, *(entry.ident for entry in now.journal)}, "twin")
