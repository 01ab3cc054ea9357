"""The panel sheet with what is decided of keeping and stripping laid over it: hatched surfaces, locks, a legend."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from bodymap.views.palette import Theme, paint_of
from bodymap.views.sheet_parts import Point
from bodymap.views.strip_map import MapGroup, StripMap
from dashboard.figures.pens import coordinates, see_through

_LEGEND = "legend2"
_LEGEND_PX = 30
_PER_ROW = 2  # as wide as a tablet shows them
_WASH, _STRONG = 0.1, 0.3
_HATCH_PX = 9
# A padlock round its place [px]: the body, and the shackle over it.
_BODY = "M-7,-7 L7,-7 L7,3 L-7,3 Z"
_SHACKLE = "M-4.5,3 L-4.5,6 C-4.5,12 4.5,12 4.5,6 L4.5,3"


def with_overlay(figure: go.Figure, view: StripMap, theme: Theme) -> go.Figure:
    """The figure, changed: groups over its zones, locks over all, and a legend above the map."""
    figure.add_traces([_surface(group, theme) for group in view.groups])
    if view.locks:
        figure.add_trace(_lock_sign(theme))
    figure.update_layout(shapes=[*figure.layout.shapes, *_locks(view.locks, theme)])
    named = len(view.groups) + bool(view.locks)
    high = _LEGEND_PX * -(-named // _PER_ROW) if named else 0
    margin = figure.layout.margin
    figure.update_layout(
        showlegend=True,
        legend={"visible": False},
        legend2={
            "orientation": "h", "x": 0, "xanchor": "left", "y": 1, "yanchor": "bottom", "yref": "paper",
            "font": {"size": 15, "color": paint_of("ink", theme)}, "bgcolor": "rgba(0,0,0,0)",
            "itemclick": False, "itemdoubleclick": False, "itemwidth": 34, "entrywidth": 265, "entrywidthmode": "pixels",
        },
        height=(figure.layout.height or 0) + high,
        margin={"t": (margin.t or 0) + high},
    )  # fmt: skip
    return figure


def _surface(group: MapGroup, theme: Theme) -> go.Scatter:
    x, y = coordinates(group.rings)
    ink = paint_of(group.paint, theme)
    return go.Scatter(
        x=x, y=y, mode="lines", fill="toself", hoverinfo="skip", name=group.words, legend=_LEGEND, showlegend=True,
        line={"color": ink, "width": 2.2 if group.strong else 0.8},
        fillcolor=see_through(group.paint, theme, _WASH),
        fillpattern={
            "shape": group.hatch, "fgcolor": ink, "size": 6 if group.strong else _HATCH_PX, "fillmode": "replace",
            "bgcolor": see_through(group.paint, theme, _STRONG if group.strong else _WASH), "solidity": 0.09,
        },
    )  # fmt: skip


def _locks(places: Sequence[Point], theme: Theme) -> list[dict[str, object]]:
    """Padlocks, of one size however close one looks."""
    ink = paint_of("ink", theme)
    return [
        {
            "type": "path", "path": path, "xref": "x", "yref": "y", "xsizemode": "pixel", "ysizemode": "pixel",
            "xanchor": x, "yanchor": y, "line": {"color": ink, "width": width}, "fillcolor": fill, "layer": "above",
            "name": "lock",
        }
        for x, y in places
        for path, width, fill in ((_SHACKLE, 3.0, "rgba(0,0,0,0)"), (_BODY, 1.5, ink))
    ]  # fmt: skip


def _lock_sign(theme: Theme) -> go.Scatter:
    """The sign in the legend."""
    marker = {"symbol": "square", "size": 13, "color": paint_of("ink", theme)}
    return go.Scatter(
        x=[None], y=[None], mode="markers", marker=marker, name="lock: as-found entries closed", legend=_LEGEND,
        showlegend=True, hoverinfo="skip",
    )  # fmt: skip
