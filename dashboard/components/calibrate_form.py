"""Bringing a drawing to scale by two points of known distance: all that lies on it moves along."""

from __future__ import annotations

import math
from dataclasses import replace

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.geometry.calibrate import Calibration, scale_error_pct
from bodymap.geometry.calibrate_drawing import calibrated_drawing
from bodymap.views.board import Board
from dashboard.components import board_map, proposal_card
from dashboard.components.drawing_desk import BoardState, Desk
from dashboard.loaders import Opened, drawings
from dashboard.state import Workspace
from dashboard.words import plain

_COARSE_PCT = 0.3
_UNLIKELY = 3.0  # times larger or smaller; common practice, no source


def aims() -> tuple[str, ...]:
    """What touches set on the board."""
    return ("scale",)


def show(now: Opened, workspace: Workspace, desk: Desk) -> Board:
    """The form; returns what is on the board."""
    drawing, held = now.record.drawing[desk.drawing_id], desk.board()
    board = drawings.board(now, desk.drawing_id, ())
    scale = "schematic: its areas are estimates" if drawing.schematic else "measured"
    st.caption(plain(f"{drawing.name} is {scale}" + (f" ({drawing.scale_from})" if drawing.scale_from else "")) + ".")
    st.caption("Touch two points, far apart, whose distance you have measured on the vehicle in the plane of the drawing.")
    board_map.scale_fields(held, unit="mm", turn=True)
    proposal = None
    if drawing.ready_made:
        st.warning("A ready-made shape: two points give it a size, not the curves of this vehicle. Trace a photo for those.")
    try:
        calibration = held.calibration(first_stays=True)
        if calibration:
            calibration = told(calibration, held, now, "the drawing")
            proposal = calibrated_drawing(now.record, desk.drawing_id, calibration)
    except BodymapError as error:
        st.warning(plain(str(error)))
    if proposal:
        apart = math.dist(*held.scale)
        st.markdown(
            f"On the drawing they are **{apart:.1f} mm** apart; it becomes **{calibration.scale:.4f}** times as large."
        )
        if not 1 / _UNLIKELY < calibration.scale < _UNLIKELY:
            st.warning("That is a great change: is the distance in millimetres, and between these two points?")
        st.caption(
            f"{len(proposal.put) + len(proposal.replace)} things move along; lengths in words stay as they were measured."
        )
    why, needs = f"{drawing.name} calibrated by two points", "points A and B, and how far apart they are"
    if proposal_card.show(now, workspace, desk, proposal, name="calibrate", why=why, needs=needs):
        held.begin_again()
        desk.put_away("calibrate")
        st.rerun()
    return board


def told(
    calibration: Calibration, held: BoardState, now: Opened, on: str, on_drawing_mm: float | None = None
) -> Calibration:
    """The calibration with how sure it is, said on the screen and in its words.

    `on_drawing_mm`: between the points as they lie on a drawing, where that gives the scale.
    """
    distance_mm = on_drawing_mm or held.distance_mm or 0.0
    error = scale_error_pct(distance_mm, now.settings, held.pick * calibration.scale)
    length = f"{distance_mm:.1f} mm" if on_drawing_mm else f"{distance_mm:g} mm"
    st.caption(f"Scale ±{error:.2f} % at most (points as finely as they were set, and the tape); areas twice that.")
    if error > _COARSE_PCT and held.pick:
        st.caption("Points set after Look closer are finer; so are two that lie farther apart.")
    apart = "there" if on_drawing_mm else "on the vehicle"
    words = f"two points set on {on}, {length} apart {apart}, ±{error:.2f} %"
    return replace(calibration, words=words)
