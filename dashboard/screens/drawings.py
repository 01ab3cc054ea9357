"""Drawings and zones: a drawing brought in, traced or calibrated, and its zones split, joined, tidied and described."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import (
    board_map,
    calibrate_form,
    datum_form,
    drawing_choice,
    header,
    hidden_face_form,
    lay_in,
    outline_in,
    photo_trace,
    tidy_list,
    undoing,
    zone_cut,
    zone_join,
    zone_table,
)
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import drawings

_TOOLS = {
    "file": outline_in,
    "photo": photo_trace,
    "calibrate": calibrate_form,
    "cut": zone_cut,
    "join": zone_join,
    "tidy": tidy_list,
    "zones": zone_table,
    "hidden": hidden_face_form,
    "datum": datum_form,
}
_WITH_TABLE = ("file", "zones")
_BRINGS_IN = ("file", "photo")
_ON_AN_EMPTY_ONE = (*_BRINGS_IN, "hidden")
_KINDS = ("drawing", "outline", "part", "zone", "cover", "datum", "area", "stack", "reading", "finding", "line", "goal",
          "step", "source", "media")  # fmt: skip


def main() -> None:
    """Draw the screen."""
    now, workspace, desk = loaders.opened(), state.current(), state.of(Desk)
    badge = header.show(now)
    if drawing_choice.show(now, workspace, desk):
        if desk.task not in _ON_AN_EMPTY_ONE and not drawing_choice.is_drawn(now, desk.drawing_id):
            drawing_choice.nothing_drawn(now, desk)
        elif now.read_only:
            board_map.show(desk, drawings.board(now, desk.drawing_id, ()), aims=())
        else:
            _work(now, workspace, desk)
    workspace.seen = now.revision
    header.check(now, badge)


def _work(now: loaders.Opened, workspace: state.Workspace, desk: Desk) -> None:
    """The board on the left, the tool beside it. What is typed there shows on the board, so the board comes last."""
    tool = _TOOLS[desk.task]
    with st.container(key="map_and_card"):
        board_side, tool_side = st.columns([17, 10], gap="medium")
    with board_side:
        lay_in.above(now, desk, begun=desk.task in _BRINGS_IN and tool.begun())
        board_map.above(desk, aims=tool.aims())
        place, under = st.container(key="board_place"), st.container(key="under_board")
    with tool_side, st.container(key="card"):
        shown = tool.show(now, workspace, desk, *([under] if desk.task in _WITH_TABLE else []))
        with st.expander("Undo", key="undo_leaf"):
            undoing.show(now, workspace, _KINDS, "drawing")
    board, picture = shown if isinstance(shown, tuple) else (shown, "")
    with place:
        board_map.show(desk, board, aims=tool.aims(), picture=picture)


main()
