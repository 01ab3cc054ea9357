"""The stack ladder on screen: a section through the coats, true colours, thickness on a compressed scale."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import plotly.graph_objects as go

from bodymap.model.stack import Interface
from bodymap.views.ladder import LadderLayer, LadderView
from bodymap.views.palette import Theme, blend, colours, paint_of
from dashboard.figures.pens import FONT, hover_label, text_of

# One unit of y is one pixel; the section takes the left part of the width, words the rest.
_SECTION = (0.02, 0.32)
_WORDS_AT = 0.40
_LINE_PX, _PAD_PX = 19, 9
_LEAST_PX = 15.0
_PLATE_PX = 34.0
_LETTERS = 38
_FLICKER = (0.0, 0.7, -0.5, 0.3, -0.9, 0.5, -0.2, 0.9, -0.6, 0.1)

Points = list[tuple[float | None, float | None]]
# Points of a line, its paint, its width [px].
Mark = tuple[Points, str, float]
_DARK = "#2b2622"


@dataclass(frozen=True)
class _Rung:
    """A layer set out: its section from `low` to `top`, and where its words stand [px]."""

    layer: LadderLayer
    low: float
    top: float
    words_at: float
    lines: tuple[str, ...]


def ladder_figure(view: LadderView, theme: Theme = "light") -> go.Figure:
    """One ladder, the substrate at the bottom. Its height grows with the layers; its width is the page's."""
    rungs, high = _set_out(view)
    frame = go.Scatter(x=[0, 1], y=[0, high], mode="markers", marker={"opacity": 0}, hoverinfo="skip")
    paints = colours(theme)
    axis = {"visible": False, "fixedrange": True}
    return go.Figure(
        [frame, *_traces(view, rungs, theme)],
        {
            "template": {},
            "height": round(high) + 12,
            "margin": {"l": 4, "r": 4, "t": 6, "b": 6, "autoexpand": False},
            "paper_bgcolor": paints["paper"],
            "plot_bgcolor": paints["paper"],
            "font": {"family": FONT, "size": 14, "color": paints["ink"]},
            "hoverlabel": hover_label(theme),
            "showlegend": False,
            "dragmode": False,
            "hovermode": "closest",
            "annotations": [*(_words(rung, theme) for rung in rungs), _foot_words(view, theme)],
            "xaxis": {"range": [0, 1], **axis},
            "yaxis": {"range": [0, high], **axis},
        },
    )


def _set_out(view: LadderView) -> tuple[list[_Rung], float]:
    """Sections stacked from the plate up; words at even distances beside them, joined by fine lines."""
    lines = [tuple(_lines(layer)) for layer in view.layers]
    blocks = [len(text) * _LINE_PX + _PAD_PX for text in lines]
    total = sum(layer.height for layer in view.layers) or 1.0
    room = max(sum(blocks), _LEAST_PX * len(blocks))
    spare = room - _LEAST_PX * len(blocks)
    rungs = []
    low, words = _PLATE_PX + _PAD_PX, _PLATE_PX + _PAD_PX
    for layer, text, block in zip(view.layers, lines, blocks, strict=True):
        top = low + _LEAST_PX + spare * layer.height / total
        rungs.append(_Rung(layer, low, top, words + block / 2, text))
        low, words = top, words + block
    return rungs, max(low, words) + _PAD_PX


def _lines(layer: LadderLayer) -> Iterable[str]:
    yield from textwrap.wrap(f"{layer.coat_id} {layer.name}", _LETTERS)
    said = ", ".join((*([layer.film_words] if layer.film_words else []), *layer.words))
    yield from textwrap.wrap(said, _LETTERS)


def _traces(view: LadderView, rungs: list[_Rung], theme: Theme) -> Iterable[go.Scatter]:
    yield from _plate(view, theme)
    for rung in rungs:
        yield _section(rung, theme)
        if rung.layer.extent == "mist":
            yield _line(_specks(rung), rung.layer.colour or paint_of("ink", theme), 3.0)
        if rung.layer.extent == "none":
            yield _line(_crosses(rung), paint_of("ink_soft", theme), 1.2)
    for rung in rungs:
        yield from _interfaces(rung, theme)
    joins: Points = []
    for rung in rungs:
        middle = (rung.low + rung.top) / 2
        joins += [(_SECTION[1], middle), (_SECTION[1] + 0.03, middle), (_WORDS_AT - 0.02, rung.words_at), (None, None)]
    yield _line(joins, paint_of("body_line", theme), 1.0)


