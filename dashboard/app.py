"""The dashboard: opens the record, lists the screens in the order of the job, shows the one that was chosen.

A screen is a file in `screens/` and a line in `SCREENS`.
"""

from __future__ import annotations

import logging
from pathlib import Path

import streamlit as st

from bodymap import __version__
from bodymap.errors import BodymapError
from dashboard import loaders, state, theme
from dashboard.components import access, fingers, nothing_yet, printed, start_form, story

SCREENS = {
    "panel_sheet.py": "Panel sheet",
    "drawings.py": "Drawings and zones",
    "parts.py": "Parts",
    "survey.py": "Survey",
    "film.py": "Film across the body",
    "coat_order.py": "Coat order",
    "keep_and_strip.py": "Keep and strip",
    "mask_brief.py": "Mask brief",
    "rehearsal.py": "Repaint rehearsal",
    "hand_over.py": "Hand-over file",
}
_LOG = logging.getLogger("bodymap.dashboard")
_ABOUT = f"bodymap {__version__}: the map of a historic vehicle's skin."


def main() -> None:
    """Run the page that was chosen."""
    st.set_page_config(page_title="bodymap", layout="wide", menu_items={"About": _ABOUT})
    st.html(theme.css(st.context.theme.type or "light"))
    fingers.show(printed.SCRIPT)
    if not access.granted():  # before the record is so much as looked for
        return
    screens = Path(__file__).with_name("screens")
    if not loaders.record_path().exists():
        st.navigation([st.Page(screens / "start.py", title="Start a record")], position="hidden").run()
        return
    pages = [st.Page(screens / file, title=title) for file, title in SCREENS.items()]
    page, files = st.navigation(pages, position="hidden"), {title: file for file, title in SCREENS.items()}
    if screen := start_form.next_screen():
        st.switch_page(screen)
    with st.container(horizontal=True, gap="xsmall", key="stages"):
        for one in pages:
            st.page_link(one, width="content")
    try:
        now = loaders.opened()
    except (BodymapError, OSError) as error:
        st.error("The record could not be read. Nothing was changed.")
        st.text(str(error))
        return
    _tell(state.current())
    story.show(now)
    try:
        if nothing_yet.show(now, files[page.title]):
            page.run()
    except Exception:  # a fault of ours, of whatever kind, is told in words and logged whole
        _LOG.exception("the page stopped")
        st.error("A fault in the program stopped this page. Nothing was written by it; what it said is in its log.")
    story.follow(now)


def _tell(workspace: state.Workspace) -> None:
    for icon, text in workspace.told:
        st.toast(text, icon=icon, duration="long")
    workspace.told.clear()


if __name__ == "__main__":
    main()
