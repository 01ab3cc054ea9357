"""Panel sheet: the map stays on the left, the card beside it changes with what is chosen."""

from __future__ import annotations

from bodymap.views.draft import Draft
from dashboard.components import area_form, area_list, area_state, film_table, sheet_page, totals, zone_card
from dashboard.loaders import Opened
from dashboard.state import Workspace


def _above(now: Opened, _workspace: Workspace) -> None:
    area_state.offer(now, area_state.current(now))


def _card(now: Opened, workspace: Workspace) -> Draft | None:
    if len(workspace.chosen) == 1:
        zone_card.show(now, workspace.chosen[0])
    else:
        totals.show(now, workspace)
    if workspace.tint == "film":
        film_table.show(now, workspace)
    draft = area_form.show(now, workspace)
    area_list.show(now, workspace)
    area_state.keep(area_state.current(now), workspace)
    return draft


sheet_page.show(_card, above=_above)
