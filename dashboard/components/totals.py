"""The card while no single zone is chosen: totals of the vehicle, or of the zones that are chosen."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders
from dashboard.components import survey_state
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import SUBSTRATES, count, plain, share, square_metres


def show(now: Opened, workspace: Workspace) -> None:
    """Areas, what is kept, what was not seen, readings; by part; and what comes next."""
    some = bool(workspace.chosen)
    totals = loaders.totals(now, tuple(workspace.chosen))
    st.subheader(f"{count(totals.zones, 'zone')} chosen" if some else "The whole vehicle", anchor=False)
    if not some:
        _next(now, workspace, totals.unseen)
    kept = f"{square_metres(totals.kept_surface_mm2)} ({share(totals.kept_surface_mm2, totals.surface_mm2)})"
    st.table(
        {
            "Drawn area": square_metres(totals.drawn_mm2),
            "True area": square_metres(totals.surface_mm2),
            "Kept (true)": kept,
            "Zones": count(totals.zones, "zone"),
            "Not seen yet": count(len(totals.unseen), "zone"),
            "Film readings": count(totals.readings, "reading"),
        },
        border="horizontal",
    )
    if totals.estimates:
        st.caption(
            f"{count(totals.estimates, 'zone')} on a schematic drawing: those areas are estimates until it is calibrated "
            "(Drawings and zones)."
        )
    if totals.unseen and some:
        st.caption(f"Not seen: {plain(', '.join(totals.unseen))}")
    with st.expander("Retained by part", key="by_part", expanded=False):
        st.table(
            [
                {
                    "Part": plain(part.name),
                    "Substrate": SUBSTRATES[part.substrate],
                    "True area": square_metres(part.surface_mm2),
                    "Kept": f"{square_metres(part.kept_surface_mm2)} ({share(part.kept_surface_mm2, part.surface_mm2)})",
                }
                for part in totals.parts
            ],
            border="horizontal",
        )


def _next(now: Opened, workspace: Workspace, unseen: tuple[str, ...]) -> None:
    """What comes next; while there are zones that nobody has looked at, the way to their list."""
    st.markdown(f"**Next:** {plain(loaders.what_next(now))}")
    if (
        unseen
        and not now.read_only
        and st.button("Not yet seen: to the list", icon=":material/arrow_forward:", key="to_unseen")
    ):
        survey_state.turn_to(survey_state.current(now), workspace, "unseen")
        forget("survey_what")
        st.switch_page("screens/survey.py")
