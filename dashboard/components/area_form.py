"""Marking a kept or masked area: drawn on the map, along an edge, or by offsets from a datum; with reason and name."""

from __future__ import annotations

from typing import get_args

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import Area
from bodymap.model.area import Edge
from bodymap.model.columns import MARGIN_MOST_MM
from bodymap.views.draft import Draft
from dashboard import actions, loaders
from dashboard.components import area_state, fields
from dashboard.components.attempt import attempt
from dashboard.loaders import Opened
from dashboard.state import AreaForm, Workspace
from dashboard.theme import TARGET_PX
from dashboard.words import EDGES, ORIGINS, PURPOSES, WAYS, count, plain, square_metres


def show(now: Opened, workspace: Workspace) -> Draft | None:
    """The form, and the draft it describes (to be drawn on the map before anything is saved)."""
    form = workspace.form
    title = f"Amend {plain(form.area_id)}" if form.area_id else "Mark a kept area"
    marking = area_state.current(now)
    begun = bool(workspace.drawn or form.area_id or marking.found is form)
    # An expander stays as the user left it; one of another key opens by itself when something was drawn.
    with st.expander(title, expanded=begun, key=f"mark_{workspace.turn}_{begun}"):
        if now.read_only:
            st.caption(now.read_only)
            return None
        draft = _shape(now, workspace)
        _said(form, now)
        workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
        with st.container(horizontal=True):
            save = st.button("Save to the record", type="primary", key="save_area")
            if st.button("Put away", key="put_away_form", help="Forgets what is typed and drawn here. Nothing is saved."):
                workspace.begin_form()
                st.rerun()
        if save:
            _save(now, workspace, draft)
    return draft


def _shape(now: Opened, workspace: Workspace) -> Draft | None:
    """Where the area is: one of three ways, or as it was where it is only amended."""
    form = workspace.form
    ways = {"as_it_is": "As it is", **WAYS} if form.area_id else WAYS
    if form.way not in ways:
        form.way = next(iter(ways))
    form.way = fields.one_of("How it is bounded", ways, "form_way", form.way)
    ask = {"band": _band, "offsets": _offsets, "drawn": _drawn}.get(form.way)
    try:
        if ask:
            ask(now, workspace)
        ring = workspace.drawn.ring if workspace.drawn else None
        draft = loaders.draft(now, form, ring, workspace.sheet)
    except BodymapError as error:
        st.warning(plain(str(error)))
        return None
    if draft:
        _preview(draft)
    return draft


def _drawn(_now: Opened, workspace: Workspace) -> None:
    form = workspace.form
    form.only_inside = fields.tick("Only inside zones", "form_only_inside", form.only_inside)
    if not workspace.drawn:
        st.caption("Set the touch to Lasso or Box and draw it on the map.")


def _band(now: Opened, workspace: Workspace) -> None:
    form = workspace.form
    zones = {zone.zone_id: zone.title for zone in now.record.zones}
    if form.zone_id not in zones:
        form.zone_id = next((zone for zone in workspace.chosen if zone in zones), None)
    form.zone_id = fields.one_of("Zone", zones, "form_zone_id", form.zone_id)
    if not form.zone_id:
        st.caption("Choose the zone whose edge the band follows.")
        return
    labels = dict(enumerate(loaders.edge_pieces(now, form.zone_id)))
    if form.piece not in labels:
        form.piece = 0
    form.piece = fields.one_of("Edge piece", labels, f"form_piece_{form.zone_id}", form.piece)
    form.width_mm = fields.millimetres("Width in mm", "form_width_mm", form.width_mm, least=0.1)


