"""The plan run on the panel sheet: which plan, how far, and both sheets beside each other."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial

import plotly.graph_objects as go
import streamlit as st

from bodymap.finish.plan_edit import Plan
from bodymap.views.laid_over import LaidOver, chosen_edges
from bodymap.views.plan_words import AS_FOUND, step_words
from dashboard import loaders, state
from dashboard.components import fields, sheet_map
from dashboard.components.rehearsal_state import OWN, WHAT_IF, Rehearsal
from dashboard.figures.laid_over import Frame, laid_over_html
from dashboard.figures.sheet import sheet_config
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.words import SHEETS, count, plain, share, square_metres

_CONFIG = {**sheet_config(), "scrollZoom": False, "displayModeBar": False, "doubleClick": False, "doubleClickDelay": 0}


@dataclass
class _Maps:
    """By sheet, what the browser holds as selected, and how often a chart began anew."""

    of_sheet: dict[str, sheet_map.Held] = field(default_factory=dict)
    turns: dict[str, int] = field(default_factory=dict)


def which(now: Opened, mine: Rehearsal) -> Run:
    """The plan that is run, and how each plan ends; returns the one that is shown."""
    own = rehearsal.own_plan(now)
    tried = mine.what_if
    with st.container(horizontal=True, vertical_alignment="bottom", key="rehearsal_which"):
        if tried is not None:
            names = {OWN: "The record's plan", WHAT_IF: "What if"}
            shown = fields.segments("Plan", names, "rehearsal_shown", mine.shown)
            if shown != mine.shown:
                mine.shown, mine.step = shown, None
                state.forget("rehearsal_step")
        with st.container(gap="xsmall"):
            _ends(rehearsal.run(now, own), "The record's plan")
            if tried is not None:
                _ends(rehearsal.run(now, tried), f"What if ({mine.name}), not saved")
    return rehearsal.run(now, tried if tried is not None and mine.shown == WHAT_IF else own)


def _ends(run: Run, name: str) -> None:
    """How a plan ends, in one line."""
    result = run.result
    if not run.plan.steps:
        st.markdown(f"**{plain(name)}:** no steps yet.", width="content")
        return
    if not result.total_mm2:
        st.markdown(f"**{plain(name)}:** {count(len(run.plan.steps), 'step')}; no face has a goal, nothing to compare.")
        return
    ends = f"{square_metres(result.match_mm2)} of {square_metres(result.total_mm2)} drawn end as wanted"
    wrong = len(run.rows)
    told = f"**{count(wrong, 'face')} wrong**" if wrong else "nothing wrong"
    icon = ":material/error:" if wrong else ":material/check_circle:"
    st.markdown(f"{icon} **{plain(name)}:** {ends} ({share(result.match_mm2, result.total_mm2)}), {told}.")


def slider(mine: Rehearsal, shown: Run) -> int:
    """How far the plan is run; returns the place of the step, 0 before the first one."""
    steps = shown.plan.steps
    last = len(steps)
    at = last if mine.step is None else min(mine.step, last)
    words = st.container(gap="xsmall")
    with st.container(key="rehearsal_slider"):
        names = {str(place): f"{shown.plan.number_at(place)}" for place in range(last + 1)}
        with st.container(horizontal=True, vertical_alignment="bottom"):
            st.button("Back", icon=":material/chevron_left:", key="rehearsal_back",
                      on_click=partial(mine.go, max(at - 1, 0)), disabled=at <= 0)  # fmt: skip
            with st.container(width="stretch"):
                label = f"Plan run to step (of {last})"
                chosen = int(fields.along(label, names, "rehearsal_step_slider", str(at), label_visibility="collapsed"))
            st.button("On", icon=":material/chevron_right:", icon_position="right", key="rehearsal_on",
                      on_click=partial(mine.go, min(at + 1, last)), disabled=at >= last)  # fmt: skip
    if chosen != at:
        mine.step, at = chosen, chosen
        state.forget("rehearsal_step_list")
    with words:
        said = f"Step {steps[at - 1].step} of {last}: {plain(step_words(shown.record, steps[at - 1]))}" if at else AS_FOUND
        with st.container(horizontal=True, vertical_alignment="center"):
            st.subheader(said, anchor=False, width="content")
            if at and steps[at - 1].note:
                st.caption(plain(steps[at - 1].note), width="stretch")
    return at


def sheets(now: Opened, mine: Rehearsal, plan: Plan, at: int) -> None:
    """Outside and hidden faces after the step at a place."""
    upto = plan.number_at(at)
    theme = state.theme()
    kinds = [kind for kind in SHEETS if any(drawing.kind == kind for drawing in now.record.drawings)]
    with st.container(key="rehearsal_maps"):
        for place, kind in zip(st.columns(max(len(kinds), 1), gap="small"), kinds, strict=False):
            with place, st.container(key=f"plan_on_{kind}", gap="xsmall"):
                st.markdown(f"**{SHEETS[kind]}**")
                with st.container(key=f"plan_held_{kind}"):
                    _map(now, mine, kind, rehearsal.figure(now, plan, kind, upto, theme), upto)


def _map(now: Opened, mine: Rehearsal, kind: str, figure: go.Figure, upto: int) -> None:
    """One sheet, with the chosen face's edges laid over it: a touch does not draw it anew."""
    maps = state.of(_Maps)
    held = maps.of_sheet.setdefault(kind, sheet_map.Held())
    if held.zone_id and held.zone_id != mine.zone_id:
        maps.turns[kind], held.zone_id = maps.turns.get(kind, 0) + 1, ""
    key = f"rehearsal_map_{kind}_{maps.turns.get(kind, 0)}"
    st.plotly_chart(
        figure,
        key=key,
        on_select=partial(_touched, key, kind),
        selection_mode="points",
        config=_CONFIG,
        theme=None,
        alt=f"{SHEETS[kind]} after step {upto} of the plan. Faces can also be chosen by name below.",
    )
    theme = state.theme()
    frame = Frame.of(figure)
    over = LaidOver(chosen=chosen_edges(now.record, loaders.layout(now, kind), [mine.zone_id], frame.clear_mm))
    st.markdown(laid_over_html(over, frame, theme), unsafe_allow_html=True)


def _touched(key: str, kind: str) -> None:
    mine, held = state.of(Rehearsal), state.of(_Maps).of_sheet[kind]
    points = st.session_state[key].selection.points
    zones = [str(point["customdata"][0]) for point in points if point.get("customdata")]
    if zones:
        mine.zone_id = "" if mine.zone_id == zones[-1] else zones[-1]
        held.zone_id = zones[-1]
    elif (let_go := held.let_go()) and not points and mine.zone_id == let_go:  # the same point once more
        mine.zone_id = ""
    state.forget("rehearsal_face")
