"""The panel sheet of the repaint rehearsal: the sheet as it is, a veil over what is away, the step's work, red faces."""

from __future__ import annotations

from collections.abc import Sequence

import plotly.graph_objects as go

from bodymap.views.labels import SIZES_PX
from bodymap.views.palette import Theme, paint_of
from bodymap.views.plan_sheet import PlanSheet
from bodymap.views.sheet_parts import Label, Path
from dashboard.figures.pens import coordinates, see_through, text_of
from dashboard.figures.sheet import sheet_figure

WIDTH_PX = 660.0
_AIR = 0.01
_VEIL, _RED = 0.62, 0.72


def plan_figure(view: PlanSheet, theme: Theme = "light") -> go.Figure:
    """The whole sheet, as wide as half a desk screen."""
    figure = sheet_figure(view.sheet, theme)
    under = [*_veil(view, theme), *_worked(view.worked, theme), *_red(view, theme)]
    figure.add_traces(under)
    # What a pointer finds has to stay on top.
    touched = [trace for trace in figure.data if trace.name == "zones"]
    figure.data = [*(trace for trace in figure.data if trace.name != "zones"), *touched]
    figure.update_layout(annotations=[*figure.layout.annotations, *(_label(one, view, theme) for one in view.labels)])
    return _framed(figure, view)


def _framed(figure: go.Figure, view: PlanSheet) -> go.Figure:
    x0, y0, x1, y1 = view.sheet.bounds
    air = _AIR * max(x1 - x0, y1 - y0)
    high = WIDTH_PX * (y1 - y0 + 2 * air) / (x1 - x0 + 2 * air)
    margin = figure.layout.margin
    figure.update_layout(
        height=round(high + (margin.t or 0) + (margin.b or 0)), dragmode=False, uirevision=f"plan {view.sheet.choice.kind}"
    )
    figure.update_xaxes(range=[x0 - air, x1 + air], autorange=False, fixedrange=True)
    figure.update_yaxes(range=[y0 - air, y1 + air], autorange=False, fixedrange=True, constraintoward="top")
    return figure


def _veil(view: PlanSheet, theme: Theme) -> list[go.Scatter]:
    if not view.away:
        return []
    x, y = coordinates(view.away)
    return [
        go.Scatter(
            x=x, y=y, mode="lines", fill="toself", fillcolor=see_through("paper", theme, _VEIL), hoverinfo="skip",
            name="away",
            line={"color": paint_of("ink_soft", theme), "width": 1.2, "dash": "5px,4px", "simplify": False},
        )
    ]  # fmt: skip


def _worked(paths: Sequence[Path], theme: Theme) -> list[go.Scatter]:
    if not paths:
        return []
    x, y = coordinates(paths)
    return [
        go.Scatter(
            x=x, y=y, mode="lines", hoverinfo="skip", name=name,
            line={"color": colour, "width": width, "simplify": False},
        )
        for name, colour, width in (
            ("worked casing", see_through("paper", theme, 0.85), 5.2), ("worked", paint_of("accent", theme), 2.8)
        )
    ]  # fmt: skip


def _red(view: PlanSheet, theme: Theme) -> list[go.Scatter]:
    """One fill, one hatch and one edge for all red faces of a kind."""
    traces = []
    red, paper = paint_of("harm", theme), paint_of("paper", theme)
    for verdict in dict.fromkeys(face.verdict for face in view.red):
        faces = [face for face in view.red if face.verdict == verdict]
        x, y = coordinates([ring for face in faces for ring in face.rings])
        traces.append(
            go.Scatter(
                x=x, y=y, mode="lines", fill="toself", fillcolor=see_through("harm", theme, _RED), hoverinfo="skip",
                name=f"harm {verdict}", line={"color": red, "width": 3, "simplify": False},
            )
        )  # fmt: skip
        hatch = [path for face in faces for path in face.hatch]
        if hatch:
            x, y = coordinates(hatch)
            line = {"color": paper, "width": 1.3, "simplify": False}
            traces.append(go.Scatter(x=x, y=y, mode="lines", hoverinfo="skip", name=f"harm hatch {verdict}", line=line))
    return traces


def _label(label: Label, view: PlanSheet, theme: Theme) -> dict[str, object]:
    size, paint = SIZES_PX[label.size], paint_of(label.paint, theme)
    right, up, per_px = label.right_em * size, label.up_em * size, view.sheet.mm_per_px
    note: dict[str, object] = {
        "x": label.x, "y": label.y, "text": f"<b>{text_of([label.text])}</b>", "showarrow": False,
        "font": {"size": size, "color": paint}, "xanchor": {"middle": "center"}.get(label.anchor, label.anchor),
        "yanchor": "middle", "borderpad": 2, "bgcolor": see_through("paper", theme, 0.9), "bordercolor": paint,
    }  # fmt: skip
    if label.leader:
        tail = {"axref": "x", "ayref": "y", "ax": label.x + right * per_px, "ay": label.y + up * per_px}
        return note | tail | {"showarrow": True, "arrowhead": 0, "arrowwidth": 1.4, "arrowcolor": paint}
    return note | {"xshift": right, "yshift": up}
