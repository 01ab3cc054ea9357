"""Readings laid on the spot plan, in order or by number: begun later, spots passed over or swapped; shown before kept."""

from __future__ import annotations

from statistics import fmean

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.film.mapping import GaugeRow, Laid, Preview, lay_on
from bodymap.film.spot_plan import SpotPlan
from bodymap.views.spot_map import ZoneLaid, zones_laid
from dashboard import state
from dashboard.components import fields, gauge_take, spots_card
from dashboard.components.film_state import STANDARDS, Gauge, Plan
from dashboard.components.gauge_columns import Rows
from dashboard.loaders import Opened
from dashboard.state import Workspace, held
from dashboard.words import count, plain, whole

_BY = {"order": "In the order of the route", "number": "By the spot number in the file"}
_DOUBTS_MOST, _ZONES_MOST, _SPOTS_MOST = 3, 3, 60


def show(now: Opened, workspace: Workspace, gauge: Gauge, rows: Rows) -> tuple[SpotPlan | None, Preview | None]:
    """How the readings go on to the plan; the plan, and the preview (None: nothing can be laid)."""
    spots_card.choose_zones(now, workspace)
    told = st.container()  # what is in force and what hinders is in sight, wherever it is chosen
    otherwise = st.expander("Laid otherwise: order, spots passed over, rows left out", key="gauge_lay", expanded=False)
    with otherwise:
        gauge_take.suspect(gauge)
        spots_card.choose_standard()
    with told:
        plan = spots_card.plan_now(now)
        if plan is None:  # told already
            return None, None
        if not plan.spots:
            st.warning("No spot is planned: choose zones for the plan.")
            return plan, None
    with otherwise:
        _choices(now, gauge, plan, rows)
    with told:
        return plan, _laid(gauge, plan, rows)


def _choices(now: Opened, gauge: Gauge, plan: SpotPlan, rows: Rows) -> None:
    """What is seldom other than it is proposed."""
    gauge.by = fields.segments("Laid on", _BY, "gauge_by", gauge.by)
    zones = {zone: now.record.zone[zone].title for zone in dict.fromkeys(spot.zone_id for spot in plan.spots)}
    gauge.zone_ids = fields.some_of(
        "Zones of the plan that were read", zones, "gauge_zones", [zone for zone in gauge.zone_ids if zone in zones],
        placeholder="All of them",
    )  # fmt: skip
    _shifts(gauge, plan, rows)


def _laid(gauge: Gauge, plan: SpotPlan, rows: Rows) -> Preview | None:
    """The readings on their spots, with how in a line; None, and told: nothing can be laid."""
    try:
        preview = lay_on(
            rows.content.rows, plan, by=gauge.by, zone_ids=gauge.zone_ids or None, leave_out=gauge.leave_out,
            first_spot=gauge.first_spot, not_read=gauge.not_read, swapped=gauge.swapped,
        )  # fmt: skip
    except BodymapError as error:
        st.warning(plain(str(error)))
        return None
    if not preview.laid:
        st.warning("No reading falls on a spot like this.")
        return None
    st.caption(plain(_in_force(gauge, state.of(Plan).standard)))
    return preview


def _in_force(gauge: Gauge, standard: str) -> str:
    """How the readings are laid; what is other than proposed is named."""
    said = [_BY[gauge.by]] + ([f"from spot {gauge.first_spot}"] if gauge.by == "order" else [])
    said += [f"only {count(len(gauge.zone_ids), 'zone')} of the plan"] if gauge.zone_ids else []
    said += [f"{count(len(gauge.not_read), 'spot')} passed over"] if gauge.not_read else []
    said += [f"{count(len(gauge.leave_out), 'row')} left out"] if gauge.leave_out else []
    said += [f"{count(len(gauge.swapped), 'pair')} swapped"] if gauge.swapped else []
    said += ["suspect places, read on purpose"] if gauge.targeted else []
    return f"{', '.join(said)}. Spots by: {STANDARDS[standard]}."