def _box(low: float, top: float) -> Points:
    left, right = _SECTION
    return [(left, low), (right, low), (right, top), (left, top), (left, low)]


def _plate(view: LadderView, theme: Theme) -> Iterable[go.Scatter]:
    """The substrate, hatched as metal in section; where it was not reached, a break line and nothing below it."""
    left, right = _SECTION
    top = _PLATE_PX + _PAD_PX
    ink = paint_of("outline", theme)
    if not view.reaches_substrate:
        wide = (right - left) / 12
        yield _line([(left + k * wide, top - 10 + (8 if k % 2 else 0)) for k in range(13)], ink, 1.8)
        return
    yield _filled(_box(_PAD_PX, top), view.substrate_colour, ink, 1.2, "solid", view.substrate_words)
    step = (right - left) / 9
    hatch: Points = []
    for k in range(9):
        hatch += [(left + k * step, _PAD_PX), (left + (k + 1) * step, top), (None, None)]
    yield _line(hatch, paint_of("shut_line", "light"), 1.0)


def _section(rung: _Rung, theme: Theme) -> go.Scatter:
    layer = rung.layer
    ground = paint_of("zone", theme)
    own = layer.colour or paint_of("no_colour", theme)
    fill = {"full": own, "mist": ground, "none": ground}[layer.extent]
    dash = "solid" if layer.extent == "full" else "dot" if layer.extent == "mist" else "dash"
    edge = blend(paint_of("ink", theme), fill, 0.45)
    words = text_of((f"{layer.coat_id} {layer.name}", *_said(layer)))
    return _filled(_box(rung.low, rung.top), fill, edge, 1.0, dash, words)


def _said(layer: LadderLayer) -> Iterable[str]:
    yield layer.extent if layer.extent != "none" else "looked for, not there"
    if layer.film_words:
        yield layer.film_words
    yield from (word for word in layer.words if word not in ("mist", "looked for, not there"))
    yield from (line for text in layer.look_alikes for line in textwrap.wrap(text, 48))
    if layer.colour is None:
        yield "colour not stated"
    if layer.note:
        yield from textwrap.wrap(layer.note, 48)


def _interfaces(rung: _Rung, theme: Theme) -> Iterable[go.Scatter]:
    """What lay on the surface below, as a texture along the boundary; the cut-back as a line of teeth."""
    left, right = _SECTION
    for interface in rung.layer.interfaces:
        for points, paint, width in _INTERFACES[interface](rung.low):
            yield _line(points, paint_of(paint, theme), width)
    if rung.layer.cut_back:
        teeth: Points = [(left + k * (right - left) / 20, rung.low + (5 if k % 2 else -3)) for k in range(21)]
        yield _line(teeth, paint_of("finding", theme), 2.0)


def _dirt(at: float) -> list[Mark]:
    """A ragged dark band of specks."""
    left, right = _SECTION
    specks: Points = []
    for k in range(46):
        x = left + (k + 0.5) * (right - left) / 46
        y = at + 2.2 * _FLICKER[k % 10]
        specks += [(x - 0.0022, y), (x + 0.0022, y + _FLICKER[(k * 3 + 1) % 10]), (None, None)]
    return [([(left, at), (right, at)], "#3b332a", 2.0), (specks, "#1d1813", 3.0)]


def _scratch(at: float) -> list[Mark]:
    """Short slanting strokes into the layer below."""
    left, right = _SECTION
    strokes: Points = []
    for k in range(26):
        x = left + (k + 0.4) * (right - left) / 26
        strokes += [(x, at + 1), (x + 0.006, at - 5 - 2 * abs(_FLICKER[k % 10])), (None, None)]
    return [(strokes, _DARK, 1.3)]


