"""Painted lines: the strip chart of one against its twin, and what it comes to. It advises, it never straightens."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import Line, Record
from bodymap.views.line_strip_parts import LineStrip, StripTrack
from bodymap.views.template_ink import line_title
from dashboard import state
from dashboard.components import fields
from dashboard.components.template_state import Templates
from dashboard.loaders import Opened, templates
from dashboard.state import forget
from dashboard.words import NOT_STATED, plain

_AS_CHOSEN = ""


def show(now: Opened, mine: Templates) -> None:
    """Which line, its chart, its figures, its stations."""
    lines = {line.line_id: line for line in now.record.lines}
    if not lines:
        st.info("No painted line is recorded yet. The survey records one: trace it along its centre, or type its offsets.")
        return
    _choose(now.record, lines, mine)
    try:
        strip = templates.strip(now, mine.line_id, mine.datum_id or None, mine.twin_id or None)
    except BodymapError as error:
        st.warning("No strip chart of this line.")
        st.text(str(error))
        return
    theme = state.theme()
    figure = templates.strip_figure(now, mine.line_id, mine.datum_id or None, mine.twin_id or None, theme)
    with st.container(key="line_strip"):
        st.plotly_chart(figure, key="line_strip_chart", theme=None, config={"displayModeBar": False})
    st.caption("Figures are true millimetres; offsets are drawn larger than lengths. Plus is the side where the line lies.")
    st.table([_row(track) for track in strip.tracks], border="horizontal")
    st.markdown("\n".join(f"- {plain(line)}" for line in _said(strip)))
    st.markdown("**This advises, it never straightens:** drift, wobble and width stay as the hand left them.")
    with st.expander("Offsets at stations", key="line_stations"):
        st.table(_stations(strip), border="horizontal")


def _choose(record: Record, lines: dict[str, Line], mine: Templates) -> None:
    before = mine.line_id
    if mine.line_id not in lines:
        mine.line_id = next(iter(lines))
    names = {ident: line_title(line) for ident, line in lines.items()}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        mine.line_id = fields.one_of("Line", names, "line_chosen", mine.line_id, width=300) or mine.line_id
        if mine.line_id != before:
            mine.datum_id = mine.twin_id = _AS_CHOSEN
            forget("line_base")
        here = lines[mine.line_id].drawing_id
        datums = {_AS_CHOSEN: "the nearest along it"} | {
            one.datum_id: one.name for one in record.datums if one.drawing_id == here and one.shape.type == "LineString"
        }
        twins = {_AS_CHOSEN: "the one that answers to it"} | {
            ident: name for ident, name in names.items() if ident != mine.line_id
        }
        mine.datum_id = fields.one_of("Measured from", datums, "line_base_datum", mine.datum_id, width=300) or _AS_CHOSEN
        mine.twin_id = fields.one_of("Against", twins, "line_base_twin", mine.twin_id, width=300) or _AS_CHOSEN


def _said(strip: LineStrip) -> tuple[str, ...]:
    """What the table does not say already."""
    return strip.said[len(strip.tracks) :]


def _row(track: StripTrack) -> dict[str, str]:
    low, high = track.widths_mm or (None, None)
    width = NOT_STATED if low is None else f"{low:g}\u00a0mm" if low == high else f"{low:g} to {high:g}\u00a0mm"
    one = track.figures
    drift, wobble = (one.drift_mm_per_m, one.wobble_mm) if one else (None, None)
    return {
        "Line": plain(f"{track.line_id} · {track.drawing}"),
        "Hand": track.hand or NOT_STATED,
        "Width": width,
        "Offset": f"{one.least_mm:.1f} to {one.most_mm:.1f}\u00a0mm" if one else "not told",
        "Mean": f"{one.mean_mm:.1f}\u00a0mm" if one else "not told",
        "Drift": "not told" if drift is None else f"{drift:+.1f}\u00a0mm/m".replace("-", "−"),
        "Wobble (SD)": "not told" if wobble is None else f"{wobble:.1f}\u00a0mm",
        "Stations": str(one.n) if one else "0",
    }


def _stations(strip: LineStrip) -> list[dict[str, str]]:
    twin = strip.tracks[1].line_id if len(strip.tracks) > 1 else "other side"
    return [
        {
            f"mm along {plain(strip.datum)}": f"{row.station_mm:g}",
            plain(strip.line_id): _tenth(row.offset_mm),
            plain(twin): _tenth(row.twin_mm),
            "Difference": _tenth(row.difference_mm, "+.1f"),
        }
        for row in strip.rows
    ]


def _tenth(value_mm: float | None, how: str = ".1f") -> str:
    return "–" if value_mm is None else f"{value_mm:{how}}".replace("-", "−")
