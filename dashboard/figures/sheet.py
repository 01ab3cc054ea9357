"""The panel sheet on screen. Draws a `SheetView` as it is; decides nothing about the vehicle.

Traces are gathered by what they are drawn with, so that their number does not grow with the vehicle. What a pointer or a
touch finds are points that carry `customdata=[zone_id]`; surfaces themselves report nothing.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from functools import partial
from typing import Any

import numpy as np
import plotly.graph_objects as go

from bodymap.views.labels import SIZES_PX
from bodymap.views.palette import Theme, colours, paint_of
from bodymap.views.sheet import SheetView
from bodymap.views.sheet_parts import Label, Path, PointMark, ScaleBar
from dashboard.figures.copying import as_said
from dashboard.figures.legend import legend_parts
from dashboard.figures.pens import CASING_PX, FONT, PENS, SYMBOLS, UNSEEN_PX, coordinates, hover_label, see_through, text_of

_REACH_PX = 34
_SIDE_PX = 6
_PICKS = "zones"
_FEW = 2  # words of no more points than these are not worth a place of their own
# Not looked through by the chart library, which would take longer than all the rest; a test does.
_trace = partial(go.Scatter, _validate=False)


def sheet_figure(view: SheetView, theme: Theme = "light") -> go.Figure:
    """The sheet as a figure: one scale both ways, no axes; zoom and what was hidden survive a redraw (`uirevision`)."""
    return as_said(sheet_said(view, theme))


def sheet_said(view: SheetView, theme: Theme = "light") -> dict[str, Any]:
    """What the figure of a sheet says of itself: its traces and its layout, as the chart library has them."""
    traces = [
        *_ground(view, theme),
        *_areas(view, theme),
        *_findings(view, theme),
        *_painted_lines(view, theme),
        *_datums(view, theme),
        *_picks(view),
        *_signs(view, theme),
    ]
    legend = legend_parts(view, theme)
    traces += legend.traces
    x0, y0, x1, y1 = view.bounds
    axis = {"visible": False, "showgrid": False, "zeroline": False, "constrain": "domain"}
    layout = {
        "annotations": [
            *(_label(label, view.mm_per_px, theme) for label in view.labels),
            *_bar_words(view.bars, theme),
            *legend.words,
        ],
        "shapes": legend.shapes,
        "margin": {"l": _SIDE_PX, "r": _SIDE_PX, "t": _SIDE_PX, "b": legend.height_px, "autoexpand": False},
        "xaxis": {"range": [x0, x1], **axis},
        "yaxis": {"range": [y0, y1], "scaleanchor": "x", "scaleratio": 1, **axis},
        **_manner(view, theme),
    }
    drawn = [trace.to_plotly_json() for trace in traces if len(trace["x"])]
    return {"data": drawn or [{"type": "scatter", "x": [], "y": []}], "layout": layout}


def sheet_config() -> dict[str, object]:
    """What the browser is told beside the figure: wheel and pinch zoom, only the buttons that are needed, no logo."""
    return {
        "displayModeBar": True,
        "modeBarButtons": [["zoomIn2d", "zoomOut2d", "resetScale2d"]],
        "displaylogo": False,
        "scrollZoom": True,
        "doubleClick": "reset",
        "responsive": True,
    }


def _manner(view: SheetView, theme: Theme) -> dict[str, object]:
    paints = colours(theme)
    return {
        "template": {},  # everything is said here; the library's own look would be sent and reckoned with at each touch
        "paper_bgcolor": paints["paper"],
        "plot_bgcolor": paints["paper"],
        "font": {"family": FONT, "size": SIZES_PX["text"], "color": paints["ink"]},
        "hoverlabel": hover_label(theme),
        "hovermode": "closest",
        "hoverdistance": _REACH_PX,
        "showlegend": False,
        "clickmode": "event+select",
        "dragmode": "pan",
        "selectdirection": "any",
        "newselection": {"line": {"color": paints["accent"], "width": 2, "dash": "dash"}},
        "activeselection": {"fillcolor": paints["accent"], "opacity": 0.12},
        "uirevision": f"sheet {view.choice.kind}",
        "modebar": {"bgcolor": "rgba(0,0,0,0)", "color": paints["ink_soft"], "activecolor": paints["accent"]},
    }


def _fill(name: str, paths: Sequence[Path], colour: str, unseen_mm: float) -> go.Scatter:
    x, y = coordinates(paths, unseen_mm)
    line = {"width": 0}
    return _trace(x=x, y=y, mode="lines", line=line, fill="toself", fillcolor=colour, hoverinfo="skip", name=name)


def _strokes(
    name: str, style: str, paths: Sequence[Path], theme: Theme, unseen_mm: float, paint: str = ""
) -> list[go.Scatter]:
    """Lines of one style; where it has a casing, paper a little wider is drawn first."""
    if not paths:
        return []
    pen = PENS[style]
    x, y = coordinates(paths, unseen_mm)
    shown = [(paint_of(paint or pen.role, theme), pen.width_px, pen.dash)]
    if pen.casing:
        shown.insert(0, (see_through("paper", theme, 0.8), pen.width_px + CASING_PX, "solid"))
    return [
        _trace(
            x=x, y=y, mode="lines", hoverinfo="skip", name=name, connectgaps=False,
            line={"color": colour, "width": width, "dash": dash, "simplify": False},
        )
        for colour, width, dash in shown
    ]  # fmt: skip


def _ground(view: SheetView, theme: Theme) -> list[go.Scatter]:
    """Silhouettes, zones by colour, their textures, then every line of the outline."""
    traces, unseen = [], UNSEEN_PX * view.mm_per_px
    for name, surfaces in (("under", view.under), ("zone", view.zones), ("over", view.over)):
        by_paint: dict[str, list[Path]] = defaultdict(list)
        for surface in surfaces:
            by_paint[surface.paint] += surface.rings
        traces += [_fill(f"{name} {paint}", paths, paint_of(paint, theme), unseen) for paint, paths in by_paint.items()]
        if name == "zone":
            for stroke in view.textures:
                traces += _strokes("texture", stroke.style, stroke.paths, theme, unseen, stroke.paint)
    for stroke in view.strokes:
        if stroke.style != "datum":
            traces += _strokes(stroke.style, stroke.style, stroke.paths, theme, unseen)
    bars = [path for bar in view.bars for path in _bar_paths(bar)]
    return traces + _strokes("scale bar", "outline", bars, theme, unseen)


def _areas(view: SheetView, theme: Theme) -> list[go.Scatter]:
    traces: list[go.Scatter] = []
    unseen = UNSEEN_PX * view.mm_per_px
    margins = [ring for area in view.areas for ring in area.margin]
    if margins:
        traces.append(_fill("margin", margins, see_through("kept", theme, 0.12), unseen))
        traces += _strokes("margin", "margin", margins, theme, unseen)
    for purpose, share in (("keep", 0.3), ("mask", 0.16)):
        areas = [area for area in view.areas if area.purpose == purpose]
        style = "kept" if purpose == "keep" else "mask"
        rings = [ring for area in areas for ring in area.rings]
        if not rings:
            continue
        traces.append(_fill(style, rings, see_through(style, theme, share), unseen))
        traces += _strokes(style, f"{style}_hatch", [line for area in areas for line in area.hatch], theme, unseen)
        old = [ring for area in areas if not (area.recreated and purpose == "keep") for ring in area.rings]
        again = [ring for area in areas if area.recreated and purpose == "keep" for ring in area.rings]
        traces += _strokes(style, style, old, theme, unseen) + _strokes(style, "kept_again", again, theme, unseen)
    return traces


def _findings(view: SheetView, theme: Theme) -> list[go.Scatter]:
    found, unseen = view.findings, UNSEEN_PX * view.mm_per_px
    plain = [path for one in found if not one.lit for path in (*one.rings, *one.paths)]
    lit, shaded = ([path for one in found for path in getattr(one, name)] for name in ("lit", "shaded"))
    surfaces = [ring for one in found if not one.lit for ring in one.rings]
    return [
        *([_fill("finding", surfaces, see_through("finding", theme, 0.12), unseen)] if surfaces else []),
        *_strokes("finding", "finding_texture", [path for one in found for path in one.texture], theme, unseen),
        *_strokes("relief", "relief_light", lit, theme, unseen),
        *_strokes("relief", "relief_dark", shaded, theme, unseen),
        *_strokes("finding", "finding", plain, theme, unseen),
    ]


def _painted_lines(view: SheetView, theme: Theme) -> list[go.Scatter]:
    by_colour: dict[str, list[Path]] = defaultdict(list)
    for line in view.lines:
        by_colour[line.colour or "no_colour"] += line.paths
    traces = []
    for paint, paths in by_colour.items():
        x, y = coordinates(paths, UNSEEN_PX * view.mm_per_px)
        for colour, width in ((paint_of("ink", theme), 4.4), (paint_of(paint, theme), 3.0)):
            drawn = {"color": colour, "width": width, "simplify": False}
            traces.append(_trace(x=x, y=y, mode="lines", hoverinfo="skip", name="painted line", line=drawn))
    return traces


def _datums(view: SheetView, theme: Theme) -> list[go.Scatter]:
    return [
        trace
        for stroke in view.strokes
        if stroke.style == "datum"
        for trace in _strokes(stroke.style, stroke.style, stroke.paths, theme, UNSEEN_PX * view.mm_per_px)
    ]


def _picks(view: SheetView) -> list[go.Scatter]:
    """The points that answer for zones. Not drawn: of thousands, the browser makes one."""
    x, y, ids, said = [], [], [], []
    for zone in view.zones:
        own = text_of(zone.words)
        for (px, py), spot in zip(zone.picks, zone.spots, strict=True):
            x.append(px)
            y.append(py)
            ids.append(zone.zone_id)
            said.append(f"{own}<br>{text_of(spot)}" if spot else own)
    return [_touchable(_PICKS, x, y, ids, said, {"opacity": 0, "size": 6, "maxdisplayed": 1})] if x else []


def _touchable(
    name: str,
    x: Sequence[float],
    y: Sequence[float],
    ids: Sequence[str],
    said: Sequence[str],
    marker: dict[str, object],
) -> go.Scatter:
    """Points with words; choosing one does not make the others pale."""
    opacity = marker.get("opacity", 1)
    same = {"marker": {"opacity": opacity}}
    zones = np.array(ids, dtype=object).reshape(-1, 1)
    return _trace(
        x=np.array(x), y=np.array(y), customdata=zones, mode="markers", marker=marker, name=name,
        hoverlabel={"namelength": 0}, selected=same, unselected=same, **_words_at(said),
    )  # fmt: skip


def _words_at(said: Sequence[str]) -> dict[str, Any]:
    """Words of points, as the chart library has them: those that many points share are sent once, and named by each.

    Every new chart is read through by the browser several times over, so that its length is felt.
    """
    whole = Counter(said)
    heads = [text.partition("<br>") for text in said]
    tails = Counter(tail for text, (_, _, tail) in zip(said, heads, strict=True) if tail and whole[text] <= _FEW)
    shared: dict[str, int] = {}
    own, shown = [], []
    for text, (head, _, tail) in zip(said, heads, strict=True):
        if whole[text] > _FEW:
            own.append("")
            shown.append(f"%{{meta[{shared.setdefault(text, len(shared))}]}}")
        elif tails[tail] > _FEW:
            own.append(head)
            shown.append(f"%{{text}}<br>%{{meta[{shared.setdefault(tail, len(shared))}]}}")
        else:
            own.append(text)
            shown.append("%{text}")
    # As arrays, which the chart library takes as they are; lists it would walk through.
    words: dict[str, Any] = {"hovertemplate": np.array(shown, dtype=object)}
    if any("%{text}" in one for one in shown):
        words["text"] = np.array(own, dtype=object)
    return words | ({"meta": list(shared)} if shared else {})


def _signs(view: SheetView, theme: Theme) -> list[go.Scatter]:
    """Signs at points: findings in one trace, other signs by kind; and along lines, where a pointer finds their words."""
    held: dict[str, list[PointMark]] = defaultdict(list)
    for point in view.points:
        held[point.sign].append(point)
    held["findings"] = [
        PointMark(finding.kind, *finding.sign, "finding", finding.words, finding.zone_id)
        for finding in view.findings
        if not finding.lit
    ]
    traces = [_near(view.near)] if view.near else []
    return traces + [_sign_trace(name, points, theme) for name, points in held.items() if points]


def _sign_trace(name: str, points: Sequence[PointMark], theme: Theme) -> go.Scatter:
    symbols = [SYMBOLS[point.sign][0] for point in points]
    hollow = [symbol.endswith("thin") or "open" in symbol for symbol in symbols]
    paints = [paint_of(point.paint, theme) for point in points]
    rims = [paint if empty else paint_of("paper", theme) for paint, empty in zip(paints, hollow, strict=True)]
    rim: dict[str, object] = {"width": _one_or_all([2.0 if empty else 1.0 for empty in hollow]), "color": _one_or_all(rims)}
    if name == "reading":
        rim = {"width": 1.2, "color": paint_of("ink", theme)}
    sizes = [SYMBOLS[point.sign][1] for point in points]
    # Without it the chart library pales markers of several sizes.
    solid = {"opacity": 1}
    drawn = {"symbol": _one_or_all(symbols), "size": _one_or_all(sizes), "color": _one_or_all(paints), "line": rim}
    return _touchable(name, *_columns(points), solid | drawn)


def _one_or_all(values: list[Any]) -> object:
    return values[0] if len(set(values)) == 1 else values


def _near(points: Sequence[PointMark]) -> go.Scatter:
    return _touchable("near", *_columns(points), {"opacity": 0, "size": 14})


def _columns(points: Sequence[PointMark]) -> tuple[list[float], list[float], list[str], list[str]]:
    return (
        [point.x for point in points],
        [point.y for point in points],
        [point.zone_id for point in points],
        [text_of(point.words) for point in points],
    )


def _label(label: Label, mm_per_px: float, theme: Theme) -> dict[str, object]:
    """A label as an annotation.

    Beside its point it keeps its distance in pixels, on a leader its place on the sheet, so that labels set apart stay
    apart when one looks closer.
    """
    size = SIZES_PX[label.size]
    right, up = label.right_em * size, label.up_em * size
    paint, text = paint_of(label.paint, theme), text_of([label.text])
    note: dict[str, object] = {
        "x": label.x, "y": label.y, "text": f"<b>{text}</b>" if label.strong else text, "showarrow": False,
        "font": {"size": size, "color": paint}, "xanchor": {"middle": "center"}.get(label.anchor, label.anchor),
        "yanchor": "middle", "align": "left" if label.size == "caption" else "center", "borderpad": 1,
    }  # fmt: skip
    if label.ground:
        note["bgcolor"] = see_through("paper", theme, 0.82)
    if label.leader:
        tail = {"axref": "x", "ayref": "y", "ax": label.x + right * mm_per_px, "ay": label.y + up * mm_per_px}
        return note | tail | {"showarrow": True, "arrowhead": 0, "arrowwidth": 1, "arrowcolor": paint}
    return note | {"xshift": right, "yshift": up}


def _bar_paths(bar: ScaleBar) -> Iterable[Path]:
    tick = bar.length_mm * 0.03
    yield ((bar.x, bar.y), (bar.x + bar.length_mm, bar.y))
    for share in (0.0, 0.5, 1.0):
        x = bar.x + share * bar.length_mm
        yield ((x, bar.y - tick), (x, bar.y + tick))


def _bar_words(bars: Sequence[ScaleBar], theme: Theme) -> list[dict[str, object]]:
    font = {"size": SIZES_PX["text"], "color": paint_of("ink", theme)}
    return [
        {"x": bar.x + bar.length_mm, "y": bar.y, "text": bar.words, "showarrow": False, "xanchor": "left",
         "yanchor": "middle", "xshift": 6, "font": font}
        for bar in bars
    ]  # fmt: skip
