"""The spot plan: which zones, how many spots by which standard, on the map and as a sheet to take to the vehicle."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.film.spot_plan import SpotPlan
from bodymap.views.spot_map import GAUGES
from dashboard import state
from dashboard.components import fields, long_work
from dashboard.components.film_state import STANDARDS, Plan
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import Workspace
from dashboard.words import count, plain

_NOTES_MOST = 4
_GAUGE_WORDS = {"magnetic": "magnetic", "eddy": "eddy current", "ultrasonic": "ultrasonic"}


def show(now: Opened, workspace: Workspace) -> SpotPlan | None:
    """The card; the plan for the map."""
    plan = choose(now, workspace)
    if plan is None:
        return None
    readings = sum(spot.repeats for spot in plan.spots)
    st.markdown(f"**{count(len(plan.spots), 'spot')}, {count(readings, 'reading')}** in {count(len(plan.counts), 'zone')}.")
    _print(now, plan)
    _counts(now, plan)
    if plan.notes:
        with st.expander(f"To note ({len(plan.notes)})", key="plan_notes", expanded=len(plan.notes) <= _NOTES_MOST):
            st.text("\n".join(plan.notes))
    st.caption(
        "The same zones and standard always give the same plan: its numbers can be found again from the printed sheet."
    )
    return plan


def choose(now: Opened, workspace: Workspace) -> SpotPlan | None:
    """Zones and standard of the plan."""
    choose_standard()
    choose_zones(now, workspace)
    return plan_now(now)


def choose_standard() -> None:
    """By which standard the spots are counted."""
    said = state.of(Plan)
    said.standard = fields.segments("How many, by", STANDARDS, "plan_standard", said.standard)


def choose_zones(now: Opened, workspace: Workspace) -> None:
    """Zones of the plan."""
    said = state.of(Plan)
    names = {zone.zone_id: zone.title for zone in now.record.zones}
    if said.zone_ids is not None:
        said.zone_ids = [zone for zone in said.zone_ids if zone in names]
    said.zone_ids = fields.some_of(
        "Zones in the plan", names, "plan_zones", said.zone_ids or [], placeholder="Every outer zone"
    ) or None  # fmt: skip
    if workspace.chosen and sorted(workspace.chosen) != sorted(said.zone_ids or ()):
        words = f"Plan the {count(len(workspace.chosen), 'chosen zone')}"
        if st.button(words, icon=":material/select_all:", key="plan_chosen"):
            said.zone_ids = list(workspace.chosen)
            state.forget("plan_zones")
            st.rerun()


def plan_now(now: Opened) -> SpotPlan | None:
    """The plan as it is chosen; None, and told, where it cannot be made or was stopped."""
    try:
        return long_work.result(read.plan, now, *_asked(now))
    except BodymapError as error:
        st.warning(plain(str(error)))
        return None


def _asked(now: Opened) -> tuple[str, tuple[str, ...] | None, read.Counts]:
    said = state.of(Plan)
    known = now.record.zone
    zones = None if said.zone_ids is None else tuple(zone for zone in said.zone_ids if zone in known)
    counts = tuple(sorted((zone, number) for zone, number in said.counts.items() if zone in known))
    return said.standard, zones, counts


def _print(now: Opened, plan: SpotPlan) -> None:
    if not plan.spots:
        return
    made = long_work.result(read.spot_print, now, *_asked(now))
    if made is None:
        return
    name = f"spot-sheet-{now.record.vehicle.vehicle_id}-{now.head.count}.pdf"
    st.download_button(
        "Spot sheet with stickers (PDF)", made.pdf, file_name=name, mime="application/pdf", type="primary", key="spot_pdf"
    )
    for note in made.notes:
        st.caption(plain(note))


def _counts(now: Opened, plan: SpotPlan) -> None:
    """Spots by zone, and a field to ask for more or fewer in one of them."""
    said = state.of(Plan)
    titles = {zone: now.record.zone[zone].title for zone in plan.counts}
    with st.expander("Spots by zone", key="plan_counts", expanded=len(titles) < 8):
        left, right = st.columns(2)
        zone = fields.one_of("Another number for", titles, "plan_zone", None, place=left, placeholder="choose a zone")
        if zone:
            number = right.number_input(
                "Spots", min_value=1, max_value=200, step=1, value=said.counts.get(zone, plan.counts[zone].spots),
                key=state.held(f"plan_count_{zone}"),
            )  # fmt: skip
            if number != plan.counts[zone].spots:
                said.counts[zone] = int(number)
                st.rerun()
        st.table([_row(now, plan, zone) for zone in titles], border="horizontal")


def _row(now: Opened, plan: SpotPlan, zone_id: str) -> dict[str, str]:
    spots, need = plan.of_zone(zone_id), plan.counts[zone_id]
    substrate = now.record.part[now.record.zone[zone_id].part_id].substrate
    gauge = GAUGES[substrate]
    numbers = f"{spots[0].number} to {spots[-1].number}" if len(spots) > 1 else f"{spots[0].number}" if spots else "–"
    return {
        "Zone": plain(now.record.zone[zone_id].title),
        "Spots": f"{len(spots)} × {need.repeats}",
        "Numbers": numbers,
        "Gauge": plain(_GAUGE_WORDS.get(gauge or "", "–")),
        "By": plain(need.why),
    }
