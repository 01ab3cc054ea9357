"""Before and after polishing: film lost on each zone between two rounds of readings."""

from __future__ import annotations

from datetime import date

import streamlit as st

from bodymap.film.before_after import Loss
from dashboard.components import fields
from dashboard.components.film_state import ROUNDS, Film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace, held
from dashboard.words import plain

_SIGNS = {"loss": "− lost", "gain": "+ gained", "no change shown": "0 no change shown", "cannot tell": "? cannot tell"}


def rounds(said: Film) -> tuple[str, str, str]:
    """How the two rounds are told apart, for the loaders; the second blank: not stated yet."""
    return said.rounds, said.before, (said.after if said.rounds == "phase" else said.day) or ""


def show(now: Opened, workspace: Workspace, said: Film) -> None:
    """The card."""
    said.rounds = fields.segments("The two rounds differ", ROUNDS, "film_rounds", said.rounds)
    phases = read.phases(now)
    said.before = fields.one_of("Before" if said.rounds == "phase" else "Readings of", phases, "film_before", said.before)
    if said.rounds == "phase":
        others = {phase: name for phase, name in phases.items() if phase != said.before}
        said.after = fields.one_of("After", others, "film_after", said.after if said.after in others else None)
    else:
        day = st.date_input(
            "The second round began on", value=date.fromisoformat(said.day) if said.day else None, key=held("film_day")
        )
        said.day = day.isoformat() if day else None
    if not rounds(said)[2]:
        st.markdown("State both rounds. Read the same spots with the same gauge: its own error then falls out.")
        return
    found = read.losses(now, *rounds(said))
    asked = {zone: loss for zone, loss in found.items() if not workspace.chosen or zone in workspace.chosen}
    told = {zone: loss for zone, loss in asked.items() if loss.verdict != "cannot tell"}
    if told:
        st.table([_row(now, zone, loss) for zone, loss in told.items()], border="horizontal")
    without = [zone for zone in asked if zone not in told]
    if without:
        first = asked[without[0]].why
        st.caption(plain(f"? Cannot tell on {len(without)} zones that were read: {first}."))
    st.caption("Lost is not lost to polish alone: dirt, wax and another zero of the gauge change a reading as well.")


def _row(now: Opened, zone_id: str, loss: Loss) -> dict[str, str]:
    return {
        "Zone": plain(now.record.zone[zone_id].title),
        "Lost µm": plain(f"{loss.loss_um:.1f} ± {loss.u_um:.1f}"),
        "Verdict": plain(_SIGNS[loss.verdict]),
        "By": plain(f"{loss.pairs} spots, one by one" if loss.pairs else "medians"),
    }
