"""The area that is being marked and is not saved yet: one `Marking` for each browser window, kept through a reload."""

from __future__ import annotations

from dataclasses import dataclass, field

import streamlit as st

from dashboard import state
from dashboard.components.kept_map import KeptMap
from dashboard.loaders import Opened, begun
from dashboard.state import AreaForm, Workspace, forget
from dashboard.words import plain


@dataclass
class Marking(KeptMap):
    """The form of the Workspace, kept. `found`: the form that was found again after a reload, so that it is in sight."""

    form: AreaForm = field(default_factory=AreaForm)
    found: AreaForm | None = None

    @property
    def begun(self) -> bool:
        """Whether anything is entered that would be missed."""
        return self.form.begun


def current(now: Opened) -> Marking:
    """What this window is marking. After a reload the Workspace is put back as it was."""
    workspace, (marking, again, first) = state.current(), begun.current(now.path, Marking)
    if first:
        marking.put_back_map(workspace)
    elif again and workspace.sheet == marking.sheet:
        workspace.drawn = workspace.drawn or marking.drawn
    # What was begun since the reload, on another screen, goes before.
    if again and not workspace.form.begun:
        put_back(marking, workspace)
    return marking


def put_back(marking: Marking, workspace: Workspace) -> None:
    """The form as it was, opened where anything is in it."""
    workspace.form = marking.form
    marking.found = marking.form if marking.begun else None


def keep(marking: Marking, workspace: Workspace) -> None:
    """Keep the form, with what the map shows."""
    marking.form = workspace.form
    marking.keep_map(workspace)


def left_behind(now: Opened, marking: Marking) -> None:
    """What was begun on a page that is closed now, to be gone on with."""
    if marking.begun:
        return
    for token, draft, still_open in begun.others(now.path, Marking):
        if still_open or not draft.begun:
            continue
        with st.container(horizontal=True, vertical_alignment="center", key="area_left_behind"):
            st.markdown(f"Not saved on a page that was closed: {plain(_said(draft))}.", width="content")
            if st.button("Go on with it", key=f"take_up_area_{token}"):
                begun.take_up(now.path, Marking, token)
                _go_on(draft, state.current())
                st.rerun()
        return


def _go_on(marking: Marking, workspace: Workspace) -> None:
    marking.put_back_map(workspace)
    put_back(marking, workspace)
    workspace.turn += 1
    for prefix in ("form_", "chosen", "sheet", "look_at", "by"):
        forget(prefix)


def _said(marking: Marking) -> str:
    form = marking.form
    what = f"the change of {form.area_id}" if form.area_id else f"area {form.name.strip() or 'without a name'}"
    return f"{what}, {marking.by or 'nobody named'}"
