"""What the survey puts on the map: places that a touch can find, the one that was touched, a line being entered.

These draw on the figure they are given, which is to be a copy of the shared one.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import plotly.graph_objects as go

from bodymap.views.palette import Theme, paint_of
from bodymap.views.sheet_parts import Point

# How far apart places stand on a desk screen, and the width of the map there [px].
_APART_PX, _WIDTH_PX = 7.0, 860.0
_SIGN_PX = 22
_DRAFT = {"light": "#9a3412", "dark": "#fdba74"}


def step_mm(figure: go.Figure) -> float:
    """How far apart places are to stand for a touch to be about as exact as a finger [mm]."""
    first, last = figure.layout.xaxis.range
    return _APART_PX * (last - first) / _WIDTH_PX


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


def with_sign(figure: go.Figure, x: float, y: float, words: str, theme: Theme) -> go.Figure:
    """The figure with the place that was touched [sheet mm]: a ring with a cross, and its words."""
    for paint, width in ((paint_of("paper", theme), 6), (_DRAFT[theme], 3)):
        figure.add_scatter(
            x=[x], y=[y], mode="markers", hoverinfo="skip", showlegend=False, name="touched",
            marker={"symbol": "circle-cross-open", "size": _SIGN_PX, "color": paint, "line": {"width": width}},
        )  # fmt: skip
    figure.add_annotation(
        x=x, y=y, text=f"<b>{words}</b>", showarrow=False, yshift=_SIGN_PX, bgcolor=paint_of("paper", theme), borderpad=2,
        font={"size": 14, "color": _DRAFT[theme]},
    )  # fmt: skip
    return figure


def with_line(figure: go.Figure, points: Sequence[Point], theme: Theme) -> go.Figure:
    """The figure with a line that is not saved yet [sheet mm], its stations as dots."""
    x, y = zip(*points, strict=True)
    figure.add_scatter(
        x=x, y=y, mode="lines+markers", hoverinfo="skip", showlegend=False, name="Line not saved yet",
        line={"color": _DRAFT[theme], "width": 3, "dash": "dash"}, marker={"size": 7, "color": _DRAFT[theme]},
    )  # fmt: skip
    return figure
