"""Where a part lies now: each move is a new statement with who and when; the last one counts, the old ones stay."""

from __future__ import annotations

import streamlit as st

from bodymap.model import Source
from bodymap.model.source import LIES
from bodymap.views.parts import ON_THE_VEHICLE, PartCard
from dashboard import actions_survey
from dashboard.components import fields, parts_save
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders import Opened, moment
from dashboard.state import Workspace, forget
from dashboard.words import plain

_MOST = 160


def show(now: Opened, workspace: Workspace, screen: PartsScreen, part: PartCard) -> None:
    """Where it lies, and the form for a move."""
    said = f"{plain(part.lies)} · {plain(part.lies_by)}, {plain(part.lies_on[:16])}" if part.lies else "not stated"
    st.markdown(f"**Where it lies:** {said}")
    if now.read_only:
        return
    places = tuple(dict.fromkeys(_places(now)))
    with st.container(horizontal=True, vertical_alignment="bottom", key="lies_now"):
        screen.lies = fields.line("It lies now at", f"part_lies_{part.part_id}", screen.lies, _MOST)
        if st.button("Say so", type="primary", key="say_lies"):
            _say(now, workspace, screen, part, screen.lies.strip())
    with st.container(horizontal=True):
        for number, place in enumerate(places[:5]):
            if place != part.lies and st.button(plain(place), key=f"lies_{number}"):
                _say(now, workspace, screen, part, place)


def _places(now: Opened) -> list[str]:
    """On the vehicle, then places that parts lie at, the last named first: one touch each."""
    titles = (one.title for one in reversed(now.record.sources) if one.kind == "statement")
    return [ON_THE_VEHICLE, *(title.removeprefix(LIES).strip() for title in titles if title.startswith(LIES))]


def _say(now: Opened, workspace: Workspace, screen: PartsScreen, part: PartCard, place: str) -> None:
    missing = [words for words, value in (("where it lies", place), ("your name", workspace.by)) if not value]
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}.")
        return

    def build(at: Opened) -> list[Source]:
        ident = actions_survey.next_ident(at, "source")
        title = f"{LIES} {place}"
        return [
            Source(
                source_id=ident,
                kind="statement",
                title=title,
                date=moment()[:19] + "Z",
                by=workspace.by,
                about=(part.part_id,),
            )
        ]

    def done() -> None:
        screen.lies = ""
        forget("part_lies")

    parts_save.new(now, workspace, build, f"Part {part.part_id} lies at {place}", f"{part.name}: lies at {place}", done)
