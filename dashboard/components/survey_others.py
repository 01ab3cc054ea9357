"""One quiet line that keeps itself fresh: what others wrote since this window was told last. And what a closed page left."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.views.survey import Others, written_since
from dashboard import loaders, state
from dashboard.components import left_behind, survey_state
from dashboard.components.survey_state import Survey
from dashboard.loaders import Opened
from dashboard.state import forget
from dashboard.words import count, plain

_EVERY_S = 5


@st.fragment(run_every=_EVERY_S)
def line(survey: Survey) -> None:
    """What others wrote; the rest of the page, and what is half entered in it, stays as it is."""
    try:
        now = loaders.opened()
    except (BodymapError, OSError):
        st.caption("The record could not be read just now; this line tries again by itself.")
        return
    if survey.looked is None:
        survey.looked = now.revision
    others = written_since(now.journal, survey.looked, survey.own)
    with st.container(horizontal=True, vertical_alignment="center", key="others"):
        if not others:
            st.caption("Nobody else wrote anything since you last looked.", width="content")
            return
        st.markdown(" ".join(_words(one) for one in others), width="stretch")
        if st.button("Seen", key="others_seen", help="Shows the record as it stands now"):
            survey.looked = now.revision
            st.rerun()


def _words(one: Others) -> str:
    many = count(one.entries, "entry", "entries")
    return f":material/group: **{many} by {plain(one.by)}** since you last looked: {plain(one.words)}."


def offer(now: Opened, survey: Survey) -> None:
    """What was begun on a page that is closed now, to be gone on with."""
    left_behind.show(now, survey, _said, _go_on)


def _go_on(draft: Survey) -> None:
    draft.put_back_map(state.current())
    survey_state.put_back(draft, state.current())
    for prefix in ("stack", "reading", "finding", "line", "source", "coat", "survey_what", "chosen", "sheet"):
        forget(prefix)


def _said(draft: Survey) -> str:
    words = []
    if draft.stack.begun:
        words.append(f"stack {draft.stack.number or 'without a number'}, {count(len(draft.stack.layers), 'layer')}")
    words += ["readings"] if draft.reading.typed else []
    words += ["a finding"] if draft.finding.kind or draft.finding.note else []
    words += ["a line"] if draft.line.typed else []
    words += ["a source"] if draft.source.title or draft.source.photo else []
    return f"{', '.join(words) or 'a coat'}, {draft.by or 'nobody named'}"
