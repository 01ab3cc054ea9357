"""Film readings after a coat: a few typed at one face, and what they come to beside the build that is planned."""

from __future__ import annotations

import re

import streamlit as st

from bodymap.film.fitness import refusal
from bodymap.finish.progress import Progress
from dashboard import actions_rehearsal, state
from dashboard.components import fields
from dashboard.components.attempt import attempt
from dashboard.components.rehearsal_state import ReadingForm
from dashboard.loaders import Opened, rehearsal
from dashboard.state import Workspace, forget
from dashboard.words import micrometres, plain, whole

_PRINCIPLES = {"magnetic": "magnetic (steel)", "eddy": "eddy current (aluminium)", "ultrasonic": "ultrasonic"}
_SPLIT = re.compile(r"[\s;]+")


def show(now: Opened, workspace: Workspace, progress: Progress) -> None:
    """What was read after the coats, and the form for more."""
    rows = rehearsal.after_coats(now)
    with st.expander("Film readings after a coat", key="after_coat", expanded=bool(rows)):
        if rows:
            st.table(
                [
                    {
                        "After": plain(row.coat),
                        "Face": plain(row.face),
                        "Readings": f"{row.n} at {row.spots}",
                        "Median µm": whole(row.median_um),
                        "Planned build": "not stated" if row.planned is None else _span(row.planned.low, row.planned.high),
                        "Refused": f"{row.refused}" if row.refused else "–",
                    }
                    for row in rows
                ],
                border="horizontal",
            )
            st.caption(
                "Planned build: films stated with the coats (else their usual films) of all coats on the face by then."
            )
        _form(now, workspace, progress)


def _span(low: float, high: float) -> str:
    return micrometres(low) if low == high else f"{low:.0f}–{micrometres(high)}"


def _form(now: Opened, workspace: Workspace, progress: Progress) -> None:
    form = state.of(ReadingForm)
    done = [one.done.target[0] for one in progress.steps if one.done.action == "coat" and one.done.target]
    coats = {coat: f"{coat} · {now.record.coat[coat].name}" for coat in dict.fromkeys(done) if coat in now.record.coat}
    if not coats:
        st.caption("Tell a coat done first; then readings after it can be entered. A gauge file goes in on the Film screen.")
        return
    form.coat_id = fields.one_of("Read after", coats, "after_coat", form.coat_id or list(coats)[-1])
    zones = {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in now.record.zones}
    form.zone_id = fields.one_of("Face read", zones, "after_zone", form.zone_id, placeholder="Type its name")
    form.principle = fields.segments("Gauge", _PRINCIPLES, "after_principle", form.principle)
    form.typed = fields.line("Readings of one spot in µm, with blanks between", "after_typed", form.typed, 200)
    form.instrument = fields.line("Instrument", "after_instrument", form.instrument, 80)
    if form.zone_id:
        why = refusal(form.principle, now.record.part[now.record.zone[form.zone_id].part_id].substrate)
        if why:
            st.warning(f"{why[:1].upper()}{why[1:]}: kept and shown, never counted.")
    if st.button("Save the readings", key="after_save", disabled=bool(now.read_only)):
        _save(now, workspace, form)


def _save(now: Opened, workspace: Workspace, form: ReadingForm) -> None:
    values, wrong = [], []
    for text in filter(None, _SPLIT.split(form.typed)):
        try:
            values.append(float(text))
        except ValueError:
            wrong.append(text)
    needed = (
        ("the coat", form.coat_id),
        ("the face", form.zone_id),
        ("readings", values),
        ("your name", workspace.by.strip()),
    )
    missing = [what for what, said in needed if not said]
    if wrong or missing:
        told = [f"{', '.join(wrong)}: allowed are numbers with a decimal point, in µm"] if wrong else []
        told += [f"still needed: {', '.join(missing)}"] if missing else []
        st.warning(f"Not saved. {plain('; '.join(told))}.")
        return
    entries = attempt(lambda: actions_rehearsal.save_readings(
        now, form.zone_id or "", form.coat_id or "", values, form.principle, instrument=form.instrument.strip() or None,
        by=workspace.by.strip(), seen=workspace.seen,
    ))  # fmt: skip
    if entries:
        form.typed = ""
        forget("after_typed")
        workspace.tell(":material/check:", f"{len(entries)} readings saved.")
        st.rerun()
