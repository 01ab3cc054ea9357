"""Repaint rehearsal: the plan run on the panel sheet step by step, what goes wrong by which step, progress, paint."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import (
    fields,
    header,
    quantities_card,
    rehearsal_found,
    rehearsal_maps,
    rehearsal_plans,
    rehearsal_progress,
    rehearsal_steps,
    step_card,
)
from dashboard.components.rehearsal_state import Rehearsal
from dashboard.loaders import Opened
from dashboard.loaders.rehearsal import Run

CARDS = {"plan": "Plan", "progress": "Progress", "quantities": "Quantities", "step_card": "Step card"}


def main() -> None:
    """Draw the screen."""
    now, workspace, mine = loaders.opened(), state.current(), state.of(Rehearsal)
    badge = header.show(now)
    with st.container(horizontal=True, vertical_alignment="top", key="rehearsal_head"):
        with st.container(width="stretch"):
            shown = rehearsal_maps.which(now, mine)
        with st.container(width="content", key="rehearsal_cards"):
            mine.card = fields.segments("Card", CARDS, "rehearsal_card", mine.card)
    # A plan is edited by what the maps show of it; the other cards are for writing, and stand above them.
    above, maps, below = st.container(), st.container(), st.container()
    at = 0
    if shown.plan.steps:
        with maps:
            at = rehearsal_maps.slider(mine, shown)
            rehearsal_maps.sheets(now, mine, shown.plan, at)
    with below if mine.card == "plan" else above, st.container(key="rehearsal_card_box"):
        _card(now, workspace, mine, shown, at)
    workspace.seen = now.revision
    header.check(now, badge)


def _card(now: Opened, workspace: state.Workspace, mine: Rehearsal, shown: Run, at: int) -> None:
    if mine.card == "plan":
        _plan(now, workspace, mine, shown, at)
    elif mine.card == "progress":
        rehearsal_progress.show(now, workspace)
    elif mine.card == "quantities":
        quantities_card.show(now, workspace, shown)
    else:
        step_card.show(now)


def _plan(now: Opened, workspace: state.Workspace, mine: Rehearsal, shown: Run, at: int) -> None:
    left, right = st.columns([10, 13], gap="medium")
    with left:
        rehearsal_steps.show(now, mine, shown, at)
    with right:
        rehearsal_found.show(now, mine, shown, at)
        rehearsal_plans.show(now, workspace, mine, shown)


main()
