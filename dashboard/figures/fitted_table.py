"""The fitted-or-off table on screen: a sign for each part at each coat, the grade by the kind of its box."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import plotly.graph_objects as go

from bodymap.history.explain import Grade, OnVehicle
from bodymap.views.fitted_table import FittedCell, FittedTable
from bodymap.views.palette import Theme, colours, paint_of
from dashboard.figures.pens import FONT, hover_label, text_of

_WIDTH_PX, _NAME_PX, _ROW_PX, _HEAD_PX = 772, 196, 40, 56
_LEAST_PX, _MOST_PX, _LETTERS = 32, 56, 25
_ROLES: dict[OnVehicle, str] = {"yes": "outline", "no": "accent", "open": "ink_soft"}

Place = tuple[float, float, FittedCell]


def fitted_figure(table: FittedTable, theme: Theme = "light", *, quiet_too: bool = False) -> go.Figure:
    """The table; with `quiet_too` also what coats of other parts say of a part."""
    step = min(max((_WIDTH_PX - _NAME_PX) / len(table.coats), _LEAST_PX), _MOST_PX)
    wide = max(_NAME_PX + step * len(table.coats) + 2, 320)
    high = _HEAD_PX + _ROW_PX * len(table.parts)
    columns = {coat: _NAME_PX + step * (number + 0.5) for number, (coat, _, _) in enumerate(table.coats)}
    rows = {part: high - _HEAD_PX - _ROW_PX * (number + 0.5) for number, (part, _) in enumerate(table.parts)}
    figure = go.Figure(go.Scatter(x=[0, wide], y=[0, high], mode="markers", marker={"opacity": 0}, hoverinfo="skip"))
    figure.add_traces([*_stripes([*rows.values()], wide, theme), *_coats(table, columns, high, theme)])
    places = [(columns[coat], rows[part], cell) for (part, coat), cell in table.cells.items()]
    told = [place for place in places if quiet_too or not place[2].quiet]
    figure.add_traces([*_boxes(told, theme), *_letters(told, theme)])
    figure.add_trace(_dots([place for place in places if not quiet_too and place[2].quiet], theme))
    figure.add_trace(_words(table, columns, rows))
    paints = colours(theme)
    figure.update_layout(
        width=round(wide), height=round(high), margin={"l": 0, "r": 0, "t": 0, "b": 0, "autoexpand": False},
        paper_bgcolor=paints["paper"], plot_bgcolor=paints["paper"], showlegend=False, dragmode=False, hovermode="closest",
        font={"family": FONT, "size": 14, "color": paints["ink"]}, hoverlabel=hover_label(theme),
        annotations=[*_heads(columns, high), *_names(table, rows)],
    )  # fmt: skip
    figure.update_xaxes(range=[0, wide], visible=False, fixedrange=True)
    figure.update_yaxes(range=[0, high], visible=False, fixedrange=True)
    return figure


def _stripes(middles: list[float], wide: float, theme: Theme) -> Iterator[go.Scatter]:
    for middle in middles[::2]:
        y = [middle - _ROW_PX / 2, middle - _ROW_PX / 2, middle + _ROW_PX / 2, middle + _ROW_PX / 2]
        yield go.Scatter(x=[0, wide, wide, 0], y=y, mode="lines", fill="toself", fillcolor=paint_of("panel", theme),
                         line={"width": 0}, hoverinfo="skip")  # fmt: skip


def _coats(table: FittedTable, columns: dict[str, float], high: float, theme: Theme) -> Iterator[go.Scatter]:
    """A strip of each coat's colour under its id."""
    yield go.Scatter(
        x=[*columns.values()], y=[high - _HEAD_PX + 12] * len(columns), mode="markers", hoverinfo="text",
        marker={"symbol": "square", "size": 18, "line": {"width": 1, "color": paint_of("outline", theme)},
                "color": [colour or paint_of("no_colour", theme) for _, _, colour in table.coats]},
        text=[text_of([f"{coat} {name}"]) for coat, name, _ in table.coats],
    )  # fmt: skip


def _boxes(places: list[Place], theme: Theme) -> Iterator[go.Scatter]:
    """Proven: a filled box; likely: an outlined one; open: a dashed one."""
    kinds: dict[tuple[Grade, OnVehicle], list[Place]] = {}
    for place in places:
        kinds.setdefault((place[2].grade, place[2].on_vehicle), []).append(place)
    for (grade, on), group in kinds.items():
        x: list[float | None] = []
        y: list[float | None] = []
        for at, middle, _ in group:
            x += [at - 14, at + 14, at + 14, at - 14, at - 14, None]
            y += [middle - 14, middle - 14, middle + 14, middle + 14, middle - 14, None]
        paint = paint_of(_ROLES[on], theme)
        fill = paint if grade == "proven" else paint_of("zone", theme)
        line = {"color": paint, "width": 2 if grade != "open" else 1.5, "dash": "3px,3px" if grade == "open" else "solid"}
        yield go.Scatter(
            x=x, y=y, mode="lines", fill="toself", fillcolor=fill, line=line, hoverinfo="skip", name=f"{on} {grade}"
        )


def _letters(places: list[Place], theme: Theme) -> Iterator[go.Scatter]:
    yield go.Scatter(
        x=[at for at, _, _ in places], y=[middle for _, middle, _ in places], mode="text", hoverinfo="skip",
        text=[f"<b>{cell.sign}</b>" for _, _, cell in places],
        textfont={"size": 14, "color": [_ink(cell, theme) for _, _, cell in places]},
    )  # fmt: skip


def _ink(cell: FittedCell, theme: Theme) -> str:
    return paint_of("paper" if cell.grade == "proven" else "ink", theme)


def _dots(places: list[Place], theme: Theme) -> go.Scatter:
    return go.Scatter(
        x=[at for at, _, _ in places], y=[middle for _, middle, _ in places], mode="markers", hoverinfo="skip",
        marker={"size": 4, "color": paint_of("ink_soft", theme)},
    )  # fmt: skip


def _words(table: FittedTable, columns: dict[str, float], rows: dict[str, float]) -> go.Scatter:
    names, coats = dict(table.parts), {coat: name for coat, name, _ in table.coats}
    keys = list(table.cells)
    return go.Scatter(
        x=[columns[coat] for _, coat in keys], y=[rows[part] for part, _ in keys], mode="markers", hoverinfo="text",
        marker={"size": 28, "opacity": 0, "symbol": "square"},
        text=[
            text_of([f"{names[part]}, {coat} {coats[coat]}", *textwrap.wrap(table.cells[part, coat].words, 52)])
            for part, coat in keys
        ],
    )  # fmt: skip


def _heads(columns: dict[str, float], high: float) -> Iterator[dict[str, object]]:
    for coat, at in columns.items():
        yield {"x": at, "y": high - 16, "text": f"<b>{text_of([coat])}</b>", "showarrow": False, "xanchor": "center"}


def _names(table: FittedTable, rows: dict[str, float]) -> Iterator[dict[str, object]]:
    for part, name in table.parts:
        lines = textwrap.wrap(name, _LETTERS, max_lines=2, placeholder=" …")
        yield {"x": 6, "y": rows[part], "text": text_of(lines), "showarrow": False, "xanchor": "left", "align": "left"}
