"""The page most screens are: controls above, the map that stays on the left, the card beside it that changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from bodymap.views.draft import Draft
from dashboard import loaders, state
from dashboard.components import controls, header, sheet_map
from dashboard.loaders import Opened
from dashboard.state import Workspace

Card = Callable[[Opened, Workspace], Draft | None]
Above = Callable[[Opened, Workspace], None]


def show(
    card: Card,
    *,
    over: sheet_map.Over | None = None,
    laid: sheet_map.Laid | None = None,
    above: Above | None = None,
    touches: Sequence[str] = controls.MAP_TOUCHES,
    tucked: bool = False,
    worn: Callable[[Opened, Workspace], Workspace] | None = None,
) -> None:
    """Draw the page.

    Args:
        card: draws what is beside the map; returns an area that is drafted there, to be shown dashed on the map.
        over: puts more on a copy of the map's figure (figure, record, Workspace, `light` or `dark`), when the card is drawn.
        laid: what more is laid over the map (what is laid there anyway, record, Workspace).
        above: draws what is above the map, first of all, so that it may set the Workspace.
        touches: what a touch on the map can do here; `place` takes the place touched into `sheet_map.Placed`.
        tucked: sheet, tint and marks are chosen in a leaf over the map and not in a row across the page.
        worn: a copy of the Workspace with the tint and marks that this page alone shows.
    """
    now, workspace = loaders.opened(), state.current()
    badge = header.show(now)
    if above:
        above(now, workspace)
    if not tucked:
        controls.show(workspace)
    with st.container(key="map_and_card"):
        map_side, card_side = st.columns([17, 10], gap="medium")
    with card_side:
        beside = st.container(key="card")
    with beside:
        controls.choose_zones(now, workspace)
    with map_side:
        controls.over_the_map(now, workspace, touches, tucked=tucked)
        place = sheet_map.Place()
    # The browser draws the map while the card is reckoned; what is drafted beside it is laid over it last.
    shown = worn(now, workspace) if worn else workspace
    if over is None:
        place.chart(now, shown)
    with beside:
        draft = card(now, workspace)
    if over is not None:
        place.chart(now, worn(now, workspace) if worn else workspace, over)
    place.lay_over(now, workspace, draft, laid)
    workspace.seen = now.revision
    header.check(now, badge)
