"""Progress: steps done with who, when, batch and air; the warning near the dew point; readings after a coat."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.finish.climate import Air, air_verdict
from bodymap.finish.progress import Done, Progress, StepDone
from bodymap.model import Step
from bodymap.views.plan_words import step_words
from dashboard import actions_rehearsal, own_saves, state
from dashboard.components import fields, rehearsal_readings, survey_fields, undoing
from dashboard.components.attempt import attempt
from dashboard.components.rehearsal_fields import decimal
from dashboard.components.rehearsal_state import DoneForm, Rehearsal
from dashboard.loaders import Opened, moment, rehearsal
from dashboard.state import Workspace, forget
from dashboard.words import NOT_STATED, count, plain

_ICONS = {"dry": "", "damp": ":material/water_drop: ", "wet": ":material/water_drop: ", "cannot tell": ""}
_KINDS = ("source", "signoff", "reading")


def show(now: Opened, workspace: Workspace) -> None:
    """The card; it speaks of the record's own plan."""
    plan, progress = rehearsal.own_plan(now), rehearsal.progress(now)
    if not plan.steps:
        no_plan("The record has no plan yet: its steps are told done here.")
        return
    left, right = st.columns([10, 13], gap="medium")
    with left:
        _form(now, workspace, plan.steps, progress)
    with right:
        _done(now, plan.steps, progress)
        rehearsal_readings.show(now, workspace, progress)
        undoing.show(now, workspace, _KINDS, "progress", own_saves.on_progress)


def no_plan(words: str) -> None:
    """What a card says while there is no plan, and the way to where one is made."""
    with st.container(horizontal=True, vertical_alignment="center", key="no_plan"):
        st.info(words)
        st.button(
            "Make the plan", icon=":material/arrow_forward:", key="to_the_plan", on_click=state.of(Rehearsal).to_card,
            args=("plan",),
        )  # fmt: skip


def _form(now: Opened, workspace: Workspace, steps: tuple[Step, ...], progress: Progress) -> None:
    st.subheader("Tell a step done", anchor=False)
    form = state.of(DoneForm)
    names = {step.step: f"{step.step} {step_words(now.record, step, short=True)}" for step in steps}
    left = [number for number in names if number not in progress.numbers]
    if form.step not in names or form.step in progress.numbers:
        form.step = next((number for number in left if number > form.after), left[0] if left else None)
        forget("done_step")
    if not left:
        st.success("Every step of the record's plan is told done.")
        return
    form.step = fields.one_of("Step done", {number: names[number] for number in left}, "done_step", form.step)
    if form.step is None:
        return
    step = steps[form.step - 1] if steps[form.step - 1].step == form.step else next(s for s in steps if s.step == form.step)
    form.on = fields.line("Done on (YYYY-MM-DD, or with time)", "done_on", form.on or moment()[:10], 40)
    workspace.by = fields.line("Done by", "done_by", workspace.by, 80)
    if step.action == "coat":
        _coat_fields(now, form, step)
    form.note = fields.line("Note", "done_note", form.note, 500)
    if st.button(f"Save: step {step.step} is done", type="primary", key="done_save", disabled=bool(now.read_only)):
        _save(now, workspace, form, step)


def _coat_fields(now: Opened, form: DoneForm, step: Step) -> None:
    form.batch = fields.line("Batch of the paint", f"done_batch_{step.step}", form.batch or step.batch or "", 80)
    with st.container(horizontal=True):
        form.air_c = decimal("Air °C", "done_air", form.air_c, -40.0, 50.0)
        form.humidity_pct = decimal("Humidity %", "done_humidity", form.humidity_pct, 0.0, 100.0)
        form.surface_c = decimal("Surface °C", "done_surface", form.surface_c, -40.0, 120.0)
    air = _air(form)
    if air != Air():
        try:
            said = air_verdict(air, now.settings)
        except BodymapError as error:
            st.error(plain(str(error)))
        else:
            words = f"{said.verdict.capitalize()}: {said.words}." if said.verdict in ("damp", "wet") else f"{said.words}."
            tell = st.error if said.warns else st.success if said.verdict == "dry" else st.info
            tell(plain(words[:1].upper() + words[1:]))
    form.accepted = fields.tick("The coat is accepted: sign for it with the name above", "done_accepted", form.accepted)


