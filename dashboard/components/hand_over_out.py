"""In and out: the record in other forms to be saved, and whether it is still what was written."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from bodymap.errors import BodymapError
from dashboard.components import fields, long_work
from dashboard.components.hand_over_state import OUT, Asked, Checked, HandOver
from dashboard.loaders import Opened, moment
from dashboard.loaders import hand_over as loaders
from dashboard.state import held
from dashboard.words import count

_HEAD_MOST = 90
_SAID = {
    loaders.FOLDER: "The whole record as plain files with its journal and its pictures. Loses nothing: "
    "“bodymap take\u2060-in” makes the same record of it.",
    loaders.BACKUP: "The record file and its pictures as they stand now, checked, while others may go on writing.",
    loaders.TABLES: "Every table of the record for a spreadsheet program.",
    loaders.ZONES: "Every zone with its areas and its film, in millimetres of its drawing.",
}


def show(now: Opened, mine: HandOver) -> None:
    """Take out, then verify."""
    st.subheader("Take out", anchor=False)
    forms = {what: words for what, words in OUT.items() if not (what == loaders.BACKUP and now.path.is_dir())}
    mine.what = fields.segments("What", forms, "hand_over_what", mine.what if mine.what in forms else loaders.FOLDER)
    st.caption(_SAID[mine.what])
    if st.button("Write it out", icon=":material/output:", key="write_out"):
        mine.taken = Asked(now.stamp, now.head.count, moment(), mine.what)
    if mine.taken and mine.taken.stamp == now.stamp and mine.taken.what == mine.what:
        _taken(now, mine, mine.taken)
    st.subheader("Verify", anchor=False)
    _verify(now, mine)


def _taken(now: Opened, mine: HandOver, asked: Asked) -> None:
    try:
        file = long_work.result(loaders.taken_out, now, asked.what, asked.at)
    except (BodymapError, OSError) as error:
        mine.taken = None
        st.error("It could not be written out. Nothing was changed.")
        st.text(str(error))
        return
    if file is None:
        return
    st.download_button(
        f"Save it ({len(file.data) / 1e6:.1f}\u00a0MB)",
        file.data,
        file_name=file.name,
        mime=file.kind,
        type="primary",
        icon=":material/download:",
        key="save_taken",
    )


def _verify(now: Opened, mine: HandOver) -> None:
    st.markdown(
        "Reads everything anew from the disk: the file, every entry and the chain of hashes, the pictures. A tail that was "
        "cut off shows only against a print: every brief and every hand-over page bears count and hash."
    )
    with st.container(horizontal=True, vertical_alignment="bottom"):
        label = "Compare with a printed head (such as 123·0123456789ab)"
        mine.head = st.text_input(label, value=mine.head, max_chars=_HEAD_MOST, key=held("hand_over_head"), width=420)
        pressed = st.button("Verify now", icon=":material/verified:", key="verify_now")
    if pressed:
        mine.checked = Checked(now.stamp, moment(), mine.head.strip())
    if mine.checked and mine.checked.stamp == now.stamp:
        mine.checked = _looked_through(now, mine.checked)
        if mine.checked and mine.checked.wrong is not None:
            _found(now, mine.checked, mine.checked.wrong)


def _looked_through(now: Opened, asked: Checked) -> Checked | None:
    """The check with what it found, once it has ended; None, and told, where it cannot be made."""
    if asked.wrong is not None:
        return asked
    try:
        return replace(asked, wrong=long_work.result(loaders.verified, now, asked.head, asked.at))
    except (BodymapError, OSError) as error:
        st.error("It could not be verified.")
        st.text(str(error))
        return None


def _found(now: Opened, checked: Checked, wrong: tuple[str, ...]) -> None:
    at = f"{checked.at[:16].replace('T', ' ')} UTC"
    if wrong:
        faults = count(len(wrong), "fault")
        st.error(f"Not whole ({faults}, {at}). Keep this file as it is, and compare with a backup.")
        st.text("\n".join(wrong))
        return
    against = " The printed head is in its journal." if checked.head else " It was not held against a printed head."
    what = "files and entries agree, chain unbroken" if now.path.is_dir() else "file, entries, chain and pictures"
    st.success(f"Whole: {what}, {count(now.head.count, 'entry', 'entries')}, {at}.{against}")
