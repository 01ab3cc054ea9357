"""The map, and what touching it does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

import plotly.graph_objects as go
import streamlit as st

from bodymap.views.draft import Draft
from bodymap.views.laid_over import LaidOver, chosen_edges
from bodymap.views.picks import place_grid
from bodymap.views.sheet_parts import Path
from dashboard import loaders, state
from dashboard.figures.copying import copied
from dashboard.figures.laid_over import Frame, laid_over_html
from dashboard.figures.placing import step_mm, with_places
from dashboard.figures.sheet import sheet_config
from dashboard.loaders import Opened
from dashboard.state import Drawn, Workspace, current, forget
from dashboard.words import count, plain, square_metres

# A change of the figure is a new chart to the browser, and a zoom made there would be lost with the next touch: how close
# to look is chosen over the map instead, and stays.
_CONFIG = {**sheet_config(), "scrollZoom": False, "displayModeBar": False, "doubleClick": False, "doubleClickDelay": 0}

Over = Callable[[go.Figure, Opened, Workspace, str], go.Figure]
Laid = Callable[[LaidOver, Opened, Workspace], LaidOver]


@dataclass
class Placed:
    """The place that was touched last, on the sheet [mm], and the zone it lies in; empty: none."""

    zone_id: str = ""
    x: float = 0.0
    y: float = 0.0


@dataclass
class Held:
    """The zone whose point the browser may hold as selected; empty: it holds none. A touch on that point lets it go there.

    A chart that is drawn with another figure holds none either, and tells of none. Where something else is chosen, a new
    chart is shown: so what the browser tells when it lets a point go can never be taken for a touch on another zone.
    """

    zone_id: str = ""

    def let_go(self) -> str:
        """The browser holds none any more: the zone of which it did; empty: of none."""
        zone_id, self.zone_id = self.zone_id, ""
        return zone_id


def show(
    now: Opened, workspace: Workspace, draft: Draft | None = None, over: Over | None = None, laid: Laid | None = None
) -> None:
    """The map and what is laid over it; a touch chooses zones or draws a surface.

    Args:
        now: the record.
        workspace: what is shown of it, and chosen.
        draft: an area that is not saved yet.
        over: puts more on a copy of the map's figure, which is then sent and drawn anew with each change of that.
        laid: what more is laid over the map, which costs nothing of the kind.
    """
    place = Place()
    place.chart(now, workspace, over)
    place.lay_over(now, workspace, draft, laid)


class Place:
    """Where the map stands on the page. The chart can be sent before that is known which is laid over it."""

    def __init__(self) -> None:
        with st.container(key="map"):
            self._held, self._foot = st.container(key="map_held"), st.container()
        self._frame: Frame | None = None

    def chart(self, now: Opened, workspace: Workspace, over: Over | None = None) -> None:
        """The map, and what it alone does not say."""
        theme, held, window = state.theme(), state.of(Held), current()  # `workspace` may be a copy
        if held.zone_id and workspace.chosen != [held.zone_id]:
            window.turn, held.zone_id = window.turn + 1, ""
        figure, notes = loaders.sheet(now, workspace, theme)
        if workspace.touch == "place":
            figure = _with_places(figure, now, workspace)
        if over:
            figure = over(copied(figure), now, workspace, theme)
        self._frame = Frame.of(figure)
        with self._held:
            st.plotly_chart(
                figure,
                key=f"map_{window.turn}",
                on_select=partial(_touched, f"map_{window.turn}"),
                selection_mode=("points", "box", "lasso"),
                config=_CONFIG,
                theme=None,
                alt="Panel sheet: the map of the vehicle. Zones can also be chosen by name beside it.",
            )
            self._laid = st.empty()
        seen = state.of(_Seen)
        if seen.frame != self._frame:  # what lay over another map may not lie over this one until the card is reckoned
            self._lay(LaidOver(chosen=self._edges(now, workspace)))
            seen.frame = self._frame
        with self._foot:
            for note in notes:
                st.caption(plain(note))

    def lay_over(self, now: Opened, workspace: Workspace, draft: Draft | None = None, laid: Laid | None = None) -> None:
        """What is chosen and drafted, over the chart that stands here."""
        layout = loaders.layout(now, workspace.sheet)
        over = LaidOver(chosen=self._edges(now, workspace))
        if draft and draft.drawing_id in layout.drawing_ids:
            over = replace(over, draft=tuple(draft.rings))
        if laid:
            over = laid(over, now, workspace)
        self._lay(over)
        if draft:
            with self._foot:
                sizes = f"{square_metres(draft.drawn_mm2)} drawn in {count(len(draft.zones), 'zone')}"
                st.caption(f"Dashed: not saved yet, {sizes}.")

    def _edges(self, now: Opened, workspace: Workspace) -> tuple[Path, ...]:
        layout = loaders.layout(now, workspace.sheet)
        return chosen_edges(now.record, layout, workspace.chosen, self._frame.clear_mm)

    def _lay(self, over: LaidOver) -> None:
        self._laid.markdown(laid_over_html(over, self._frame, state.theme()), unsafe_allow_html=True)


@dataclass
class _Seen:
    """What the map of this window showed last."""

    frame: Frame | None = None


def _with_places(figure: go.Figure, now: Opened, workspace: Workspace) -> go.Figure:
    """The figure; where one zone is chosen, a copy set with places that a touch can find, closer the closer one looks."""
    zone = now.record.zone.get(workspace.chosen[0]) if len(workspace.chosen) == 1 else None
    layout = loaders.layout(now, workspace.sheet)
    if zone is None or not layout.has(zone.drawing_id):
        return figure
    place = layout.place_of(zone.drawing_id)
    return with_places(copied(figure), zone.zone_id, place_grid(zone.shape, step_mm(figure)), (place.dx, place.dy))


def _touched(key: str) -> None:
    """Before the next run: what was touched or drawn is taken into the Workspace."""
    workspace, selection, held = current(), st.session_state[key].selection, state.of(Held)
    zones = [zone for point in selection.points if (zone := _zone_of(point))]
    if selection.lasso or selection.box:
        workspace.drawn = _drawn(selection)
        workspace.form.way = "drawn"
        workspace.turn += 1  # a new chart, without the browser's own marks of what was drawn
        forget("form_way")
        if zones:
            workspace.choose(zones)
    elif zones and workspace.touch == "place":
        _placed(workspace, zones[-1], selection.points[-1])
        held.zone_id = zones[-1]
    elif zones:
        # A touch on the one that is chosen puts it down again.
        workspace.choose([] if workspace.chosen == zones[-1:] else zones[-1:])
        held.zone_id = zones[-1]
    else:
        let_go = held.let_go()
        # No point at all: the same one once more. A point of no zone, such as the sign of a datum, chooses nothing.
        if let_go and not selection.points and workspace.touch != "place" and workspace.chosen == [let_go]:
            workspace.choose([])


def _placed(workspace: Workspace, zone_id: str, point: Mapping[str, float]) -> None:
    placed = state.of(Placed)
    placed.zone_id, placed.x, placed.y = zone_id, float(point["x"]), float(point["y"])
    if workspace.chosen != [zone_id]:
        workspace.choose([zone_id])


def _zone_of(point: dict[str, object]) -> str | None:
    data = point.get("customdata")
    return str(data[0]) if isinstance(data, (list, tuple)) and data else None


def _drawn(selection: object) -> Drawn:
    """The ring of the last lasso or box, in sheet mm."""
    if selection.lasso:
        last = selection.lasso[-1]
        return Drawn("lasso", tuple(zip(last["x"], last["y"], strict=True)))
    (x0, x1), (y0, y1) = selection.box[-1]["x"], selection.box[-1]["y"]
    return Drawn("box", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
