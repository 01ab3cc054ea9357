"""Parts: what came off, what is stamped into it, where it lies now, its partner, what it hides; and labels to tie on."""

from __future__ import annotations

import streamlit as st

from dashboard import loaders, own_saves, state
from dashboard.components import fields, header, parts_form, parts_labels, parts_list, parts_material, parts_place, undoing
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders.parts import cards
from dashboard.words import plain

_KINDS = ("part", "cover", "source")


def main() -> None:
    """Draw the screen."""
    now, workspace, screen = loaders.opened(), state.current(), state.of(PartsScreen)
    badge = header.show(now)
    parts = cards(now)
    with st.container(key="map_and_card"):
        listed, beside = st.columns([17, 10], gap="medium")
    with listed:
        parts_list.show(parts, screen)
    part = next((one for one in parts if one.part_id == screen.chosen), None)
    with beside, st.container(key="card"):
        if not now.read_only:
            workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
        if part:
            parts_list.heading(part)
            parts_place.show(now, workspace, screen, part)
            parts_list.card(now, workspace, part)
            with st.expander(f"Hides ({len(part.hides)})", key="part_hides"):
                parts_form.hides(now, workspace, screen, part)
        elif not screen.adding:
            parts_material.show(now, workspace, screen)
            st.info("Touch a part in the list, or add one.")
        if not now.read_only and (part or screen.adding):
            with st.expander(
                f"Amend {plain(part.part_id)}" if part else "A new part", expanded=not part, key=f"amend_{bool(part)}"
            ):
                parts_form.show(now, workspace, screen)
        if now.read_only:
            st.caption(now.read_only)
        else:
            undoing.show(now, workspace, _KINDS, "parts", own_saves.on_parts)
    parts_labels.show(now, screen)
    workspace.seen = now.revision
    header.check(now, badge)


main()
