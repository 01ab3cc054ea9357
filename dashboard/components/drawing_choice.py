"""Which drawing is on the board, and making a new one."""

from __future__ import annotations

from hashlib import sha256

import streamlit as st

from bodymap.exchange.taking_in import free_ident
from bodymap.geometry.proposal import Proposal
from bodymap.model import Drawing
from dashboard.components import fields, proposal_card
from dashboard.components.drawing_desk import NEW, TASKS, Desk
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import SHEETS, plain

_EMPTY = "nothing is drawn on it yet"


def show(now: Opened, workspace: Workspace, desk: Desk) -> bool:
    """The row that chooses drawing and task; whether there is a drawing to work on."""
    names = {d.drawing_id: _title(now, d) for d in now.record.drawings}
    choices = names if now.read_only else {**names, NEW: "A new drawing …"}
    if desk.drawing_id not in choices:
        desk.drawing_id = next(iter(choices), "")
    if desk.task not in TASKS:
        desk.task = "cut" if now.record.zones else "file"
    with st.container(horizontal=True, vertical_alignment="bottom", key="drawing_row"):
        # The browser keeps the words of what is chosen: where they change the field begins again.
        words = sha256(repr(choices).encode()).hexdigest()[:8]
        drawing_id = fields.one_of("Drawing", choices, f"desk_drawing_{words}", desk.drawing_id, width=290)
        if not now.read_only:
            desk.task = fields.segments("What to do", TASKS, "desk_task", desk.task)
    if drawing_id != desk.drawing_id:
        desk.drawing_id = drawing_id
    if desk.drawing_id == NEW:
        _new(now, workspace, desk)
    return desk.drawing_id in names


def is_drawn(now: Opened, drawing_id: str) -> bool:
    """Whether there is anything on a drawing."""
    return drawing_id in now.record.zones_on or any(one.drawing_id == drawing_id for one in now.record.outline)


def nothing_drawn(now: Opened, desk: Desk) -> None:
    """What to do first on a drawing that is empty still."""
    drawing = now.record.drawing[desk.drawing_id]
    ways = {"hidden": "Lay a hidden face"} if drawing.kind == "hidden" else {}
    ways |= {"photo": "Trace a photo", "file": "Bring a file in"}
    st.info(f"{plain(drawing.name)} is empty still: draw something on it first.")
    with st.container(horizontal=True, key="draw_first"):
        for task, words in ways.items():
            st.button(words, icon=":material/arrow_forward:", key=f"to_{task}", on_click=desk.turn_to, args=(task,))


def _title(now: Opened, drawing: Drawing) -> str:
    zones = len(now.record.zones_on.get(drawing.drawing_id, ()))
    scale = "schematic" if drawing.schematic else "measured"
    return f"{drawing.name} · {scale}" if zones else f"{drawing.name} · no zones yet"


def _new(now: Opened, workspace: Workspace, desk: Desk) -> None:
    with st.container(border=True, width=560):
        desk.name = fields.line("Name of the drawing *", "desk_name", desk.name, 120)
        desk.kind = fields.segments("It shows", SHEETS, "desk_kind", desk.kind)
        proposal, ident = None, ""
        taken = desk.name.strip().casefold() in {one.name.strip().casefold() for one in now.record.drawings}
        if taken:
            st.warning(f"There is a drawing named {plain(desk.name.strip())} already: take another name.")
        elif desk.name.strip():
            ident = free_ident(desk.name, {*now.record.ids, *(entry.ident for entry in now.journal)}, "drawing")
            drawing = Drawing(drawing_id=ident, name=desk.name.strip(), kind=desk.kind, scale="schematic", scale_from=_EMPTY)
            proposal = Proposal((drawing,))
        why = f"a new drawing, {desk.name.strip()}"
        if proposal_card.show(now, workspace, desk, proposal, name="drawing", why=why, needs="a name of its own"):
            desk.drawing_id, desk.name = ident, ""
            forget("desk_")
            st.rerun()
