"""Starting a record: what the vehicle is called, and a shape to begin with where one is wanted."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.geometry.starting_shapes import SHAPES
from bodymap.geometry.starting_shapes.beginning import beginning
from bodymap.geometry.starting_shapes.size import frame_for
from bodymap.model import Record
from bodymap.store import record_file
from dashboard import state
from dashboard.components import fields
from dashboard.loaders import drawings as loaders
from dashboard.loaders import moment
from dashboard.words import SUBSTRATES, plain

_SIZES = {"length": "Length over all, mm", "height": "Height, mm", "wheelbase": "Wheelbase, mm", "width": "Width, mm"}
_TOLD = {"maker": "Maker", "year": "Year", "serial": "Serial or frame number", "owner": "Owner"}
SHAPE_NAMES = {
    "": "None: I draw it",
    "two_box": "Two-box",
    "three_box": "Three-box",
    "van": "Van",
    "open_tourer": "Open tourer",
    "motorcycle_tank": "Motorcycle: painted set",
}


@dataclass
class StartForm:
    """What was typed. `then`: the screen to show when the record is there."""

    name: str = ""
    by: str = ""
    told: dict[str, str] = field(default_factory=dict)
    notes: str = ""
    shape: str = ""
    sizes: dict[str, float | None] = field(default_factory=dict)
    substrate: str | None = None
    then: str = ""

    def take(self, shape: str) -> None:
        """Choose a shape; its size is the usual one until another is typed."""
        self.shape = shape
        self.sizes = {}
        state.forget("start_size")

    def size(self) -> dict[str, float]:
        """The measures that were typed, by the names that the shapes have for them."""
        return {f"{name}_mm": value for name, value in self.sizes.items() if value} if self.shape else {}


def next_screen() -> str:
    """The screen to show after a record was begun, once; blank: none in particular."""
    form = state.of(StartForm)
    screen, form.then = form.then, ""
    return screen


def show(path: Path) -> None:
    """The form, and the button that makes the record."""
    form = state.of(StartForm)
    st.subheader("Start a record")
    st.caption(f"Nothing is written before you press the button. It makes {plain(path.name)} in {plain(str(path.parent))}.")
    with st.container(key="start_names"):
        left, right = st.columns(2)
        with left:
            form.name = fields.line("What the vehicle is called *", "start_name", form.name, 120)
        with right:
            form.by = fields.line("By (your name) *", "start_by", form.by, 80)
    _shapes(form)
    if form.shape:
        _size(form)
    with st.expander("More of the vehicle (can wait)"):
        _more(form)
    if st.button("Start the record", type="primary", key="start_record"):
        _begin(path, form)


def _shapes(form: StartForm) -> None:
    theme = state.theme()
    st.markdown("**A shape to begin with**")
    st.caption(
        "Signs only, of no make: areas are estimates until each drawing is calibrated by two points of known distance."
    )
    with st.container(horizontal=True, key="start_shapes"):
        for shape, name in SHAPE_NAMES.items():
            with st.container(border=True, width=216, key=f"start_card_{shape or 'none'}"):
                _picture(form, shape, theme)
                st.button(
                    name, key=f"start_shape_{shape or 'none'}", on_click=form.take, args=(shape,), width="stretch",
                    type="primary" if form.shape == shape else "secondary",
                )  # fmt: skip


def _picture(form: StartForm, shape: str, theme: str) -> None:
    if not shape:
        st.caption("Five empty drawings, to be filled from a photo, an SVG file or by hand.")
        return
    try:
        sizes = tuple(form.size().items()) if shape == form.shape else ()
        picture = loaders.starting_picture(shape, sizes, theme)
    except BodymapError:
        picture = loaders.starting_picture(shape, (), theme)
    st.image(picture, width=182, alt=f"Starting shape: {SHAPE_NAMES[shape]}, from the left")


def _size(form: StartForm) -> None:
    usual = _usual(form)
    with st.container(key="start_size"):
        places = st.columns(5)
    for place, (name, label) in zip(places, _SIZES.items(), strict=False):
        form.sizes[name] = fields.millimetres(
            label, f"start_size_{name}", form.sizes.get(name), place=place, placeholder=f"usual {usual[name]:.0f}"
        )
    form.substrate = fields.one_of(
        "Its parts are of", SUBSTRATES, "start_substrate", form.substrate, place=places[-1], placeholder="not stated"
    )
    st.caption("A size left blank follows the others. What the parts are of decides which gauge may read on them.")


def _usual(form: StartForm) -> dict[str, float]:
    """The measures as they follow from those that were typed; the usual ones where these cannot be."""
    usual = SHAPES[form.shape][0]
    try:
        frame = frame_for(form.shape, usual, **form.size())
    except BodymapError:
        return {name: getattr(usual, name) for name in _SIZES}
    return {name: getattr(frame, name) for name in _SIZES}


def _more(form: StartForm) -> None:
    places = st.columns(2)
    for number, (name, label) in enumerate(_TOLD.items()):
        with places[number % 2]:
            form.told[name] = fields.line(label, f"start_{name}", form.told.get(name, ""), 200)
    form.notes = fields.lines("Notes", "start_notes", form.notes, 4000)


def _begin(path: Path, form: StartForm) -> None:
    missing = [
        what for what, said in (("what the vehicle is called", form.name), ("your name", form.by)) if not said.strip()
    ]
    if missing:
        st.warning(f"Nothing is made yet. Still needed: {' and '.join(missing)}.")
        return
    try:
        entries = beginning(
            form.name, form.shape or None, **form.size(), substrate=form.substrate if form.shape else None,
            told={**form.told, "notes": form.notes},
        )  # fmt: skip
        record_file.create(path, Record.of(entries), by=form.by.strip(), why="a new record", at=moment())
    except (BodymapError, OSError) as error:
        st.error("No record was made.")
        st.text(str(error))
        return
    workspace = state.current()
    workspace.by = form.by.strip()
    form.then = "" if form.shape else "screens/drawings.py"
    workspace.tell(":material/check:", f"{plain(form.name)}: the record is begun.")
    st.rerun()
