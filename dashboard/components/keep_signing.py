"""A name, a reason and a button that saves: what is typed stays until it is in the record."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from bodymap.model import JournalEntry
from dashboard.components import fields
from dashboard.components.attempt import attempt, which
from dashboard.components.keep_state import begin_again
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import count, plain

Write = Callable[[], Sequence[JournalEntry]]


def name(workspace: Workspace) -> None:
    """Who signs; the same name in every form of this window."""
    workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()


def writable(now: Opened) -> bool:
    """Whether anything can be saved; where not, says why."""
    if now.read_only:
        st.caption(now.read_only)
    return not now.read_only


def save(workspace: Workspace, write: Write, what: str, needed: dict[str, object], forget: Sequence[str] = ()) -> bool:
    """Writes once all that is needed is there; tells how it went. True: written, what was typed may be forgotten."""
    missing = [word for word, value in needed.items() if not value]
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}.")
        return False
    entries = attempt(write)
    if entries:
        workspace.tell(":material/check:", f"{plain(what)}: {which(entries)}.")
        begin_again(*forget)
    return bool(entries)


def chosen_words(now: Opened, workspace: Workspace) -> str:
    """The zones that are chosen, in a few words."""
    if not workspace.chosen:
        return "no zone yet: touch the map, or choose by name"
    titles = [now.record.zone[zone].title for zone in workspace.chosen]
    more = f" and {len(titles) - 3} more" if len(titles) > 3 else ""
    return f"{count(len(titles), 'zone')}: {plain('; '.join(titles[:3]) + more)}"
