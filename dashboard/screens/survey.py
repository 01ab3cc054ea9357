"""Survey: stick a number, take the photo, touch what you see. For a tablet and gloves; nothing begun is lost."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from bodymap.views.draft import Draft
from bodymap.views.laid_over import LaidOver
from dashboard import loaders
from dashboard.components import (
    fields,
    header,
    sheet_map,
    sheet_page,
    survey_finding,
    survey_line,
    survey_others,
    survey_reading,
    survey_save,
    survey_source,
    survey_stack,
    survey_state,
    survey_unseen,
)
from dashboard.loaders import Opened
from dashboard.state import Workspace, current, of

_FORMS = {
    "stack": survey_stack.show,
    "reading": survey_reading.show,
    "finding": survey_finding.show,
    "line": survey_line.show,
    "source": survey_source.show,
    "unseen": survey_unseen.show,
}


def _above(now: Opened, workspace: Workspace) -> None:
    survey = survey_state.current(now)
    with st.container(key="survey_head"):
        chosen = fields.segments("What is entered", survey_state.WHAT, "survey_what", survey.what)
        survey_state.turn_to(survey, workspace, chosen)
        survey_others.line(survey)
        survey_others.offer(now, survey)


def _card(now: Opened, workspace: Workspace) -> Draft | None:
    survey = survey_state.current(now)
    if now.read_only:
        st.caption(now.read_only)
    draft = _FORMS[survey.what](now, workspace, survey)
    survey_save.undo(now, workspace)
    survey_state.keep(survey, workspace)
    return draft


def _laid(over: LaidOver, now: Opened, workspace: Workspace) -> LaidOver:
    survey, placed = survey_state.current(now), of(sheet_map.Placed)
    if survey.what == "line":
        over = replace(over, line=tuple(survey_line.on_sheet(now, workspace, survey.line)))
    zone = now.record.zone.get(placed.zone_id)
    if (
        zone
        and survey.what in ("stack", "reading", "finding")
        and now.record.drawing[zone.drawing_id].kind == workspace.sheet
    ):
        over = replace(over, place=(placed.x, placed.y), place_words="here")
    return over


def _worn(now: Opened, workspace: Workspace) -> Workspace:
    return survey_state.worn(survey_state.current(now), workspace)


def _sources_only() -> None:
    """While no zone is drawn: what was heard and seen first of all is not lost for that."""
    now, workspace = loaders.opened(), current()
    badge = header.show(now)
    survey_state.turn_to(survey_state.current(now), workspace, "source")
    with st.container(key="card"):
        _card(now, workspace)
    workspace.seen = now.revision
    header.check(now, badge)


if loaders.opened().record.zones:
    sheet_page.show(_card, laid=_laid, above=_above, touches=("place", "lasso", "box"), tucked=True, worn=_worn)
else:
    _sources_only()
survey_save.look_up()
