"""From what stands against a strip to the place where it is cured: one touch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bodymap.release.blockers import Blocker, Code
from dashboard.components import keep_state, survey_state
from dashboard.components.film_state import Film
from dashboard.loaders import Opened
from dashboard.state import AreaForm, Workspace, forget, of

HERE = "screens/keep_and_strip.py"
PANEL = "screens/panel_sheet.py"
SURVEY = "screens/survey.py"
FILM = "screens/film.py"


@dataclass(frozen=True)
class Way:
    """Where a blocker is cured: the page, what the button says, and what is shown there (a stage, an entry, a look)."""

    page: str
    words: str
    shows: str = ""


WAYS: Mapping[Code, Way] = {
    "no-stack-to-substrate": Way(SURVEY, "Enter a stack in the survey", "stack"),
    "faces-not-seen": Way(SURVEY, "Survey the next unseen face", "stack"),
    "too-few-readings": Way(FILM, "To its spot plan", "plan"),
    "finding-without-geometry": Way(SURVEY, "Place the finding in the survey", "finding"),
    "line-without-offsets": Way(SURVEY, "Enter its offsets in the survey", "source"),
    "no-photo-before": Way(SURVEY, "Enter a photograph in the survey", "source"),
    "hazards-not-tested": Way(HERE, "Sign that it was tested", "release"),
    "keep-edge-without-kind": Way(PANEL, "Amend the kept area"),
    "keep-not-signed": Way(HERE, "Sign for the kept area", "edges"),
    "method-not-stated": Way(HERE, "State the method", "methods"),
    "method-not-for-substrate": Way(HERE, "Choose another method", "methods"),
    "margin-in-rougher-zone": Way(HERE, "Choose another method", "methods"),
    "not-to-be-stripped": Way(HERE, "To the decision", "decide"),
    "two-signatures": Way(HERE, "Sign the release", "release"),
}
_MARGIN = Way(HERE, "Set the margin", "edges")


def way_of(blocker: Blocker) -> Way:
    """The way from one blocker to its cure."""
    if blocker.code == "margin-in-rougher-zone" and blocker.where.kind == "area":
        return _MARGIN
    return WAYS[blocker.code]


def go(now: Opened, workspace: Workspace, zone_id: str, blocker: Blocker) -> str:
    """Sets the window to where a blocker is cured, its zone chosen and in view; returns the page to switch to."""
    way, where, record = way_of(blocker), blocker.where, now.record
    survey = survey_state.current(now) if way.page == SURVEY else None
    zone = record.zone[where.ident if where.kind == "zone" and where.ident in record.zone else zone_id]
    workspace.go_to(zone.zone_id, zone.drawing_id, record.drawing[zone.drawing_id].kind)
    if way.page == PANEL and where.ident in record.area:
        workspace.begin_form(AreaForm.amending(record.area[where.ident]))
    elif survey:
        survey_state.turn_to(survey, workspace, way.shows)
        forget("survey_what")
    elif way.page == FILM:
        of(Film).look = way.shows
        forget("film_look")
    elif way.page == HERE:
        _show_here(way, blocker)
    return way.page


def _show_here(way: Way, blocker: Blocker) -> None:
    kept = keep_state.current()
    keep_state.show_stage(way.shows)
    if way.shows == "edges":
        kept.area_id = blocker.where.ident
        forget("keep_area")
    elif way.shows == "release":
        kept.signing = "hazards" if blocker.code == "hazards-not-tested" else "release"
        forget("keep_signing")
