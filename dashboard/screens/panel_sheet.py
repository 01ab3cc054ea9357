"""Panel sheet: the map stays on the left, the card beside it changes with what is chosen."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import area_form, area_list, controls, film_table, header, sheet_map, totals, zone_card


def main() -> None:
    """Draw the screen."""
    now, workspace = loaders.opened(), state.current()
    badge = header.show(now)
    controls.show(workspace)
    with st.container(key="map_and_card"):
        map_side, card_side = st.columns([17, 10], gap="medium")
    # What is chosen and drafted beside the map shows on it, so the map comes last in the run.
    with card_side:
        card = st.container(key="card")
    with card:
        controls.choose_zones(now, workspace)
    with map_side:
        controls.over_the_map(now, workspace)
    with card:
        if len(workspace.chosen) == 1:
            zone_card.show(now, workspace.chosen[0])
        else:
            totals.show(now, workspace)
        if workspace.tint == "film":
            film_table.show(now, workspace)
        draft = area_form.show(now, workspace)
        area_list.show(now, workspace)
    with map_side, st.container(key="map"):
        sheet_map.show(now, workspace, draft)
    workspace.seen = now.revision
    header.check(now, badge)


main()
