"""Mask brief: what is kept and masked, how much tape and film it takes, and the sheets as they will be printed."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from dashboard import loaders
from dashboard.components import brief_table, header
from dashboard.words import plain


def main() -> None:
    """Draw the screen."""
    now = loaders.opened()
    header.show(now)
    if not now.record.areas:
        st.info("No area is kept or masked yet. Mark one on the panel sheet, and its brief is made here.")
        return
    try:
        print_ = loaders.mask_brief(now)
    except BodymapError as error:
        st.error("The mask brief could not be made.")
        st.text(str(error))
        return
    st.download_button(
        "Mask brief (PDF)", print_.pdf, file_name="mask-brief.pdf", mime="application/pdf", type="primary", key="brief_pdf"
    )
    for note in print_.notes:
        st.caption(plain(note))
    brief_table.show(print_.view)
    for number, page in enumerate(print_.pages, start=1):
        st.image(page, caption=f"Sheet {number} of {len(print_.pages)}", width="stretch", alt=f"Mask brief, sheet {number}")


main()
