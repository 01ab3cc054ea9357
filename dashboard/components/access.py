"""The first page where the dashboard is reached over the network: it asks the access code, and shows nothing else."""

from __future__ import annotations

import math

import streamlit as st

from dashboard import state
from dashboard.access import Answer, Gate, Pass, gate, only_here


def granted() -> bool:
    """Whether this window may see the record; where not, says what is asked instead."""
    ours = gate()
    if ours is None:
        if only_here(st.get_option("server.address")):
            return True
        st.error("This server listens on the network and has no access code, so it shows nothing.")
        st.text("Start it with: bodymap open --lan RECORD")
        return False
    if getattr(state.of(Pass), "gate", None) is ours:
        return True
    _ask(ours)
    return False


def _ask(ours: Gate) -> None:
    st.subheader("Access code")
    # No field of the Workspace: what is typed here is looked at once and held nowhere.
    with st.form("access", clear_on_submit=True, width=420):
        given = st.text_input("The code on the server's terminal", type="password", max_chars=200)
        asked = st.form_submit_button("Open the record", type="primary")
    if not asked:
        return
    answer = ours.ask(given)
    if answer.admitted:
        state.of(Pass).gate = ours
        st.rerun()
    st.error(_refusal(answer), width=420)


def _refusal(answer: Answer) -> str:
    seconds = math.ceil(answer.wait_s)
    wait = f"Wait {seconds} {'second' if seconds == 1 else 'seconds'} before the next try."
    return (
        f"That is not the code. {wait}" if answer.looked else f"Too early after a wrong code: it was not looked at. {wait}"
    )
