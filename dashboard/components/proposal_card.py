"""A change of the drawing, shown before it is saved: sizes, notes, what it asks. Saving is one set of entries, or none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from hashlib import sha256

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.geometry.proposal import Proposal
from bodymap.model.journal import JournalEntry
from bodymap.store.proposed import changes_of
from bodymap.store.record_file import Put, RecordFile, Withdraw
from bodymap.views.board import size_rows
from dashboard import actions
from dashboard.components import fields
from dashboard.components.attempt import attempt, which
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened
from dashboard.state import Workspace
from dashboard.words import plain, square_metres

_ROWS_MOST, _FAULTS_MOST = 40, 6
More = Callable[[], Sequence[Put | Withdraw]]


def show(
    now: Opened, workspace: Workspace, desk: Desk, proposal: Proposal | None, *, name: str, why: str,
    more: More | None = None, with_name: bool = True, needs: str = "what is to be changed",
) -> bool:  # fmt: skip
    """The card; True when it was saved just now.

    Args:
        now: the record it was made from.
        workspace: for the name one signs with.
        desk: for the answers.
        proposal: the change; None: too little is said yet, and the button says so.
        name: of the tool, to tell its fields from those of others.
        why: the reason as it is written where no other is typed.
        more: what is to be saved with it, made when the button is pressed.
        with_name: ask who signs; no: that was asked above.
        needs: what makes a proposal of it, told while there is none.
    """
    if proposal:
        _sizes(now, proposal)
        for note in proposal.notes:
            st.caption(plain(note))
    answers = {question: _answer(desk, question) for question in (proposal.questions if proposal else ())}
    if with_name:
        workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
    typed = fields.line("Why (may stay blank)", f"{name}_why", desk.get(f"{name}_why", ""), 500).strip()
    desk.said[f"{name}_why"] = typed
    reason = typed or why
    told = {
        needs: proposal,
        "your name": workspace.by,
        "an answer to every question": all(answer.strip() for answer in answers.values()),
    }
    missing = ", ".join(what for what, value in told.items() if not value)
    with st.container(key=f"{name}_save_bar"):
        st.caption(f"Still needed: {missing}." if missing else f"To be written: {plain(reason)}.")
        if not st.button("Save to the record", type="primary", key=f"{name}_save"):
            return False
        if missing or proposal is None:
            st.warning(f"Not saved. Still needed: {missing}.")
            return False
        asked = "".join(f" Asked: {question} Answered: {answer.strip()}" for question, answer in answers.items())
        return save(now, workspace, proposal, why=reason + asked, more=more)


def tell(error: BodymapError, words: str = "") -> None:
    """What stands against a change, in a list that stays short. `words`: what it means."""
    told = [plain(str(fault)) for fault in getattr(error, "faults", (error,))]
    more = [f"and {len(told) - _FAULTS_MOST} more"] if len(told) > _FAULTS_MOST else []
    lines = "\n".join(f"- {line}" for line in (*told[:_FAULTS_MOST], *more))
    st.markdown(f"{words or 'This cannot be done as it is:'}\n\n{lines}")


def save(now: Opened, workspace: Workspace, proposal: Proposal, *, why: str, more: More | None = None) -> bool:
    """Save a proposal; whether it was. What went wrong is told, and nothing that was typed is lost."""

    def write() -> Sequence[JournalEntry]:
        changes = [*(more() if more else ()), *changes_of(proposal, RecordFile(now.path))]
        return actions.save(now, changes, by=workspace.by, why=why, seen=workspace.seen)

    entries = attempt(write)
    if entries:
        workspace.tell(":material/check:", f"Saved: {which(entries)}.")
    return bool(entries)


def _sizes(now: Opened, proposal: Proposal) -> None:
    rows = size_rows(now.record, proposal)
    if not rows:
        return
    st.table(
        [
            {
                "Zone": plain(row.title),
                "Drawn before": "new" if row.before_mm2 is None else square_metres(row.before_mm2),
                "Drawn then": "goes" if row.after_mm2 is None else square_metres(row.after_mm2),
            }
            for row in rows[:_ROWS_MOST]
        ],
        border="horizontal",
    )
    if len(rows) > _ROWS_MOST:
        st.caption(f"and {len(rows) - _ROWS_MOST} more zones")


def _answer(desk: Desk, question: str) -> str:
    st.markdown(f":material/help: {plain(question)}")
    key = sha256(question.encode()).hexdigest()[:12]
    st.caption("A few words; “not known” is an answer.")
    answer = fields.line("Your answer *", f"answer_{key}", desk.answers.get(question, ""), 300)
    desk.answers[question] = answer
    return answer
