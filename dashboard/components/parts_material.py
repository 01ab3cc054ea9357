"""What parts are of, said of many at once: after a ready-made shape it is stated of none, and no gauge may read."""

from __future__ import annotations

import streamlit as st

from bodymap.store.record_file import Put
from dashboard.components import fields, parts_save, survey_fields
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import SUBSTRATES, count

_STATED = {name: words for name, words in SUBSTRATES.items() if name != "other"}


def show(now: Opened, workspace: Workspace, screen: PartsScreen) -> None:
    """The form, where there is such a part; open where somebody came for it, or where it is stated of no part."""
    names = {part.part_id: part.name for part in now.record.parts if part.substrate == "other"}
    if not names or now.read_only:
        return
    asked = screen.asks_material or len(names) == len(now.record.parts)
    with st.expander(f"Of another substrate, or not stated ({len(names)})", expanded=asked, key="parts_material"):
        st.caption("Only an ultrasonic gauge may read on them. State what they are of; leave out those of wood or other.")
        chosen = names if screen.of_these is None else [part for part in screen.of_these if part in names]
        screen.of_these = fields.some_of("These parts", names, "part_of_these", list(chosen))
        screen.material = survey_fields.choice("are of *", _STATED, "part_material", screen.material)
        if st.button(f"State it of {count(len(screen.of_these), 'part')}", type="primary", key="save_material"):
            _save(now, workspace, screen)


def _save(now: Opened, workspace: Workspace, screen: PartsScreen) -> None:
    needed = {"the parts": screen.of_these, "what they are of": screen.material, "your name": workspace.by}
    missing = [words for words, value in needed.items() if not value]
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}. What is chosen stays.")
        return
    these, words = screen.of_these or [], _STATED[screen.material or ""]

    def done() -> None:
        screen.of_these, screen.material, screen.asks_material = None, None, False
        forget("part_")

    changes = [Put(now.record.part[part].model_copy(update={"substrate": screen.material})) for part in these]
    parts_save.change(
        now, workspace, changes, why=f"Stated: of {words}", told=f"{count(len(these), 'part')} of {words}",
        seen=workspace.seen, done=done,
    )  # fmt: skip
