"""How much is stripped, worked by hand, kept and left alone: in all, by method and by part; drawn and true."""

from __future__ import annotations

import streamlit as st

from bodymap.finish.methods import METHODS
from bodymap.release.strip_areas import LOTS, Amount, SplitTotals, by_method, by_part, totals_of_splits
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace
from dashboard.words import count, plain, square_metres

_HEADS = {"strip": "Strip", "hand": "By hand", "keep": "Keep", "left": "Not stripped"}


def show(now: Opened, workspace: Workspace) -> None:
    """The tables: of the chosen zones, or of all."""
    splits = loaders.splits(now)
    zones = [splits[zone] for zone in workspace.chosen] or list(splits.values())
    total = totals_of_splits(zones)
    st.subheader(f"{count(len(zones), 'zone')}{' chosen' if workspace.chosen else ''}", anchor=False)
    st.table(
        [
            {"": _HEADS[lot], "Drawn": _shown(amount.drawn_mm2), "True": _shown(amount.surface_mm2)}
            for lot in LOTS
            for amount in [getattr(total, lot)]
        ]
        + [{"": "**All**", "Drawn": square_metres(total.whole.drawn_mm2), "True": square_metres(total.whole.surface_mm2)}],
        border="horizontal",
    )
    _notes(now, [split.zone_id for split in zones])
    st.markdown("**By method** (drawn · true)")
    rows = [
        {"Method": METHODS[method].words if method else "not stated", **_row(one, ("strip", "hand"))}
        for method, one in by_method(zones).items()
    ]
    st.table(rows, border="horizontal") if rows else st.caption("Nothing of this is stripped.")
    st.markdown("**By part** (drawn · true)")
    parts = {now.record.part[part].name: one for part, one in by_part(zones).items()}
    st.table([{"Part": plain(name), **_row(one, LOTS)} for name, one in parts.items()], border="horizontal")


def _row(totals: SplitTotals, lots: tuple[str, ...]) -> dict[str, str]:
    return {_HEADS[lot]: _both(getattr(totals, lot)) for lot in lots}


def _shown(area_mm2: float) -> str:
    return square_metres(area_mm2) if area_mm2 else "–"


def _both(amount: Amount) -> str:
    if not amount.drawn_mm2:
        return "–"
    return f"{square_metres(amount.drawn_mm2)} · {square_metres(amount.surface_mm2)}"


def _notes(now: Opened, zones: list[str]) -> None:
    record = now.record
    schematic = sum(record.drawing[record.zone[zone].drawing_id].schematic for zone in zones)
    flat = sum(record.zone[zone].surface_ratio is None for zone in zones)
    st.caption(
        "By hand: the stated margin of kept areas, inside zones that are stripped. Keep: inside kept areas, and all of a "
        "zone to be kept or only cleaned."
    )
    if schematic:
        st.caption(f"{count(schematic, 'zone')} on a schematic drawing: estimates.")
    if flat:
        st.caption(f"{count(flat, 'zone')} without a measured surface ratio: true area is taken as drawn area.")
