"""The small marks of a release: that a zone is locked, and what was entered about it after that."""

from __future__ import annotations

import streamlit as st

from bodymap.release.signing import released_on
from dashboard.loaders import Opened
from dashboard.loaders import keep_and_strip as loaders
from dashboard.words import count, plain

WORDS = "after release"
_NAMED = 6


def show(now: Opened, zone_id: str) -> None:
    """Whether a zone is released and by whom, and its as-found entries that are later than that."""
    release = loaders.release(now, zone_id)
    if not release.signed:
        return
    st.badge("Released to strip: locked", icon=":material/lock:", color="gray")
    signed = f"{' and '.join(release.signed_by)}, {released_on(now.record, zone_id)}"
    st.caption(f"Signed by {plain(signed)}: its as-found entries are closed.")
    if release.blockers:
        st.warning("Something stands against it again: see Keep and strip, Release.")
    late = [one for one in loaders.late_entries(now) if one.zone_id == zone_id and one.kind != "layer"]
    if late:
        named = ", ".join(f"{one.kind} {one.ident}" for one in late[:_NAMED])
        more = f" and {len(late) - _NAMED} more" if len(late) > _NAMED else ""
        st.badge(f"{count(len(late), 'entry', 'entries')} {WORDS}", icon=":material/history:", color="orange")
        st.caption(f"{WORDS.capitalize()}: {plain(named + more)}. Readable, but no evidence of how it was found.")


def of_entry(now: Opened, kind: str, ident: str) -> str:
    """The mark of one entry, for a line of Markdown; empty: it was entered in time."""
    return f" :orange-badge[{WORDS}]" if (kind, ident) in loaders.late(now) else ""
