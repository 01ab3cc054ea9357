"""A gauge file: brought, its columns confirmed, laid on the spot plan with a preview, and taken in with one save."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.gauge_csv import remembered
from bodymap.film.mapping import Preview
from bodymap.film.spot_plan import SpotPlan
from dashboard import actions_film, own_saves, state
from dashboard.components import gauge_columns, gauge_lay, gauge_take, spots_card, undoing
from dashboard.components.film_state import Gauge
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import plain

_MOST_NAME = 80
Shown = tuple[SpotPlan | None, Preview | None, str | None]


def show(now: Opened, workspace: Workspace) -> Shown:
    """The card. Returns the plan, the readings laid on it and the gauge's principle, for the map."""
    gauge = state.of(Gauge)
    if now.read_only:
        st.caption(now.read_only)
        return None, None, None
    if not gauge.data:
        _bring(now, gauge)
        undoing.show(now, workspace, actions_film.KINDS, "gauge", own_saves.on_gauge)
        return spots_card.plan_now(now), None, None
    _name(now, gauge)
    rows = gauge_columns.show(now, gauge)
    if rows is None:
        return None, None, None
    gauge_take.which_gauge(now, gauge)
    plan, preview = gauge_lay.show(now, workspace, gauge, rows)
    if preview:
        gauge_lay.told(now, gauge, rows, preview)
        gauge_take.save(now, workspace, gauge, preview)
    return plan, preview, gauge.principle


def _bring(now: Opened, gauge: Gauge) -> None:
    st.markdown("Any table of readings a gauge writes: commas, semicolons or tabs, µm, mm or mil, with a header or without.")
    file = st.file_uploader(
        "Gauge file", key=f"gauge_file_{gauge.turn}", type=["csv", "txt", "tsv", "dat", "asc"], max_upload_size=20
    )
    if file is None:
        return
    data, name = file.getvalue(), file.name[-_MOST_NAME:]
    try:
        proposal = read.proposal(data, name)
    except BodymapError as error:
        st.error("This file could not be read as a gauge file. Nothing was changed.")
        st.text(str(error))
        return
    gauge.data, gauge.name, gauge.mapping = data, name, proposal.mapping
    fits: list[str] = []
    for known, mapping in remembered(now.record.settings).items():
        same = mapping.header == proposal.mapping.header and len(mapping.roles) == len(proposal.mapping.roles)
        if same and mapping.delimiter == proposal.mapping.delimiter:
            gauge.remembered_as, gauge.mapping = known, mapping
            fits.append(known)
    if len(fits) == 1:
        _known_gauge(now, gauge)
    gauge.asks = gauge.mapping.unit is None and "unit" not in gauge.mapping.roles
    st.rerun()


def _known_gauge(now: Opened, gauge: Gauge) -> None:
    """A file that reads like those of one gauge most likely comes from it; what was said in this window stays."""
    last = actions_film.last_of_gauge(now, gauge.remembered_as)
    if last and not gauge.instrument:
        gauge.instrument, gauge.principle = last.instrument or "", gauge.principle or last.principle


def _name(now: Opened, gauge: Gauge) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{plain(gauge.name)}**", width="stretch")
        if st.button("Put away", icon=":material/close:", key="gauge_away", help="Forgets the file. Nothing is saved."):
            gauge.put_away()
            state.forget("gauge_")
            st.rerun()
    known = actions_film.known_file(now, gauge.data)
    if known:
        st.warning(f"This very file was taken in before, as {plain(known.source_id)}. Put it away, unless you know better.")
