"""The parts list: one row a part, to be chosen from; and the card of the chosen one."""

from __future__ import annotations

import streamlit as st

from bodymap.views.parts import PartCard, place_in, statements_of_place
from dashboard.components import fields
from dashboard.components.parts_state import PartsScreen
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import NOT_STATED, SUBSTRATES, plain, square_metres


def show(cards: tuple[PartCard, ...], screen: PartsScreen) -> None:
    """The table, and the field that chooses one."""
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
    rows = [_row(card) for card in cards]
    st.dataframe(
        rows,
        hide_index=True,
        key="parts_table",
        row_height=44,
        on_select=lambda: _touched(cards, screen),
        selection_mode="single-row",
        column_config={"Lies": st.column_config.TextColumn(width="medium")},
        height=min(44 * (len(rows) + 1) + 4, 620),
    )


def _touched(cards: tuple[PartCard, ...], screen: PartsScreen) -> None:
    rows = st.session_state["parts_table"].selection.rows
    screen.chosen = cards[rows[0]].part_id if rows and rows[0] < len(cards) else ""
    screen.adding = False
    forget("part_")


def _row(card: PartCard) -> dict[str, str]:
    """Shown as plain text by the table, which reads no markup."""
    return {
        "Part": f"{card.part_id} · {card.name}",
        "Lies": card.lies or NOT_STATED,
        "Side": card.side,
        "Partner": card.partner_id,
        "Of": SUBSTRATES[card.substrate],
        "Comes off": "yes" if card.removable else "no",
        "Marks": card.marks or NOT_STATED,
        "Faces": str(len(card.faces)),
        "True area": square_metres(card.surface_mm2) if card.faces else "–",
    }


def card(now: Opened, workspace: Workspace, part: PartCard) -> None:
    """What there is to know of one part."""
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
