"""The map, and what touching it does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import plotly.graph_objects as go
import streamlit as st

from bodymap.views.draft import Draft
from bodymap.views.picks import place_grid
from dashboard import loaders, state
from dashboard.figures.copying import copied
from dashboard.figures.framing import with_draft
from dashboard.figures.placing import step_mm, with_places
from dashboard.figures.sheet import sheet_config
from dashboard.loaders import Opened
from dashboard.state import Drawn, Workspace, current, forget
from dashboard.words import count, plain, square_metres

# A change of the figure is a new chart to the browser, and a zoom made there would be lost with the next touch: how close
# to look is chosen over the map instead, and stays.
_CONFIG = {**sheet_config(), "scrollZoom": False, "displayModeBar": False, "doubleClick": False}

Over = Callable[[go.Figure, Opened, Workspace, str], go.Figure]


@dataclass
class Placed:
    """The place that was touched last, on the sheet [mm], and the zone it lies in; empty: none."""

    zone_id: str = ""
    x: float = 0.0
    y: float = 0.0


def show(now: Opened, workspace: Workspace, draft: Draft | None, over: Over | None = None) -> None:
    """The map with its draft; a touch chooses zones or draws a surface. `over`: puts more on a copy of the figure."""
    theme = "dark" if st.context.theme.type == "dark" else "light"
    figure, notes = loaders.sheet(now, workspace, theme)
    own = False  # whether the figure is a copy of ours; the one that was loaded is shared
    if draft and draft.drawing_id in loaders.layout(now, workspace.sheet).drawing_ids:
        figure, own = with_draft(figure, draft, theme), True
    if workspace.touch == "place":
        figure, own = _with_places(figure if own else copied(figure), now, workspace), True
    if over:
        figure = over(figure if own else copied(figure), now, workspace, theme)
    st.plotly_chart(
        figure,
        key=f"map_{workspace.turn}",
        on_select=partial(_touched, f"map_{workspace.turn}"),
        selection_mode=("points", "box", "lasso"),
        config=_CONFIG,
        theme=None,
        alt="Panel sheet: the map of the vehicle. Zones can also be chosen by name beside it.",
    )
    for note in notes:
        st.caption(plain(note))
    if draft:
        st.caption(f"Dashed: not saved yet, {square_metres(draft.drawn_mm2)} drawn in {count(len(draft.zones), 'zone')}.")


def _with_places(figure: go.Figure, now: Opened, workspace: Workspace) -> go.Figure:
    """A figure of ours with the chosen zone all set with places that a touch can find, closer the closer one looks."""
    zone = now.record.zone.get(workspace.chosen[0]) if len(workspace.chosen) == 1 else None
    layout = loaders.layout(now, workspace.sheet)
    if zone is None or not layout.has(zone.drawing_id):
        return figure
    place = layout.place_of(zone.drawing_id)
    return with_places(figure, zone.zone_id, place_grid(zone.shape, step_mm(figure)), (place.dx, place.dy))


def _touched(key: str) -> None:
    """Before the next run: what was touched or drawn is taken into the Workspace."""
    workspace, selection = current(), st.session_state[key].selection
    zones = [zone for point in selection.points if (zone := _zone_of(point))]
    if selection.lasso or selection.box:
        workspace.drawn = _drawn(selection)
        workspace.form.way = "drawn"
        forget("form_way")
        if zones:
            workspace.choose(zones)
    elif zones and workspace.touch == "place":
        last = selection.points[-1]
        placed = state.of(Placed)
        placed.zone_id, placed.x, placed.y = zones[-1], float(last["x"]), float(last["y"])
        if workspace.chosen != zones[-1:]:
            workspace.choose(zones[-1:])
    elif zones:
        # A touch on the one that is chosen puts it down again.
        workspace.choose([] if workspace.chosen == zones[-1:] else zones[-1:])


def _zone_of(point: dict[str, object]) -> str | None:
    data = point.get("customdata")
    return str(data[0]) if isinstance(data, (list, tuple)) and data else None


def _drawn(selection: object) -> Drawn:
    """The ring of the last lasso or box, in sheet mm."""
    if selection.lasso:
        last = selection.lasso[-1]
        return Drawn("lasso", tuple(zip(last["x"], last["y"], strict=True)))
    (x0, x1), (y0, y1) = selection.box[-1]["x"], selection.box[-1]["y"]
    return Drawn("box", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
