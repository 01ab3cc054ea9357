"""Add a step or amend one."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.finish.plan_edit import added, replaced, step_faults
from bodymap.model import Record, Step
from bodymap.model.plan import ONLY
from bodymap.views.plan_words import ACTIONS, METHODS, step_words
from dashboard.components import fields
from dashboard.components.rehearsal_state import Rehearsal, StepForm
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.state import forget
from dashboard.words import plain


def show(now: Opened, mine: Rehearsal, shown: Run, at: int) -> None:
    """The form; what is typed stays until the step is in the plan."""
    with st.expander("Add or amend a step", key="rehearsal_form_box", expanded=not shown.plan.steps):
        form = mine.form
        if at and st.button(f"Take step {at} into the form", key="rehearsal_take", icon=":material/edit:"):
            mine.form = _form_of(shown.plan.steps[at - 1])
            forget("rehearsal_form")
            st.rerun()
        _fields(shown.record, form)
        with st.container(horizontal=True):
            add = st.button(f"Add after step {at}" if at else "Add as the first step", type="primary", key="rehearsal_add")
            amend = bool(at) and st.button(f"Amend step {at}", key="rehearsal_amend")
        if add or amend:
            _put(now, mine, shown, at, amend=amend)


def _form_of(step: Step) -> StepForm:
    return StepForm(step.action, step.target, step.parts_beside, step.parts_only, step.method, step.batch or "",
                    step.note or "")  # fmt: skip


def _fields(record: Record, form: StepForm) -> None:
    action = fields.segments("Action", ACTIONS, "rehearsal_form_action", form.action)
    if action != form.action:
        same = {action, form.action} <= {"remove", "fit"} or {action, form.action} <= {"mask", "unmask"}
        form.action, form.target = action, form.target if same else ()
    removable = {part.part_id: part.name for part in record.parts if part.removable}
    if action == "strip":
        zones = {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in record.zones}
        known = [one for one in form.target if one in zones]
        form.target = tuple(fields.some_of("Zones to strip", zones, "rehearsal_form_zones", known))
        form.method = fields.one_of("Method", METHODS, "rehearsal_form_method", form.method, placeholder="not stated")
    else:
        label, names = {
            "coat": ("Coat", {coat.coat_id: f"{coat.coat_id} · {coat.name}" for coat in record.coats}),
            "mask": ("Area", {area.area_id: f"{area.area_id} · {area.title}" for area in record.areas}),
        }.get({"unmask": "mask"}.get(action, action), ("Part", removable))
        chosen = fields.one_of(label, names, f"rehearsal_form_{label}", form.target[0] if form.target else None)
        form.target = (chosen,) if chosen else ()
    if action == "coat":
        beside = [one for one in form.beside if one in removable]
        form.beside = tuple(fields.some_of("Parts painted beside the vehicle", removable, "rehearsal_form_beside", beside))
        form.only = fields.tick("Only these parts, not the vehicle", "rehearsal_form_only", form.only)
        form.batch = fields.line("Batch of the paint", "rehearsal_form_batch", form.batch, 80)
    form.note = fields.line("Note", "rehearsal_form_note", form.note, 500)


def _put(now: Opened, mine: Rehearsal, shown: Run, at: int, *, amend: bool) -> None:
    form = mine.form
    coat = form.action == "coat"
    try:
        step = Step(
            step=max(at, 1),
            action=form.action,
            target=form.target,
            parts=((ONLY,) if form.only else ()) + form.beside if coat else (),
            note=form.note.strip() or None,
            method=form.method if form.action == "strip" else None,
            batch=(form.batch.strip() or None) if coat else None,
        )
        faults = step_faults(shown.record, step)
        if faults:
            st.error(
                "\n\n".join(plain(f"{fault.column}: found {fault.found}; allowed: {fault.allowed}") for fault in faults)
            )
            return
        steps = replaced(shown.plan.steps, at, step) if amend else added(shown.plan.steps, at, step)
    except (BodymapError, ValueError) as error:
        st.error(f"Not taken into the plan. {plain(str(error))}")
        return
    did = f"step {at} amended" if amend else f"a step added after step {at}"
    mine.change(rehearsal.own_plan(now), steps, f"{did}: {step_words(shown.record, step)}", at if amend else at + 1)
    mine.form = StepForm(action=form.action)
    forget("rehearsal_form")
    st.rerun()
