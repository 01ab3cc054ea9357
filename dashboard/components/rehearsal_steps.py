"""The plan as a list that can be changed; every change is made on a plan that is tried, never on the record's own."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.finish.plan_edit import Plan, moved, without
from bodymap.model import Step
from bodymap.views.plan_words import AS_FOUND, step_words
from dashboard import state
from dashboard.components import fields, rehearsal_step_form
from dashboard.components.rehearsal_state import Rehearsal
from dashboard.loaders import Opened, rehearsal
from dashboard.loaders.rehearsal import Run
from dashboard.state import held
from dashboard.words import count, plain

_ROUND = 4


def show(now: Opened, mine: Rehearsal, shown: Run, at: int) -> None:
    """The list, the buttons for the step that is chosen, and the form."""
    st.subheader("Steps", anchor=False)
    steps, own = shown.plan.steps, rehearsal.own_plan(now)
    if steps:
        _list(now, mine, shown, at)
        _buttons(mine, own, steps, at)
    else:
        st.info("No steps yet. Add one below, draft a plan from the history, or take a plan file in.")
    _what_changed(now, mine, shown)
    rehearsal_step_form.show(now, mine, shown, at)


def _list(now: Opened, mine: Rehearsal, shown: Run, at: int) -> None:
    done = rehearsal.progress(now).numbers if shown.plan == rehearsal.own_plan(now) else frozenset()
    guilty: dict[int, int] = {}
    for row in shown.rows:
        for number in row.blame:
            guilty[number] = guilty.get(number, 0) + 1
    names = {0: AS_FOUND}
    for place, step in enumerate(shown.plan.steps, start=1):
        marks = (" · :green[done]" if step.step in done else "") + (
            f" · :red[{count(guilty[step.step], 'face')} wrong]" if step.step in guilty else ""
        )
        names[place] = f"**{step.step}** {plain(step_words(shown.record, step))}{marks}"
    mine.all_steps = fields.tick(f"All {len(shown.plan.steps)} steps", "rehearsal_all", mine.all_steps)
    if not mine.all_steps:
        first = max(0, min(at - _ROUND, len(names) - 1 - 2 * _ROUND))
        names = {number: names[number] for number in list(names)[first : first + 2 * _ROUND + 1]}
    with st.container(key="rehearsal_list", border=True):
        chosen = st.radio(
            "Step",
            list(names),
            index=list(names).index(at),
            format_func=names.get,
            key=held(f"rehearsal_step_list_{at}_{mine.all_steps}"),
            label_visibility="collapsed",
        )
    if chosen != at:
        mine.step = chosen
        state.forget("rehearsal_step_slider")
        st.rerun()


def _buttons(mine: Rehearsal, own: Plan, steps: tuple[Step, ...], at: int) -> None:
    last = len(steps)
    with st.container(horizontal=True, vertical_alignment="bottom", key="rehearsal_move"):
        st.button("Up", icon=":material/arrow_upward:", key="rehearsal_up", disabled=at < 2,
                  on_click=partial(_move, mine, own, steps, at, at - 1))  # fmt: skip
        st.button("Down", icon=":material/arrow_downward:", key="rehearsal_down", disabled=not 0 < at < last,
                  on_click=partial(_move, mine, own, steps, at, at + 1))  # fmt: skip
        to = st.number_input("To place", 1, last, value=max(at, 1), step=1, key=held(f"rehearsal_step_to_{at}"), width=130)
        st.button("Move there", key="rehearsal_move_there", disabled=at == 0 or to == at,
                  on_click=partial(_move, mine, own, steps, at, to))  # fmt: skip
        st.button("Withdraw", icon=":material/delete:", key="rehearsal_withdraw", disabled=at == 0,
                  on_click=partial(_withdraw, mine, own, steps, at))  # fmt: skip
        st.button("Undo", icon=":material/undo:", key="rehearsal_undo_change", disabled=not mine.past, on_click=mine.back)


def _move(mine: Rehearsal, own: Plan, steps: tuple[Step, ...], at: int, to: int) -> None:
    _do(mine, own, lambda: moved(steps, at, to), f"step {at} moved to place {to}", to)


def _withdraw(mine: Rehearsal, own: Plan, steps: tuple[Step, ...], at: int) -> None:
    _do(mine, own, lambda: without(steps, at), f"step {at} left out", max(at - 1, 0))


def _do(mine: Rehearsal, own: Plan, make: Callable[[], tuple[Step, ...]], did: str, step: int) -> None:
    try:
        mine.change(own, make(), did, step)
    except BodymapError as error:
        mine.fault = str(error)


def _what_changed(now: Opened, mine: Rehearsal, shown: Run) -> None:
    """What the last change made worse or better."""
    if mine.fault:
        st.error(plain(mine.fault))
    if not mine.did or not mine.past or shown.plan != mine.what_if:
        return
    before = {(row.what, row.zone_id, row.violation) for row in rehearsal.run(now, mine.past[-1]).rows}
    after = {(row.what, row.zone_id, row.violation): row for row in shown.rows}
    worse = [row for key, row in after.items() if key not in before]
    better = len(before - set(after))
    said = f"Last change: {mine.did}."
    if worse:
        steps = sorted({number for row in worse for number in row.blame})
        faces = ", ".join(dict.fromkeys(row.face for row in worse[:3])) + (" …" if len(worse) > 3 else "")
        by = f" by step {', '.join(map(str, steps))}" if steps else ""
        st.error(f"{plain(said)} **It harms {count(len(worse), 'face')}**{by}: {plain(faces)}.")
    elif better:
        st.success(f"{plain(said)} {count(better, 'face').capitalize()} put right, none made worse.")
    else:
        st.info(f"{plain(said)} No face ends other than before.")
