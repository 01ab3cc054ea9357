"""The foot of every form of the survey: who, what is still needed, save; and undo. Only what is saved is cleared."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import streamlit as st

from dashboard import actions_survey, own_saves, state
from dashboard.actions_survey import Build
from dashboard.components import fields, fingers, undoing
from dashboard.components.attempt import attempt
from dashboard.components.sheet_map import Placed
from dashboard.components.survey_state import Survey
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import plain

KINDS = ("stack", "layer", "reading", "finding", "line", "source", "media", "coat")


@dataclass
class Saved:
    """How often something was saved in this window. `look`: the map is to be shown again, for the next touch."""

    times: int = 0
    look: bool = False


def foot(
    now: Opened, workspace: Workspace, survey: Survey, *, what: str, needed: Mapping[str, object], build: Build, why: str
) -> None:
    """The foot of one form.

    `what`: name of the form in `Survey`. `needed`: what has to be there, in words, each with its value. `build`: makes the
    entries. `why`: what the journal says.
    """
    with st.container(key=f"survey_foot_{what}"):
        workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
        missing = [words for words, value in {**needed, "your name": workspace.by}.items() if value in (None, "", (), [])]
    with st.container(key="survey_save_bar"):
        st.caption(f"Still needed: {plain(', '.join(missing))}." if missing else "All that is needed is there.")
        if st.button("Save to the record", type="primary", icon=":material/check:", key=f"save_{what}", width="stretch"):
            if missing:
                st.warning(f"Not saved. Still needed: {plain(', '.join(missing))}. What is entered stays.")
            else:
                _save(now, workspace, survey, what, build, why)


def _save(now: Opened, workspace: Workspace, survey: Survey, what: str, build: Build, why: str) -> None:
    entries = attempt(lambda: actions_survey.save_new(now, build, by=workspace.by, why=why))
    if entries:
        survey.own.update(entry.seq for entry in entries)
        survey.begin_again(what)
        workspace.put_away_drawing()
        state.of(Placed).zone_id = ""
        saved = state.of(Saved)
        saved.times, saved.look = saved.times + 1, True
        workspace.tell(":material/check:", f"{_named(entries)} saved: entry {entries[-1].seq} of the record.")
        st.rerun()


def _named(entries: Sequence[object]) -> str:
    """The things that were saved; layers and media go without saying."""
    shown = [entry.ident for entry in entries if entry.kind not in ("layer", "media")]
    return plain(", ".join(shown[:4]) + (" …" if len(shown) > 4 else ""))


def look_up() -> None:
    """After a save: the map into view, where the next thing begins."""
    saved = state.of(Saved)
    if saved.look:
        saved.look = False
        fingers.look_at("survey_head", saved.times)


def undo(now: Opened, workspace: Workspace) -> None:
    """Undo of one's own last save on this screen."""
    undoing.show(now, workspace, KINDS, "survey", own_saves.on_survey)
