"""What record this is, whether it is whole, and what was noted on reading it."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from dashboard.components import story
from dashboard.loaders import Opened
from dashboard.loaders.checking import Checked, checked
from dashboard.words import plain


def show(now: Opened) -> DeltaGenerator:
    """One line: the vehicle, and where its journal stands. Returns the place that `check` fills later."""
    vehicle = now.record.vehicle
    said = " · ".join(plain(text) for text in (vehicle.maker, vehicle.year, vehicle.serial) if text)
    with st.container(horizontal=True, vertical_alignment="center", key="header"):
        st.markdown(f"**{plain(vehicle.name)}**{' · ' + said if said else ''}", width="content")
        if now.read_only:
            st.badge("shown only", color="gray", help=now.read_only)
        badge = st.empty()
        story.link(now)
    if now.notes:
        with st.expander(f"Noted on reading ({len(now.notes)})"):
            st.text("\n".join(now.notes))
    return badge


def check(now: Opened, badge: DeltaGenerator) -> None:
    """Verifies the record, last of all: the screen need not wait for it."""
    head = now.head.short if now.head.count else "no journal"
    while (found := checked(now)) is None:  # whoever touches something meanwhile does not wait for it
        badge.badge(f"{head} · being checked", color="gray", help="All of the record is being looked through.")
    if found.faults:
        badge.badge(f"{head} · not whole", icon=":material/error:", color="red")
        st.error("The record is not what was written. Keep this file as it is, and compare it with a backup.")
        st.text("\n".join(found.faults))
    elif found.unread:
        badge.badge(f"{head} · not checked", icon=":material/warning:", color="orange")
    else:
        badge.badge(head, icon=":material/verified:", color="green", help=_told(now, found))
    if found.unread:
        st.warning("The whole record could not be looked through just now; it is tried again by itself.")
        st.text(found.unread)


def _told(now: Opened, found: Checked) -> str:
    if now.path.is_dir():
        return "An open folder, read whole, as its journal says."
    since = now.head.count - found.whole.count
    return "Entries and last hash; checked, whole." + (f" The last {since} were checked as they came." if since else "")
