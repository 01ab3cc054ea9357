"""Coat order: what lies over what, what was fitted or off at each coat, what disagrees, and where to look next."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import coat_order, coat_order_words, header


def main() -> None:
    """Draw the screen."""
    now, workspace = loaders.opened(), state.current()
    badge = header.show(now)
    aside = coat_order.as_if(now, workspace)
    view = loaders.history(now, aside)
    with st.container(key="order_and_words"):
        figures, words = st.columns([795, 560], gap="medium")
    with words, st.container(key="disagreements"):
        coat_order_words.disagreements(now, workspace, view)
    with figures:
        coat_order.chart(now, workspace, view)
        coat_order.fitted(now, workspace, view)
    with words:
        coat_order_words.known(now, workspace, view)
        coat_order_words.look_next(now, workspace, view)
        coat_order_words.dates(view)
        coat_order_words.look_alikes(view)
        coat_order_words.film(loaders.film_as_witness(now, aside))
    header.check(now, badge)


main()
