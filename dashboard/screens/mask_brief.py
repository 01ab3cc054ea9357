"""Mask brief: what is kept and masked, how much tape and film it takes, and the sheets as they will be printed."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from dashboard import loaders
from dashboard.components import brief_table, header
from dashboard.words import count, plain


def main() -> None:
    """Draw the screen."""
    now = loaders.opened()
    badge = header.show(now)
    if now.record.areas:
        _brief(now)
    else:
        st.info("No area is kept or masked yet. Mark one on the panel sheet, and its brief is made here.")
    header.check(now, badge)


def _brief(now: loaders.Opened) -> None:
    try:
        print_ = loaders.mask_brief(now)
    except BodymapError as error:
        st.error("The mask brief could not be made.")
        st.text(str(error))
        return
    name = f"mask-brief-{now.record.vehicle.vehicle_id}-{now.head.count}.pdf"
    st.download_button(
        "Mask brief (PDF)", print_.pdf, file_name=name, mime="application/pdf", type="primary", key="brief_pdf"
    )
    for note in print_.notes:
        st.caption(plain(note))
    brief_table.show(print_.view)
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{count(len(print_.pages), 'sheet')}**, as printed:")
        number = st.pagination(len(print_.pages), key=f"brief_page_{now.revision}")
    st.image(print_.pages[number - 1], width="content", alt=f"Mask brief, sheet {number} of {len(print_.pages)}")


main()
