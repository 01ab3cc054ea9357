"""Judged against a specification: two judges kept apart, each with its scope; readings taken on purpose are left out."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.film.acceptance import ISO_SCOPE_LEAST_UM, Verdict
from bodymap.film.report import FilmReport, Specification
from bodymap.film.summary import AS_FOUND
from dashboard.components import fields
from dashboard.components.film_state import JUDGES, Film, specification
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import count, plain

_SIGNS = {"accept": "✓ accepted", "reject": "✗ rejected", "cannot tell": "? cannot tell", "out of scope": "– out of scope"}
_ABOUT = {
    "iso19840": "Single readings against the nominal film. Written for blast-cleaned steel: on smooth body "
    "sheet it is borrowed.",
    "sspc_pa2": "Spots (means of three readings or more) and the area mean against least and greatest film, at level 3: "
    "a spot may go to 80 % of the least and 120 % of the greatest.",
}


def show(now: Opened, workspace: Workspace, said: Film) -> None:
    """The card."""
    _films(said)
    try:
        asked = specification(said)
    except BodymapError as error:
        st.warning(plain(str(error)))
        return
    if said.phase == AS_FOUND:
        st.info("Readings as found are the film of all old coats together. A specification is for a coat just laid.")
    if asked == Specification():
        st.markdown("State the nominal film for ISO 19840, or the least and the greatest for SSPC-PA 2.")
        return
    report = read.report(now, said.phase, asked)
    zones = [zone for zone in report.zones if not workspace.chosen or zone in workspace.chosen]
    for judge, name in JUDGES.items():
        _judge(now, report, judge, name, zones, asked)
    left_out = sum(len(report.zones[zone].targeted) for zone in zones)
    st.caption(
        f"Left out of both: {count(left_out, 'reading')} taken on purpose at suspect places, and all that are refused."
    )


def _films(said: Film) -> None:
    places = st.columns(3)
    for place, (name, label) in zip(
        places, (("nominal_um", "Nominal µm"), ("min_um", "Least µm"), ("max_um", "Greatest µm")), strict=True
    ):
        value = fields.millimetres(label, f"film_{name}", getattr(said, name), place=place, placeholder="not stated")
        setattr(said, name, value or None)


def _judge(now: Opened, report: FilmReport, judge: str, name: str, zones: list[str], asked: Specification) -> None:
    st.subheader(name, anchor=False)
    st.caption(plain(_ABOUT[judge]))
    missing = asked.nominal_um is None if judge == "iso19840" else asked.min_um is None
    if missing:
        st.markdown("Needs the nominal film." if judge == "iso19840" else "Needs the least and the greatest film.")
        return
    if judge == "iso19840" and (asked.nominal_um or 0) < ISO_SCOPE_LEAST_UM:
        st.warning(f"Outside its scope: not for nominal films under {ISO_SCOPE_LEAST_UM:g} µm.")
        return
    told: list[tuple[str, Verdict]] = []
    for zone in zones:
        verdict = getattr(report.zones[zone], judge)
        if verdict is not None and (report.zones[zone].film.n or report.zones[zone].film.refused):
            told.append((zone, verdict))
    if not told:
        st.markdown("No reading of this phase to judge.")
        return
    order = list(_SIGNS)
    told.sort(key=lambda one: -order.index(one[1].verdict) if one[1].verdict == "reject" else order.index(one[1].verdict))
    st.table(
        [
            {"Zone": plain(now.record.zone[zone].title), "Verdict": _SIGNS[one.verdict], "Why": plain(one.why)}
            for zone, one in told
        ],
        border="horizontal",
    )
