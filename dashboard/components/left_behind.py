"""What was begun on a page that is closed now, to be gone on with: one line, and the way to take it up."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import streamlit as st

from dashboard.loaders import Opened, begun
from dashboard.loaders.begun import Draft
from dashboard.words import plain

_T = TypeVar("_T", bound=Draft)


def show(now: Opened, mine: _T, said: Callable[[_T], str], go_on: Callable[[_T], None], name: str = "") -> None:
    """The first that is found, where this window has begun nothing of the kind itself.

    `said`: what it is, in words; `go_on`: shows it in this window; `name`: tells the kind's fields from others.
    """
    if mine.begun:
        return
    for token, draft, still_open in begun.others(now.path, type(mine)):
        if still_open or not draft.begun:
            continue
        with st.container(horizontal=True, vertical_alignment="center", key=f"{name}left_behind"):
            st.markdown(f"Not saved on a page that was closed: {plain(said(draft))}.", width="content")
            if st.button("Go on with it", key=f"take_up_{name}{token}"):
                begun.take_up(now.path, type(mine), token)
                go_on(draft)
                st.rerun()
        return
