"""Another plan to try: drafted, from a file, or a copy; and saving it as the record's own, only when asked."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.finish.plan_edit import Plan
from dashboard import actions_rehearsal
from dashboard.components import fields, undoing
from dashboard.components.attempt import attempt
from dashboard.components.rehearsal_state import Rehearsal
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.state import Workspace
from dashboard.words import count, plain

DEMO_PLAN = "plan_cap_off.csv"
_KINDS = ("step", "area", "goal")


def show(now: Opened, workspace: Workspace, mine: Rehearsal, shown: Run) -> None:
    """What if, and save."""
    with st.expander("What if: try another plan", key="rehearsal_what_if", expanded=not shown.plan.steps):
        _try(now, mine)
    if mine.what_if is not None:
        with st.expander("Save the tried plan", key="rehearsal_save_box", expanded=False):
            _save(now, workspace, mine, mine.what_if)
    undoing.show(now, workspace, _KINDS, "plan")


def _try(now: Opened, mine: Rehearsal) -> None:
    with st.container(horizontal=True):
        if st.button("Draft from the history", icon=":material/auto_stories:", key="rehearsal_draft"):
            _draft(now, mine)
        own = rehearsal.own_plan(now)
        if own.steps:
            st.button("Copy of the record's plan", key="rehearsal_copy",
                      on_click=partial(mine.try_plan, own, "copy of the record's plan"))  # fmt: skip
        near = rehearsal.beside(now, DEMO_PLAN)
        if near is not None and st.button(f"Run {DEMO_PLAN}", key="rehearsal_beside"):
            _take(now, mine, rehearsal.bytes_of(near), DEMO_PLAN)
        if mine.what_if is not None:
            st.button("Put the tried plan away", key="rehearsal_put_away", on_click=mine.put_away)
    st.caption("Drafted: every face gets the finish wanted, and as it was found where no goal is stated.")
    file = st.file_uploader("Plan file (CSV, the columns of steps.csv)", type="csv", key="rehearsal_file", max_upload_size=5)
    if file is not None and st.button("Try this file", key="rehearsal_take_file"):
        _take(now, mine, file.getvalue(), file.name)
    if mine.notes:
        st.text("\n".join(mine.notes))


def _draft(now: Opened, mine: Rehearsal) -> None:
    try:
        draft = rehearsal.draft(now)
    except BodymapError as error:
        st.error(f"No plan could be drafted. {plain(str(error))}")
        return
    goals = draft.goals[len(now.record.goals) :]
    notes = [*draft.notes, *(f"proposed mask: {area.name}" for area in draft.areas)]
    mine.try_plan(Plan(draft.steps, draft.areas, goals), "drafted from the history", tuple(notes))
    st.rerun()


def _take(now: Opened, mine: Rehearsal, data: bytes, name: str) -> None:
    try:
        steps, notes = rehearsal.taken_in(now, data, name)
    except BodymapError as error:
        st.error("The file was not taken in.")
        st.text(str(error))
        return
    if not steps:
        st.error("The file holds no step.")
        return
    mine.try_plan(rehearsal.ordered(steps), name, notes)
    st.rerun()


def _save(now: Opened, workspace: Workspace, mine: Rehearsal, plan: Plan) -> None:
    st.caption("The record's plan then is this one. The old steps stay readable in the journal.")
    workspace.by = fields.line("Your name", "rehearsal_by", workspace.by, 80)
    mine.why = fields.line("Why", "rehearsal_why", mine.why, 300)
    if not st.button("Save as the record's plan", type="primary", key="rehearsal_save", disabled=bool(now.read_only)):
        return
    missing = [what for what, said in (("your name", workspace.by), ("why", mine.why)) if not said.strip()]
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}.")
        return
    entries = attempt(
        lambda: actions_rehearsal.save_plan(now, plan, by=workspace.by.strip(), why=mine.why.strip(), seen=workspace.seen)
    )
    if entries is not None:
        mine.put_away()
        mine.why = ""
        workspace.tell(":material/check:", f"The plan is saved: {count(len(entries), 'entry', 'entries')} of the record.")
        st.rerun()
