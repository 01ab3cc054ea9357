"""Readings typed from the gauge: several repeats of one spot in one field."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.typed import figures_in
from bodymap.model import Reading
from bodymap.model.reading import Principle
from bodymap.views.ladder import SUBSTRATE_WORDS
from bodymap.views.survey import middle, refused, spot_zones
from dashboard import actions_survey, loaders
from dashboard.components import fields, survey_fields, survey_save
from dashboard.components.parts_state import PartsScreen
from dashboard.components.sheet_map import Placed
from dashboard.components.survey_state import ReadingForm, Survey, zone_of
from dashboard.loaders import Opened, moment
from dashboard.state import Workspace, forget, of
from dashboard.words import count, micrometres, plain

PRINCIPLES: dict[Principle, str] = {"magnetic": "Magnetic", "eddy": "Eddy current", "ultrasonic": "Ultrasonic"}
_FILM_SCREEN, _PARTS_SCREEN = "screens/film.py", "screens/parts.py"


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The form."""
    form = survey.reading
    if st.button("Read from a gauge file", icon=":material/upload_file:", key="to_gauge_file"):
        st.switch_page(_FILM_SCREEN)
    zone_id = zone_of(now, workspace)
    if not zone_id:
        survey_fields.touch_one(workspace, "Touch the spot on the map.")
        return
    zone = now.record.zone[zone_id]
    st.markdown(f"**{plain(zone.title)}** · {SUBSTRATE_WORDS[now.record.part[zone.part_id].substrate]}")
    spot = survey_fields.number_offered("Spot", "reading_spot", form.spot_name or actions_survey.next_spot(now))
    if spot != (form.spot_name or actions_survey.next_spot(now)):
        form.spot_name = spot
        st.rerun()
    _place(now, form, zone_id)
    form.typed = fields.line("Readings in µm, blanks between *", "reading_typed", form.typed, 200)
    form.principle = survey_fields.choice("Gauge *", PRINCIPLES, "reading_principle", form.principle)
    readings = _read(form)
    why_not = refused(now.record, zone_id, form.principle) if form.principle else None
    if why_not:
        _refusal(now, zone_id, why_not)
        form.keep_refused = fields.tick("Keep them all the same, marked as not usable", "reading_refused", form.keep_refused)
    clash = _clash(now, spot, zone_id)
    _more(now, form)
    survey_save.foot(
        now,
        workspace,
        survey,
        what="reading",
        needed={
            "readings": readings,
            "the kind of gauge": form.principle,
            "a gauge that can read here (or that they are kept as not usable)": not why_not or form.keep_refused or None,
            "a number for the spot that is free": None if clash else spot,
        },
        build=partial(_entries, form, zone_id, spot, readings, why_not, workspace),
        why=f"Survey: readings of spot {spot} in {zone.title}",
    )


def _refusal(now: Opened, zone_id: str, why_not: str) -> None:
    """Why a gauge is refused, and the cure: another gauge, or to state what the part is of."""
    part = now.record.part[now.record.zone[zone_id].part_id]
    can = [name.lower() for principle, name in PRINCIPLES.items() if not refused(now.record, zone_id, principle)]
    st.warning(f"Refused: {plain(why_not)}. What reads here: {' or '.join(can)}.")
    if part.substrate == "other" and st.button(
        f"State what {plain(part.name)} is of", icon=":material/arrow_forward:", key="to_material"
    ):
        screen = of(PartsScreen)
        screen.chosen, screen.adding, screen.asks_material = "", False, True
        forget("part_")
        st.switch_page(_PARTS_SCREEN)


def _read(form: ReadingForm) -> tuple[float, ...]:
    try:
        readings = figures_in(form.typed, "readings")
    except BodymapError as error:
        st.warning(plain(str(error)))
        return ()
    if readings:
        mean = sum(readings) / len(readings)
        st.markdown(f"{count(len(readings), 'reading')}, mean **{micrometres(mean)}**")
    return readings


def _clash(now: Opened, spot: str, zone_id: str) -> bool:
    """Whether the number of this spot stands elsewhere; in this zone what is typed are more repeats, and that is said."""
    zones = spot_zones(now.record, spot)
    if not zones:
        return False
    before = [one for one in now.record.readings if one.spot == spot]
    names = ", ".join(dict.fromkeys(one.by or "somebody" for one in before))
    if set(zones) == {zone_id}:
        st.caption(
            f"{plain(spot)} has {count(len(before), 'reading')} by {plain(names)} here: these are more repeats of it."
        )
        return False
    where = now.record.zone[zones[0]].title
    st.warning(f"Spot {plain(spot)} is taken: {count(len(before), 'reading')} by {plain(names)} in {plain(where)}.")
    return True


def _place(now: Opened, form: ReadingForm, zone_id: str) -> None:
    placed = of(Placed)
    if placed.zone_id == zone_id:
        zone = now.record.zone[zone_id]
        place = loaders.layout(now, now.record.drawing[zone.drawing_id].kind).place_of(zone.drawing_id)
        form.spot = (round(placed.x - place.dx, 1), round(placed.y - place.dy, 1))
        form.spot_zone = zone_id
    elif form.spot_zone != zone_id:
        form.spot = None
    with st.container(horizontal=True, vertical_alignment="center"):
        where = f"{form.spot[0]:g}, {form.spot[1]:g} mm" if form.spot else "not stated; touch it on the map"
        st.markdown(f"Place: {where}", width="content")
        if st.button("Middle of the zone", key="reading_middle"):
            form.spot, form.spot_zone, placed.zone_id = middle(now.record, zone_id), zone_id, ""
            st.rerun()


def _more(now: Opened, form: ReadingForm) -> None:
    with st.expander("More about these readings", key="reading_more"):
        phases = {"as found": "as found", "after strip": "after strip"}
        phases |= {coat.coat_id: f"after {coat.name}" for coat in now.record.coats}
        form.phase = fields.one_of("Taken", phases, "reading_phase", form.phase) or "as found"
        form.instrument = fields.line("Gauge (name or serial number)", "reading_instrument", form.instrument, 80)
        form.targeted = fields.tick("Taken on purpose at a suspect place", "reading_targeted", form.targeted)


def _entries(
    form: ReadingForm,
    zone_id: str,
    spot: str,
    readings: tuple[float, ...],
    why_not: str | None,
    workspace: Workspace,
    now: Opened,
) -> list[Reading]:
    x, y = form.spot or (None, None)
    taken, idents = moment(), []
    for _ in readings:
        idents.append(actions_survey.next_ident(now, "reading", idents))
    return [
        Reading(
            reading_id=ident,
            zone_id=zone_id,
            x=x,
            y=y,
            um=um,
            principle=form.principle,
            spot=spot,
            taken=taken,
            phase=form.phase,
            instrument=form.instrument.strip() or None,
            by=workspace.by,
            invalid=why_not,
            targeted=True if form.targeted else None,
        )
        for ident, um in zip(idents, readings, strict=True)
    ]
