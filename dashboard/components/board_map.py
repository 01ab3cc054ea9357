"""The board on the screen: touches set points on it, draw round something, or choose how close to look."""

from __future__ import annotations

from functools import partial

import streamlit as st

from bodymap.geometry.tracing import text_of
from bodymap.views.board import Board, window_of
from dashboard import state
from dashboard.components import fields
from dashboard.components.drawing_desk import LIES, BoardState, Desk, typed
from dashboard.figures.tracing import Marks, board_figure, pick_step, touched
from dashboard.words import plain

_TOUCHES = {"point": "Set points", "lasso": "Draw round", "look": "Look closer"}
_AIMS = {"scale": "A and B (scale)", "line": "Corners"}
_CONFIG = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False, "displaylogo": False, "responsive": True}
_SNAP_PX = 4.0


def above(desk: Desk, *, aims: tuple[str, ...]) -> None:
    """The row over the board. `aims`: what touches can set here; none: touches only choose how close to look."""
    held = desk.board()
    touches = _TOUCHES if "line" in aims else {name: _TOUCHES[name] for name in ("point", "look")}
    if held.touch not in touches:
        held.touch = next(iter(touches))
        state.forget("touch_board")
    if aims and held.aim not in aims:
        held.aim = aims[0]
    with st.container(horizontal=True, vertical_alignment="bottom", key="over_the_board"):
        if not aims:
            st.caption("Draw a box on it to look closer.")
        else:
            held.touch = fields.segments("A touch", touches, f"touch_board_{'_'.join(touches)}", held.touch)
        if len(aims) > 1:
            held.aim = fields.segments("What it sets", {aim: _AIMS[aim] for aim in aims}, "points_aim", held.aim)
        if aims:
            nothing = not (held.scale if held.aim == "scale" else held.line)
            st.button("Take back", icon=":material/undo:", key="board_back", on_click=held.take_back, disabled=nothing)
        if held.window:
            st.button("All of it", icon=":material/zoom_out_map:", key="board_all", on_click=partial(held.look, None))


def show(desk: Desk, board: Board, *, aims: tuple[str, ...], picture: str = "") -> None:
    """The board itself. `picture`: address of one that fills it."""
    held, theme = desk.board(), state.theme()
    if aims and held.aim not in aims:
        held.aim = aims[0]
    window = held.window or board.bounds
    held.step = pick_step(window)
    held.corners, held.reach = board.corners, held.step * _SNAP_PX
    touch = held.touch if aims else "look"
    figure = board_figure(
        board, theme, window=held.window, touch=touch, picture=picture,
        marks=Marks(tuple(held.scale), tuple(held.line), held.closed),
    )  # fmt: skip
    key = f"board_{desk.task}_{desk.drawing_id}_{desk.on_drawing}_{held.turn}_{touch}"
    with st.container(key="board"):
        st.plotly_chart(
            figure,
            key=key,
            on_select=partial(_touched, held, board.bounds, key),
            selection_mode=("points", "box", "lasso"),
            config=_CONFIG,
            theme=None,
            alt="The drawing. Points can also be typed beside it.",
        )


def _touched(held: BoardState, bounds: tuple[float, float, float, float], key: str) -> None:
    """Before the next run: what was touched or drawn is taken over."""
    selection = st.session_state[key].selection
    if selection.lasso:
        last = selection.lasso[-1]
        held.draw_round(list(zip(last["x"], last["y"], strict=True)))
    elif selection.box:
        (x0, x1), (y0, y1) = selection.box[-1]["x"], selection.box[-1]["y"]
        ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        if held.touch == "look" or held.aim == "":
            held.look(window_of(ring, bounds))
        else:
            held.draw_round(ring)
    elif selection.points:
        point = selection.points[-1]
        held.set_point(touched(float(point["x"]), float(point["y"]), held.step))


def points_field(label: str, held: BoardState, which: str, name: str = "") -> None:
    """The points as text, to be read and typed: the same as touching, for the keyboard and for exact places."""
    points: list[tuple[float, float]] = getattr(held, which)
    text = fields.line(label, name or f"points_{which}", text_of(points), 100_000)
    found = typed(points, text)
    if isinstance(found, str):
        st.warning(plain(found))
    elif found is not points:
        setattr(held, which, found)
        if which == "scale":
            held.pick = 0.0
        else:
            held.closed = held.closed and len(found) > 2


def scale_fields(held: BoardState, *, unit: str, turn: bool) -> None:
    """Two points and the distance between them on the vehicle. `turn`: whether the drawing may be turned by them."""
    points_field(f"Points A and B ({unit}: x y; x y)", held, "scale")
    left, right = st.columns(2) if turn else (st.container(), None)
    held.distance_mm = fields.millimetres("From A to B on the vehicle, mm", "points_distance", held.distance_mm, place=left)
    if right is not None:
        held.lies = fields.one_of("A and B lie", LIES, "points_lies", held.lies, place=right)
