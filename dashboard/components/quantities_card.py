"""Quantities: paint by coat and step, strip, tape and film, each figure with its basis; figures to amend; the print."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.views.quantities_sheet import NOT_STATED, QuantitiesView
from dashboard.components import quantities_form, undoing
from dashboard.components.rehearsal_progress import no_plan
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.state import Workspace
from dashboard.words import plain

_KINDS = ("coat", "setting")


def show(now: Opened, workspace: Workspace, shown: Run) -> None:
    """The card; it speaks of the plan that is shown, and prints that of the record."""
    own = rehearsal.own_plan(now)
    if not shown.plan.steps:
        no_plan("No steps yet: paint, tape and film are reckoned from the plan.")
        return
    try:
        view = rehearsal.quantities(now, shown.plan)
    except BodymapError as error:
        st.error("The quantities could not be reckoned.")
        st.text(str(error))
        return
    if shown.plan != own:
        st.info("These are the quantities of the plan that is tried. The print is of the record's plan.")
    _print(now)
    _totals(view)
    quantities_form.show(now, workspace)
    undoing.show(now, workspace, _KINDS, "quantities")
    with st.expander("Paint by step", key="paint_by_step", expanded=True):
        _coats(view)
    left, right = st.columns([10, 13], gap="medium")
    with left:
        _strips(view)
    with right:
        _masks(view)
    with st.expander("What the figures rest on", key="quantities_basis"):
        _basis(view)


def _print(now: Opened) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        st.subheader("Quantities", anchor=False, width="content")
        if not rehearsal.own_plan(now).steps:
            return
        print_ = rehearsal.quantities_print(now)
        name = f"quantities-{now.record.vehicle.vehicle_id}-{now.head.count}.pdf"
        st.download_button("Quantities (PDF)", print_.pdf, file_name=name, mime="application/pdf", type="primary",
                           key="quantities_pdf")  # fmt: skip
    for note in print_.notes:
        st.caption(f"Cannot be printed: {plain(note)}")


def _figure(words: str) -> str:
    return f":red[**{words}**]" if words == NOT_STATED else words


def _totals(view: QuantitiesView) -> None:
    with st.container(key="quantities_totals"):
        st.table(
            [
                {
                    "Coat": f"**{plain(row.name)}** ({plain(row.coat_id)})",
                    "Steps": row.steps,
                    "Surface": row.surface,
                    "Paint": _figure(row.paint),
                    "Thinner": _figure(row.thinner),
                    "Ready to spray": _figure(row.ready),
                }
                for row in view.totals
            ],
            border="horizontal",
        )


def _coats(view: QuantitiesView) -> None:
    st.table(
        [
            {
                "Step": f"{row.step}",
                "Coat": plain(row.name),
                "Surface": f"{row.surface}, {row.faces}",
                "Dry film": _figure(row.film),
                "Passes": _figure(row.passes),
                "Wet, one pass": _figure(row.wet_pass),
                "Paint": _figure(row.paint) + (f" (in place {row.in_place})" if row.in_place else ""),
                "Ready": _figure(row.ready),
            }
            for row in view.coats
        ],
        border="horizontal",
    )
    for row in view.coats:
        if row.lacks:
            st.caption(f"Step {row.step}, {plain(row.name)}: {plain('; '.join(row.lacks))}.")


def _strips(view: QuantitiesView) -> None:
    st.markdown("**Surface to strip**")
    if not view.strips:
        st.caption("No step strips anything.")
        return
    st.table(
        [
            {"Step": f"{row.step}", "Method": row.method, "Surface": row.surface, "By hand (margin)": row.by_hand}
            for row in view.strips
        ],
        border="horizontal",
    )
    st.caption(" · ".join(f"{what} {much}" for what, much in view.strip_totals))


def _masks(view: QuantitiesView) -> None:
    st.markdown("**Tape and film, lap included**")
    if not view.masks:
        st.caption("No step masks anything.")
        return
    st.table(
        [{"Step": f"{row.step}", "Mask": plain(row.title), "Tape": plain(row.tape), "Film": row.film} for row in view.masks],
        border="horizontal",
    )
    tapes = " · ".join(f"{what} {much}" for what, much in view.tape_totals)
    st.caption(plain(f"In all: {tapes} · masking film {view.film_total}"))


def _basis(view: QuantitiesView) -> None:
    for row in (*view.coats, *view.strips, *view.masks):
        title = getattr(row, "name", None) or getattr(row, "method", None) or getattr(row, "title", "")
        st.markdown(f"**Step {row.step}, {plain(title)}**")
        st.text("\n".join(row.basis))
    st.text("\n".join(view.notes))
    st.caption(plain(" ".join(view.cautions)))
