"""Undo of one's own last save: a new entry, never an erasure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import JournalEntry
from dashboard import actions
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import count, plain

_NAMED = 4


def show(
    now: Opened,
    workspace: Workspace,
    kinds: Collection[str],
    name: str,
    ours: Callable[[Sequence[JournalEntry]], bool] | None = None,
) -> None:
    """Your last save of these kinds, and a button that puts back what stood before it.

    `name`: to tell it from others. `ours`: whether a save was made here (`own_saves`), where other screens write such too.
    """
    changes = actions.last_own_change(now.journal, workspace.by, kinds, ours) if workspace.by else ()
    if not changes:
        st.caption("Undo: nothing saved here under your name.")
        return
    first = changes[0]
    idents = list(dict.fromkeys(entry.ident for entry in changes if entry.ident))
    what = ", ".join(idents[:_NAMED]) + (" …" if len(idents) > _NAMED else "")
    did = "putting" if first.act == "put" else "withdrawing"
    many = "" if len(changes) == 1 else f" to {changes[-1].seq} ({count(len(changes), 'entry', 'entries')})"
    st.caption(f"Your last change: {did} {plain(what)}, entry {first.seq}{many} ({plain(first.why)}).")
    if st.button("Undo my last change", key=f"undo_{name}"):
        try:
            entries = actions.undo(now, changes, by=workspace.by)
        except (BodymapError, OSError) as error:
            st.error(f"Not undone. {plain(str(error))}")
        else:
            workspace.tell(":material/undo:", f"Entry {first.seq} undone: entry {entries[-1].seq} of the record.")
            st.rerun()
