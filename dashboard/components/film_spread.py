"""Beside the film map: how the readings are spread, which panels have earned a surface, what was refused."""

from __future__ import annotations

import streamlit as st

from bodymap.film.report import FilmReport, Specification
from bodymap.film.surface import FilmSurface
from bodymap.views.film_sheet import why_no_surface
from dashboard import state
from dashboard.components import fields
from dashboard.components.film_state import SPREADS, Film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import count, plain, whole

_STILL = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False}


def show(now: Opened, workspace: Workspace, said: Film) -> None:
    """The card."""
    report = read.report(now, said.phase, Specification())
    chosen = tuple(workspace.chosen)
    if len(chosen) == 1:
        _zone(now, report, chosen[0])
    _refused(now, report, chosen)
    _surfaces(now, report, chosen)
    _spread(now, chosen, said)


def _zone(now: Opened, report: FilmReport, zone_id: str) -> None:
    zone = report.zones[zone_id]
    film = zone.film
    st.subheader(plain(now.record.zone[zone_id].title), anchor=False)
    if not film.n:
        st.markdown("No reading counts here in this phase.")
        return
    st.table(
        {
            "Median": f"{whole(film.median_um)} µm",
            "Mean, standard deviation": f"{whole(film.mean_um)}, {whole(film.sd_um)} µm",
            "From, to": f"{whole(film.min_um)}, {whole(film.max_um)} µm",
            "Readings, spots": f"{film.n}, {film.spots}",
            "Taken on purpose": f"{len(zone.targeted)}" if zone.targeted else "–",
        },
        border="horizontal",
    )
    for caution in zone.cautions:
        some = f" ({len(caution.reading_ids)} of them)" if caution.reading_ids else ""
        st.caption(plain(f"Bear in mind: {caution.what}{some}."))


def _spread(now: Opened, chosen: tuple[str, ...], said: Film) -> None:
    said.spread = fields.segments("How the readings are spread", SPREADS, "film_spread", said.spread)
    theme = state.theme()
    view, figure = read.histograms(now, said.spread, chosen or None, said.phase, theme)
    if not view.panels:
        st.markdown("No film reading in this phase. Take in a gauge file, or choose another phase.")
        return
    with st.container(key="film_histograms"):
        told = "; ".join(f"{one.title}: median {whole(one.median_um)} µm, {one.n} readings" for one in view.panels)
        st.plotly_chart(figure, key="film_histogram", theme=None, config=_STILL, alt=f"Histograms of film. {told}")
    st.caption(
        f"All on one scale, drawn wider above 300 µm; dotted: median. Without a reading: "
        f"{count(view.without, SPREADS[said.spread].removeprefix('By '))}."
    )


def _surfaces(now: Opened, report: FilmReport, chosen: tuple[str, ...]) -> None:
    earned = [one for one in report.surfaces if isinstance(one, FilmSurface) and _asked(one.panel.zone_ids, chosen)]
    without = [one for one in why_no_surface(report) if _asked(one.panel.zone_ids, chosen)]
    if not earned and not without:
        return
    with st.expander(f"Surfaces: {len(earned)} earned, {len(without)} not", key="film_surfaces", expanded=bool(chosen)):
        for one in earned:
            inside = one.se_um[one.inside]
            st.markdown(
                f"**{plain(now.record.part[one.panel.part_id].name)}**: earned, {plain(one.says)}. Standard error "
                f"{inside.min():.0f} to {inside.max():.0f} µm; farthest from a reading "
                f"{one.nearest_mm[one.inside].max():.0f} mm."
            )
        if without:
            st.markdown("Readings only, and why:")
            st.table(
                [{"Part": plain(now.record.part[one.panel.part_id].name), "No surface": plain(one.why)} for one in without],
                border="horizontal",
            )


def _refused(now: Opened, report: FilmReport, chosen: tuple[str, ...]) -> None:
    found = [
        (zone_id, one) for zone_id, zone in report.zones.items() if _asked((zone_id,), chosen) for one in zone.film.refused
    ]
    if not found:
        return
    st.markdown(f"**⊗ {count(len(found), 'reading')} refused**: kept and shown, never in a mean, a colour or a verdict.")
    films_um = {reading.reading_id: reading.um for reading in now.record.readings}
    st.table(
        [
            {
                "Reading": plain(f"{one.reading_id}: {films_um[one.reading_id]:g} µm"),
                "Zone": plain(now.record.zone[zone_id].title),
                "Why": plain(one.why),
            }
            for zone_id, one in found
        ],
        border="horizontal",
    )


def _asked(zone_ids: tuple[str, ...], chosen: tuple[str, ...]) -> bool:
    return not chosen or bool(set(zone_ids) & set(chosen))
