"""Keep and strip: decide by zone, guard the kept edges, state the methods, release, and print the strip sheet."""

from __future__ import annotations

import plotly.graph_objects as go
import streamlit as st

from dashboard.components import (
    fields,
    keep_areas,
    keep_decide,
    keep_edges,
    keep_methods,
    keep_state,
    release_list,
    release_sign,
    sheet_page,
    strip_print,
    undoing,
)
from dashboard.figures.strip_overlay import with_overlay
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.state import Workspace

_SHOWN = {
    "decide": (keep_decide.show,),
    "edges": (keep_edges.show,),
    "methods": (keep_methods.show,),
    "areas": (keep_areas.show,),
    "release": (release_list.show, release_sign.show),
    "sheet": (strip_print.show,),
}
_WRITES = ("decide", "edges", "methods", "release")


def _above(_now: Opened, _workspace: Workspace) -> None:
    kept = keep_state.current()
    with st.container(key="keep_stages"):
        kept.stage = fields.segments("Keep and strip", keep_state.STAGES, "keep_stage", kept.stage)


def _card(now: Opened, workspace: Workspace) -> None:
    kept = keep_state.current()
    for show in _SHOWN[kept.stage]:
        show(now, workspace)
    if kept.stage in _WRITES and not now.read_only:
        undoing.show(now, workspace, ("zone", "signoff", "step", "area"), "keep")


def _over(figure: go.Figure, now: Opened, workspace: Workspace, theme: str) -> go.Figure:
    what = keep_state.OVERLAY_OF[keep_state.current().stage]
    return with_overlay(figure, loaders.overlay(now, workspace.sheet, what), theme)


def main() -> None:
    """Draw the screen."""
    page = keep_state.current().leave()
    if page:
        st.switch_page(page)
    sheet_page.show(_card, over=_over, above=_above, tucked=True)


main()
