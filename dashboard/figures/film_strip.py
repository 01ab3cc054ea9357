"""Film by zone on screen: one row a zone on the scale of the film ramp, so that place and colour say the same."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

import plotly.graph_objects as go

from bodymap.views.film_strip import FilmStrip, StripPoint, StripRow
from bodymap.views.palette import Theme, colours, paint_of
from dashboard.figures.pens import FONT, SYMBOLS, hover_label, text_of

_ROW_PX, _FOOT_PX, _TOP_PX = 40, 56, 10
_NAMES_PX = 230
_LETTERS = 30
# How far beside the last reading the median is written, in steps of the ramp.
_BESIDE = 0.1
_SPREAD = (0.0, 0.16, -0.16, 0.08, -0.08)


def film_strip_figure(view: FilmStrip, theme: Theme = "light") -> go.Figure:
    """Readings as points, counted ones coloured, others crossed and hollow; the median as a bar with its value."""
    paints = colours(theme)
    figure = go.Figure(list(_traces(view, theme)) or [go.Scatter(x=[], y=[])])
    rows, last = len(view.rows), len(view.ramp.knots) - 1
    names = ["<br>".join(text_of([line]) for line in textwrap.wrap(row.title, _LETTERS)[:2]) for row in view.rows]
    figure.update_layout(
        height=_TOP_PX + _ROW_PX * max(rows, 1) + _FOOT_PX,
        margin={"l": _NAMES_PX, "r": 24, "t": _TOP_PX, "b": _FOOT_PX, "autoexpand": False},
        paper_bgcolor=paints["paper"],
        plot_bgcolor=paints["paper"],
        font={"family": FONT, "size": 14, "color": paints["ink"]},
        hoverlabel=hover_label(theme),
        showlegend=False,
        hovermode="closest",
        dragmode=False,
    )
    lines = {"gridcolor": paints["rule"], "zeroline": False, "fixedrange": True, "tickfont": {"size": 14}}
    figure.update_xaxes(
        range=[-0.3, last + 0.7], tickvals=list(range(last + 1)), ticktext=[f"{knot:g}" for knot in view.ramp.knots],
        title={"text": f"Film, {view.phase} [{view.ramp.unit}]", "standoff": 8}, **lines,
    )  # fmt: skip
    figure.update_yaxes(range=[rows - 0.5, -0.5], tickvals=list(range(rows)), ticktext=names, **lines)
    return figure


def _traces(view: FilmStrip, theme: Theme) -> Iterable[go.Scatter]:
    ink = paint_of("ink", theme)
    for counts, sign in ((True, "reading"), (False, "refused")):
        held = [
            (point, row, number, which)
            for number, row in enumerate(view.rows)
            for which, point in enumerate(one for one in row.points if one.counts is counts)
        ]
        if held:
            yield _points(held, sign, theme)
    medians = [(row, number) for number, row in enumerate(view.rows) if row.median_place is not None]
    if medians:
        yield go.Scatter(
            x=[value for row, _ in medians for value in (row.median_place, row.median_place, None)],
            y=[value for _, number in medians for value in (number - 0.36, number + 0.36, None)],
            mode="lines", line={"color": ink, "width": 3}, hoverinfo="skip", name="median",
        )  # fmt: skip
        yield go.Scatter(
            x=[max(point.place for point in row.points if point.counts) + _BESIDE for row, _ in medians],
            y=[number for _, number in medians],
            text=[f"<b>{row.median_um:.0f}</b>" for row, _ in medians],
            mode="text", textposition="middle right", textfont={"size": 14, "color": ink}, hoverinfo="skip", name="median",
        )  # fmt: skip


def _points(held: Sequence[tuple[StripPoint, StripRow, int, int]], sign: str, theme: Theme) -> go.Scatter:
    symbol, size = SYMBOLS[sign]
    counts = sign == "reading"
    rim = {"width": 0.9 if counts else 2, "color": paint_of("ink" if counts else "refused", theme)}
    return go.Scatter(
        x=[point.place for point, _, _, _ in held],
        y=[number + _SPREAD[which % len(_SPREAD)] for _, _, number, which in held],
        customdata=[[row.zone_id] for _, row, _, _ in held],
        text=[text_of((row.title, *point.words)) for point, row, _, _ in held],
        hovertemplate="%{text}<extra></extra>",
        mode="markers",
        marker={
            "symbol": symbol,
            "size": size - 3 if counts else size,
            "color": [paint_of(point.paint, theme) for point, _, _, _ in held],
            "line": rim,
        },
        name=sign,
    )
