"""A drawing from a file: its paths with what they may be, and the two points that say how large it is."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from bodymap.errors import BodymapError
from bodymap.exchange.sketch import Sketch
from bodymap.exchange.taking_in import Wish, taken_in
from bodymap.geometry.proposal import Proposal
from bodymap.views.board import Board, BoardShape, path_shape, sketch_board
from dashboard import state
from dashboard.components import board_map, fields, lay_in, path_table, proposal_card
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import count, plain

_UNITS = {"mm": "mm", "m": "m", "inch": "inches"}
_NOTES_MOST = 6


@dataclass
class FileIn:
    """A file that was brought in, not saved yet.

    `unit`: what the numbers of a GeoJSON file are. `taken`: how often a file came or went.
    """

    data: bytes = b""
    name: str = ""
    unit: str | None = None
    taken: int = 0


def begun() -> bool:
    """Whether there is a file."""
    return bool(state.of(FileIn).data)


def aims() -> tuple[str, ...]:
    """What touches set on the board: nothing before there is a file."""
    desk = state.of(Desk)
    return lay_in.aims(desk) if desk.on_drawing else ("scale",) if begun() else ()


def show(now: Opened, workspace: Workspace, desk: Desk, under: DeltaGenerator) -> Board:
    """The form; returns what is on the board."""
    given, held = state.of(FileIn), desk.board_in()
    sketch = _sketch(now, desk, given)
    if sketch is None:
        return drawings.board(now, desk.drawing_id, ())
    said = f", its size as {sketch.scale_from}" if sketch.trusted_scale else ""
    st.caption(plain(f"{given.name}: {count(len(sketch.shapes), 'path')}{said}."))
    for note in sketch.notes[:_NOTES_MOST]:
        st.caption(plain(note))
    st.markdown("**Scale:** touch two points of the drawing whose distance you know, or type them")
    board_map.scale_fields(held, unit="mm as the file has it", turn=True)
    lay_in.show(now, desk, {})
    with under:
        st.markdown("**What each path is**")
        wishes = path_table.show(now, desk, sketch)
    st.markdown("**Save**")
    proposal = _proposal(now, desk, sketch, wishes)
    title = now.record.drawing[desk.drawing_id].name
    if proposal_card.show(now, workspace, desk, proposal, name="in", why=f"{title} from the file {given.name}"):
        given.data, given.name = b"", ""
        given.taken += 1
        held.begin_again()
        desk.board_on().begin_again()
        desk.put_away("in_")
        st.rerun()
    if desk.on_drawing:
        return lay_in.preview(now, desk, proposal)
    return sketch_board([_shape(path, wishes.get(path.ident)) for path in sketch.shapes])


def _sketch(now: Opened, desk: Desk, given: FileIn) -> Sketch | None:
    title = f"File: {plain(given.name)}" if given.data else "File"
    with st.container(key="file_leaf"), st.expander(title, expanded=not given.data, key=f"file_leaf_{given.taken}"):
        file = st.file_uploader(
            "SVG or GeoJSON", ["svg", "geojson", "json"], key=f"file_in_{given.taken}", max_upload_size=20
        )
        if file is not None:
            given.data, given.name = file.getvalue(), file.name
            given.taken += 1
            desk.board_in().begin_again()
            desk.board_on().begin_again()
            desk.put_away("in_")
            st.rerun()
        if given.name.lower().endswith(("json",)):
            given.unit = fields.one_of("Its numbers are *", _UNITS, "in_unit", given.unit)
    if not given.data or (given.name.lower().endswith("json") and not given.unit):
        return None
    try:
        return drawings.sketch(now, given.data, given.name, given.unit)
    except BodymapError as error:
        st.warning("The file was not read.")
        st.text(str(error))
        return None


def _proposal(now: Opened, desk: Desk, sketch: Sketch, wishes: dict[str, Wish]) -> Proposal | None:
    try:
        sketch, _ = lay_in.laid(now, desk, sketch, wishes, {}, "the file")
        used = {entry.ident for entry in now.journal}
        return taken_in(now.record, sketch, wishes, now.record.drawing[desk.drawing_id], used)
    except BodymapError as error:
        proposal_card.tell(error, "Before it can be saved:")
        return None


def _shape(path: object, wish: Wish | None) -> BoardShape:
    style = wish.role if wish else "left_out"
    surface = path.surface() if path.closed and path.fault is None else None
    return path_shape(style, path.lines, surface, (wish.name or path.name) if wish and wish.role == "zone" else "")