def _air(form: DoneForm) -> Air:
    return Air(form.air_c, form.humidity_pct, form.surface_c)


def _save(now: Opened, workspace: Workspace, form: DoneForm, step: Step) -> None:
    missing = [what for what, said in (("the day", form.on), ("who did it", workspace.by)) if not said.strip()]
    if survey_fields.is_to_come(form.on):
        missing.append("a day that is not still to come")
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}.")
        return
    coat = step.action == "coat"
    done = Done(
        step.step,
        step.action,
        step.target,
        form.on.strip(),
        workspace.by.strip(),
        (form.batch.strip() or None) if coat else None,
        _air(form) if coat else Air(),
        form.note.strip() or None,
    )
    entries = attempt(
        lambda: actions_rehearsal.save_done(now, done, accepted=coat and form.accepted, seen=workspace.seen),
        invalid="Done on: allowed is an ISO 8601 date, YYYY-MM-DD or YYYY-MM-DDThh:mm",
    )
    if entries:
        # The air and the name stay for the next step of the day.
        form.after, form.step, form.batch, form.note, form.accepted = step.step, None, "", "", False
        forget("done_")
        workspace.tell(":material/check:", f"Step {step.step} told done: entry {entries[-1].seq} of the record.")
        st.rerun()


def _done(now: Opened, steps: tuple[Step, ...], progress: Progress) -> None:
    st.subheader(f"{len(progress.numbers)} of {count(len(steps), 'step')} done", anchor=False)
    damp = [one for one in progress.steps if one.air is not None and one.air.warns]
    if damp:
        told = "; ".join(f"step {_number(one)}: {one.air.found}" for one in damp if one.air)
        st.error(f"**Sprayed too near the dew point.** {plain(told)}.", icon=":material/water_drop:")
    lost = [one for one in progress.steps if one.step is None]
    if lost:
        st.warning(f"{count(len(lost), 'step')} told done that the plan has not any more: "
                   f"{plain('; '.join(f'step {one.done.number} {one.done.action} (' + ', '.join(one.done.target[:3]) + ')' for one in lost))}.")  # fmt: skip  # noqa: E501
    for words in progress.unread:
        st.warning(f"A statement that cannot be read: {plain(words)}")
    if progress.steps:
        with st.container(key="rehearsal_done"):
            st.table([_row(now, one) for one in progress.steps], border="horizontal")
    else:
        st.caption("No step is told done yet.")


def _number(one: StepDone) -> int:
    return one.step.step if one.step else one.done.number


def _row(now: Opened, one: StepDone) -> dict[str, str]:
    done, air = one.done, one.done.air
    step = one.step or Step(step=max(done.number, 1), action=done.action, target=done.target)
    was = f" (then {done.number})" if one.step and one.step.step != done.number else ""
    figures = [("", air.air_c, "°C"), ("", air.humidity_pct, "%"), ("metal ", air.surface_c, "°C")]
    told = " · ".join(f"{name}{value:g} {unit}" for name, value, unit in figures if value is not None)
    margin = ""
    if one.air is not None:
        margin = one.air.verdict if one.air.margin_c is None else f"{one.air.margin_c:.1f} °C, {one.air.verdict}"
        margin = f":red[**{margin}**]" if one.air.warns else margin
    said = f"{step_words(now.record, step, short=True)}" + (f" ({done.note})" if done.note else "")
    return {
        "Step": f"{_number(one)}{was}",
        "What": plain(said),
        "On": plain(done.on),
        "By": plain(done.by),
        "Batch": plain(done.batch) if done.batch else (NOT_STATED if done.action == "coat" else "–"),
        "Air": told or (NOT_STATED if done.action == "coat" else "–"),
        "Above dew point": margin or "–",
    }
