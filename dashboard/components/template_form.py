"""A full-size template: of what, on which paper, corrected by which bars; the files, and the map of its sheets."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import Record
from bodymap.views.template_ink import line_title
from dashboard.components import fields, long_work
from dashboard.components.drawing_desk import Desk
from dashboard.components.template_state import PAPERS, SORTS, TemplateAsked, Templates
from dashboard.loaders import Opened, templates
from dashboard.state import forget, of
from dashboard.words import count, plain


def show(now: Opened, mine: Templates) -> None:
    """The form on the left, what it comes to beside it."""
    # The keys by which two columns lie one below the other on a tablet.
    with st.container(key="map_and_card"):
        form, beside = st.columns([10, 17], gap="medium")
    with form, st.container(key="card"):
        schematic = _what(now, mine)
        if not schematic and mine.ident:
            _paper(now, mine)
            asked = mine.asked(now.stamp)
            if st.button("Lay out the template", type="primary", icon=":material/straighten:", key="lay_out"):
                mine.made = asked
    with beside:
        if schematic:
            _refused(now, schematic)
        elif mine.made and mine.made == mine.asked(now.stamp):
            _made(now, mine, mine.made)
        else:
            st.caption("Sheets at true size, with crosses to lay them by and bars of 100 mm to check the printer with.")


def _what(now: Opened, mine: Templates) -> str:
    """The thing asked for; returns the id of its drawing where that is schematic."""
    before = mine.sort
    mine.sort = fields.segments("Template of", SORTS, "template_sort", mine.sort)
    names = _names(now.record, mine.sort)
    if mine.sort != before or mine.ident not in names:
        mine.ident = next(iter(names), "")
        forget("template_ident")
    if not names:
        st.info(f"The record has none yet: {SORTS[mine.sort].lower()}.")
        return ""
    mine.ident = fields.one_of(SORTS[mine.sort], names, f"template_ident_{mine.sort}", mine.ident) or mine.ident
    drawing = now.record.drawing[_drawing_of(now.record, mine.sort, mine.ident)]
    return drawing.drawing_id if drawing.schematic else ""


def _names(record: Record, sort: str) -> Mapping[str, str]:
    if sort == "area":
        return {area.area_id: f"{area.area_id} · {area.title}" for area in record.areas}
    if sort == "zone":
        return {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in record.zones}
    if sort == "line":
        return {line.line_id: line_title(line) for line in record.lines}
    return {drawing.drawing_id: drawing.name for drawing in record.drawings}


def _drawing_of(record: Record, sort: str, ident: str) -> str:
    if sort == "drawing":
        return ident
    if sort == "line":
        return next(line.drawing_id for line in record.lines if line.line_id == ident)
    return (record.area if sort == "area" else record.zone)[ident].drawing_id


def _paper(now: Opened, mine: Templates) -> None:
    mine.paper = fields.segments("Paper", PAPERS, "template_paper", mine.paper)
    if mine.paper != "plotter":
        mine.landscape = fields.tick("Long side level", "template_landscape", mine.landscape)
        usual = now.settings.value("template_overlap_mm")
        label = f"Overlap of the sheets, mm (blank: {usual:g})"
        mine.overlap_mm = fields.millimetres(label, "template_overlap", mine.overlap_mm)
    st.caption("Printer off? Print once, measure both 100 mm bars with a steel rule, and type what they measured.")
    across, up = st.columns(2)
    mine.printed_x_mm = fields.millimetres("Level bar, mm", "template_printed_x", mine.printed_x_mm, place=across,
                                           placeholder="100")  # fmt: skip
    mine.printed_y_mm = fields.millimetres("Upright bar, mm", "template_printed_y", mine.printed_y_mm, place=up,
                                           placeholder="100")  # fmt: skip
    mine.mirror = fields.tick("Mirrored, for the back of a film", "template_mirror", mine.mirror)


def _refused(now: Opened, drawing_id: str) -> None:
    name = now.record.drawing[drawing_id].name
    st.warning(
        f"No template of this. The drawing {plain(name)} is schematic: its shapes are signs and have no size, and a "
        "template of it would look like a measure and be none. Bring it to scale first: two points of it and their distance "
        "on the vehicle are enough."
    )
    if st.button("Calibrate it on Drawings and zones", icon=":material/straighten:", key="to_calibrate"):
        desk = of(Desk)
        desk.drawing_id, desk.task = drawing_id, "calibrate"
        st.switch_page("screens/drawings.py")


def _made(now: Opened, mine: Templates, asked: TemplateAsked) -> None:
    try:
        made = long_work.result(templates.template_print, now, asked.ident, asked.choice, asked.mirror)
    except BodymapError as error:
        st.error("The template could not be laid out.")
        st.text(str(error))
        return
    if made is None:
        return
    stem = f"template-{mine.ident}-{now.head.count}{'-mirrored' if asked.mirror else ''}"
    with st.container(horizontal=True):
        for words, data, ending, kind in (
            ("PDF", made.pdf, "pdf", "application/pdf"),
            ("SVG", made.svg, "svg", "image/svg+xml"),
            ("DXF", made.dxf, "dxf", "image/vnd.dxf"),
        ):
            st.download_button(
                f"Template ({words})", data, file_name=f"{stem}.{ending}", mime=kind, key=f"template_{ending}",
                type="primary" if ending == "pdf" else "secondary", icon=":material/download:",
            )  # fmt: skip
    wide, high = made.page_mm
    sheets = f"{count(made.sheets, 'sheet')} and the map" if not asked.choice.plotter else "One page"
    empty = f", {made.empty} empty left out" if made.empty else ""
    st.markdown(f"**{sheets}** of {wide:.0f}\u00a0×\u00a0{high:.0f}\u00a0mm{empty}. Print at 100\u00a0%, no “fit to page”.")
    for banner in made.template.banners:
        st.warning(plain(banner))
    for note in (*made.template.notes, *((made.no_strip,) if made.no_strip else ())):
        st.caption(plain(note))
    if made.template.kind == "line" and not made.no_strip:
        st.caption("Its strip chart is the last page of the PDF; on screen it is under “Lines”.")
    if asked.choice.plotter:
        st.caption("Shown small: its lines are as fine as on paper.")
    what = "the page" if asked.choice.plotter else "map of the sheets"
    st.image(made.first_page, width="stretch", alt=f"Full-size template, {what}")
