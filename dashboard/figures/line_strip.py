"""The strip chart of painted lines on screen: offset, drawn larger than life, over the station along the datum."""

from __future__ import annotations

from collections.abc import Iterator

import plotly.graph_objects as go

from bodymap.views.line_strip_chart import TRACKS, Axis, round_axis
from bodymap.views.line_strip_parts import LineStrip, StripMark, StripTrack
from bodymap.views.palette import Theme, colours, paint_of
from dashboard.figures.pens import FONT, hover_label, see_through, text_of

HEIGHT_PX = 440
_TOP_PX = 84
# Role of the colour and dash of the line itself and of the one on the other side.
_PENS = {"own": ("accent", "solid"), "twin": ("ink", "dash")}
_ACROSS_MOST, _UP_MOST, _ROOM_MM = 12, 8, 0.5
_LETTER_SHARE = 0.011


def line_strip_figure(strip: LineStrip, theme: Theme = "light") -> go.Figure:
    """Both lines with the gaps between their runs left open, shut lines and zones of the first one marked."""
    paints = colours(theme)
    stations, offsets = ([spot[at] for spot in strip.spots] for at in (0, 1))
    across = round_axis(min(stations), max(stations), _ACROSS_MOST)
    up = round_axis(min(offsets) - _ROOM_MM, max(offsets) + _ROOM_MM, _UP_MOST)
    figure = go.Figure([_track(track, style, theme) for style, track in zip(TRACKS, strip.tracks, strict=False)])
    shapes, words = [], []
    for mark in strip.marks:
        if mark.to_mm >= across.low and mark.from_mm <= across.high:
            shapes += _shapes(mark, across, theme)
            words += _words(mark, across, theme)
    figure.update_layout(
        height=HEIGHT_PX,
        margin={"l": 62, "r": 16, "t": _TOP_PX, "b": 56, "autoexpand": False},
        paper_bgcolor=paints["paper"],
        plot_bgcolor=paints["paper"],
        font={"family": FONT, "size": 14, "color": paints["ink"]},
        hoverlabel=hover_label(theme),
        showlegend=True,
        legend={"orientation": "h", "x": 0, "y": 1, "yref": "container", "yanchor": "top", "font": {"size": 14},
                "itemclick": False, "itemdoubleclick": False},
        dragmode=False,
        shapes=shapes,
        annotations=words,
    )  # fmt: skip
    axis = {"gridcolor": paints["rule"], "zeroline": False, "fixedrange": True, "tickfont": {"size": 14}}
    figure.update_xaxes(range=[across.low, across.high], dtick=across.step, tick0=across.low,
                        title={"text": text_of([f"mm along {strip.datum}"]), "standoff": 8}, **axis)  # fmt: skip
    figure.update_yaxes(range=[up.low, up.high], dtick=up.step, tick0=up.low,
                        title={"text": "offset [mm], drawn larger than life", "standoff": 6}, **axis)  # fmt: skip
    return figure


def _track(track: StripTrack, style: str, theme: Theme) -> go.Scatter:
    role, dash = _PENS[style]
    # A run of one station is a point; all others are lines, and points on them would only hide their wobble.
    alone = any(len(run) == 1 for run in track.runs)
    spots = [spot for run in track.runs for spot in (*run, (None, None))]
    name = f"{track.line_id} · {track.drawing} · {track.hand or 'hand not stated'}"
    return go.Scatter(
        x=[at for at, _ in spots],
        y=[off for _, off in spots],
        mode="lines+markers" if alone else "lines",
        line={"color": paint_of(role, theme), "width": 2.5, "dash": dash},
        marker={"size": 6, "color": paint_of(role, theme)},
        name=text_of([name]),
        hovertemplate=text_of([track.line_id]) + ": %{y:.1f} mm at %{x:g} mm<extra></extra>",
        connectgaps=False,
    )


def _shapes(mark: StripMark, across: Axis, theme: Theme) -> Iterator[dict[str, object]]:
    start, end = max(mark.from_mm, across.low), min(mark.to_mm, across.high)
    if mark.kind == "gap":
        yield {"type": "rect", "yref": "paper", "y0": 0, "y1": 1, "x0": start, "x1": end, "layer": "below",
               "fillcolor": see_through("rule", theme, 0.55), "line": {"width": 0}}  # fmt: skip
    elif mark.kind == "shut line":
        yield {"type": "line", "yref": "paper", "y0": 0, "y1": 1, "x0": start, "x1": start,
               "line": {"color": paint_of("shut_line", theme), "width": 1.5, "dash": "dot"}}  # fmt: skip
    else:
        pen = {"color": paint_of("outline", theme), "width": 1.5}
        yield {"type": "line", "yref": "paper", "y0": 1.025, "y1": 1.025, "x0": start, "x1": end, "line": pen}
        for at in (start, end):
            yield {"type": "line", "yref": "paper", "y0": 1.005, "y1": 1.045, "x0": at, "x1": at, "line": pen}


def _words(mark: StripMark, across: Axis, theme: Theme) -> Iterator[dict[str, object]]:
    start, end = max(mark.from_mm, across.low), min(mark.to_mm, across.high)
    told = {"text": text_of([mark.name]), "showarrow": False, "yref": "paper", "font": {"size": 13}}
    ground = see_through("paper", theme, 0.85)
    if mark.kind == "zone":
        if (end - start) / (across.high - across.low) > len(mark.name) * _LETTER_SHARE:
            yield {**told, "x": (start + end) / 2, "y": 1.045, "yanchor": "bottom"}
    elif mark.kind == "shut line":
        yield {**told, "x": start, "y": 0.99, "yanchor": "top", "xanchor": "left", "textangle": -90, "bgcolor": ground}
    else:
        yield {**told, "text": f"gap {end - start:.0f} mm", "x": (start + end) / 2, "y": 0.02, "yanchor": "bottom",
               "bgcolor": ground}  # fmt: skip
