"""Making the hand-over file: what owners ask first, who hands over, names or none; then the file, and its pages."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from dashboard.components import fields, hand_over_retained, long_work
from dashboard.components.hand_over_state import NAMES, Asked, HandOver
from dashboard.loaders import Opened, moment
from dashboard.loaders import hand_over as loaders
from dashboard.state import Workspace, held
from dashboard.words import count, plain

_NAMES_MOST = 80
_SAID = {
    loaders.NAMED: "Pictures go along without what the camera wrote into them (place, owner); the journal says so.",
    loaders.NAMELESS: "Every person becomes a number, the same everywhere, and the journal begins anew. What is written "
    "in a picture stays.",
    loaders.ORIGINALS: "Pictures go along to the last byte, with place and owner if the camera wrote them. For an archive, "
    "not for passing round.",
}


def show(now: Opened, workspace: Workspace, mine: HandOver) -> None:
    """The figures, the form, the file."""
    hand_over_retained.headline(now)
    st.markdown(f"**Journal:** {count(now.head.count, 'entry', 'entries')}, last hash")
    st.code(now.head.hash if now.head.count else "no journal", language=None, wrap_lines=True)
    mine.names = fields.segments("Persons and pictures", NAMES, "hand_over_names", mine.names)
    st.caption(_SAID[mine.names])
    with st.container(horizontal=True, vertical_alignment="bottom"):
        workspace.by = st.text_input(
            "Who hands over *", value=workspace.by, key=held("hand_over_by"), max_chars=_NAMES_MOST, width=360
        )
        weight = "secondary" if mine.made and mine.made.stamp == now.stamp else "primary"
        pressed = st.button("Make the hand-over file", type=weight, icon=":material/inventory_2:", key="make_file")
    if pressed and workspace.by.strip():
        mine.made = Asked(now.stamp, now.head.count, moment(), mine.names, workspace.by.strip())
    elif pressed:
        st.warning("Still needed: who hands over.")
    if mine.made:
        _made(now, mine, mine.made)


def _made(now: Opened, mine: HandOver, asked: Asked) -> None:
    if asked.stamp != now.stamp:
        st.info(f"The file was made of {count(asked.count, 'entry', 'entries')}; the record has grown since. Make it again.")
        return
    if asked.what != mine.names:
        st.info(f"The file that was made is “{NAMES[asked.what]}”. Make it again for “{NAMES[mine.names]}”.")
        return
    try:
        file = long_work.result(loaders.made, now, asked.by, asked.at, asked.what)
    except (BodymapError, OSError) as error:
        mine.made = None
        st.error("The hand-over file could not be made.")
        st.text(str(error))
        return
    if file is None:
        return
    made = file.made
    st.download_button(
        f"Hand-over file (.zip, {len(file.packed) / 1e6:.1f}\u00a0MB)",
        file.packed,
        file_name=f"hand-over-{now.record.vehicle.vehicle_id}-{made.standing.count}.zip",
        mime="application/zip",
        type="primary",
        icon=":material/download:",
        key="hand_over_zip",
    )
    st.markdown(
        f"{count(made.files, 'file')}; unpack it and begin with index\u2060.html, which needs no program and no network. "
        f"On every page: {made.standing.words}, **{plain(made.standing.short)}**."
    )
    if made.notes:
        with st.expander(f"To note ({len(made.notes)})", key="hand_over_notes"):
            st.text("\n".join(made.notes))
    _pages(now, asked)


def _pages(now: Opened, asked: Asked) -> None:
    if not st.toggle("Show the pages of the print", key="hand_over_look"):
        return
    try:
        pages = long_work.result(loaders.pages, now, asked.by, asked.at, asked.what)
    except (BodymapError, OSError) as error:
        st.error("The pages could not be made.")
        st.text(str(error))
        return
    if pages is None:
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{count(len(pages), 'page')}**, as printed:")
        number = st.pagination(len(pages), key=f"hand_over_page_{asked.at}")
    st.image(pages[number - 1], width="content", alt=f"Hand-over file, page {number} of {len(pages)}")
