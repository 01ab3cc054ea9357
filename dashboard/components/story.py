"""The demo vehicle's story: a strip above the page that tells one step and, asked to, shows the very thing it tells of.

It never covers the page and is put away with a touch. What was typed on the page that is left is read before the window is
set for the next one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from dashboard import state
from dashboard.components import survey_state
from dashboard.components.film_state import Film
from dashboard.components.hand_over_state import HandOver
from dashboard.components.keep_state import KeepState
from dashboard.components.rehearsal_state import Rehearsal
from dashboard.components.step_card import StepCardWork
from dashboard.components.template_state import Templates
from dashboard.loaders import Opened, rehearsal
from dashboard.state import Workspace
from dashboard.words import plain
from demo.story import STORY, VEHICLE_ID, Telling

# What each screen keeps for a window, and the fields that show it.
_KEPT: Mapping[str, tuple[type, Mapping[str, str]]] = {
    "film.py": (Film, {"look": "film_look", "spread": "film_spread"}),
    "keep_and_strip.py": (KeepState, {"stage": "keep_stage"}),
    "mask_brief.py": (Templates, {"side": "mask_brief_side"}),
    "hand_over.py": (HandOver, {"side": "hand_over_side"}),
}
# The page moves by itself a few times while figures are laid out, never after a hand has moved it.
_LOOK = """<script>(() => {
  let ours = true;
  for (const moved of ["wheel", "pointerdown", "keydown", "touchstart"])
    window.addEventListener(moved, () => { ours = false; }, {once: true, capture: true});
  for (const wait of [50, 400, 1200]) setTimeout(() => {
    const there = document.querySelector(".st-key-LOOK");
    if (ours && there) there.scrollIntoView({block: "start"});
  }, wait);
})() /* TIMES */</script>"""


@dataclass
class Told:
    """How far the story is told in one window. `asked`: to be shown after this run; `look`: where; `times`: shown."""

    told: bool = False
    at: int = 0
    asked: bool = False
    look: str = ""
    times: int = 0

    def turn(self) -> None:
        """Take the strip out, or put it away."""
        self.told = not self.told

    def go(self, at: int) -> None:
        """Tell another step."""
        self.at = at

    def ask(self) -> None:
        """Ask to be shown what is told."""
        self.asked = True


def link(now: Opened) -> None:
    """The way into the story; only the demo vehicle has one."""
    if now.record.vehicle.vehicle_id == VEHICLE_ID:
        st.button("The van's story", type="tertiary", icon=":material/auto_stories:", key="story_link",
                  on_click=state.of(Told).turn)  # fmt: skip


def show(now: Opened) -> None:
    """The strip, while it is out."""
    mine = state.of(Told)
    if not mine.told or now.record.vehicle.vehicle_id != VEHICLE_ID:
        return
    step, last = STORY[mine.at], len(STORY) - 1
    with st.container(key="story", horizontal=True, vertical_alignment="center"):
        with st.container(key="story_text", width="stretch", gap="xxsmall"):
            st.markdown(f"**{mine.at + 1} of {len(STORY)} · {plain(step.title)}** · {plain(step.stage)}")
            st.markdown(plain(step.text))
        with st.container(key="story_buttons", horizontal=True, width="content", gap="xsmall"):
            st.button("Back", icon=":material/chevron_left:", key="story_back", disabled=mine.at == 0,
                      on_click=partial(mine.go, max(mine.at - 1, 0)))  # fmt: skip
            st.button("Next", icon=":material/chevron_right:", icon_position="right", key="story_next",
                      disabled=mine.at == last, on_click=partial(mine.go, min(mine.at + 1, last)))  # fmt: skip
            st.button("Show me", type="primary", icon=":material/visibility:", key="story_show", on_click=mine.ask)
            st.button("Put away", icon=":material/close:", key="story_close", on_click=mine.turn)


def follow(now: Opened) -> None:
    """After the page: set the window for what was asked to be shown and go there; once there, bring it into view."""
    mine, workspace = state.of(Told), state.current()
    if mine.asked:
        mine.asked = False
        step = STORY[mine.at]
        try:
            _set(now, workspace, step)
        except BodymapError as error:
            workspace.tell(":material/error:", f"It cannot be shown. {plain(str(error))}")
        mine.look, mine.times = step.look or "story", mine.times + 1
        st.switch_page(f"screens/{step.screen}")
    if mine.told and mine.look:
        script = _LOOK.replace("LOOK", mine.look).replace("TIMES", str(mine.times))
        st.html(script, unsafe_allow_javascript=True)
        mine.look = ""


def _set(now: Opened, workspace: Workspace, step: Telling) -> None:
    for name, value in step.shows.items():
        setattr(workspace, name, list(value) if isinstance(value, tuple) else value)
        state.forget(name)
    workspace.turn += 1
    if step.screen in _KEPT:
        kind, fields = _KEPT[step.screen]
        for name, value in step.own.items():
            setattr(state.of(kind), name, value)
            state.forget(fields[name])
    elif step.screen == "survey.py":
        survey_state.turn_to(survey_state.current(now), workspace, str(step.own["what"]))
        state.forget("survey_what")
    elif step.screen == "rehearsal.py":
        _rehearse(now, state.of(Rehearsal), step.own)


def _rehearse(now: Opened, mine: Rehearsal, own: Mapping[str, object]) -> None:
    """Run the demo's plan to a step, or take its step card; a plan of somebody's own comes back with Undo."""
    mine.card = str(own["card"])
    state.forget("rehearsal_card")
    if "plan" in own:
        name = str(own["plan"])
        path = rehearsal.beside(now, name)
        if path is not None:
            plan = rehearsal.ordered(rehearsal.taken_in(now, rehearsal.bytes_of(path), name)[0])
            before = mine.what_if
            mine.try_plan(plan, name)
            mine.past = [before] if before not in (None, plan) else []
            mine.go(plan.place_of(int(str(own["step"]))))
    if "card_file" in own:
        card, name = state.of(StepCardWork), str(own["card_file"])
        path = rehearsal.beside(now, name)
        if path is not None:
            card.data, card.name = rehearsal.bytes_of(path), name
        for one in ("coat_id", "at_um", "pass_um", "reading_um"):
            setattr(card, one, own[one])
        state.forget("step_card_")
