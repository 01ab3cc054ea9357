"""The mask brief itself: to be saved, what it takes, and its sheets as printed; and the order of work."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.views.running_sheet import RunningStep, running_sheet
from dashboard.components import brief_table, long_work
from dashboard.loaders import Opened, prints
from dashboard.words import count, plain

_AS_BEFORE = "as before"


def show(now: Opened) -> None:
    """The print of all areas."""
    if not now.record.areas:
        st.info("No area is kept or masked yet. Mark one on the panel sheet, and its brief is made here.")
        return
    try:
        print_ = long_work.result(prints.mask_brief, now)
    except BodymapError as error:
        st.error("The mask brief could not be made.")
        st.text(str(error))
        return
    if print_ is None:
        return
    name = f"mask-brief-{now.record.vehicle.vehicle_id}-{now.head.count}.pdf"
    st.download_button(
        "Mask brief (PDF)", print_.pdf, file_name=name, mime="application/pdf", type="primary", key="brief_pdf"
    )
    for note in print_.notes:
        st.caption(plain(note))
    brief_table.show(print_.view)
    with st.container(horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{count(len(print_.pages), 'sheet')}**, as printed:")
        number = st.pagination(len(print_.pages), key=f"brief_page_{now.revision}")
    st.image(print_.pages[number - 1], width="content", alt=f"Mask brief, sheet {number} of {len(print_.pages)}")


def order(now: Opened) -> None:
    """Every step of the plan in its order, with what is off and what is masked in it."""
    steps = running_sheet(now.record)
    if not steps:
        st.info("No step is planned yet. The repaint rehearsal drafts the steps from what was found, and this shows them.")
        return
    st.markdown(
        f"**{count(len(steps), 'step')}**, each with what is off the vehicle and what is masked while it is done. The mask "
        "brief prints them too."
    )
    before = (None, *steps[:-1])
    st.table([_row(step, last) for step, last in zip(steps, before, strict=True)], border="horizontal")


def _row(step: RunningStep, last: RunningStep | None) -> dict[str, str]:
    """A step; what did not change is told again only where a coat goes on."""
    what = ", ".join(step.what)
    if step.beside:
        what += f" – {'only ' if step.only_beside else ''}beside the vehicle: {', '.join(step.beside)}"
    said = f"{what} · {step.said}" if step.said else what
    return {
        "Step": str(step.number),
        "Do": f"**{step.verb}**" if step.is_coat else step.verb,
        "What": plain(said),
        "Off": _AS_BEFORE if _same(step, last, step.off, last and last.off) else _listed(step.off),
        "Masked": _AS_BEFORE if _same(step, last, step.masked, last and last.masked) else _listed(step.masked),
    }


def _same(step: RunningStep, last: RunningStep | None, now: tuple[str, ...], before: tuple[str, ...] | None) -> bool:
    return last is not None and not step.is_coat and bool(now) and now == before


def _listed(names: tuple[str, ...]) -> str:
    return plain(", ".join(names)) if names else "nothing"
