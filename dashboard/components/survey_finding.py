"""Something found: drawn on the map as a surface, touched as a point, or without a place yet."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import Finding, Shape
from bodymap.model.finding import FindingKind
from bodymap.views.draft import Draft, drawn_draft
from dashboard import actions_survey, loaders
from dashboard.components import fields, survey_fields, survey_save
from dashboard.components.sheet_map import Placed
from dashboard.components.survey_state import FindingForm, Survey
from dashboard.loaders import Opened
from dashboard.state import Workspace, of
from dashboard.words import count, plain, square_metres

KINDS: dict[FindingKind, str] = {
    "dent": "Dent",
    "crack": "Crack",
    "corrosion": "Corrosion",
    "filler": "Filler",
    "checking": "Checking",
    "blister": "Blister",
    "chip": "Chip",
    "ghost": "Ghost mark",
    "rub": "Rub mark",
    "repair": "Repair",
    "other": "Other",
}
SEVERITIES = {1: "1 slight", 2: "2", 3: "3", 4: "4", 5: "5 grave"}


def show(now: Opened, workspace: Workspace, survey: Survey) -> Draft | None:
    """The form; returns what is drawn, to be shown dashed on the map."""
    form = survey.finding
    draft, drawing_id, shape = _where(now, workspace)
    form.kind = survey_fields.choice("What was found *", KINDS, "finding_kind", form.kind)
    form.severity = survey_fields.choice("Severity", SEVERITIES, "finding_severity", form.severity)
    form.depth_mm = survey_fields.figure("Depth in mm", "finding_depth", form.depth_mm)
    form.note = fields.lines("Note", "finding_note", form.note, 2000)
    survey_save.foot(
        now,
        workspace,
        survey,
        what="finding",
        needed={"where it is (or at least its zone)": drawing_id, "what was found": form.kind},
        build=partial(_entries, form, drawing_id, shape),
        why=f"Survey: {KINDS.get(form.kind, 'something').lower()} found",
    )
    return draft


def _where(now: Opened, workspace: Workspace) -> tuple[Draft | None, str, Shape | None]:
    """What is drawn, the drawing it is on, and its shape: a surface, else a point, else the drawing of the zone alone."""
    record = now.record
    if workspace.drawn:
        try:
            layout = loaders.layout(now, workspace.sheet)
            draft = drawn_draft(record, layout, workspace.drawn.ring, only_inside=False)
        except BodymapError as error:
            st.warning(plain(str(error)))
        else:
            with st.container(horizontal=True, vertical_alignment="center"):
                size = f"{square_metres(draft.drawn_mm2)} drawn in {count(len(draft.zones), 'zone')}"
                st.markdown(f"Where: a surface, **{size}**", width="content")
                st.button("Forget what is drawn", key="forget_drawn", on_click=workspace.put_away_drawing)
            return draft, draft.drawing_id, draft.shape
    placed = of(Placed)
    zone = record.zone.get(placed.zone_id)
    if zone:
        place = loaders.layout(now, record.drawing[zone.drawing_id].kind).place_of(zone.drawing_id)
        at = [round(placed.x - place.dx, 1), round(placed.y - place.dy, 1)]
        st.markdown(f"Where: a point in **{plain(zone.title)}**, {at[0]:g}, {at[1]:g} mm")
        return None, zone.drawing_id, Shape.model_validate({"type": "Point", "coordinates": at})
    chosen = next((one for one in workspace.chosen if one in record.zone), "")
    if not chosen:
        st.info("Draw round it with Lasso or Box, or set the touch to Place and touch it.")
        return None, "", None
    st.caption(
        f"No place drawn yet: it is kept with {plain(record.zone[chosen].title)} only, and a release to strip waits for it."
    )
    return None, record.zone[chosen].drawing_id, None


def _entries(form: FindingForm, drawing_id: str, shape: Shape | None, now: Opened) -> list[Finding]:
    return [
        Finding(
            finding_id=actions_survey.next_ident(now, "finding"),
            drawing_id=drawing_id,
            kind=form.kind,
            depth=form.depth_mm,
            severity=form.severity,
            note=form.note.strip() or None,
            shape=shape,
        )
    ]