def _offsets(now: Opened, workspace: Workspace) -> None:
    form = workspace.form
    datums = {datum.datum_id: datum.name for datum in now.record.datums if datum.shape.type == "LineString"}
    if not datums:
        st.caption("The record has no datum line to measure from: draw one on the screen Drawings and zones, at Datum.")
        return
    if form.datum_id not in datums:
        form.datum_id = next(iter(datums))
    form.datum_id = fields.one_of("Datum", datums, "form_datum_id", form.datum_id)
    st.caption("Along the datum (station), and from it to the near and the far edge; all in mm, left of its direction is +.")
    columns = {
        name: st.column_config.NumberColumn(f"{title} mm", format="%.1f")
        for name, title in (("station", "Station"), ("near", "Near"), ("far", "Far"))
    }
    rows = [dict(zip(columns, row, strict=True)) for row in form.stations]
    key = f"stations_{workspace.turn}"
    # The editor keeps its own changes over the rows it began with, which must not move under it while it is on the page.
    if key not in st.session_state:
        st.session_state[f"{key}_began"] = rows
    edited = st.data_editor(
        st.session_state[f"{key}_began"],
        key=key,
        num_rows="dynamic",
        column_config=columns,
        hide_index=True,
        row_height=TARGET_PX,
        placeholder="",
    )
    form.stations = tuple((row.get("station"), row.get("near"), row.get("far")) for row in edited)
    form.only_inside = fields.tick("Only inside zones", "form_only_inside", form.only_inside)


def _preview(draft: Draft) -> None:
    st.markdown(
        f"**{square_metres(draft.drawn_mm2)} drawn · {square_metres(draft.surface_mm2)} true**, "
        f"in {count(len(draft.zones), 'zone')}, not saved yet"
    )
    st.table(
        [
            {"Zone": plain(zone.title), "Drawn": square_metres(zone.drawn_mm2), "True": square_metres(zone.surface_mm2)}
            for zone in draft.zones
        ],
        border="horizontal",
    )
    for note in draft.notes:
        st.caption(plain(note))


def _said(form: AreaForm, now: Opened) -> None:
    """What the area is, and why."""
    form.name = fields.line("Name *", "form_name", form.name, 120)
    form.reason = fields.lines("Reason *", "form_reason", form.reason, 2000)
    left, right = st.columns(2)
    edges = {edge: EDGES[edge] for edge in get_args(Edge)}
    form.edge = fields.one_of("Kind of edge *", edges, "form_edge", form.edge, place=left)
    form.origin = fields.one_of("The boundary is *", ORIGINS, "form_origin", form.origin, place=right)
    form.margin_mm = fields.millimetres(
        "By hand only: mm round it",
        "form_margin_mm",
        form.margin_mm,
        most=MARGIN_MOST_MM,
        place=left,
        placeholder="not stated",
    )
    form.purpose = fields.one_of("Purpose", PURPOSES, "form_purpose", form.purpose, place=right, disabled=bool(form.area_id))
    st.caption(f"It will be area {plain(form.area_id or actions.new_area_id(now, form.purpose))}.")


def _missing(form: AreaForm, by: str, shape: object) -> list[str]:
    told = {
        "where it is (draw it, or choose an edge or a datum)": shape,
        "a name": form.name.strip(),
        "the reason": form.reason.strip(),
        "the kind of edge": form.edge,
        "whether the boundary is original or made again": form.origin,
        "who marks it": by,
    }
    return [what for what, value in told.items() if not value]


def _save(now: Opened, workspace: Workspace, draft: Draft | None) -> None:
    form = workspace.form
    known = now.record.area.get(form.area_id)
    place = known if known and form.way == "as_it_is" else draft
    missing = _missing(form, workspace.by, place)
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}.")
        return
    area = Area(
        more=known.more if known else {},
        area_id=form.area_id or actions.new_area_id(now, form.purpose),
        drawing_id=place.drawing_id,
        purpose=form.purpose,
        name=form.name.strip(),
        reason=form.reason.strip(),
        edge=form.edge,
        margin=form.margin_mm,
        origin=form.origin,
        shape=place.shape,
    )
    entry = attempt(
        lambda: actions.save_area(
            now, area, by=workspace.by, why=f"Amended: {area.reason}" if known else area.reason, seen=workspace.seen
        )
    )
    if entry:
        workspace.begin_form()
        workspace.tell(":material/check:", f"{plain(area.title)} saved: entry {entry.seq} of the record.")
        st.rerun()
