"""The dashboard: opens the record, lists the screens, shows the one that was chosen.

A screen is a file in `screens/` and a line in `SCREENS`.
"""

from __future__ import annotations

import logging
from pathlib import Path

import streamlit as st

from bodymap import __version__
from bodymap.errors import BodymapError
from dashboard import loaders, state, theme

SCREENS = {"panel_sheet.py": "Panel sheet", "coat_order.py": "Coat order", "mask_brief.py": "Mask brief"}
_LOG = logging.getLogger("bodymap.dashboard")
_ABOUT = f"bodymap {__version__}: the map of a historic vehicle's skin."


def main() -> None:
    """Run the page that was chosen."""
    st.set_page_config(page_title="bodymap", layout="wide", menu_items={"About": _ABOUT})
    st.html(theme.css(st.context.theme.type or "light"))
    screens = Path(__file__).with_name("screens")
    page = st.navigation(
        [st.Page(screens / file, title=title, default=number == 0) for number, (file, title) in enumerate(SCREENS.items())],
        position="top",
    )
    try:
        loaders.opened()
    except (BodymapError, OSError) as error:
        st.error("The record could not be read. Nothing was changed.")
        st.text(str(error))
        return
    _tell(state.current())
    try:
        page.run()
    except Exception:  # a fault of ours, of whatever kind, is told in words and logged whole
        _LOG.exception("the page stopped")
        st.error("A fault in the program stopped this page. Nothing was written by it; what it said is in its log.")


def _tell(workspace: state.Workspace) -> None:
    for icon, text in workspace.told:
        st.toast(text, icon=icon, duration="long")
    workspace.told.clear()


if __name__ == "__main__":
    main()
