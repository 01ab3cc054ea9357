"""The strip sheet: which zones, on which paper; as it is printed, and to be saved."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from dashboard.components import fields, keep_state, long_work
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import count, plain

_WHICH = {"planned": "All the plan strips", "released": "Released", "chosen": "Chosen"}
_PAPERS = {"a4": "A4", "a3": "A3"}


def show(now: Opened, workspace: Workspace) -> None:
    """The choice, the file, and its pages."""
    kept = keep_state.current()
    with st.container(horizontal=True):
        kept.which = fields.segments("Zones", _WHICH, "keep_which", kept.which)
        kept.paper = fields.segments("Paper", _PAPERS, "keep_paper", kept.paper)
    zones = _zones(now, workspace, kept.which)
    if zones is not None and not zones:
        st.info("No zone is released yet." if kept.which == "released" else "Choose the zones on the map or by name.")
        return
    try:
        sheet = long_work.result(loaders.strip_sheet, now, zones, kept.paper)
    except BodymapError as error:
        st.error("The strip sheet could not be made.")
        st.text(str(error))
        return
    if sheet is None:
        return
    _told(now, sheet)
    number = st.pagination(len(sheet.pages), key=f"strip_page_{now.revision}_{len(sheet.pages)}")
    st.image(sheet.pages[number - 1], width="stretch", alt=f"Strip sheet, page {number} of {len(sheet.pages)}")


def _zones(now: Opened, workspace: Workspace, which: str) -> tuple[str, ...] | None:
    """The zones that are asked for; None: all that the plan strips."""
    if which == "planned":
        return None
    if which == "chosen":
        return tuple(workspace.chosen)
    return tuple(zone for zone, release in loaders.releases(now).items() if release.state == "released")


def _told(now: Opened, sheet: loaders.StripSheet) -> None:
    name = f"strip-sheet-{now.record.vehicle.vehicle_id}-{now.head.count}.pdf"
    st.download_button(
        "Strip sheet (PDF)", sheet.pdf, file_name=name, mime="application/pdf", type="primary", key="strip_sheet_pdf"
    )
    st.markdown(f"**{sheet.released} of {count(sheet.zones, 'zone')} released** · {count(len(sheet.pages), 'page')}")
    if sheet.released < sheet.zones:
        st.caption("Over every zone that is not released it says so: NOT RELEASED – do not strip.")
    for note in sheet.notes:
        st.caption(plain(note))
