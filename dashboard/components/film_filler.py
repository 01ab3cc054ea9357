"""Suspected filler: areas with m² and litres in place, and what filling them again would take."""

from __future__ import annotations

import streamlit as st

from bodymap.film.filler import FillerArea
from bodymap.film.report import Specification
from dashboard.components.film_state import Film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import plain, square_metres


def show(now: Opened, _workspace: Workspace, said: Film) -> None:
    """The card."""
    report = read.report(now, said.phase, Specification()).filler
    level = now.settings.value("filler_suspect_um")
    st.caption(
        f"Above {level:g} µm on metal. A gauge cannot tell filler from body solder or many repaints: it is a suspicion."
    )
    for area in report.areas:
        _area(now, area)
    for note in report.notes:
        st.markdown(plain(note))
    if not report.areas and not report.notes:
        st.markdown(f"No film above {level:g} µm in this phase.")


def _area(now: Opened, area: FillerArea) -> None:
    zones = ", ".join(now.record.zone[zone].title for zone in area.zone_ids)
    st.subheader(plain(zones), anchor=False)
    again = area.refill
    st.table(
        {
            "Area, drawn and true": f"{square_metres(area.drawn_mm2)}, {square_metres(area.surface_mm2)}",
            "Mean and greatest film": f"{area.mean_um:.0f}, {area.most_um:.0f} µm",
            "Paint over it": f"{area.paint_um[0]:.0f} to {area.paint_um[1]:.0f} µm",
            "Filler in place": f"{area.litres:.2f} L ({area.low_litres:.2f} to {area.high_litres:.2f})",
            "To fill again, with shrink margin": f"{again.low_litres:.2f} to {again.high_litres:.2f} L",
            "To be mixed for it": f"{again.mixed_litres:.2f} L",
        },
        border="horizontal",
    )
    if again.warning:
        st.warning(plain(again.warning))
    st.caption(plain(f"By {'the surface' if area.by == 'surface' else 'the mean'}: {area.why}."))
