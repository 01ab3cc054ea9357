"""Left against right: medians of mirrored zones, the greatest difference first, and pairs that are not compared."""

from __future__ import annotations

import streamlit as st

from bodymap.film.report import FilmReport, Specification
from bodymap.film.sides import SideDifference
from dashboard import state
from dashboard.components.film_state import Film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import plain, signed, whole

_STILL = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False}
_SIGNS = {"alike": "=", "left thicker": "L +", "left thinner": "L −", "cannot tell": "?"}


def show(now: Opened, _workspace: Workspace, said: Film) -> None:
    """The card."""
    report = read.report(now, said.phase, Specification())
    sides = report.sides
    _refused(now, report)
    if not sides.compared and not sides.left_out:
        st.markdown("No mirrored pair of zones was read in this phase. A spot plan sets the same spots on both sides.")
        return
    theme = state.theme()
    if any(side.difference_um is not None for side in sides.compared):
        st.plotly_chart(
            read.sides(now, said.phase, theme), key="film_sides", theme=None, config=_STILL,
            alt="Left less right by pair, with uncertainty; the same is told in the table below.",
        )  # fmt: skip
        st.caption(
            "Filled: the difference is more than both gauges and their spots can be off. Hollow: no difference is shown, "
            "which is not to say there is none."
        )
    st.table([_row(now, side) for side in sides.compared], border="horizontal")
    for pair in sides.left_out:
        names = " and ".join(now.record.zone[zone].title for zone in (pair.left, pair.right))
        st.caption(plain(f"Not compared: {names}, {pair.why}."))


def _refused(now: Opened, report: FilmReport) -> None:
    films_um = {reading.reading_id: reading.um for reading in now.record.readings}
    found = [
        f"{films_um[one.reading_id]:g} µm, {now.record.zone[zone_id].title} ({one.why})"
        for zone_id, zone in report.zones.items()
        for one in zone.film.refused
    ]
    if found:
        st.caption(plain(f"⊗ Refused, in no median: {'; '.join(found)}."))


def _row(now: Opened, side: SideDifference) -> dict[str, str]:
    difference = "–" if side.difference_um is None else f"{signed(side.difference_um)} ± {whole(side.u_um)}"
    return {
        "Pair": plain(now.record.zone[side.left].title),
        "Left": whole(side.left_um),
        "Right": whole(side.right_um),
        "Left − right µm": plain(difference),
        "Verdict": plain(
            f"{_SIGNS[side.verdict]}  {side.verdict}" + (f": {side.why}" if side.difference_um is None else "")
        ),
    }
