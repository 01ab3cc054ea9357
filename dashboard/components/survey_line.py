"""A painted line, by offsets measured from a datum at stations along it."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.typed import pairs_in
from bodymap.geometry.painted_line import line_from_offsets
from bodymap.model import Line, Shape
from bodymap.model.finding import Hand
from dashboard import actions_survey, loaders
from dashboard.components import fields, survey_fields, survey_save
from dashboard.components.survey_state import LineForm, Survey
from dashboard.loaders import Opened
from dashboard.state import Workspace, held
from dashboard.words import count, plain

HANDS: dict[Hand, str] = {"brush": "By brush", "tape": "Taped", "other": "Other"}
_GREY = "#808080"


def show(now: Opened, workspace: Workspace, survey: Survey) -> None:
    """The form."""
    form = survey.line
    datums = {datum.datum_id: datum.name for datum in now.record.datums if datum.shape.type == "LineString"}
    if not datums:
        st.info("The record has no datum line to measure from: draw one on the screen Drawings and zones, at Datum.")
        return
    form.datum_id = fields.one_of("Measured from *", datums, "line_datum", form.datum_id)
    form.typed = st.text_area(
        "Station and offset in mm, a pair a line *",
        value=form.typed,
        key=held("line_typed"),
        height=150,
        placeholder="0 41.5\n200 42\n400 42.5",
        help="Station: along the datum from its beginning. Offset: square to it, + on the left of its direction.",
    )
    shape = centre_of(now, form, say=True)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        form.width_mm = survey_fields.figure("Width in mm", "line_width", form.width_mm, min_value=0.0, step=0.5)
        if fields.tick("Its colour was seen", "line_coloured", form.colour is not None):
            form.colour = st.color_picker("Colour", form.colour or _GREY, key=held("line_colour"))
        else:
            form.colour = None
    form.hand = survey_fields.choice("Painted", HANDS, "line_hand", form.hand)
    form.note = fields.lines("Note", "line_note", form.note, 2000)
    survey_save.foot(
        now,
        workspace,
        survey,
        what="line",
        needed={"a datum": form.datum_id, "two stations or more": shape},
        build=partial(_entries, form, shape),
        why=f"Survey: a painted line, by offsets from {datums.get(form.datum_id or '', 'a datum')}",
    )


def centre_of(now: Opened, form: LineForm, *, say: bool = False) -> Shape | None:
    """The centre of the line as it is typed; None while it is not whole. `say`: tell why on the page."""
    datum = now.record.datum.get(form.datum_id or "")
    try:
        pairs = pairs_in(form.typed, "offsets")
        if datum is None or len(pairs) < 2:
            return None
        shape = line_from_offsets(datum.shape, pairs)
    except BodymapError as error:
        if say:
            st.warning(plain(str(error)))
        return None
    if say:
        st.caption(f"{count(len(pairs), 'station')}. The line is drawn dashed on the map; nothing makes it straighter.")
    return shape


def on_sheet(now: Opened, workspace: Workspace, form: LineForm) -> list[tuple[float, float]]:
    """The line on the sheet that is shown [sheet mm]; empty: it is not whole, or on the other sheet."""
    shape, datum = centre_of(now, form), now.record.datum.get(form.datum_id or "")
    layout = loaders.layout(now, workspace.sheet)
    if shape is None or datum is None or not layout.has(datum.drawing_id):
        return []
    return [layout.to_sheet(datum.drawing_id, x, y) for x, y in shape.coordinates]


def _entries(form: LineForm, shape: Shape, now: Opened) -> list[Line]:
    return [
        Line(
            line_id=actions_survey.next_ident(now, "line"),
            drawing_id=now.record.datum[form.datum_id].drawing_id,
            width=form.width_mm or None,
            colour=form.colour,
            hand=form.hand,
            note=form.note.strip() or None,
            shape=shape,
        )
    ]
