"""What the masks of a record take: boundary, tape by width, film; one row for each area."""

from __future__ import annotations

import streamlit as st

from bodymap.units import mm_to_m
from bodymap.views.brief import AreaBrief, BriefView
from bodymap.views.brief_pieces import TapeRow
from dashboard.words import plain


def show(view: BriefView) -> None:
    """The totals, then the rows."""
    behind = (TapeRow("wide tape behind the fine line", view.behind_m),) if view.behind_m else ()
    st.markdown(
        f"**In all:** {_tape((*view.tape, *behind))} · masking film {view.film_with_lap_m2:.2f}\u00a0m². "
        "Both with lap and waste; a gap in the record is printed as not stated, never left out. "
        + plain(" ".join(view.counting))
    )
    st.table([_row(area) for area in view.areas], border="horizontal")


def _row(area: AreaBrief) -> dict[str, str]:
    return {
        "Area": plain(f"{area.area_id} · {area.title}"),
        "Purpose": area.purpose,
        "Edge": plain(area.edge.title),
        "Boundary": f"{mm_to_m(area.boundary_mm):.2f}\u00a0m",
        "Tape": _tape(area.tape),
        "Film": f"{area.film.with_lap_m2:.3f}\u00a0m²",
        "To note": plain("; ".join(_headline(banner) for banner in area.banners)) if area.banners else "–",
    }


def _headline(banner: str) -> str:
    """What a banner begins with, in ordinary letters."""
    return banner.split(":", 1)[0].split(" of the plan", 1)[0].capitalize()


def _tape(rows: tuple[TapeRow, ...]) -> str:
    return plain(", ".join(f"{row.tape} {row.length_m:.1f}\u00a0m" for row in rows)) if rows else "none"
