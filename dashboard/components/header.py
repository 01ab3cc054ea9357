"""What record this is, whether it is whole, and what was noted on reading it."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders
from dashboard.loaders import Opened
from dashboard.words import plain


def show(now: Opened) -> None:
    """One line: the vehicle, and where its journal stands; under it whatever needs to be looked at."""
    vehicle = now.record.vehicle
    said = " · ".join(plain(text) for text in (vehicle.maker, vehicle.year, vehicle.serial) if text)
    faults = loaders.faults_of(now)
    with st.container(horizontal=True, vertical_alignment="center", key="header"):
        st.markdown(f"**{plain(vehicle.name)}**{' · ' + said if said else ''}")
        if now.read_only:
            st.badge("shown only", color="gray", help=now.read_only)
        head = f"{now.head.short}" if now.head.count else "no journal"
        if faults:
            st.badge(f"{head} · not whole", icon=":material/error:", color="red")
        else:
            st.badge(f"{head}", icon=":material/verified:", color="green", help="Entries and last hash; checked, whole.")
    if faults:
        st.error("The record is not what was written. Keep this file, and compare it with a backup.")
        st.text("\n".join(faults))
    if now.notes:
        with st.expander(f"Noted on reading ({len(now.notes)})"):
            st.text("\n".join(now.notes))
