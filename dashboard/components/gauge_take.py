"""Which gauge it was and when it was read, its check on foils, and the one save that takes the readings in."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.film.mapping import Preview
from bodymap.film.uncertainty import FoilCheck
from dashboard import actions_film, state
from dashboard.actions_film import DRIFT, TakenIn
from dashboard.components import fields
from dashboard.components.attempt import attempt
from dashboard.components.film_state import Gauge, film
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import count, plain

PRINCIPLES = {
    "magnetic": "magnetic: on steel",
    "eddy": "eddy current: on aluminium",
    "ultrasonic": "ultrasonic: on GRP too",
}
_KNOWN = "in the record already"


def which_gauge(now: Opened, gauge: Gauge) -> None:
    """Principle, name and phase."""
    left, right = st.columns(2)
    gauge.principle = fields.one_of(
        "The gauge is *", PRINCIPLES, "gauge_principle", gauge.principle, place=left, placeholder="say which"
    )
    with right:
        gauge.instrument = fields.line("Gauge and probe *", "gauge_instrument", gauge.instrument, 60).strip()
    gauge.phase = fields.one_of("Read", read.phases(now), "gauge_phase", gauge.phase)


def suspect(gauge: Gauge) -> None:
    """Whether the places were chosen for being suspect."""
    gauge.targeted = fields.tick("Suspect places, read on purpose", "gauge_targeted", gauge.targeted)
    if gauge.targeted:
        st.caption("Targeted readings count everywhere but in the judging of a coat.")


def save(now: Opened, workspace: Workspace, gauge: Gauge, preview: Preview) -> None:
    """Foils, name, and the button."""
    foils = _foils(now, gauge)
    with st.container(key="gauge_foot"):
        workspace.by = fields.line("By (your name) *", "by", workspace.by, 80).strip()
        again = sum(_KNOWN in flag for one in preview.laid for row in one.rows for flag in row.flags)
        agreed = True
        if again:
            agreed = fields.tick(f"{count(again, 'row')} seem to be in the record already: take them in all the same",
                                 "gauge_agreed", False)  # fmt: skip  # noqa: FBT003 - the value shown first
        laid = sum(len(one.values_um) for one in preview.laid)
        needed = {
            "the principle of the gauge": gauge.principle,
            "which gauge it is": gauge.instrument,
            "your name": workspace.by,
            "your word on the repeated rows": agreed,
            "a check on foils that is whole, or none": foils is not False,
        }
        missing = [what for what, value in needed.items() if not value]
        if missing:
            st.caption(f"Still needed: {plain(', '.join(missing))}.")
        if st.button(f"Take in {count(laid, 'reading')}", type="primary", icon=":material/check:", key="gauge_save"):
            if missing:
                st.warning(f"Not saved. Still needed: {plain(', '.join(missing))}. What is entered stays.")
            else:
                _save(now, workspace, gauge, preview, foils or None)


def _foils(now: Opened, gauge: Gauge) -> FoilCheck | bool | None:
    """The check on foils; None: none was made; False: it cannot stand like this."""
    with st.expander("Check on foils, before and after the round", key="gauge_foils", expanded=False):
        rows = []
        for number, row in enumerate(gauge.foils):
            places = st.columns(3)
            rows.append(tuple(
                fields.millimetres(f"{label} {number + 1}, µm", f"gauge_foil_{number}_{at}", row[at], place=places[at],
                                   placeholder="–")
                for at, label in enumerate(("Foil", "Before", "After"))
            ))  # fmt: skip
        gauge.foils = tuple(rows)
        try:
            check = actions_film.foils_of(gauge.foils)
        except BodymapError as error:
            st.warning(plain(str(error)))
            return False
        if check is None:
            return None
        held = now.settings.value(DRIFT)
        stays = f" {held:g} µm from an earlier round is more, and stays." if held >= check.most_drift_um else ""
        st.markdown(
            f"Drift up to **{check.most_drift_um:.1f} µm**: added by squares to the uncertainty of every film figure of "
            f"this record.{stays}"
        )
        biases = ", ".join(f"{foil:g}: {off:+.1f}" for foil, off in zip(check.foils_um, check.bias_um, strict=True))
        st.caption(plain(f"Off the foil, µm: {biases}. Readings are kept as the gauge gave them; nothing is corrected."))
        return check


def _save(now: Opened, workspace: Workspace, gauge: Gauge, preview: Preview, foils: FoilCheck | None) -> None:
    taken = TakenIn(
        gauge.name, gauge.data, gauge.mapping, preview, gauge.principle, gauge.instrument, gauge.phase, gauge.targeted, foils
    )
    entries = attempt(lambda: actions_film.take_in(now, taken, by=workspace.by))
    if entries:
        readings = sum(entry.kind == "reading" for entry in entries)
        workspace.tell(":material/check:", f"{count(readings, 'reading')} taken in: entry {entries[-1].seq} of the record.")
        film().phase, film().look = gauge.phase, "film"
        state.forget("film_")
        gauge.put_away()
        state.forget("gauge_")
        st.rerun()