def _shifts(gauge: Gauge, plan: SpotPlan, rows: Rows) -> None:
    numbers = {
        spot.number: f"spot {spot.number}" for spot in plan.spots if not gauge.zone_ids or spot.zone_id in gauge.zone_ids
    }
    left, right = st.columns(2)
    first = gauge.first_spot if gauge.first_spot in numbers else min(numbers)
    gauge.first_spot = fields.one_of("The round began at", numbers, "gauge_first", first, place=left)
    gauge.not_read = [int(one) for one in fields.some_of(
        "Spots passed over", numbers, "gauge_passed", [one for one in gauge.not_read if one in numbers], placeholder="none",
    )]  # fmt: skip
    said = {row.row: _row_name(row) for row in rows.content.rows}
    gauge.leave_out = [int(one) for one in fields.some_of(
        "Rows left out", said, "gauge_left_out", [row for row in gauge.leave_out if row in said], placeholder="none",
    )]  # fmt: skip
    kept = ", ".join(f"{one}-{other}" for one, other in gauge.swapped)
    text = right.text_input("Swapped spots", value=kept, key=held("gauge_swapped"), placeholder="such as 4-5, 9-12")
    pairs = _pairs(text)
    if pairs is None:
        st.warning("Swapped spots: write pairs of numbers, such as 4-5, 9-12.")
    else:
        gauge.swapped = pairs


def _pairs(text: str) -> list[tuple[int, int]] | None:
    """Pairs of spot numbers; None: they cannot be read.

    >>> _pairs("4-5, 9 – 12"), _pairs(""), _pairs("4")
    ([(4, 5), (9, 12)], [], None)
    """
    found = []
    for part in text.replace("–", "-").split(","):
        numbers = [number.strip() for number in part.split("-")]
        if part.strip():
            if len(numbers) != 2 or not all(number.isdecimal() for number in numbers):
                return None
            found.append((int(numbers[0]), int(numbers[1])))
    return found


def _row_name(row: GaugeRow) -> str:
    values = ", ".join(f"{um:g}" for um in row.values_um[:4])
    return f"row {row.row}: {values} µm" + (" (flagged)" if row.flags else "")


def told(now: Opened, gauge: Gauge, rows: Rows, preview: Preview) -> None:
    """What would be taken in: by zone with the gauge's fitness, spot by spot, and every doubt."""
    laid = sum(len(one.values_um) for one in preview.laid)
    st.markdown(f"**{laid} of {rows.values} readings on {count(len(preview.laid), 'spot')}**, not saved yet.")
    for doubt in preview.doubts[:_DOUBTS_MOST]:
        st.markdown(f":material/flag: {plain(doubt)}")
    zones = zones_laid(now.record, preview, gauge.principle) if gauge.principle else ()
    # A zone that the gauge cannot read comes first: it is what must be seen before the save.
    by_zone = [_zone_row(now, one) for one in sorted(zones, key=lambda one: not one.refused)]
    if by_zone:
        st.table(by_zone[:_ZONES_MOST], border="horizontal")
    with st.expander("Spot by spot", key="gauge_spots", expanded=False):
        for doubt in preview.doubts[_DOUBTS_MOST:]:
            st.markdown(f":material/flag: {plain(doubt)}")
        if by_zone[_ZONES_MOST:]:
            st.table(by_zone[_ZONES_MOST:], border="horizontal")
        st.table([_spot_row(one) for one in preview.laid[:_SPOTS_MOST]], border="horizontal")
        if len(preview.laid) > _SPOTS_MOST:
            st.caption(f"The first {_SPOTS_MOST} of {len(preview.laid)}.")
    more = len(preview.doubts) - _DOUBTS_MOST, len(by_zone) - _ZONES_MOST
    words = [count(number, noun) for number, noun in zip(more, ("doubt", "zone"), strict=True) if number > 0]
    if words:
        st.caption(f"… and {' and '.join(words)} more, under “Spot by spot”.")


def _zone_row(now: Opened, one: ZoneLaid) -> dict[str, str]:
    return {
        "Zone": plain(now.record.zone[one.zone_id].title),
        "Spots": f"{one.spots}",
        "Readings": f"{one.readings}",
        "Mean µm": "⊗" if one.refused else whole(one.mean_um),
        "Gauge": plain(f"⊗ never counted: {one.refused}" if one.refused else "can read here"),
    }


def _spot_row(one: Laid) -> dict[str, str]:
    return {
        "Spot": f"{one.spot.number}",
        "Row": plain(", ".join(str(row.row) for row in one.rows)),
        "In the file": plain(next((row.spot for row in one.rows if row.spot), "–")),
        "Readings µm": plain(", ".join(f"{um:.1f}" for um in one.values_um)),
        "Mean": f"{fmean(one.values_um):.1f}",
    }
