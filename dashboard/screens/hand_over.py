"""Hand-over file: made and shown; what is retained and made again; the history of entries; the record in and out."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import fields, hand_over_entries, hand_over_make, hand_over_out, hand_over_retained, header
from dashboard.components.hand_over_state import SIDES, HandOver


def main() -> None:
    """Draw the screen."""
    now, workspace, mine = loaders.opened(), state.current(), state.of(HandOver)
    badge = header.show(now)
    with st.container(key="hand_over_sides"):
        mine.side = fields.segments("Hand-over file", SIDES, "hand_over_side", mine.side)
    with st.container(key="hand_over_card"):
        if mine.side == "make":
            hand_over_make.show(now, workspace, mine)
        elif mine.side == "retained":
            hand_over_retained.show(now)
        elif mine.side == "entries":
            hand_over_entries.show(now, mine)
        else:
            hand_over_out.show(now, mine)
    workspace.seen = now.revision
    header.check(now, badge)


main()
