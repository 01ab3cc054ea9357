"""What a screen says while the record lacks what it works on: one line, and the way to where that is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import streamlit as st

from bodymap.model import Record
from dashboard.components import header
from dashboard.loaders import Opened


@dataclass(frozen=True)
class _Need:
    """`goes_on`: the page has something to do all the same, and is shown below; `screen`: empty where it is made here.

    `words`: empty where the page itself says them.
    """

    met: Callable[[Record], bool]
    words: str
    screen: str = ""
    way: str = ""
    goes_on: bool = False


def _zones(words: str, *, goes_on: bool = False) -> _Need:
    return _Need(lambda record: bool(record.zones), words, "screens/drawings.py", "Draw the zones", goes_on)


_NEEDS: Mapping[str, tuple[_Need, ...]] = {
    "panel_sheet.py": (_zones("No zone is drawn yet: the map begins with a drawing."),),
    "drawings.py": (
        _Need(lambda r: bool(r.drawings), "No drawing yet: name one below; then bring its outline in.", goes_on=True),
    ),
    "parts.py": (
        _Need(
            lambda record: bool(record.parts),
            "No part yet: add the first here, or draw the zones; each names its part.",
            "screens/drawings.py",
            "Draw the zones",
            goes_on=True,
        ),
    ),
    "survey.py": (
        _zones("No zone is drawn yet: until then sources can be entered, such as photos and what was said.", goes_on=True),
    ),
    "film.py": (
        _zones("No zone is drawn yet: a reading belongs to a zone."),
        _Need(
            lambda record: bool(record.readings),
            "No film reading yet: type them in the survey, or take a gauge file in below. The spot plan says where to read.",
            "screens/survey.py",
            "Type readings",
            goes_on=True,
        ),
    ),
    "coat_order.py": (
        _zones("No zone is drawn yet: the order of coats is read from stacks, and a stack belongs to a zone."),
        _Need(
            lambda record: bool(record.layers),
            "No stack shows a coat yet: each that is looked at orders the coats that it shows.",
            "screens/survey.py",
            "Enter a stack",
        ),
    ),
    "keep_and_strip.py": (_zones("No zone is drawn yet: what is kept or stripped is decided by zone."),),
    "mask_brief.py": (
        _zones("No zone is drawn yet: kept and masked areas lie on zones."),
        _Need(lambda r: bool(r.areas), "", "screens/panel_sheet.py", "Mark an area on the panel sheet", goes_on=True),
    ),
    "rehearsal.py": (_zones("No zone is drawn yet: the plan is run on the zones."),),
    "hand_over.py": (_zones("", goes_on=True),),
}  # fmt: skip


def way(words: str, screen: str, label: str) -> None:
    """One line, and the way to another screen; once on a page. Either may be empty."""
    with st.container(horizontal=True, vertical_alignment="center", key="nothing_yet"):
        if words:
            st.info(words)
        if screen:
            st.page_link(screen, label=label, icon=":material/arrow_forward:", width="content")


def show(now: Opened, screen: str) -> bool:
    """Tell what `screen` (a file of `screens/`) lacks first, if anything; whether its page has something to show."""
    lacks = next((need for need in _NEEDS.get(screen, ()) if not need.met(now.record)), None)
    if lacks is None:
        return True
    badge = None if lacks.goes_on else header.show(now)
    way(lacks.words, lacks.screen, lacks.way)
    if badge is not None:
        header.check(now, badge)
    return lacks.goes_on
