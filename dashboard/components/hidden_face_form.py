"""A hidden face from its tape measures: laid flat, in free room on the drawing of hidden faces, with what covers it."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.taking_in import free_ident
from bodymap.geometry.hidden_faces import HiddenFace, hidden_face
from bodymap.geometry.proposal import Proposal
from bodymap.model import Drawing, Part
from bodymap.views.board import Board, changed_shapes
from dashboard.components import fields, proposal_card
from dashboard.components.drawing_desk import NEW, Desk
from dashboard.components.wish_form import COMES_OFF, part_names
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import SUBSTRATES, plain

_FORM_NAMES = {"flange": "flange", "jamb": "jamb", "seat": "seat (what a part is bolted to)", "channel": "channel"}
_GAPS = {"": "not stated", "no": "no gap: nothing gets in", "yes": "a gap: mist can drift in"}


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ()


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The form; returns what is on the board."""
    said, record = desk.said, now.record
    form = said["hidden_form"] = fields.segments(
        "Face", {name: name for name in _FORM_NAMES}, "hidden_form", said.get("hidden_form", "flange")
    )
    parts = part_names(now, (), "a new part")
    first = next((name for name in parts if name != NEW), NEW)
    part = said["hidden_part"] = fields.one_of("It is on the part", parts, "hidden_part", said.get("hidden_part", first))
    new = _new_part(desk) if part == NEW else None
    length, width = _size(desk, form)
    others = {ident: name for ident, name in parts.items() if ident not in (NEW, part)}
    kept = [ident for ident in said.get("hidden_covers", []) if ident in others]
    covers = said["hidden_covers"] = fields.some_of(
        "Covered by, when on the vehicle", others, f"hidden_covers_{part}", kept, placeholder="not stated"
    )
    gap = said["hidden_gap"] = (
        fields.segments("Between them", _GAPS, "hidden_gap", said.get("hidden_gap", "")) if covers else ""
    )
    name = said["hidden_name"] = fields.line("Name (blank: part and face)", "hidden_name", said.get("hidden_name", ""), 120)
    drawing = record.drawing[desk.drawing_id]
    hidden = [one for one in (drawing, *record.drawings) if one.kind == "hidden"]
    drawing_id = hidden[0].drawing_id if hidden else None
    st.caption(plain(f"It is laid on: {hidden[0].name if hidden else 'a new drawing, Hidden faces'}") + ".")
    proposal, made_on = None, drawing_id
    if length and width and (part != NEW or new):
        answer = {"": None, "yes": True, "no": False}[gap]
        face = HiddenFace(form, new.part_id if new else part, length, width, tuple(covers), answer, name=name.strip())
        proposal, made_on = _proposal(now, face, new and _free(now, new), drawing_id)
    why, needs = f"hidden face measured: {form}", "its length and width"
    if proposal_card.show(now, workspace, desk, proposal, name="hidden", why=why, needs=needs):
        for field_ in ("hidden_length", "hidden_width", "hidden_name"):
            desk.put_away(field_)
        st.rerun()
    sheet = made_on if made_on in record.drawing else None
    board = drawings.board(now, sheet, ()) if sheet else Board((0.0, 0.0, 4000.0, 1500.0))
    return board.with_more(changed_shapes(record, proposal, made_on)) if proposal and made_on else board


def _size(desk: Desk, form: str) -> tuple[float | None, float | None]:
    """Asks for length and width [mm]; a channel is measured over walls and floor."""
    said = desk.said
    left, right = st.columns(2)
    length = said["hidden_length"] = fields.millimetres(
        "Length, mm *", "hidden_length", said.get("hidden_length"), place=left
    )
    label = "Width over walls and floor, mm *" if form == "channel" else "Width, mm *"
    width = said["hidden_width"] = fields.millimetres(label, "hidden_width", said.get("hidden_width"), place=right)
    return length, width


def _new_part(desk: Desk) -> Part | None:
    said = desk.said
    name = said["hidden_new"] = fields.line("Name of the new part *", "hidden_new", said.get("hidden_new", ""), 120)
    left, right = st.columns(2)
    substrate = said["hidden_of"] = fields.one_of("It is of *", SUBSTRATES, "hidden_of", said.get("hidden_of"), place=left)
    off = said["hidden_off"] = fields.one_of("Fixing *", COMES_OFF, "hidden_off", said.get("hidden_off"), place=right)
    if not (name.strip() and substrate and off):
        return None
    return Part(part_id=free_ident(name, set(), "part"), name=name.strip(), substrate=substrate, removable=off == "yes")


def _free(now: Opened, part: Part) -> Part:
    used = {*now.record.ids, *(entry.ident for entry in now.journal)}
    return part.model_copy(update={"part_id": free_ident(part.part_id, used, "part")})


def _proposal(now: Opened, face: HiddenFace, new: Part | None, drawing_id: str | None) -> tuple[Proposal | None, str | None]:
    """The proposal, and the drawing it lies on."""
    record = now.record
    try:
        if new:
            record = record.with_kind(Part.KIND, (*record.parts, new))
            face = HiddenFace(**{**vars(face), "part_id": new.part_id})
        made = hidden_face(record, face, now.settings, drawing_id)
    except BodymapError as error:
        proposal_card.tell(error)
        return None, drawing_id
    on = next((entry.drawing_id for entry in made.put if isinstance(entry, Drawing)), None)
    on = on or next(entry.drawing_id for entry in made.put if hasattr(entry, "drawing_id"))
    return (Proposal((new,)).and_then(made) if new else made), on
