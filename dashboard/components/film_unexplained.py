"""Unexplained film: reading less known stack, with both signs, and where it cannot be told and why."""

from __future__ import annotations

import streamlit as st

from bodymap.film.known import Unexplained
from bodymap.film.report import Specification, ZoneReport
from dashboard.components.film_state import Film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import count, plain, signed, whole

_SIGNS = {"excess": "+ excess", "deficit": "− deficit", "none": "0 explained", "cannot tell": "? cannot tell"}


def show(now: Opened, workspace: Workspace, said: Film) -> None:
    """The card."""
    report = read.report(now, said.phase, Specification())
    zones = {
        zone_id: zone
        for zone_id, zone in report.zones.items()
        if (zone.film.n or zone.film.refused) and (not workspace.chosen or zone_id in workspace.chosen)
    }
    if not zones:
        st.markdown("No reading in this phase.")
        return
    st.caption(
        "Median less the film of the known stack, as far as the coats' ranges and the gauge allow. + or − only where all of "
        "that range lies on one side of 0."
    )
    order = list(_SIGNS)
    told = sorted(zones.items(), key=lambda one: order.index(one[1].unexplained.verdict))
    known = [one for one in told if one[1].unexplained.verdict != "cannot tell"]
    if known:
        st.table([_row(now, *one) for one in known], border="horizontal")
    unknown = [one for one in told if one[1].unexplained.verdict == "cannot tell"]
    if unknown:
        st.markdown(f"**? Cannot tell on {count(len(unknown), 'zone')}**, and why:")
        reasons: dict[str, list[str]] = {}
        for zone_id, zone in unknown:
            reasons.setdefault(zone.unexplained.why, []).append(now.record.zone[zone_id].title)
        st.table(
            [{"Why": plain(why), "Zones": plain("; ".join(titles))} for why, titles in reasons.items()], border="horizontal"
        )


def _row(now: Opened, zone_id: str, zone: ZoneReport) -> dict[str, str]:
    left = zone.unexplained
    return {
        "Zone": plain(now.record.zone[zone_id].title),
        "Read µm": plain(f"{whole(zone.film.median_um)} ± {whole(left.u_um)}"),
        "Stack µm": plain(f"{whole(zone.stack.low_um)} to {whole(zone.stack.high_um)}"),
        "Unexplained µm": plain(_range(left)),
        "Verdict": plain(_SIGNS[left.verdict]),
    }


def _range(left: Unexplained) -> str:
    if left.low_um is None or left.high_um is None:
        return "–"
    return f"{signed(left.low_um)} to {signed(left.high_um)}"
