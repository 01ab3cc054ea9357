"""Paint figures of a coat and the shop's working figures, amended: shown in effect before they are saved."""

from __future__ import annotations

from dataclasses import dataclass, field

import streamlit as st
from pydantic import ValidationError

from bodymap.model import Coat, Setting
from bodymap.settings import BASES, Figure
from bodymap.store.record_file import Put
from dashboard import actions, state
from dashboard.components import fields
from dashboard.components.attempt import attempt
from dashboard.components.rehearsal_fields import decimal
from dashboard.loaders import Opened, rehearsal
from dashboard.state import Workspace, forget
from dashboard.words import plain

_FIGURES = {
    "volume_solids_pct": ("Volume solids, %", 0.1, 100.0, 1.0),
    "thinning_pct": ("Thinning, % of the paint", 0.0, 500.0, 5.0),
    "film_um": ("Dry film, µm", 0.1, 10_000.0, 1.0),
    "pass_um": ("Film of one pass, µm", 0.1, 10_000.0, 1.0),
}
_KEYS = ("transfer_air_pct", "transfer_low_pressure_pct", "transfer_hand_pct", "filler_waste_pct", "tape_lap_pct",
         "mask_film_lap_pct")  # fmt: skip


@dataclass
class PaintForm:
    """What was typed about a coat (`coat_id`) or a working figure (`key`)."""

    coat_id: str | None = None
    figures: dict[str, float | None] = field(default_factory=dict)
    key: str | None = None
    value: float | None = None
    basis: str | None = None
    source: str = ""


def show(now: Opened, workspace: Workspace) -> None:
    """The form."""
    form = state.of(PaintForm)
    with st.expander("Amend a figure", key="quantities_amend"):
        coat_side, figure_side = st.columns(2, gap="medium")
        with coat_side:
            _coat(now, workspace, form)
        with figure_side:
            _figure(now, workspace, form)


def _coat(now: Opened, workspace: Workspace, form: PaintForm) -> None:
    planned = dict.fromkeys(one.target[0] for one in now.record.steps if one.action == "coat" and one.target)
    names = {coat: f"{coat} · {now.record.coat[coat].name}" for coat in planned if coat in now.record.coat}
    chosen = fields.one_of("Paint of", names, "paint_coat", form.coat_id, placeholder="choose a coat")
    if chosen != form.coat_id:
        form.coat_id = chosen
        coat = now.record.coat.get(chosen or "")
        form.figures = {name: getattr(coat, name) for name in _FIGURES} if coat else {}
        forget("paint_figure")
    if not form.coat_id:
        return
    with st.container(horizontal=True):
        for name, (label, least, most, step) in _FIGURES.items():
            form.figures[name] = decimal(label, f"paint_figure_{name}", form.figures.get(name), least, most, step)
    coat = now.record.coat[form.coat_id]
    try:
        amended = Coat.model_validate({**coat.model_dump(), **form.figures})
    except ValidationError as error:
        st.error(plain("; ".join(f"{_FIGURES[str(one['loc'][0])][0]}: {one['msg']}" for one in error.errors())))
        return
    if amended != coat:
        st.markdown(f"With these figures: {plain(rehearsal.with_coat(now, amended))}")
    st.caption("Volume solids by volume, from the data sheet; not by weight.")
    if _signed(workspace, "paint") and st.button("Save the paint figures", key="paint_save", disabled=bool(now.read_only)):
        _save(now, workspace, [Put(amended)], f"Paint figures of {coat.coat_id}")


def _figure(now: Opened, workspace: Workspace, form: PaintForm) -> None:
    held = now.settings.figures
    names = {key: f"{held[key].meaning} ({held[key].value:g} {held[key].unit})" for key in _KEYS if key in held}
    chosen = fields.one_of("Working figure", names, "figure_key", form.key, placeholder="choose a figure")
    if chosen != form.key:
        form.key = chosen
        form.value = held[chosen].value if chosen else None
        form.basis, form.source = "own trial", ""
        forget("figure_value")
    if not form.key:
        return
    figure: Figure = held[form.key]
    st.caption(plain(f"Now {figure.value:g} {figure.unit}: {figure.basis}; {figure.source or 'no source stated'}"))
    form.value = decimal(f"Value, {figure.unit}", "figure_value_value", form.value, figure.low, min(figure.high, 1e6), 1.0)
    form.basis = fields.one_of("Basis", {basis: basis for basis in BASES}, "figure_value_basis", form.basis)
    form.source = fields.line("Source", "figure_value_source", form.source, 300)
    if _signed(workspace, "figure") and st.button("Save the figure", key="figure_save", disabled=bool(now.read_only)):
        if form.value is None or not form.basis:
            st.warning("Not saved. Still needed: value and basis.")
            return
        try:
            setting = Setting(key=form.key, value=f"{form.value:g}", basis=form.basis, source=form.source.strip() or None)
        except ValidationError as error:
            st.error(f"Not saved. {plain(str(error))}")
            return
        _save(now, workspace, [Put(setting)], f"Working figure {form.key}")


def _signed(workspace: Workspace, name: str) -> bool:
    workspace.by = fields.line("Your name", f"quantities_by_{name}", workspace.by, 80)
    if not workspace.by.strip():
        st.caption("With your name it can be saved.")
    return bool(workspace.by.strip())


def _save(now: Opened, workspace: Workspace, changes: list[Put], why: str) -> None:
    entries = attempt(lambda: actions.save(now, changes, by=workspace.by.strip(), why=why, seen=workspace.seen))
    if entries:
        form = state.of(PaintForm)
        form.coat_id, form.figures, form.key = None, {}, None
        forget("paint_")
        forget("figure_")
        workspace.tell(":material/check:", f"{why}: entry {entries[-1].seq} of the record.")
        st.rerun()
