"""The parts list: one row a part, to be chosen from; and the card of the chosen one."""

from __future__ import annotations

import streamlit as st

from bodymap.views.parts import PartCard, place_in, statements_of_place
from dashboard.components import fields
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import NOT_STATED, SUBSTRATES, count, plain, square_metres

_SHOWN = {"all": "All", "off": "Come off", "lost": "Place not stated"}
_ROOM_PX = 620


def show(cards: tuple[PartCard, ...], screen: PartsScreen) -> None:
    """The list, and the field that chooses one."""
    names = {card.part_id: f"{card.part_id} · {card.name}" for card in cards}
    if screen.chosen not in names:
        screen.chosen = ""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        picked = fields.one_of("Part", names, "part_chosen", screen.chosen or None, placeholder="Choose a part, or type")
        if st.button("Add a part", icon=":material/add:", key="add_part"):
            screen.adding, screen.chosen = True, ""
            forget("part_")
            st.rerun()
    if (picked or "") != screen.chosen:
        screen.chosen, screen.adding = picked or "", False
        forget("part_form")
    _rows(cards, screen)


def _rows(cards: tuple[PartCard, ...], screen: PartsScreen) -> None:
    """One row a part, each to be touched as a whole."""
    asked = {"all": cards, "off": [one for one in cards if one.removable], "lost": [one for one in cards if not one.lies]}
    names = {name: f"{words} ({len(asked[name])})" for name, words in _SHOWN.items()}
    screen.shown = fields.segments("Shown", names, "parts_shown", screen.shown)
    if not asked[screen.shown]:
        return
    with st.container(height=_ROOM_PX, key="parts_list"):
        for one in asked[screen.shown]:
            st.button(
                _row(one), key=f"part_row_{one.part_id}", on_click=_touched, args=(screen, one.part_id), width="stretch",
                wrap=True, type="primary" if one.part_id == screen.chosen else "secondary",
            )  # fmt: skip


def _touched(screen: PartsScreen, part_id: str) -> None:
    """A second touch puts it down."""
    screen.chosen, screen.adding = "" if part_id == screen.chosen else part_id, False
    forget("part_")


def _row(card: PartCard) -> str:
    said = [
        f"lies: {card.lies or NOT_STATED}",
        SUBSTRATES[card.substrate],
        "comes off" if card.removable else "stays on",
        f"partner {card.partner_id}" if card.partner_id else "",
        f"marks: {card.marks}" if card.marks else "",
        f"{count(len(card.faces), 'face')}, {square_metres(card.surface_mm2)}" if card.faces else "no zone is drawn yet",
    ]
    return f"**{plain(card.part_id)} · {plain(card.name)}**  \n{plain(' · '.join(one for one in said if one))}"


def heading(part: PartCard) -> None:
    """What one part is."""
    st.subheader(plain(part.name), anchor=False)
    st.markdown(
        " · ".join(
            plain(text)
            for text in (
                part.part_id,
                SUBSTRATES[part.substrate],
                "comes off" if part.removable else "does not come off",
                f"first coat {part.first_coat}" if part.first_coat else "there from the start, or not stated",
            )
        )
    )


def card(now: Opened, workspace: Workspace, part: PartCard) -> None:
    """What there is to know of it besides."""
    marks = plain(part.marks) if part.marks else NOT_STATED
    st.markdown(f"**Marks:** {marks}  \n**Other side:** {_partner(part)}")
    said = statements_of_place(now.record, part.part_id)
    if len(said) > 1:
        with st.expander(f"Where it lay before ({len(said) - 1})", key="lay_before"):
            lines = [f"{place_in(one)} · {one.by or 'nobody named'} · {one.date or 'no date'}" for one in said[-2::-1]]
            st.text("\n".join(lines))
    if not part.faces:
        st.caption("No zone of it is drawn yet.")
        return
    st.table(
        [
            {"Face": plain(face.title), "Kind": face.face_words, "True area": square_metres(face.surface_mm2)}
            for face in part.faces
        ],
        border="horizontal",
    )
    if st.button("Show it on the panel sheet", icon=":material/my_location:", key="show_part"):
        zone = now.record.zone[part.faces[0].zone_id]
        drawing = now.record.drawing[zone.drawing_id]
        workspace.go_to(zone.zone_id, "", drawing.kind)
        workspace.choose([face.zone_id for face in part.faces])
        st.switch_page("screens/panel_sheet.py")


def _partner(part: PartCard) -> str:
    return f"{plain(part.partner_id)} {plain(part.partner_name)}" if part.partner_id else "none is known"
