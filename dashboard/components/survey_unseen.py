"""Not yet seen: faces without a look, a look to the metal, a photo or a reading; a touch goes there."""

from __future__ import annotations

import streamlit as st

from bodymap.views.unseen import LACKS, UnseenFace
from dashboard.components import fields, survey_state
from dashboard.components.survey_state import Survey
from dashboard.loaders import Opened
from dashboard.loaders.survey import unseen
from dashboard.state import Workspace, forget
from dashboard.words import count, plain, square_metres

_MOST = 8
_TITLES = {"look": "Not looked at", "substrate": "Not to the metal", "photo": "No photo", "reading": "No reading"}
# What is entered first where one goes for this.
_FOR = {"look": "stack", "substrate": "stack", "photo": "source", "reading": "reading"}


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The list."""
    found = unseen(now)
    by_lack = {lack: [face for face in found.faces if lack in face.lacks] for lack in LACKS}
    names = {lack: f"{_TITLES[lack]} ({len(by_lack[lack])})" for lack in LACKS}
    survey.lack = fields.segments("What is missing", names, "unseen_lack", survey.lack)
    faces = by_lack[survey.lack]
    if not faces:
        st.success("Nothing is missing here: every face has it.")
        return
    if found.aside:
        st.caption(f"The stacks run in a circle: read without {plain(' and '.join(found.aside))}.")
    with st.container(key="unseen_list"):
        for number, face in enumerate(faces[:_MOST], 1):
            _row(workspace, survey, face, number)
        if faces[_MOST:]:
            with st.expander(f"{len(faces) - _MOST} more"):
                for number, face in enumerate(faces[_MOST:], _MOST + 1):
                    _row(workspace, survey, face, number)


def _row(workspace: Workspace, survey: Survey, face: UnseenFace, number: int) -> None:
    sheet = "hidden" if face.hidden else "outside"
    also = [words for lack, words in LACKS.items() if lack in face.lacks and lack != survey.lack]
    settles = f"settles {count(face.settles, 'fact')}" if face.settles else ""
    said = [sheet, square_metres(face.surface_mm2), settles, *also]
    label = f"**{number} · {plain(face.title)}**  \n:small[{plain(' · '.join(one for one in said if one))}]"
    if st.button(label, key=f"go_{face.zone_id}", icon=":material/my_location:", width="stretch", wrap=True):
        survey_state.turn_to(survey, workspace, _FOR[survey.lack])
        forget("survey_what")
        workspace.go_to(face.zone_id, face.drawing_id, face.sheet)
        workspace.touch = "place"
        st.rerun()
