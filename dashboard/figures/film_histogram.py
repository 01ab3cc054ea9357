"""Histograms of film as small multiples: one scale for all, coloured by the film ramp, the median dotted, with its value."""

from __future__ import annotations

import math
from dataclasses import dataclass

import plotly.graph_objects as go

from bodymap.views.film_histogram import EDGES_UM, PLACES, FilmHistograms, Histogram
from bodymap.views.palette import FILM_KNOTS_UM, Theme, colours, paint_of
from dashboard.figures.pens import FONT, hover_label, text_of

_PANEL_PX, _GAP_PX, _TOP_PX, _FOOT_PX = 64, 52, 44, 52
_LETTERS, _KNOTS_MOST = 30, 5
_BETWEEN = 0.04
_AIR = 1.08


@dataclass(frozen=True)
class _Frame:
    """Where one panel lies, in shares of the figure, and whether it is the last of its column."""

    name: str
    left: float
    right: float
    low: float
    top: float
    last: bool


def film_histogram_figure(view: FilmHistograms, theme: Theme = "light", columns: int = 2) -> go.Figure:
    """One small panel for each zone or part, side by side in `columns`, all on the same scale and the same height."""
    paints = colours(theme)
    rows = max(1, math.ceil(len(view.panels) / columns))
    inner = rows * _PANEL_PX + (rows - 1) * _GAP_PX
    figure = go.Figure()
    figure.update_layout(
        height=_TOP_PX + inner + _FOOT_PX,
        margin={"l": 34, "r": 12, "t": _TOP_PX, "b": _FOOT_PX, "autoexpand": False},
        paper_bgcolor=paints["paper"],
        plot_bgcolor=paints["paper"],
        font={"family": FONT, "size": 14, "color": paints["ink"]},
        hoverlabel=hover_label(theme),
        showlegend=False,
        dragmode=False,
        bargap=0,
    )
    most = _AIR * max((count for one in view.panels for count in one.counts), default=1)
    for number, one in enumerate(view.panels):
        row, column = divmod(number, columns)
        top = 1 - row * (_PANEL_PX + _GAP_PX) / inner
        frame = _Frame(
            "" if number == 0 else str(number + 1),
            column / columns + (_BETWEEN if column else 0),
            (column + 1) / columns - 0.01,
            max(top - _PANEL_PX / inner, 0.0),
            top,
            number + columns >= len(view.panels),
        )
        _axes(figure, view, frame, most, theme)
        _bars(figure, view, one, frame, most, theme)
        _title(figure, one, frame, theme)
    return figure


def _axes(figure: go.Figure, view: FilmHistograms, frame: _Frame, most: float, theme: Theme) -> None:
    low, high = PLACES[view.first] - 0.1, PLACES[view.last + 1] + 0.1
    knots = [knot for knot in range(len(FILM_KNOTS_UM)) if low <= knot <= high]
    knots = knots[:: max(1, math.ceil(len(knots) / _KNOTS_MOST))]
    quiet = {"fixedrange": True, "zeroline": False, "tickfont": {"size": 13}, "gridcolor": paint_of("rule", theme)}
    named = {"title": {"text": "Film, µm", "standoff": 4}} if frame.last else {}
    across = {
        "domain": [frame.left, frame.right],
        "anchor": f"y{frame.name}",
        "range": [low, high],
        "tickvals": knots,
        "ticktext": [f"{FILM_KNOTS_UM[knot]:g}" for knot in knots],
        "showticklabels": frame.last,
        "showline": True,
        "linecolor": paint_of("ink", theme),
    }
    up = {"domain": [frame.low, frame.top], "anchor": f"x{frame.name}", "range": [0, most], "nticks": 3, "tickformat": "d"}
    figure.update_layout({f"xaxis{frame.name}": across | quiet | named, f"yaxis{frame.name}": up | quiet})


def _bars(figure: go.Figure, view: FilmHistograms, one: Histogram, frame: _Frame, most: float, theme: Theme) -> None:
    ink = paint_of("ink", theme)
    classes = range(view.first, view.last + 1)
    on = {"xaxis": f"x{frame.name}", "yaxis": f"y{frame.name}"}
    figure.add_bar(
        x=[(PLACES[k] + PLACES[k + 1]) / 2 for k in classes],
        y=[one.counts[k] for k in classes],
        width=PLACES[1],
        marker={"color": [view.colours[k] for k in classes], "line": {"width": 0.6, "color": ink}},
        customdata=[[one.ident]] * len(classes),
        hovertext=[text_of((one.title, _told(k, one))) for k in classes],
        hovertemplate="%{hovertext}<extra></extra>",
        name=one.ident,
        **on,
    )
    if one.median_place is not None:
        line = {"color": ink, "width": 2, "dash": "dot"}
        x = [one.median_place, one.median_place]
        figure.add_scatter(x=x, y=[0, most], mode="lines", line=line, hoverinfo="skip", name="median", **on)


def _title(figure: go.Figure, one: Histogram, frame: _Frame, theme: Theme) -> None:
    title = one.title if len(one.title) <= _LETTERS else one.title[: _LETTERS - 1] + "…"
    said = "none counts" if one.median_um is None else f"median {one.median_um:.0f}, n {one.n}"
    crossed = f" · ⊗ {one.refused} refused" if one.refused else ""
    figure.add_annotation(
        x=frame.left,
        y=frame.top,
        xref="paper",
        yref="paper",
        xanchor="left",
        yanchor="bottom",
        align="left",
        yshift=-2,
        showarrow=False,
        text=f"<b>{text_of([title])}</b><br>{text_of([said + crossed])}",
        font={"size": 13, "color": paint_of("ink", theme)},
    )


def _told(at: int, one: Histogram) -> str:
    return f"{one.counts[at]} readings from {EDGES_UM[at]:g} to {EDGES_UM[at + 1]:g} µm"
