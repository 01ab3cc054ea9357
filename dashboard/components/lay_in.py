"""Where a file or a traced photo comes to lie on a drawing that holds something already: lined up, or beside it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

import streamlit as st

from bodymap.exchange.sketch import Sketch
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.proposal import Proposal
from bodymap.views.board import Board, changed_shapes, drawn_bounds
from dashboard import state
from dashboard.components import board_map, calibrate_form, fields
from dashboard.components.drawing_desk import Desk
from dashboard.loaders import Opened, drawings
from dashboard.words import plain

_PREFIX = {"file": "in_lay", "photo": "trace_lay"}
_WAYS = {
    "before": "Where it lay before",
    "origin": "As the file has it",
    "beside": "Beside what is drawn",
    "points": "A and B on the drawing",
}


def above(now: Opened, desk: Desk, *, begun: bool) -> None:
    """Over the board: whether it shows what comes in, or how it then lies on the drawing."""
    desk.on_drawing = False
    if not begun or not _drawn(now, desk):
        return
    name, source = f"{_PREFIX[desk.task]}_shows", f"The {desk.task}"
    names = {"in": source, "on": f"How it lies on {now.record.drawing[desk.drawing_id].name}"}
    shown = desk.said[name] = fields.segments("The board shows", names, name, desk.get(name, "in"))
    desk.on_drawing = shown == "on"


def aims(desk: Desk) -> tuple[str, ...]:
    """What touches set while the board shows the drawing."""
    return ("scale",) if desk.get(f"{_PREFIX[desk.task]}_way") == "points" else ()


def show(now: Opened, desk: Desk, before: Mapping[str, Calibration]) -> None:
    """The choice, where there is one. `before`: how it was laid when it was saved before, by drawing."""
    if not _drawn(now, desk):
        return
    name = _PREFIX[desk.task]
    asked = desk.get(f"{name}_way")
    ways = _ways(desk, before)
    way = fields.segments("On the drawing it lies", ways, f"{name}_way_{len(ways)}", _way(now, desk, before))
    desk.said[f"{name}_way"] = way
    if way == "points" and asked != "points":
        desk.said[f"{name}_shows"] = "on"
        state.forget(f"{name}_shows")
        st.rerun()
    if way == "points":
        st.caption("Touch the places of A and B on the drawing too, or type them: it is moved and turned so that they meet.")
        board_map.points_field("A and B on the drawing (mm: x y; x y)", desk.board_on(), "scale", "points_onto")


def laid(
    now: Opened, desk: Desk, sketch: Sketch, paths: Collection[str], before: Mapping[str, Calibration], what: str
) -> tuple[Sketch, Calibration]:
    """The sketch as it comes to lie on the drawing, and how it was moved; `paths`: those that are taken; `what`: it is.

    Raises:
        BodymapError: points that are not set, or that give no scale.
    """
    way = _way(now, desk, before)
    if way == "before":
        return _moved(sketch, before[desk.drawing_id]), before[desk.drawing_id]
    move = _scaled(now, desk, what, lined_up=way == "points") or Calibration()
    drawn = drawn_bounds(drawings.board(now, desk.drawing_id, ()))
    if way == "beside" and drawn:
        move = _moved(sketch, move).beside(drawn, paths, move)
    return _moved(sketch, move), move


def preview(now: Opened, desk: Desk, proposal: Proposal | None) -> Board:
    """The drawing with what comes in laid over it."""
    board = drawings.board(now, desk.drawing_id, ())
    return board.with_more(changed_shapes(now.record, proposal, desk.drawing_id)) if proposal else board


def _drawn(now: Opened, desk: Desk) -> bool:
    return drawn_bounds(drawings.board(now, desk.drawing_id, ())) is not None


def _ways(desk: Desk, before: Mapping[str, Calibration]) -> dict[str, str]:
    """The ways there are: a photo has no place of its own, but it may have lain somewhere before."""
    out = [] if desk.drawing_id in before else ["before"]
    out += ["origin"] if desk.task == "photo" else []
    return {way: words for way, words in _WAYS.items() if way not in out}


def _way(now: Opened, desk: Desk, before: Mapping[str, Calibration]) -> str:
    if not _drawn(now, desk):
        return "origin"
    ways = _ways(desk, before)
    asked = desk.get(f"{_PREFIX[desk.task]}_way")
    return asked if asked in ways else next(iter(ways))


def _scaled(now: Opened, desk: Desk, what: str, *, lined_up: bool) -> Calibration | None:
    held, onto = desk.board_in(), desk.board_on().scale
    if not lined_up:
        calibration = held.calibration()
        return calibration and calibrate_form.told(calibration, held, now, what)
    calibration = held.lined_up(onto)
    apart = math.dist(*onto)
    if held.distance_mm:
        st.caption(
            f"A and B are {apart:.1f} mm apart on the drawing: with {held.distance_mm:g} mm between them, A meets exactly "
            f"and B comes to lie {abs(apart - held.distance_mm):.1f} mm beside its place."
        )
        return calibrate_form.told(calibration, held, now, what)
    name = plain(now.record.drawing[desk.drawing_id].name)
    st.caption(f"Its scale is taken from {name}, where A and B are {apart:.1f} mm apart.")
    return calibrate_form.told(calibration, held, now, f"{what} and on {now.record.drawing[desk.drawing_id].name}", apart)


def _moved(sketch: Sketch, move: Calibration) -> Sketch:
    """Without words for a scale it is only moved."""
    return sketch.calibrated(move) if move.words else sketch.moved(move.offset)
