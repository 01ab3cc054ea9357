"""The kept areas one by one: edge, margin, pieces between corners, and what endangers them."""

from __future__ import annotations

import streamlit as st

from bodymap.finish.methods import METHODS
from bodymap.model.columns import MARGIN_MOST_MM
from bodymap.views.keep_edges import KeptEdge, MarginAsked
from dashboard import actions_release, ways
from dashboard.components import fields, keep_signing, keep_state, nothing_yet
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import AreaForm, Workspace
from dashboard.words import NOT_STATED, plain, square_metres

_PIECES_MOST = 14


def show(now: Opened, workspace: Workspace) -> None:
    """The list of kept areas, and the one that is looked at."""
    kept = keep_state.current()
    keeps = {area.area_id: f"{area.area_id} · {area.title}" for area in now.record.areas if area.purpose == "keep"}
    if not keeps:
        nothing_yet.way("No area is kept yet.", "screens/panel_sheet.py", "Mark an area on the panel sheet")
        return
    _table(now, list(keeps))
    if kept.area_id not in keeps:
        kept.area_id = None
    kept.area_id = fields.one_of("Kept area", keeps, "keep_area", kept.area_id)
    if kept.area_id:
        _one(now, workspace, loaders.edge(now, kept.area_id))


def _table(now: Opened, area_ids: list[str]) -> None:
    rows = [
        {
            "Area": plain(f"{edge.area_id} · {edge.title}"),
            "Edge": edge.edge.title if edge.edge_stated else "NOT STATED",
            "Margin": _margin(edge.margin_mm),
            "Signed": plain(", ".join(edge.signed_by)) if edge.signed_by else "nobody",
            "In reach": square_metres(edge.endangered_mm2) if edge.endangered_mm2 else "–",
        }
        for edge in (loaders.edge(now, area_id) for area_id in area_ids)
    ]
    st.table(rows, border="horizontal")


def _margin(margin_mm: float | None) -> str:
    return NOT_STATED if margin_mm is None else f"{margin_mm:g}\u00a0mm"


def _one(now: Opened, workspace: Workspace, edge: KeptEdge) -> None:
    st.subheader(plain(f"{edge.area_id} · {edge.title}"), anchor=False)
    st.markdown(f"**Why kept:** {plain(edge.reason)}")
    st.markdown(f"**{edge.edge.title}.** {edge.edge.make}")
    _pieces(edge)
    _asked(edge)
    with st.container(horizontal=True):
        if st.button("Amend on the panel sheet", key="keep_amend"):
            workspace.begin_form(AreaForm.amending(now.record.area[edge.area_id]))
            st.switch_page(ways.PANEL)
    if keep_signing.writable(now):
        _save(now, workspace, edge)


def _pieces(edge: KeptEdge) -> None:
    about = "≈ " if edge.estimate else ""
    st.table(
        [
            {
                "Piece": piece.letter,
                "Length": f"{about}{piece.length_mm:.0f} mm",
                "Least radius": "straight" if piece.least_radius_mm is None else f"{about}{piece.least_radius_mm:.0f} mm",
                "Beyond it": plain("; ".join(piece.beyond)) if piece.beyond else "edge of the drawing or another face",
                "Endangered by": plain("; ".join(piece.endangered_by)) if piece.endangered_by else "–",
            }
            for piece in edge.pieces[:_PIECES_MOST]
        ],
        border="horizontal",
    )
    left = len(edge.pieces) - _PIECES_MOST
    if left > 0:
        st.caption(f"{left} more pieces: all of them are in the mask brief.")
    st.caption("The whole edge of an area is of one kind. Where a stretch is of another, mark it as an area of its own.")


def _asked(edge: KeptEdge) -> None:
    asked = edge.asked
    if asked is None:
        st.markdown("**Margin:** no method that is planned near it asks for one.")
        return
    st.markdown(
        f"**{METHODS[asked.method].words.capitalize()}** of {plain('; '.join(asked.zones))} asks for "
        f"**{asked.margin_mm:g} mm** round it; stated: {_margin(edge.margin_mm)}."
    )
    if asked.figure:
        st.caption(plain(f"{asked.figure.value:g} {asked.figure.unit}: {asked.figure.basis}; {asked.figure.source}."))
    if not asked.stoppable:
        st.caption("It flies and rebounds: a taped line does not stop it. The whole zone has to keep that far away.")


def _save(now: Opened, workspace: Workspace, edge: KeptEdge) -> None:
    kept = keep_state.current()
    with st.container(key="keep_margin_box", border=True):
        key = f"keep_margin_{edge.area_id}"
        shown = edge.margin_mm if kept.margin_mm is None else kept.margin_mm
        kept.margin_mm = fields.millimetres(
            "Margin round it, by hand only, in mm", key, shown, most=MARGIN_MOST_MM, placeholder=NOT_STATED
        )
        if edge.asked and edge.asked.stoppable and (edge.margin_mm or 0) < edge.asked.margin_mm:
            st.button(
                f"Take {edge.asked.margin_mm:g} mm", key="keep_take", on_click=_take, args=(edge.asked, key)
            )  # before the field is drawn again
        kept.why_margin = fields.line("Why *", "keep_why_margin", kept.why_margin, 500)
        keep_signing.name(workspace)
        with st.container(horizontal=True):
            margin = st.button("Save the margin", key="save_margin")
            signed = st.button("Sign to keep this area", type="primary", key="sign_keep")
    if margin:
        _save_margin(now, workspace, edge)
    elif signed:
        _sign(now, workspace, edge)


def _take(asked: MarginAsked, key: str) -> None:
    keep_state.current().margin_mm = asked.margin_mm
    keep_state.begin_again(key)


def _save_margin(now: Opened, workspace: Workspace, edge: KeptEdge) -> None:
    kept = keep_state.current()
    done = keep_signing.save(
        workspace,
        lambda: actions_release.save_margin(
            now, edge.area_id, kept.margin_mm, by=workspace.by, why=kept.why_margin.strip(), seen=workspace.seen
        ),
        f"Margin of {edge.title}",
        {"why": kept.why_margin.strip(), "who says so": workspace.by},
        ("keep_why_margin", f"keep_margin_{edge.area_id}"),
    )
    if done:
        kept.margin_mm, kept.why_margin = None, ""
        st.rerun()


def _sign(now: Opened, workspace: Workspace, edge: KeptEdge) -> None:
    kept = keep_state.current()
    done = keep_signing.save(
        workspace,
        lambda: actions_release.sign(
            now, [edge.area_id], "keep", by=workspace.by, note=kept.why_margin.strip(), seen=workspace.seen
        ),
        f"Signed to keep {edge.title}",
        {"who signs": workspace.by},
        ("keep_why_margin",),
    )
    if done:
        kept.why_margin = ""
        st.rerun()
