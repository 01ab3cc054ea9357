"""A board to set points on, on screen: a drawing, a sketch, or a photo under the lines that are traced over it.

A touch needs a point under it: an even grid of points that nobody sees answers for every place. It is there only while
points are set; a ring drawn round something comes back without.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import plotly.graph_objects as go

from bodymap.geometry.tracing import pick_grid
from bodymap.views.board import FLAWS, Board, BoardShape, Bounds, Path, Point, bar_length, written
from bodymap.views.labels import SIZES_PX
from bodymap.views.palette import Theme, colours, paint_of
from dashboard.figures.framing import mm_per_px
from dashboard.figures.pens import FONT, coordinates, hover_label, see_through

PICK_PX = 3.0
# Of all points within 3 px of a touch the chart takes the last in the order of the grid, so one above and to the right: by
# this much on average, in steps of the grid. What is left of it is 1.3 px (root mean square), 2.8 px at most.
_PICKED_RIGHT, _PICKED_UP = 0.33, 0.46
_WIDTH_PX, _LEAST_PX, _MOST_PX = 860, 320, 620
_DRAG = {"point": "pan", "lasso": "lasso", "look": "select"}
_LETTER_PX = 8


@dataclass(frozen=True)
class _Ink:
    """How a style is drawn: what fills it and how much, what strokes it, width in pixels, dash."""

    fill: str | None
    share: float
    stroke: str
    width_px: float
    dash: str = "solid"


_INKS = {
    "body": _Ink("body", 1, "outline", 2.0),
    "wheel": _Ink("wheel_0", 1, "shut_line", 1.0),
    "glass": _Ink("glass", 1, "shut_line", 1.0),
    "lamp": _Ink("lamp", 1, "shut_line", 1.0),
    "trim": _Ink("trim", 1, "shut_line", 1.0),
    "shut_line": _Ink(None, 0, "shut_line", 1.4),
    "body_line": _Ink(None, 0, "body_line", 1.2, "6px,4px"),
    "zone": _Ink("zone", 0.85, "outline", 1.2),
    "chosen": _Ink("accent", 0.22, "accent", 3.0),
    "left_out": _Ink(None, 0, "body_line", 1.0, "2px,3px"),
    "gap": _Ink("finding", 0.6, "finding", 2.5),
    "shut_gap": _Ink("datum", 0.5, "datum", 1.4, "2px,2px"),
    "overlap": _Ink("mask", 0.5, "mask", 2.5, "3px,3px"),
    "hole": _Ink("datum", 0.3, "datum", 2.5, "8px,4px"),
    "datum": _Ink(None, 0, "datum", 3.0, "14px,3px,3px,3px"),
    "draft": _Ink("finding", 0.12, "finding", 3.0, "9px,5px"),
}
_OVER_PICTURE = 0.3


@dataclass(frozen=True)
class Marks:
    """What is being set: the two points of known distance, and the line or ring that is drawn."""

    scale: tuple[Point, ...] = ()
    line: tuple[Point, ...] = ()
    closed: bool = False


def pick_step(bounds: Bounds) -> float:
    """Spacing of the points that answer for touches when bounds fill the frame, in units of the board."""
    return PICK_PX * mm_per_px(bounds)


def touched(x: float, y: float, step: float) -> Point:
    """Where a touch was, from the point of the grid that answered it."""
    return x - _PICKED_RIGHT * step, y - _PICKED_UP * step


def board_figure(
    board: Board, theme: Theme, *, window: Bounds | None = None, touch: str = "point", marks: Marks | None = None,
    picture: str = "", touches: bool = True,
) -> go.Figure:  # fmt: skip
    """The board as a figure.

    Args:
        board: what is on it.
        theme: light or dark.
        window: the part to look at; None: all of it.
        touch: `point` sets points, `lasso` draws round something, `look` draws the box to look at.
        marks: points set so far.
        picture: address of a picture that fills `board.bounds`.
        touches: whether touches are answered at all.
    """
    bounds = window or board.bounds
    traces = [*_shapes(board, theme, over_picture=bool(picture)), *_labels(board.shapes, bounds, theme)]
    traces += _set(marks or Marks(), theme)
    if touches and touch == "point":
        traces.append(_grid(bounds, board.unit))
    figure = go.Figure(traces or [go.Scatter(x=[], y=[])])
    _frame(figure, bounds, theme, _DRAG[touch] if touches else "pan")
    figure.update_layout(annotations=_letters(marks or Marks(), theme))
    if board.unit == "mm":
        _bar(figure, bounds, theme)
    if picture:
        x0, y0, x1, y1 = board.bounds
        figure.add_layout_image(
            source=picture, xref="x", yref="y", x=x0, y=y1, sizex=x1 - x0, sizey=y1 - y0, sizing="stretch", layer="below"
        )
    return figure


def _shapes(board: Board, theme: Theme, *, over_picture: bool) -> list[go.Scatter]:
    """Runs of one style together: what is drawn later lies over what is drawn before."""
    runs: list[tuple[str, list[BoardShape]]] = []
    for shape in board.shapes:
        if not runs or runs[-1][0] != shape.style:
            runs.append((shape.style, []))
        runs[-1][1].append(shape)
    traces = []
    for style, shapes in runs:
        ink = _INKS[style]
        rings = [ring for shape in shapes for ring in shape.rings]
        if rings and ink.fill:
            share = min(ink.share, _OVER_PICTURE) if over_picture else ink.share
            x, y = coordinates(rings)
            traces.append(
                go.Scatter(x=x, y=y, mode="lines", line={"width": 0}, fill="toself", hoverinfo="skip", name=style,
                           fillcolor=see_through(ink.fill, theme, share))
            )  # fmt: skip
        paths = [path for shape in shapes for path in (*shape.rings, *shape.lines)]
        traces += _stroke(style, paths, paint_of(ink.stroke, theme), ink, cased=over_picture, theme=theme)
    return traces


def _stroke(name: str, paths: Sequence[Path], colour: str, ink: _Ink, *, cased: bool, theme: Theme) -> list[go.Scatter]:
    if not paths:
        return []
    x, y = coordinates(paths)
    pens = [(colour, ink.width_px, ink.dash)]
    if cased:
        pens.insert(0, (see_through("paper", theme, 0.8), ink.width_px + 2.6, "solid"))
    return [
        go.Scatter(x=x, y=y, mode="lines", hoverinfo="skip", name=name, connectgaps=False,
                   line={"color": paint, "width": width, "dash": dash, "simplify": False})
        for paint, width, dash in pens
    ]  # fmt: skip


def _labels(shapes: Sequence[BoardShape], bounds: Bounds, theme: Theme) -> list[go.Scatter]:
    """What is written on shapes that have room for it."""
    held: dict[str, list[BoardShape]] = defaultdict(list)
    for shape in written(shapes, _LETTER_PX * mm_per_px(bounds)):
        held["finding" if shape.style in ("draft", *FLAWS) else "ink"].append(shape)
    return [
        go.Scatter(
            x=[shape.place[0] for shape in kept if shape.place], y=[shape.place[1] for shape in kept if shape.place],
            text=[_escaped(shape.label) for shape in kept], mode="text", hoverinfo="skip", name="labels",
            textfont={"size": SIZES_PX["text"], "color": paint_of(paint, theme), "family": FONT},
        )
        for paint, kept in held.items()
    ]  # fmt: skip


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _set(marks: Marks, theme: Theme) -> list[go.Scatter]:
    """The points set so far: the two of known distance as A and B, the line with its corners."""
    traces = []
    if marks.line:
        points = (*marks.line, marks.line[0]) if marks.closed else marks.line
        x, y = zip(*points, strict=True)
        many = len(points) > 60
        traces.append(
            go.Scatter(
                x=x, y=y, mode="lines" if many else "lines+markers", hoverinfo="skip", name="drawn",
                line={"color": paint_of("finding", theme), "width": 3, "dash": "solid" if marks.closed else "9px,5px"},
                marker={"size": 9, "color": paint_of("finding", theme),
                        "line": {"width": 2, "color": paint_of("paper", theme)}},
            )
        )  # fmt: skip
    for colour, width in ((paint_of("paper", theme), 8), (paint_of("datum", theme), 3)):  # light and dark, for any photo
        if marks.scale:
            x, y = zip(*marks.scale, strict=True)
            traces.append(
                go.Scatter(
                    x=x, y=y, mode="lines+markers", hoverinfo="skip", name="scale points",
                    line={"color": colour, "width": max(width - 1, 2), "dash": "solid" if width > 3 else "14px,3px,3px,3px"},
                    marker={"symbol": "cross-thin", "size": 18, "line": {"width": width, "color": colour}},
                )
            )  # fmt: skip
    return traces


def _letters(marks: Marks, theme: Theme) -> list[dict[str, object]]:
    """A and B beside the points of known distance, each on its own ground."""
    font = {"size": 18, "color": paint_of("datum", theme), "family": FONT}
    return [
        {"x": x, "y": y, "text": f"<b>{letter}</b>", "showarrow": False, "xshift": 20, "yshift": 20, "font": font,
         "bgcolor": see_through("paper", theme, 0.85), "borderpad": 2}
        for letter, (x, y) in zip("AB", marks.scale, strict=False)
    ]  # fmt: skip


def _grid(bounds: Bounds, unit: str) -> go.Scatter:
    x, y = pick_grid(bounds, pick_step(bounds))
    same = {"marker": {"opacity": 0}}
    return go.Scatter(
        x=x.astype(np.float32), y=y.astype(np.float32), mode="markers", name="grid", selected=same, unselected=same,
        marker={"opacity": 0, "size": 4, "maxdisplayed": 1}, hovertemplate=f"%{{x:.0f}} · %{{y:.0f}} {unit}<extra></extra>",
    )  # fmt: skip


def _bar(figure: go.Figure, bounds: Bounds, theme: Theme) -> None:
    x0, y0, x1, _ = bounds
    length, tick = bar_length(x1 - x0), 4 * mm_per_px(bounds)
    left, base, ink = x0 + 3 * tick, y0 + 4 * tick, paint_of("ink", theme)
    xs = [left, left, left, left + length, left + length, left + length]
    ys = [base - tick, base + tick, base, base, base - tick, base + tick]
    figure.add_scatter(x=xs, y=ys, mode="lines", hoverinfo="skip", name="scale bar", line={"color": ink, "width": 2})
    words = f"{length:g} mm" if length < 1000 else f"{length / 1000:g} m"
    figure.add_annotation(
        x=left + length, y=base, text=words, showarrow=False, xanchor="left", xshift=6, font={"size": 15, "color": ink}
    )


def _frame(figure: go.Figure, bounds: Bounds, theme: Theme, drag: str) -> None:
    x0, y0, x1, y1 = bounds
    paints = colours(theme)
    height_px = min(max(_WIDTH_PX * (y1 - y0) / (x1 - x0), _LEAST_PX), _MOST_PX) + 12
    figure.update_layout(
        paper_bgcolor=paints["paper"], plot_bgcolor=paints["paper"], hoverlabel=hover_label(theme), hovermode="closest",
        hoverdistance=20, showlegend=False, clickmode="event+select", dragmode=drag, selectdirection="any",
        height=round(height_px), margin={"l": 6, "r": 6, "t": 6, "b": 6, "autoexpand": False},
        newselection={"line": {"color": paints["accent"], "width": 2, "dash": "dash"}},
        font={"family": FONT, "size": SIZES_PX["text"], "color": paints["ink"]},
    )  # fmt: skip
    axis = {"visible": False, "showgrid": False, "zeroline": False, "constrain": "domain", "fixedrange": True}
    figure.update_xaxes(range=[x0, x1], **axis)
    figure.update_yaxes(range=[y0, y1], scaleanchor="x", scaleratio=1, constraintoward="top", **axis)
