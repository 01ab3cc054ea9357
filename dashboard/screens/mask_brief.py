"""Mask brief: what is kept and masked and what it takes; the order of work; full-size templates; painted lines."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, state
from dashboard.components import brief_card, fields, header, lines_card, template_form
from dashboard.components.template_state import SIDES, Templates


def main() -> None:
    """Draw the screen."""
    now, mine = loaders.opened(), state.of(Templates)
    badge = header.show(now)
    with st.container(key="mask_brief_sides"):
        mine.side = fields.segments("Mask brief", SIDES, "mask_brief_side", mine.side)
    with st.container(key="mask_brief_card"):
        if mine.side == "brief":
            brief_card.show(now)
        elif mine.side == "order":
            brief_card.order(now)
        elif mine.side == "template":
            template_form.show(now, mine)
        else:
            lines_card.show(now, mine)
    header.check(now, badge)


main()
