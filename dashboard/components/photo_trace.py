"""Tracing over a photo: two points give the scale, touches set the corners, each finished ring becomes something."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.photo import MOST_MB, Photo, prepared
from bodymap.exchange.sketch import Sketch
from bodymap.exchange.taking_in import Wish, taken_in
from bodymap.exchange.traced import Traced, traced_sketch
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.tracing import ring_of
from bodymap.model import Source
from bodymap.store.record_file import Put
from bodymap.views.board import Board, BoardShape, sketch_board
from dashboard import state
from dashboard.actions_survey import next_ident, with_photo
from dashboard.components import board_map, fields, lay_in, proposal_card, wish_form
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import plain

_FROM = {"file": "A file", "camera": "The camera"}
_KINDS = ["jpg", "jpeg", "png", "webp", "tif", "tiff"]


@dataclass
class Tracing:
    """A photo and what was traced over it, not saved yet.

    `taken`: how many photos were taken in. `lies`: how it was laid on a drawing when something of it was saved there: more
    of it goes to the same place.
    """

    photo: Photo | None = None
    name: str = ""
    source: str = "file"
    lines: list[Traced] = field(default_factory=list)
    wishes: list[Wish] = field(default_factory=list)
    taken: int = 0
    lies: dict[str, Calibration] = field(default_factory=dict)

    def take(self, photo: Photo, name: str) -> None:
        """Another photo: what was traced over the one before goes with it."""
        self.photo, self.name = photo, name
        self.lines, self.wishes = [], []
        self.lies = {}
        self.taken += 1


def begun() -> bool:
    """Whether there is a photo."""
    return state.of(Tracing).photo is not None


def aims() -> tuple[str, ...]:
    """What touches set on the board: nothing before there is a photo."""
    desk = state.of(Desk)
    return lay_in.aims(desk) if desk.on_drawing else ("scale", "line") if begun() else ()


def show(now: Opened, workspace: Workspace, desk: Desk) -> tuple[Board, str]:
    """The form; returns what is on the board, and the address of the photo under it."""
    tracing, held = state.of(Tracing), desk.board_in()
    _photo(desk, tracing)
    if tracing.photo is None:
        return drawings.board(now, desk.drawing_id, ()), ""
    if len(held.scale) == 2 and held.aim == "scale" and not held.distance_mm:
        st.caption("Now their distance on the vehicle; then set the corners of a surface.")
    st.markdown("**Scale**")
    board_map.scale_fields(held, unit="px", turn=True)
    lay_in.show(now, desk, tracing.lies)
    st.markdown("**Surfaces and lines**")
    _line(now, desk, tracing)
    _kept(tracing)
    proposal, lies = _proposal(now, desk, tracing)
    st.markdown("**Save**")
    title = now.record.drawing[desk.drawing_id].name
    if proposal_card.show(
        now, workspace, desk, proposal, name="trace", why=f"{title} traced over the photo {tracing.name}",
        more=lambda: _evidence(now, tracing.photo, workspace.by, desk.drawing_id),
    ):  # fmt: skip
        tracing.lines, tracing.wishes = [], []
        if lies:
            tracing.lies[desk.drawing_id] = lies
        desk.put_away("trace_")
        st.rerun()
    if desk.on_drawing:
        return lay_in.preview(now, desk, proposal), ""
    shapes = [_shape(line, wish) for line, wish in zip(tracing.lines, tracing.wishes, strict=True)]
    shown = drawings.upright(tracing.photo)
    return sketch_board(shapes, "px", (0.0, 0.0, float(shown.width), float(shown.height))), shown.address


def _photo(desk: Desk, tracing: Tracing) -> None:
    title = f"Photo: {plain(tracing.name)}" if tracing.photo else "Photo"
    with st.container(key="photo_leaf"), st.expander(title, expanded=not tracing.photo, key=f"photo_leaf_{tracing.taken}"):
        tracing.source = fields.segments("Photo from", _FROM, "trace_from", tracing.source)
        words, key = f"Square on to the side, from as far off as can be (up to {MOST_MB} MB)", f"trace_photo_{tracing.taken}"
        if tracing.source == "file":
            given = st.file_uploader(words, _KINDS, key=key, max_upload_size=MOST_MB)
        else:
            given = st.camera_input(words, key=f"{key}_camera")
    if given is not None:
        try:
            tracing.take(prepared(given.getvalue()), given.name)
        except BodymapError as error:
            st.warning(f"Not taken. {plain(str(error))}")
            return
        desk.board_on().begin_again()
        held = desk.board_in()
        held.begin_again()
        held.window, held.aim = None, "scale"
        desk.said.pop("aimed", None)
        state.forget("points_")
        st.rerun()
    if tracing.photo and tracing.photo.had_place:
        st.caption("The photo said where it was taken: that is not kept.")


def _line(now: Opened, desk: Desk, tracing: Tracing) -> None:
    held = desk.board_in()
    if len(held.scale) == 2 and held.aim == "scale" and not held.line and desk.get("aimed") != tuple(held.scale):
        held.aim, desk.said["aimed"] = "line", tuple(held.scale)  # two touches for the scale, then the surfaces
        state.forget("points_aim")
        st.rerun()
    board_map.points_field("Corners (px: x y; x y; …)", held, "line")
    desk.said["trace_parts"] = {w.part_name: w for w in tracing.wishes if w.role == "zone" and not w.part_id}
    wish = wish_form.show(now, desk, "trace", tuple(desk.said["trace_parts"]))
    is_line = wish.role in wish_form.OPEN_LINES
    if not st.button("Keep this line" if is_line else "Close the ring and keep it", key="trace_keep", icon=":material/add:"):
        return
    needed = wish_form.missing(wish) + ([] if len(held.line) > (1 if is_line else 2) else ["its corners"])
    if needed:
        st.warning(f"Not kept yet. Still needed: {', '.join(needed)}.")
        return
    try:
        line = Traced(tuple(held.line), closed=False) if is_line else Traced(ring_of(held.line))
        fault = None if is_line else traced_sketch([line], tracing.name).shapes[0].fault
    except BodymapError as error:
        fault = str(error)
    if fault:
        st.warning(plain(fault))
        return
    tracing.lines.append(line)
    tracing.wishes.append(wish)
    held.begin_again(scale_too=False)
    for name in ("trace_name", "trace_part"):
        desk.said.pop(name, None)
        state.forget(name)
    st.rerun()


def _kept(tracing: Tracing) -> None:
    for number, wish in enumerate(tracing.wishes):
        words = wish_form.ROLE_NAMES[wish.role] + (f": {wish.name}" if wish.name else "")
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(f"{number + 1} · {plain(words)}", width="stretch")
            if st.button("Take out", key=f"trace_out_{number}"):
                del tracing.wishes[number], tracing.lines[number]
                st.rerun()


def _proposal(now: Opened, desk: Desk, tracing: Tracing) -> tuple[Proposal | None, Calibration | None]:
    if not tracing.lines:
        return None, None
    try:
        sketch: Sketch = traced_sketch(tracing.lines, tracing.name)
        sketch, lies = lay_in.laid(now, desk, sketch, (), tracing.lies, f"the photo {tracing.name}")
        wishes = {f"p{number}": wish for number, wish in enumerate(tracing.wishes, start=1)}
        used = {entry.ident for entry in now.journal}
        return taken_in(now.record, sketch, wishes, now.record.drawing[desk.drawing_id], used), lies
    except BodymapError as error:
        st.warning(plain(str(error)))
        return None, None


def _evidence(now: Opened, photo: Photo, by: str, drawing_id: str) -> Sequence[Put]:
    """The photo itself, with what it speaks of; once for each photo and drawing."""
    known = {item.name for item in now.record.media if item.sha256 == photo.sha256}
    if any(source.file in known and drawing_id in source.about for source in now.record.sources):
        return ()
    source = Source(
        source_id=next_ident(now, "source"), kind="photo", title=f"{now.record.drawing[drawing_id].name}, traced over",
        date=photo.taken, by=by, about=(drawing_id,),
    )  # fmt: skip
    return tuple(Put(entry) for entry in with_photo(now, photo, source))


def _shape(line: Traced, wish: Wish) -> BoardShape:
    if line.closed:
        return BoardShape(wish.role, (line.points,), (), wish.name, _middle(line.points), float("inf") if wish.name else 0.0)
    return BoardShape(wish.role, (), (line.points,))


def _middle(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    x, y = zip(*points, strict=True)
    return (min(x) + max(x)) / 2, (min(y) + max(y)) / 2
