"""The film screen: what is looked at, chosen above; the map that stays; the card beside it."""

from __future__ import annotations

from dataclasses import replace

import plotly.graph_objects as go
import streamlit as st

from bodymap.errors import BodymapError
from bodymap.film.report import Specification
from bodymap.views.film_sheet import FilmChoice
from dashboard import loaders, state
from dashboard.components import (
    controls,
    fields,
    film_filler,
    film_judged,
    film_polish,
    film_sides,
    film_spread,
    film_unexplained,
    gauge_card,
    header,
    long_work,
    sheet_map,
    spots_card,
)
from dashboard.components.film_state import JUDGES, LOOKS, SURFACES, Film, film, specification
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import WHOLE_SHEET, Workspace
from dashboard.words import SHEETS, plain

_CARDS = {
    "film": film_spread.show,
    "sides": film_sides.show,
    "judged": film_judged.show,
    "unexplained": film_unexplained.show,
    "filler": film_filler.show,
    "polish": film_polish.show,
}
_TOUCHES = ("pick", "box")


def show() -> None:
    """Draw the page."""
    now, workspace, said = loaders.opened(), state.current(), film()
    badge = header.show(now)
    with st.container(key="film_looks"):
        said.look = fields.segments("Film across the body", LOOKS, "film_look", said.look)
    with st.container(key="map_and_card"):
        map_side, card_side = st.columns([17, 10], gap="medium")
    with card_side:
        beside = st.container(key="card")
    with map_side:
        _above(now, workspace, said)
    with beside:
        controls.choose_zones(now, workspace)
        over, notes = _card(now, workspace, said)
    with map_side:
        sheet_map.show(now, replace(workspace, tint="plain", marks=[]), over=over)
        for note in notes:
            st.caption(plain(note))
    workspace.seen = now.revision
    header.check(now, badge)


def _above(now: Opened, workspace: Workspace, said: Film) -> None:
    """Which sheet, phase and surface; how close to look."""
    with st.container(horizontal=True, vertical_alignment="bottom", key="film_controls"):
        sheet = fields.segments("Sheet", SHEETS, "sheet", workspace.sheet)
        if sheet != workspace.sheet:
            workspace.sheet, workspace.look_at = sheet, WHOLE_SHEET
            workspace.put_away_drawing()
        if said.look not in ("polish", "gauge", "plan"):
            said.phase = fields.one_of("Readings of", read.phases(now), "film_phase", said.phase, width=250)
        if said.look == "film":
            said.surface = fields.segments("Surface, where earned", SURFACES, "film_surface", said.surface)
        if said.look == "judged":
            said.judge = fields.segments("On the map", JUDGES, "film_judge", said.judge)
    controls.over_the_map(now, workspace, _TOUCHES)


def _card(now: Opened, workspace: Workspace, said: Film) -> tuple[sheet_map.Over, tuple[str, ...]]:
    """The card; what puts the film on the map; and what the map alone does not say."""
    if said.look == "plan":
        plan, preview, principle = spots_card.show(now, workspace), None, None
    elif said.look == "gauge":
        plan, preview, principle = gauge_card.show(now, workspace)
    else:
        picture = _picture(said)
        # The cards and the map all read from it, and it may take long.
        if long_work.result(read.report, now, picture.phase, picture.asked) is None:
            return _as_it_is, ()
        _CARDS[said.look](now, workspace, said)
        # What was typed in the card just now counts for the map as well.
        figure, notes = read.film_map(now, workspace, _picture(said), state.theme())
        return (lambda *_: figure), notes
    if plan is None:
        return _as_it_is, ()
    figure, notes = read.plan_map(now, workspace, plan, preview, principle, state.theme())
    return (lambda *_: figure), notes


def _as_it_is(figure: go.Figure, *_: object) -> go.Figure:
    return figure


def _picture(said: Film) -> read.FilmPicture:
    look = {"judged": said.judge, "polish": "loss"}.get(said.look, said.look)
    try:
        asked = specification(said) if said.look == "judged" else Specification()
    except BodymapError:  # told in the card
        asked = Specification()
    rounds = film_polish.rounds(said) if said.look == "polish" else None
    return read.FilmPicture(FilmChoice("outside", look, said.surface), said.phase, asked, rounds)
