"""Film by zone: how many readings at how many spots, median and range, and what was refused with the reason."""

from __future__ import annotations

import streamlit as st

from bodymap.film.summary import ZoneFilm
from dashboard import loaders
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import count, plain, whole


def show(now: Opened, workspace: Workspace) -> None:
    """The table, of the chosen zones or of all that have readings."""
    films = loaders.films(now, tuple(workspace.chosen))
    with st.expander(f"Film by zone ({len(films)})", key="film_by_zone", expanded=True):
        if not films:
            st.caption("No film reading is recorded here.")
            return
        st.table([_row(now, film) for film in films], border="horizontal")
        refused = [(film, one) for film in films for one in film.refused]
        if refused:
            st.caption(f"{count(len(refused), 'reading')} kept and shown, never counted:")
            st.text("\n".join(f"{one.reading_id}: {one.why}" for _, one in refused))


def _row(now: Opened, film: ZoneFilm) -> dict[str, str]:
    return {
        "Zone": plain(now.record.zone[film.zone_id].title),
        "Readings": f"{film.n}",
        "Spots": f"{film.spots}",
        "Median µm": whole(film.median_um),
        "From, to µm": f"{whole(film.min_um)}, {whole(film.max_um)}",
        "Refused": f"{len(film.refused)}" if film.refused else "–",
    }
