"""Adding and amending a part, and which faces it hides."""

from __future__ import annotations

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.model import Cover, Part
from bodymap.store.record_file import Put, Withdraw
from bodymap.views.parts import PartCard
from dashboard.components import fields, parts_save, survey_fields
from dashboard.components.parts_state import PartForm, PartsScreen
from dashboard.loaders import Opened
from dashboard.state import Workspace, forget
from dashboard.words import SUBSTRATES, plain

_YES_NO = {"yes": "Yes", "no": "No"}
_GAPS = {"yes": "Gap: mist drifts in", "no": "No gap", "": "Not stated"}


def show(now: Opened, workspace: Workspace, screen: PartsScreen) -> None:
    """The form of a new part, or of the chosen one."""
    form = _form(now, screen)
    part = now.record.part.get(screen.chosen)
    if part is None:
        form.part_id = fields.line("Tag (letters, digits, - and _) *", "part_form_id", form.part_id, 64).strip()
    form.name = fields.line("Name *", "part_form_name", form.name, 120)
    form.substrate = survey_fields.choice("Of *", SUBSTRATES, "part_form_substrate", form.substrate)
    form.removable = survey_fields.choice("Comes off? *", _YES_NO, "part_form_removable", form.removable)
    coats = {coat.coat_id: f"{coat.coat_id} · {coat.name}" for coat in now.record.coats}
    form.first_coat = fields.one_of(
        "First coat after it came",
        coats,
        "part_form_coat",
        form.first_coat,
        placeholder="there from the start, or not known",
    )
    form.marks = fields.lines("Marks: numbers stamped or cut, and where", "part_form_marks", form.marks, 600)
    if part:
        form.why = fields.line("Why it is amended *", "part_form_why", form.why, 300)
    if st.button("Save the part", type="primary", key="save_part"):
        _save(now, workspace, screen, part)


def _form(now: Opened, screen: PartsScreen) -> PartForm:
    """What is typed about this part; begun anew from the record when another one is chosen."""
    if screen.form.begun_for == screen.chosen:
        return screen.form
    part = now.record.part.get(screen.chosen)
    screen.form = PartForm(begun_for=screen.chosen)
    screen.seen = now.revision
    if part:
        screen.form = PartForm(
            part_id=part.part_id,
            name=part.name,
            substrate=part.substrate,
            removable="yes" if part.removable else "no",
            first_coat=part.first_coat,
            marks=part.marks or "",
            begun_for=screen.chosen,
        )
    forget("part_form")
    return screen.form


def _save(now: Opened, workspace: Workspace, screen: PartsScreen, known: Part | None) -> None:
    form = screen.form
    needed = {
        "a tag": form.part_id,
        "a name": form.name.strip(),
        "what it is made of": form.substrate,
        "whether it comes off": form.removable,
        "why it is amended": form.why.strip() or known is None,
        "your name": workspace.by,
    }
    missing = [words for words, value in needed.items() if not value]
    if missing:
        st.warning(f"Not saved. Still needed: {', '.join(missing)}. What is typed stays.")
        return

    def part() -> Part:
        return Part(
            more=known.more if known else {},
            part_id=form.part_id,
            name=form.name.strip(),
            substrate=form.substrate,
            removable=form.removable == "yes",
            first_coat=form.first_coat,
            marks=form.marks.strip() or None,
        )

    def done() -> None:
        screen.chosen, screen.adding, screen.form = form.part_id, False, PartForm()
        forget("part_")

    told = f"Part {form.part_id} saved"
    if known is None:
        parts_save.new(now, workspace, lambda _: [part()], f"Part {form.part_id} added", told, done)
        return
    changes = [Put(part())]
    parts_save.change(now, workspace, changes, why=f"Amended: {form.why.strip()}", told=told, seen=screen.seen, done=done)


def hides(now: Opened, workspace: Workspace, screen: PartsScreen, card: PartCard) -> None:
    """The faces it hides while it is on the vehicle: to add one, to say whether there is a gap, to take one away."""
    for one in card.hides:
        with st.container(horizontal=True, vertical_alignment="center"):
            gap = {True: "gap: mist drifts in", False: "no gap", None: "gap not stated: counts as none"}[one.gap]
            st.markdown(f"{plain(one.title)} · {gap}", width="stretch")
            if not now.read_only and st.button("Not hidden", key=f"bare_{one.zone_id}", help="Takes this cover out"):
                changes = [Withdraw(Cover.KIND, f"{one.zone_id}/{card.part_id}")]
                _change(now, workspace, changes, f"{card.part_id} does not hide {one.zone_id}", screen)
    if not card.hides:
        st.caption("It is not said to hide any face.")
    if now.read_only:
        return
    own = {face.zone_id for face in card.faces}
    zones = {zone.zone_id: f"{zone.title} ({zone.zone_id})" for zone in now.record.zones if zone.zone_id not in own}
    screen.cover_zone = fields.one_of("It hides this face", zones, "part_cover_zone", screen.cover_zone)
    screen.cover_gap = survey_fields.choice("Through a gap", _GAPS, "part_cover_gap", screen.cover_gap)
    if st.button("Add or change", key="add_cover"):
        if not screen.cover_zone:
            st.warning("Not saved. Still needed: the face it hides.")
            return
        gap = {"yes": True, "no": False}.get(screen.cover_gap or "")
        cover = Cover(zone_id=screen.cover_zone, part_id=card.part_id, gap=gap)
        _change(now, workspace, [Put(cover)], f"{card.part_id} hides {screen.cover_zone}", screen)


def _change(now: Opened, workspace: Workspace, changes: list[Put | Withdraw], why: str, screen: PartsScreen) -> None:
    if not workspace.by:
        st.warning("Not saved. Still needed: your name.")
        return

    def done() -> None:
        screen.cover_zone = screen.cover_gap = None
        forget("part_cover")

    try:
        parts_save.change(now, workspace, changes, why=why, told=why, seen=workspace.seen, done=done)
    except BodymapError as error:
        st.error(f"Not saved. {plain(str(error))}")