def _gloss(at: float) -> list[Mark]:
    """A dark and a bright smooth line."""
    left, right = _SECTION
    return [([(left, at + dy), (right, at + dy)], paint, 1.4) for dy, paint in ((1.5, "#ffffff"), (-1.5, _DARK))]


def _no_bond(at: float) -> list[Mark]:
    """A gap of paper, wavering."""
    left, right = _SECTION
    wave: Points = [(left + k * (right - left) / 30, at + 1.6 * math.sin(k * 1.3)) for k in range(31)]
    return [(wave, _DARK, 6.0), (wave, "paper", 4.0)]


def _faded(at: float) -> list[Mark]:
    """Rows of dashes that thin out downward."""
    left, right = _SECTION
    marks: list[Mark] = []
    for row, dashes in enumerate((30, 20, 12)):
        wide = (right - left) / dashes
        y = at - 2 - 3 * row
        line: Points = []
        for k in range(dashes):
            line += [(left + (k + 0.1) * wide, y), (left + (k + 0.6) * wide, y), (None, None)]
        marks += [(line, _DARK, 2.0), (line, "#fffdf5", 1.2)]
    return marks


_INTERFACES: dict[Interface, Callable[[float], list[Mark]]] = {
    "dirt": _dirt,
    "scratch": _scratch,
    "gloss": _gloss,
    "no_bond": _no_bond,
    "faded": _faded,
}


def _specks(rung: _Rung) -> Points:
    """Scattered droplets of mist, most of them near the layer below."""
    left, right = _SECTION
    points: Points = []
    rows = max(2, int((rung.top - rung.low) / 6))
    for row in range(rows):
        for k in range(row % 2, 24, 1 + row):
            x = left + (k + 0.5 + 0.3 * _FLICKER[(k + row) % 10]) * (right - left) / 24
            y = rung.low + 3 + row * 5
            points += [(x - 0.003, y), (x + 0.003, y), (None, None)]
    return points


def _crosses(rung: _Rung) -> Points:
    left, right = _SECTION
    middle = (rung.low + rung.top) / 2
    points: Points = []
    for k in range(7):
        x = left + (k + 0.5) * (right - left) / 7
        for up in (4, -4):
            points += [(x - 0.008, middle - up), (x + 0.008, middle + up), (None, None)]
    return points


def _line(points: Points, colour: str, width: float, dash: str = "solid") -> go.Scatter:
    x, y = zip(*points, strict=True) if points else ((), ())
    line = {"color": colour, "width": width, "dash": dash}
    return go.Scatter(x=x, y=y, mode="lines", line=line, hoverinfo="skip")


def _filled(points: Points, fill: str, edge: str, width: float, dash: str, words: str) -> go.Scatter:
    x, y = zip(*points, strict=True)
    return go.Scatter(
        x=x, y=y, mode="lines", fill="toself", fillcolor=fill, line={"color": edge, "width": width, "dash": dash},
        hoveron="fills", text=words, hoverinfo="text", name=words,
    )  # fmt: skip


def _words(rung: _Rung, theme: Theme) -> dict[str, object]:
    first = len(textwrap.wrap(f"{rung.layer.coat_id} {rung.layer.name}", _LETTERS))
    text = f"<b>{text_of(rung.lines[:first])}</b>"
    if rung.lines[first:]:
        text += f"<br>{text_of(rung.lines[first:])}"
    return _note(_WORDS_AT, rung.words_at, text, "middle", theme)


def _foot_words(view: LadderView, theme: Theme) -> dict[str, object]:
    words = view.substrate_words if view.reaches_substrate else f"{view.below}<br>({view.substrate_words} not reached)"
    return _note(_WORDS_AT, _PAD_PX + _PLATE_PX / 2, words, "middle", theme)


def _note(x: float, y: float, text: str, yanchor: str, theme: Theme) -> dict[str, object]:
    font = {"size": 14, "color": paint_of("ink", theme)}
    return {"x": x, "y": y, "text": text, "showarrow": False, "xanchor": "left", "yanchor": yanchor, "align": "left",
            "font": font}  # fmt: skip
