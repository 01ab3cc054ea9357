"""The step card on screen: ΔE against film, the band that is allowed, the steps as read, colours along the foot."""

from __future__ import annotations

import plotly.graph_objects as go

from bodymap.views.palette import Theme, colours, paint_of
from bodymap.views.tint_curve import TintCurve
from dashboard.figures.pens import FONT, hover_label, see_through

HEIGHT_PX = 380
_STRIP_SHARE = 0.09


def tint_figure(view: TintCurve, theme: Theme = "light") -> go.Figure:
    """The curve of one step card."""
    paints = colours(theme)
    top = max(max(point.delta_e for point in (*view.curve, *view.read)), view.limit) * 1.08
    figure = go.Figure([*_curve(view, theme), _read(view, theme)])
    figure.update_layout(
        height=HEIGHT_PX,
        margin={"l": 64, "r": 16, "t": 14, "b": 54, "autoexpand": False},
        paper_bgcolor=paints["paper"],
        plot_bgcolor=paints["paper"],
        font={"family": FONT, "size": 14, "color": paints["ink"]},
        hoverlabel=hover_label(theme),
        showlegend=False,
        dragmode=False,
        shapes=[*_bands(view, theme), *_strip(view, top)],
        annotations=_words(view, theme, top),
    )
    axis = {"gridcolor": paints["rule"], "zeroline": False, "fixedrange": True, "tickfont": {"size": 14}}
    last = view.curve[-1].um
    figure.update_xaxes(range=[-0.02 * last, 1.02 * last], title={"text": "Film of the tinted coat [µm]"}, **axis)
    figure.update_yaxes(range=[-top * _STRIP_SHARE, top], title={"text": f"ΔE00 against {view.at_um:g} µm"}, **axis)
    return figure


def _curve(view: TintCurve, theme: Theme) -> list[go.Scatter]:
    """The law: full within the card, dashed beyond its thickest step."""
    line = {"color": paint_of("ink", theme), "width": 3}
    inside = [point for point in view.curve if point.um <= view.last_um]
    beyond = [point for point in view.curve if point.um >= view.last_um]
    parts = [(inside, "solid", "law"), (beyond, "dash", "law, beyond the card")]
    return [
        go.Scatter(
            x=[point.um for point in part], y=[point.delta_e for point in part], mode="lines", name=name,
            line={**line, "dash": dash}, hovertemplate="%{x:.1f} µm: ΔE %{y:.2f}<extra></extra>",
        )
        for part, dash, name in parts
        if len(part) > 1
    ]  # fmt: skip


def _read(view: TintCurve, theme: Theme) -> go.Scatter:
    return go.Scatter(
        x=[point.um for point in view.read], y=[point.delta_e for point in view.read], mode="markers", name="steps as read",
        marker={
            "size": 13, "color": [point.colour for point in view.read], "line": {"width": 2, "color": paint_of("ink", theme)}
        },
        hovertemplate="step of %{x:g} µm as read: ΔE %{y:.2f}<extra></extra>",
    )  # fmt: skip


def _bands(view: TintCurve, theme: Theme) -> list[dict[str, object]]:
    """The ΔE that is allowed, level; the films at which it is kept, upright."""
    last = view.curve[-1].um
    level = {
        "type": "rect", "xref": "paper", "x0": 0, "x1": 1, "y0": 0, "y1": view.limit, "layer": "below",
        "fillcolor": see_through("kept", theme, 0.16), "line": {"width": 0},
    }  # fmt: skip
    low, high = view.low_um or 0.0, last if view.high_um is None else view.high_um
    upright = {
        "type": "rect", "yref": "paper", "y0": 0, "y1": 1, "x0": low, "x1": high, "layer": "below",
        "fillcolor": see_through("kept", theme, 0.2),
        "line": {"width": 1.4, "color": paint_of("kept", theme), "dash": "dot"},
    }  # fmt: skip
    return [level, upright]


def _strip(view: TintCurve, top: float) -> list[dict[str, object]]:
    """The colours themselves along the foot of the chart."""
    points = view.curve[:: max(1, len(view.curve) // 60)]
    edges = [point.um for point in points] + [view.curve[-1].um]
    return [
        {
            "type": "rect", "x0": edges[place], "x1": edges[place + 1], "y0": -top * _STRIP_SHARE, "y1": -top * 0.02,
            "fillcolor": point.colour, "line": {"width": 0},
        }
        for place, point in enumerate(points)
    ]  # fmt: skip


def _words(view: TintCurve, theme: Theme, top: float) -> list[dict[str, object]]:
    ink = {"size": 14, "color": paint_of("kept", theme)}
    ground = see_through("paper", theme, 0.85)
    low = "0" if view.low_um is None else f"{view.low_um:.1f}"
    high = "any" if view.high_um is None else f"{view.high_um:.1f}"
    return [
        {"x": view.at_um, "y": top * 0.97, "text": f"<b>{low} to {high} µm</b>", "showarrow": False, "font": ink,
         "bgcolor": ground, "yanchor": "top"},
        {"xref": "paper", "x": 0.995, "xanchor": "right", "y": view.limit, "yanchor": "bottom", "showarrow": False,
         "text": f"<b>ΔE {view.limit:g} allowed</b>", "font": ink, "bgcolor": ground},
    ]  # fmt: skip
