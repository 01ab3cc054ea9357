"""What is above the map: which sheet, tint and marks; what a touch does, and how close to look."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from dashboard import loaders
from dashboard.components import fields
from dashboard.loaders import Opened
from dashboard.state import CHOSEN_ZONES, DRAWN_SURFACE, WHOLE_SHEET, Workspace, forget
from dashboard.words import MARKS, SHEETS, TINTS, TOUCHES

MAP_TOUCHES = ("pick", "lasso", "box")


def show(workspace: Workspace) -> None:
    """The row across the page: what is shown."""
    with st.container(horizontal=True, vertical_alignment="bottom", key="controls"):
        sheet = fields.segments("Sheet", SHEETS, "sheet", workspace.sheet)
        if sheet != workspace.sheet:
            workspace.sheet, workspace.look_at = sheet, WHOLE_SHEET
            workspace.put_away_drawing()
        workspace.tint = fields.segments("Tint", TINTS, "tint", workspace.tint)
        workspace.marks = fields.pills("Marks", MARKS, "marks", workspace.marks)


def over_the_map(now: Opened, workspace: Workspace, touches: Sequence[str] = MAP_TOUCHES, *, tucked: bool = False) -> None:
    """The row over the map: what a touch does, how close to look, which coat is followed.

    `touches`: what a touch can do here, of `TOUCHES`; the first where it did something else before. `tucked`: what is shown
    is chosen here too, in a leaf that opens.
    """
    if workspace.touch not in touches:
        workspace.touch = touches[0]
        forget("touch")
    with st.container(horizontal=True, vertical_alignment="bottom", key="over_the_map"):
        # What a touch can do differs from screen to screen: each set of touches has a field of its own.
        names = {touch: TOUCHES[touch] for touch in touches}
        workspace.touch = fields.segments("A touch on the map", names, f"touch_{'_'.join(touches)}", workspace.touch)
        _look_at(now, workspace)
        if tucked:
            with st.popover("Shown", icon=":material/layers:", key="shown"):
                show(workspace)
        if workspace.drawn or workspace.chosen:
            st.button("Look closer", icon=":material/zoom_in:", key="look_closer", on_click=workspace.look_closer)
    if workspace.tint == "coat":
        with st.container(key="coat_slider"):
            _which_coat(now, workspace)


def _look_at(now: Opened, workspace: Workspace) -> None:
    shown = loaders.layout(now, workspace.sheet)
    drawings = [drawing for drawing in now.record.drawings if shown.has(drawing.drawing_id)]
    names = {WHOLE_SHEET: "Whole sheet", **{drawing.drawing_id: drawing.name for drawing in drawings}}
    if workspace.chosen:
        names[CHOSEN_ZONES] = "What is chosen"
    if workspace.drawn:
        names[DRAWN_SURFACE] = "What is drawn"
    if workspace.look_at not in names:
        workspace.look_at = WHOLE_SHEET
        forget("look_at")
    # The list of drawings differs from sheet to sheet: each has a field of its own.
    workspace.look_at = fields.one_of("Look at", names, f"look_at_{workspace.sheet}", workspace.look_at, width=200)


def _which_coat(now: Opened, workspace: Workspace) -> None:
    coats = {coat: f"{coat} · {now.record.coat[coat].name}" for coat in loaders.coats_in_order(now)}
    if not coats:
        st.caption("No coat is recorded yet.")
        return
    if workspace.coat_id not in coats:
        workspace.coat_id = next(iter(coats))
        forget("coat_id")
    workspace.coat_id = fields.along("State at coat", coats, "coat_id", workspace.coat_id)


def choose_zones(now: Opened, workspace: Workspace) -> None:
    """Choosing zones by name: the same as touching them, for the keyboard and for zones too small to touch."""
    names = {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in now.record.zones}
    workspace.chosen = [zone for zone in workspace.chosen if zone in names]
    workspace.chosen = fields.some_of(
        "Chosen zones", names, "chosen", workspace.chosen, placeholder="Touch the map, or type a name"
    )
