"""Saving on the parts screen: what is typed stays until it is in the record."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from bodymap.model.journal import JournalEntry
from bodymap.store.record_file import Put, Withdraw
from dashboard import actions, actions_survey
from dashboard.actions_survey import Build
from dashboard.components.attempt import attempt, which
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import plain


def new(now: Opened, workspace: Workspace, build: Build, why: str, told: str, done: Callable[[], None]) -> None:
    """Save new things; `told`: what is said then, `done`: what is cleared then."""
    _told(workspace, lambda: actions_survey.save_new(now, build, by=workspace.by, why=why), told, done)


def change(
    now: Opened,
    workspace: Workspace,
    changes: Sequence[Put | Withdraw],
    *,
    why: str,
    told: str,
    seen: int,
    done: Callable[[], None],
) -> None:
    """Save changes of things that are there; `seen`: revision the writer looked at."""
    _told(workspace, lambda: actions.save(now, changes, by=workspace.by, why=why, seen=seen), told, done)


def _told(workspace: Workspace, save: Callable[[], Sequence[JournalEntry]], told: str, done: Callable[[], None]) -> None:
    entries = attempt(save)
    if entries:
        done()
        workspace.tell(":material/check:", f"{plain(told)}: {which(entries)}.")
        st.rerun()
