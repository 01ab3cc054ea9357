"""What Drawings and zones keeps for a window: which drawing, what is being done, the points set so far, what was typed."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from bodymap.errors import BodymapError
from bodymap.geometry.calibrate import Calibration, from_two_points
from bodymap.geometry.tracing import direction_of, points_of, snapped, text_of
from bodymap.views.board import Bounds, Point
from dashboard import state

NEW = "+"
TASKS = {
    "file": "From file",
    "photo": "From photo",
    "calibrate": "Calibrate",
    "cut": "Split",
    "join": "Merge, mirror",
    "tidy": "Tidy",
    "zones": "Zones",
    "hidden": "Hidden face",
    "datum": "Datum",
}
LIES = {"as_is": "as they lie", "level": "level", "upright": "upright"}


@dataclass
class BoardState:
    """Points set on one board, and how one looks at it.

    `aim`: whether a touch sets a point of known distance (`scale`) or one of the line (`line`). `corners`, `reach`: what
    a touched point snaps to, and how near it has to be. `pick`: how finely the scale points could be set, in units of
    the board. `turn`: raised when the chart has to forget what was drawn on it.
    """

    scale: list[Point] = field(default_factory=list)
    distance_mm: float | None = None
    lies: str = "as_is"
    line: list[Point] = field(default_factory=list)
    closed: bool = False
    aim: str = "line"
    touch: str = "point"
    window: Bounds | None = None
    corners: tuple[Point, ...] = ()
    reach: float = 0.0
    step: float = 0.0
    pick: float = 0.0
    turn: int = 0

    def set_point(self, point: Point) -> None:
        """A touched point goes where touches go; a line that comes back to its first point is closed."""
        there = snapped(point, (*self.corners, *self.line), self.reach)
        if self.aim == "scale":
            self.scale = [there] if len(self.scale) > 1 else [*self.scale, there]
            exact = there in self.corners
            self.pick = max(self.pick if len(self.scale) > 1 else 0.0, 0.0 if exact else self.step)
        elif len(self.line) > 2 and there == self.line[0]:
            self.closed = True
        else:
            self.line, self.closed = ([there] if self.closed else [*self.line, there]), False
        state.forget("points_")

    def draw_round(self, ring: list[Point]) -> None:
        """A ring that was drawn with one stroke."""
        self.line, self.closed = ring, True
        self.turn += 1
        state.forget("points_")

    def take_back(self) -> None:
        """Forget the last point set."""
        held = self.scale if self.aim == "scale" else self.line
        if self.aim == "line" and self.closed:
            self.closed = False
        elif held:
            held.pop()
        state.forget("points_")

    def begin_again(self, *, scale_too: bool = True) -> None:
        """Forget all points."""
        self.line, self.closed = [], False
        if scale_too:
            self.scale, self.distance_mm, self.pick = [], None, 0.0
        self.turn += 1
        state.forget("points_")

    def look(self, window: Bounds | None) -> None:
        """Look at a part, or at all of it."""
        self.window, self.touch = window, "point"
        self.turn += 1
        state.forget("touch_board")

    def calibration(self, *, first_stays: bool = False) -> Calibration | None:
        """What two points and their distance say; None while something of it is missing. Raises BodymapError."""
        if len(self.scale) != 2 or not self.distance_mm:
            return None
        first, second = self.scale
        turned = direction_of(first, second, self.lies)
        return from_two_points(
            first, second, self.distance_mm, direction_deg=turned, first_to=first if first_stays else None
        )

    def lined_up(self, onto: list[Point]) -> Calibration:
        """A and B laid on two places of a drawing [mm]; their distance there counts where none is told.

        Raises:
            BodymapError: points that are missing, or give no scale.
        """
        if len(self.scale) < 2 or len(onto) < 2:
            raise BodymapError(
                f"A and B: found {len(self.scale)} of 2 on what comes in and {len(onto)} of 2 on the drawing; allowed: both"
            )
        (x0, y0), (x1, y1) = onto
        there = math.dist(*onto)
        if not there:
            raise BodymapError(f"A and B on the drawing: found one point twice, {onto[0]}; allowed: two points, far apart")
        heading = math.degrees(math.atan2(y1 - y0, x1 - x0))
        return from_two_points(*self.scale, self.distance_mm or there, direction_deg=heading, first_to=onto[0])


@dataclass
class Desk:
    """The screen as a whole: each task has a board of its own for each drawing.

    `on_drawing`: the board shows the drawing on which something is laid, and not what is laid there.
    """

    drawing_id: str = ""
    task: str = ""
    name: str = ""
    kind: str = "outside"
    boards: dict[tuple[str, str], BoardState] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    said: dict[str, Any] = field(default_factory=dict)
    on_drawing: bool = False

    def board(self) -> BoardState:
        """The board of the task in hand that is shown, on the drawing chosen."""
        return self.board_on() if self.on_drawing else self.board_in()

    def board_in(self) -> BoardState:
        """The board of the task in hand: what is worked on."""
        return self.boards.setdefault((self.task, self.drawing_id), BoardState())

    def board_on(self) -> BoardState:
        """The drawing on which it is laid, as a board of its own."""
        return self.boards.setdefault((f"{self.task}_on", self.drawing_id), BoardState(aim="scale"))

    def turn_to(self, task: str) -> None:
        """Take up another task."""
        self.task = task
        state.forget("desk_task")

    def get(self, name: str, otherwise: Any = None) -> Any:
        """What was typed in a field of a tool."""
        return self.said.get(name, otherwise)

    def put_away(self, prefix: str) -> None:
        """Forget what was typed in the fields of a tool."""
        self.said = {name: value for name, value in self.said.items() if not name.startswith(prefix)}
        self.answers = {}
        state.forget(prefix)


def typed(points: list[Point], text: str) -> list[Point] | str:
    """The points a text says; the points themselves where they are written like that; words where it says none."""
    if text.strip() == text_of(points):
        return points
    try:
        return list(points_of(text))
    except BodymapError as error:
        return str(error)
