"""Left against right on screen: one row for each mirrored pair, the difference of the medians with how far it may be off."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

import plotly.graph_objects as go

from bodymap.film.sides import SideDifference
from bodymap.views.palette import Theme, colours, paint_of
from dashboard.figures.pens import FONT, hover_label, text_of
from dashboard.words import signed

_ROW_PX, _FOOT_PX, _TOP_PX, _NAMES_PX = 44, 56, 10, 190
_LETTERS = 25
_LEAST_UM = 10.0


def film_sides_figure(sides: Sequence[SideDifference], titles: Mapping[str, str], theme: Theme = "light") -> go.Figure:
    """Differences left less right [µm]. A bar that crosses 0 shows no difference; filled points are beyond it."""
    paints = colours(theme)
    told = [side for side in sides if side.difference_um is not None and side.u_um is not None]
    names = ["<br>".join(text_of([line]) for line in textwrap.wrap(titles[side.left], _LETTERS)[:2]) for side in told]
    reach = max([_LEAST_UM, *(abs(side.difference_um or 0) + (side.u_um or 0) for side in told)]) * 1.15
    ink, sure = paint_of("ink", theme), [side.verdict != "alike" for side in told]
    figure = go.Figure(
        go.Scatter(
            x=[side.difference_um for side in told], y=list(range(len(told))), mode="markers+text",
            text=[signed(side.difference_um or 0) for side in told], textposition="top right",
            textfont={"size": 14, "color": ink},
            error_x={"type": "data", "array": [side.u_um for side in told], "color": ink, "thickness": 2, "width": 7},
            marker={"size": 13, "symbol": ["diamond" if one else "circle-open" for one in sure], "color": ink,
                    "line": {"width": 2, "color": ink}},
            customdata=[[side.left] for side in told],
            hovertext=[text_of((titles[side.left], titles[side.right], f"{side.verdict}: {side.why}")) for side in told],
            hovertemplate="%{hovertext}<extra></extra>",
        )
    )  # fmt: skip
    figure.add_vline(x=0, line={"color": ink, "width": 1.2}, layer="below")
    lines = {"gridcolor": paints["rule"], "zeroline": False, "fixedrange": True, "tickfont": {"size": 14}}
    figure.update_layout(
        height=_TOP_PX + _ROW_PX * max(len(told), 1) + _FOOT_PX, dragmode=False, showlegend=False, hovermode="closest",
        margin={"l": _NAMES_PX, "r": 16, "t": _TOP_PX, "b": _FOOT_PX, "autoexpand": False},
        paper_bgcolor=paints["paper"], plot_bgcolor=paints["paper"], hoverlabel=hover_label(theme),
        font={"family": FONT, "size": 14, "color": paints["ink"]},
    )  # fmt: skip
    figure.update_xaxes(range=[-reach, reach], title={"text": "left less right, µm", "standoff": 6}, **lines)
    figure.update_yaxes(range=[len(told) - 0.5, -0.6], tickvals=list(range(len(told))), ticktext=names, **lines)
    return figure
