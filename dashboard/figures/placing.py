"""What the survey puts on the map: places that a touch can find. On the figure given, a copy of the shared one."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import plotly.graph_objects as go

from bodymap.views.sheet_parts import Point
from dashboard.figures.framing import WIDTH_PX

# How far apart places stand on a desk screen [px].
_APART_PX = 7.0


def step_mm(figure: go.Figure) -> float:
    """How far apart places are to stand for a touch to be about as exact as a finger [mm]."""
    first, last = figure.layout.xaxis.range
    return _APART_PX * (last - first) / WIDTH_PX


def with_places(figure: go.Figure, zone_id: str, places: Sequence[Point], moved: Point) -> go.Figure:
    """The figure with places of a zone [drawing mm] that a touch finds, not seen. `moved`: sheet less drawing position."""
    at = np.array(places) + np.array(moved)
    same = {"marker": {"opacity": 0}}
    figure.add_scatter(
        x=at[:, 0], y=at[:, 1], mode="markers", name="places", hoverinfo="none",
        customdata=np.full((len(at), 1), zone_id, dtype=object), selected=same, unselected=same,
        # Of thousands of points that are not drawn, the browser makes one.
        marker={"opacity": 0, "size": 6, "maxdisplayed": 1},
    )  # fmt: skip
    return figure
