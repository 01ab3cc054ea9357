"""The ladder chart on screen: coats upward from the substrate, links with their spots, zones as columns of signs.

One unit of x and of y is one pixel: the figure has a fixed width, so that words never run into each other.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import plotly.graph_objects as go

from bodymap.views.coat_chart import ChartZone, CoatChart, CoatRow, Link
from bodymap.views.palette import Theme, blend, colours, paint_of, text_on
from dashboard.figures.pens import FONT, hover_label, text_of

WIDTH_PX = 772
_LINE_PX, _PAD_PX, _LEAST_PX = 19, 14, 44
_NAME_AT, _NAME_LETTERS, _LANES_AT = 40, 23, 214
_LANE_PX, _WORDS_PX, _COLUMN_PX = 13, 172, 40
_HEAD_LETTERS, _HEAD_PX = 24, 186
_SPOTS_MOST = 3
_BOX_PX = 13

Points = list[tuple[float | None, float | None]]


@dataclass(frozen=True)
class _Row:
    """A coat set out: from `low` to `top`, and its links upward from other coats, each with the height of its line."""

    coat: CoatRow
    low: float
    top: float
    links: tuple[tuple[Link, float], ...]

    @property
    def middle(self) -> float:
        """Where its name and signs stand."""
        return (self.low + self.top) / 2

    @property
    def leave(self) -> float:
        """Where links to coats over it begin: above those that end here, so that none seems to run through."""
        return self.top - 11


def chart_figure(chart: CoatChart, theme: Theme = "light") -> go.Figure:
    """The chart, the substrate at the bottom."""
    rows = _set_out(chart)
    lanes = _lanes(rows)
    words_at = _LANES_AT + _LANE_PX * (max(lanes.values(), default=0) + 3)
    zones_at = words_at + _WORDS_PX
    wide = max(WIDTH_PX, zones_at + _COLUMN_PX * len(chart.zones) + 4)
    high = (rows[-1].top if rows else 0) + (_HEAD_PX if chart.zones else 8)
    figure = go.Figure(go.Scatter(x=[0, wide], y=[0, high], mode="markers", marker={"opacity": 0}, hoverinfo="skip"))
    for trace in (*_bands(rows, wide, theme), *_swatches(rows, theme), *_links(rows, lanes, words_at, theme)):
        figure.add_trace(trace)
    notes = [*_names(rows, theme), *_link_words(rows, words_at, theme)]
    for number, zone in enumerate(chart.zones):
        at = zones_at + _COLUMN_PX * (number + 0.5)
        figure.add_traces(list(_signs(zone, rows, at, theme)))
        notes.append(_head(zone, at, rows[-1].top + 6, theme))
    _dress(figure, wide, high, notes, theme)
    return figure


def _dress(figure: go.Figure, wide: float, high: float, notes: list[dict[str, object]], theme: Theme) -> None:
    paints = colours(theme)
    figure.update_layout(
        width=round(wide), height=round(high), margin={"l": 0, "r": 0, "t": 0, "b": 0, "autoexpand": False},
        paper_bgcolor=paints["paper"], plot_bgcolor=paints["paper"], showlegend=False, dragmode=False, hovermode="closest",
        font={"family": FONT, "size": 14, "color": paints["ink"]}, hoverlabel=hover_label(theme), annotations=notes,
    )  # fmt: skip
    figure.update_xaxes(range=[0, wide], visible=False, fixedrange=True)
    figure.update_yaxes(range=[0, high], visible=False, fixedrange=True)


def _set_out(chart: CoatChart) -> list[_Row]:
    rows, low = [], 4.0
    for coat in chart.rows:
        links = [link for link in chart.links if link.above == coat.coat_id]
        lines = max(len(_name(coat)), len(links) + 0.5)
        top = low + max(_LEAST_PX, lines * _LINE_PX + _PAD_PX)
        first = (low + top) / 2 + (len(links) - 1) * _LINE_PX / 2
        rows.append(_Row(coat, low, top, tuple((link, first - number * _LINE_PX) for number, link in enumerate(links))))
        low = top
    return rows


def _lanes(rows: list[_Row]) -> dict[tuple[str, str], int]:
    """A lane for each link, short ones nearest the words, so that no two links run over each other."""
    leave = {row.coat.coat_id: row.leave for row in rows}
    spans = [(*sorted((leave[link.below], at)), (link.below, link.above)) for row in rows for link, at in row.links]
    taken: list[list[tuple[float, float]]] = []
    lanes = {}
    for low, top, link in sorted(spans, key=lambda span: (span[1] - span[0], span[0])):
        free = (n for n, spans_there in enumerate(taken) if all(top < a or low > b for a, b in spans_there))
        lane = next(free, len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, top))
        lanes[link] = lane
    return lanes


def _bands(rows: list[_Row], wide: float, theme: Theme) -> Iterator[go.Scatter]:
    """Every second rank on a darker ground."""
    for row in rows:
        if row.coat.rank % 2:
            box = _box(0, row.low, wide, row.top)
            yield _filled(box, paint_of("panel", theme), paint_of("panel", theme), 0, "")


def _swatches(rows: list[_Row], theme: Theme) -> Iterator[go.Scatter]:
    for row in rows:
        colour = row.coat.colour or paint_of("no_colour", theme)
        words = [f"{row.coat.coat_id} {row.coat.name}", f"rank {row.coat.rank + 1} from the substrate"]
        words += [] if row.coat.colour else ["colour not stated"]
        yield _filled(_box(8, row.middle - 15, 30, row.middle + 15), colour, paint_of("outline", theme), 1, text_of(words))


def _links(rows: list[_Row], lanes: dict[tuple[str, str], int], words_at: float, theme: Theme) -> Iterator[go.Scatter]:
    """From the coat below up a lane to the words at the coat above; those of a circle dashed and thicker."""
    leave = {row.coat.coat_id: row.leave for row in rows}
    for row in rows:
        for link, at in row.links:
            lane = words_at - 12 - _LANE_PX * (lanes[link.below, link.above] + 1)
            path: Points = [(_LANES_AT, leave[link.below]), (lane, leave[link.below]), (lane, at), (words_at - 10, at)]
            paint = paint_of("finding" if link.in_circle else "outline", theme)
            width, dash = (2.4, "6px,3px") if link.in_circle else (1.4, "solid")
            yield _line(path, paint, width, dash)
            end = {"symbol": ["circle", "triangle-right"], "size": [5, 10], "color": paint}
            yield go.Scatter(
                x=[_LANES_AT, words_at - 8], y=[leave[link.below], at], mode="markers", marker=end, hoverinfo="text",
                text=text_of([f"{link.above} over {link.below}", *textwrap.wrap(", ".join(link.stacks), 48)]),
            )  # fmt: skip


def _link_words(rows: list[_Row], words_at: float, theme: Theme) -> Iterator[dict[str, object]]:
    for row in rows:
        for link, at in row.links:
            more = len(link.stacks) - _SPOTS_MOST
            spots = ", ".join(link.stacks[:_SPOTS_MOST]) + (f" +{more}" if more > 0 else "")
            words = text_of([f"on {link.below}: {spots}"])
            yield _note(
                words_at, at, f"<b>{words}</b>" if link.in_circle else words, theme, "finding" if link.in_circle else "ink"
            )


def _names(rows: list[_Row], theme: Theme) -> Iterator[dict[str, object]]:
    for row in rows:
        yield _note(_NAME_AT, row.middle, "<br>".join(_name(row.coat)), theme)


def _name(coat: CoatRow) -> list[str]:
    first, *rest = textwrap.wrap(f"{coat.coat_id} {coat.name}", _NAME_LETTERS, max_lines=3, placeholder=" …")
    ident, _, name = first.partition(" ")
    circle = ["<i>in the circle</i>"] if coat.in_circle else []
    return [f"<b>{text_of([ident])}</b> {text_of([name])}", *(text_of([line]) for line in rest), *circle]


def _head(zone: ChartZone, at: float, low: float, theme: Theme) -> dict[str, object]:
    lines = textwrap.wrap(zone.title, _HEAD_LETTERS, max_lines=2, placeholder=" …")
    note = _note(at, low, text_of(lines), theme)
    return note | {"textangle": -90, "xanchor": "center", "yanchor": "bottom"}


def _signs(zone: ChartZone, rows: list[_Row], at: float, theme: Theme) -> Iterator[go.Scatter]:
    """One sign for each coat: a filled box in full, a pale dotted one as mist, a letter or sign for all else."""
    paper, ink = paint_of("zone", theme), paint_of("ink", theme)
    letters, inks = [], []
    for row in rows:
        state = zone.states[row.coat.coat_id]
        own = row.coat.colour or paint_of("no_colour", theme)
        box = _box(at - _BOX_PX, row.middle - _BOX_PX, at + _BOX_PX, row.middle + _BOX_PX)
        fill = {"full": own, "mist": blend(own, paper, 0.3)}.get(state)
        if fill:
            yield _filled(box, fill, paint_of("outline", theme), 1.4, "", "solid" if state == "full" else "2px,3px")
        letters.append(SIGNS[state])
        inks.append(text_on(fill) if fill else paint_of("finding", theme) if state == "disagree" else ink)
    yield go.Scatter(
        x=[at] * len(rows), y=[row.middle for row in rows], mode="markers+text", text=letters, hoverinfo="text",
        marker={"size": 26, "opacity": 0, "symbol": "square"}, textfont={"size": 15, "color": inks},
        hovertext=[text_of([zone.title, f"{row.coat.coat_id}: {zone.words[row.coat.coat_id]}"]) for row in rows],
    )  # fmt: skip


SIGNS = {"full": "", "mist": "m", "shielded": "×", "unknown": "?", "cut back": "c", "not made": "–", "disagree": "≠"}


def _box(x0: float, y0: float, x1: float, y1: float) -> Points:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]


def _line(points: Iterable[tuple[float | None, float | None]], colour: str, width: float, dash: str) -> go.Scatter:
    x, y = zip(*points, strict=True)
    return go.Scatter(x=x, y=y, mode="lines", line={"color": colour, "width": width, "dash": dash}, hoverinfo="skip")


def _filled(points: Points, fill: str, edge: str, width: float, words: str, dash: str = "solid") -> go.Scatter:
    x, y = zip(*points, strict=True)
    return go.Scatter(
        x=x, y=y, mode="lines", fill="toself", fillcolor=fill, line={"color": edge, "width": width, "dash": dash},
        hoveron="fills", text=words, name=words, hoverinfo="text" if words else "skip",
    )  # fmt: skip


def _note(x: float, y: float, text: str, theme: Theme, role: str = "ink") -> dict[str, object]:
    font = {"size": 14, "color": paint_of(role, theme)}
    return {"x": x, "y": y, "text": text, "showarrow": False, "xanchor": "left", "yanchor": "middle", "align": "left",
            "borderpad": 0, "font": font}  # fmt: skip
