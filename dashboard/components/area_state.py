"""The area that is being marked and is not saved yet: one `Marking` for each browser window, kept through a reload."""

from __future__ import annotations

from dataclasses import dataclass, field

from dashboard import state
from dashboard.components import left_behind
from dashboard.components.kept_map import KeptMap, untouched
from dashboard.loaders import Opened, begun
from dashboard.state import AreaForm, Workspace, forget


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
    if not again:
        marking.form = workspace.form
        return marking
    # What was begun or chosen since the reload, on another screen, goes before; what was typed is left to be gone on with.
    if workspace.form.begun and marking.begun:
        return begun.leave(now.path, Marking)
    if first and untouched(workspace):
        marking.put_back_map(workspace)
    elif workspace.sheet == marking.sheet:
        workspace.drawn = workspace.drawn or marking.drawn
    if not workspace.form.begun:
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


def offer(now: Opened, marking: Marking) -> None:
    """What was begun on a page that is closed now, to be gone on with."""
    left_behind.show(now, marking, _said, _go_on, "area_")


def _go_on(marking: Marking) -> None:
    workspace = state.current()
    marking.put_back_map(workspace)
    put_back(marking, workspace)
    workspace.turn += 1
    for prefix in ("form_", "chosen", "sheet", "look_at", "by"):
        forget(prefix)


def _said(marking: Marking) -> str:
    form = marking.form
    what = f"the change of {form.area_id}" if form.area_id else f"area {form.name.strip() or 'without a name'}"
    return f"{what}, {marking.by or 'nobody named'}"
