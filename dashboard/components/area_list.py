"""The kept and masked areas of the record: amend, withdraw, undo. Nothing is ever erased: each is a new entry."""

from __future__ import annotations

import streamlit as st

from bodymap.model import Area
from dashboard import actions, loaders
from dashboard.components import fields, undoing
from dashboard.components.attempt import attempt
from dashboard.loaders import Opened
from dashboard.state import AreaForm, Workspace, forget
from dashboard.words import EDGES, NOT_STATED, plain, square_metres


def show(now: Opened, workspace: Workspace) -> None:
    """The list, with what can be done to one of them."""
    areas = now.record.areas
    with st.expander(f"Kept and masked areas ({len(areas)})", key="area_list"):
        if not areas:
            st.caption("No area is marked yet.")
        else:
            _table(now)
        if now.read_only:
            return
        if areas:
            _change_one(now, workspace)
        _undo(now, workspace)


def _table(now: Opened) -> None:
    sizes = loaders.drawn_sizes(now)
    st.table(
        [
            {
                "Area": plain(f"{area.area_id} · {area.title}" if area.name else area.area_id),
                "Purpose": area.purpose,
                "Edge": EDGES.get(area.edge or "", NOT_STATED),
                "Drawn": square_metres(sizes[area.area_id]),
            }
            for area in now.record.areas
        ],
        border="horizontal",
    )


def _change_one(now: Opened, workspace: Workspace) -> None:
    names = {area.area_id: f"{area.area_id} · {area.title}" for area in now.record.areas}
    picked = fields.one_of("Area to change", names, "area_picked", None)
    if not picked:
        return
    area = now.record.area[picked]
    st.text(area.reason or "No reason is stated.")
    why = fields.line("Why it is withdrawn", "withdraw_why", "", 500).strip()
    with st.container(horizontal=True):
        if st.button("Amend", key="amend_area"):
            workspace.begin_form(AreaForm.amending(area))
            st.rerun()
        withdraw = st.button("Withdraw", key="withdraw_area")
    if withdraw:
        _withdraw(now, workspace, area, why)


def _withdraw(now: Opened, workspace: Workspace, area: Area, why: str) -> None:
    missing = [what for what, value in (("why", why), ("your name (under Mark a kept area)", workspace.by)) if not value]
    if missing:
        st.warning(f"Not withdrawn. Still needed: {', '.join(missing)}.")
        return
    entry = attempt(
        lambda: actions.withdraw_area(now, area.area_id, by=workspace.by, why=why, seen=workspace.seen), "Not withdrawn"
    )
    if entry:
        forget("withdraw_why")
        forget("area_picked")
        workspace.tell(":material/check:", f"{plain(area.title)} withdrawn: entry {entry.seq} of the record.")
        st.rerun()


def _undo(now: Opened, workspace: Workspace) -> None:
    undoing.show(now, workspace, (Area.KIND,), "area")
