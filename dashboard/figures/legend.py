"""The legend below the sheet: in three columns of pixel-sized swatches that fit a tablet as well as a desk screen."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass, field

import plotly.graph_objects as go
import shapely

from bodymap.views.labels import SIZES_PX
from bodymap.views.palette import Theme, film_colour, paint_of
from bodymap.views.sheet import SheetView
from bodymap.views.sheet_parts import LegendItem, Path, Ramp, Sign, Texture
from bodymap.views.textures import hatch, texture_paths
from dashboard.figures.pens import PENS, SYMBOLS, see_through, text_of

COLUMNS = 3
_LETTERS = 29
_ROW_PX, _LINE_PX = 24, 18
_TOP_PX, _END_PX, _BARE_PX = 8, 6, 8
_SWATCH_PX = (30.0, 16.0)
_TEXT_PX = 40
_RAMP_PX = 68
_TYPICAL_UM = 250.0
_ROUND = 20

Shape = dict[str, object]


@dataclass
class LegendParts:
    """What the legend adds to a figure; `height_px` is the room it takes below the sheet."""

    height_px: float
    shapes: list[Shape] = field(default_factory=list)
    words: list[Shape] = field(default_factory=list)
    traces: list[go.Scatter] = field(default_factory=list)


def legend_parts(view: SheetView, theme: Theme) -> LegendParts:
    """Shapes and words of the legend, and for a ramp the points that carry its bar."""
    wrapped = [textwrap.wrap(item.words, _LETTERS) or [""] for item in view.legend]
    parts = LegendParts(_BARE_PX)
    down = float(_TOP_PX)
    for first in range(0, len(view.legend), COLUMNS):
        row = range(first, min(first + COLUMNS, len(view.legend)))
        high = _ROW_PX + _LINE_PX * (max(len(wrapped[number]) for number in row) - 1)
        for number in row:
            left = (number - first) / COLUMNS
            parts.shapes += _swatch(view.legend[number], left, down + _ROW_PX / 2, theme)
            parts.words.append(_words(wrapped[number], left, down, theme))
        down += high
    if view.ramp:
        parts.traces.append(_ramp(view.ramp, down, theme))
        down += _RAMP_PX
    if view.legend or view.ramp:
        parts.height_px = down + _END_PX
    return parts


def _words(lines: list[str], left: float, down: float, theme: Theme) -> Shape:
    return {
        "xref": "paper", "yref": "paper", "x": left, "y": 0, "xshift": _TEXT_PX, "yshift": -down - 2, "text": text_of(lines),
        "showarrow": False, "xanchor": "left", "yanchor": "top", "align": "left", "borderpad": 0,
        "font": {"size": SIZES_PX["text"], "color": paint_of("ink", theme)},
    }  # fmt: skip


def _swatch(item: LegendItem, left: float, down: float, theme: Theme) -> list[Shape]:
    """A swatch with its middle `down` px below the sheet."""
    if item.sign:
        return _sign(item.sign, item.paint, left, down, theme)
    wide, high = _SWATCH_PX
    box = shapely.box(2, -high / 2, 2 + wide, high / 2)
    if item.style in ("kept", "mask", "margin"):
        return _area_swatch(item.style, box, left, down, theme)
    if item.style == "painted_line":
        line: Path = ((2, 0), (2 + wide, 0))
        return [
            _drawn([line], left, down, paint_of("ink", theme), 4.4),
            _drawn([line], left, down, paint_of("paper", theme), 2.4),
        ]
    if item.style == "relief":
        return _relief_swatch(left, down, theme)
    fill = paint_of(item.paint, theme)
    shapes = [_drawn([tuple(box.exterior.coords)], left, down, paint_of("outline", theme), 0.8, fill)]
    ink = paint_of(item.texture_paint or "texture", theme)
    texture = _texture(box, item.texture)
    return shapes + ([_drawn(texture, left, down, ink, PENS["texture"].width_px)] if texture else [])


def _relief_swatch(left: float, down: float, theme: Theme) -> list[Shape]:
    """A letter L standing up."""
    letter: Path = ((12, -7), (21, -7), (21, -3), (16, -3), (16, 7), (12, 7), (12, -7))
    return [
        _drawn([tuple((x + shift, y - shift) for x, y in letter)], left, down, paint_of(role, theme), 1.4)
        for shift, role in ((-1.0, "relief_light"), (1.0, "relief_dark"))
    ]


def _texture(box: shapely.Polygon, texture: Texture) -> Iterable[Path]:
    """As on the sheet, a little closer so that a swatch shows enough of it."""
    return texture_paths(box, texture, 0.6)


def _area_swatch(style: str, box: shapely.Polygon, left: float, down: float, theme: Theme) -> list[Shape]:
    share = {"kept": 0.3, "mask": 0.16, "margin": 0.12}[style]
    pen, role = PENS[style], PENS[style].role
    fill = see_through(role, theme, share)
    shapes = [_drawn([tuple(box.exterior.coords)], left, down, paint_of(role, theme), pen.width_px, fill, pen.dash)]
    if style != "margin":
        lines = hatch(box, 7.0, 45.0 if style == "kept" else 135.0)
        shapes.append(_drawn(lines, left, down, paint_of(role, theme), PENS[f"{style}_hatch"].width_px))
    return shapes


def _sign(sign: Sign, paint: str, left: float, down: float, theme: Theme) -> list[Shape]:
    symbol, size = SYMBOLS[sign]
    filled, lines = symbol_paths(symbol, size / 2)
    middle = 2 + _SWATCH_PX[0] / 2
    ink = paint_of(paint, theme)
    hollow = "open" in symbol or "thin" in symbol
    fill = "rgba(0,0,0,0)" if hollow else film_colour(_TYPICAL_UM) if sign == "reading" else ink
    shapes = [_drawn([moved(path, middle)], left, down, ink, 1.6, fill) for path in filled]
    return shapes + ([_drawn([moved(line, middle) for line in lines], left, down, ink, 1.8)] if lines else [])


def moved(path: Path, right: float) -> Path:
    """A path moved to the right."""
    return tuple((x + right, y) for x, y in path)


def symbol_paths(symbol: str, radius: float) -> tuple[list[Path], list[Path]]:
    """Outline and inner lines of a marker symbol, about (0, 0), y up; as the chart library draws them."""
    base = symbol.split("-")[0]
    r = radius
    diagonal = [((-0.7 * r, -0.7 * r), (0.7 * r, 0.7 * r)), ((-0.7 * r, 0.7 * r), (0.7 * r, -0.7 * r))]
    upright = [((-r, 0.0), (r, 0.0)), ((0.0, -r), (0.0, r))]
    if symbol == "x-thin":
        return [], [((-r, -r), (r, r)), ((-r, r), (r, -r))]
    if symbol == "cross-thin":
        return [], [((-1.4 * r, 0.0), (1.4 * r, 0.0)), ((0.0, -1.4 * r), (0.0, 1.4 * r))]
    if base == "hash":
        third = r / 2
        across = [((-r, y), (r, y)) for y in (-third, third)]
        return [], [*across, *(((x, -r), (x, r)) for x in (-third, third))]
    inner: list[Path] = []
    if "-x" in symbol:
        inner = [*diagonal]
    elif "-cross" in symbol:
        inner = [*upright]
    elif symbol.endswith("dot"):
        inner = [((-0.8, 0.0), (0.8, 0.0))]
    return [_polygon(symbol, r)], inner


def _polygon(symbol: str, r: float) -> Path:
    base = symbol.split("-")[0]
    corners: dict[str, list[tuple[float, float]]] = {
        "square": [(-r, -r), (r, -r), (r, r), (-r, r)],
        "diamond": [(0, -1.3 * r), (1.3 * r, 0), (0, 1.3 * r), (-1.3 * r, 0)],
        "cross": [(x * r, y * r) for x, y in ((-0.4, 1.2), (0.4, 1.2), (0.4, 0.4), (1.2, 0.4), (1.2, -0.4), (0.4, -0.4),
                  (0.4, -1.2), (-0.4, -1.2), (-0.4, -0.4), (-1.2, -0.4), (-1.2, 0.4), (-0.4, 0.4))],
        "star": [
            (math.sin(k * math.pi / 5) * r * (1.4, 0.56)[k % 2], math.cos(k * math.pi / 5) * r * (1.4, 0.56)[k % 2])
            for k in range(10)
        ],
    }  # fmt: skip
    if base == "triangle":
        up = -1 if symbol.endswith("down") else 1
        return ((-1.15 * r, -up * r / 2), (1.15 * r, -up * r / 2), (0.0, up * r), (-1.15 * r, -up * r / 2))
    turn = 2 * math.pi / _ROUND
    points = corners.get(base) or [(r * math.cos(k * turn), r * math.sin(k * turn)) for k in range(_ROUND)]
    return (*points, points[0])


def _drawn(
    paths: Iterable[Path],
    left: float,
    down: float,
    colour: str,
    width: float,
    fill: str = "rgba(0,0,0,0)",
    dash: str = "solid",
) -> Shape:
    """Paths in pixels, y up, from the place `left` of the width and `down` px below the sheet."""
    steps = []
    for path in paths:
        steps += [f"{'L' if number else 'M'}{x:.1f},{y - down:.1f}" for number, (x, y) in enumerate(path)]
        if len(path) > 2 and path[0] == path[-1]:
            steps.append("Z")
    return {
        "type": "path", "path": "".join(steps), "xref": "paper", "yref": "paper", "xsizemode": "pixel", "ysizemode": "pixel",
        "xanchor": left, "yanchor": 0, "line": {"color": colour, "width": width, "dash": dash}, "fillcolor": fill,
    }  # fmt: skip


def _ramp(ramp: Ramp, down: float, theme: Theme) -> go.Scatter:
    """A horizontal colour bar with the ramp's own knots."""
    last = len(ramp.knots) - 1
    scale = [[number / last, colour] for number, colour in enumerate(ramp.colours)]
    ink = paint_of("ink", theme)
    bar = {
        "orientation": "h", "x": 0, "xanchor": "left", "y": 0, "yref": "paper", "yanchor": "top", "ypad": down + 8,
        "xpad": 4,
        "len": 0.62, "lenmode": "fraction", "thickness": 14, "outlinewidth": 0.8, "outlinecolor": paint_of("outline", theme),
        "title": {"text": f"{ramp.title} [{ramp.unit}]", "side": "top", "font": {"size": 14, "color": ink}},
        "tickmode": "array", "tickvals": list(range(last + 1)), "ticktext": [f"{knot:g}" for knot in ramp.knots],
        "tickfont": {"size": 14, "color": ink}, "ticks": "outside", "ticklen": 3, "tickcolor": ink,
    }  # fmt: skip
    marker = {"color": [0], "cmin": 0, "cmax": last, "colorscale": scale, "showscale": True, "colorbar": bar, "opacity": 0}
    return go.Scatter(x=[None], y=[None], mode="markers", marker=marker, hoverinfo="skip", name="ramp")
