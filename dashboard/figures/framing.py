"""The sheet as one window looks at it: which part fills the frame, what a touch does."""

from __future__ import annotations

from typing import Any

import plotly.graph_objects as go

from bodymap.views.sheet import Bounds
from dashboard.figures.copying import shared

_AIR = 0.01
# The width of the map is the browser's affair; its height follows from the width it has on a desk screen.
WIDTH_PX, _LEAST_PX, _MOST_PX = 860, 360, 620
_DRAG = {"pick": "pan", "place": "pan", "lasso": "lasso", "box": "select"}


def mm_per_px(bounds: Bounds) -> float:
    """How many mm of the vehicle one pixel shows when `bounds` fill the frame on a desk screen."""
    wide, high, _ = _frame(bounds)
    return max(wide / WIDTH_PX, high / _MOST_PX)


def _frame(bounds: Bounds) -> tuple[float, float, float]:
    """Width and height of what the frame shows, and the air round `bounds` in it [mm]."""
    x0, y0, x1, y1 = bounds
    air = _AIR * max(x1 - x0, y1 - y0)
    return x1 - x0 + 2 * air, y1 - y0 + 2 * air, air


def framed(said: dict[str, Any], bounds: Bounds, touch: str) -> go.Figure:
    """The figure of a sheet (`sheet_said`) with `bounds` (x0, y0, x1, y1 in sheet mm) filling the frame, to be shared.

    `touch`: what a touch does, as it was chosen.
    """
    x0, y0, x1, y1 = bounds
    wide, high, air = _frame(bounds)
    layout = said["layout"]
    margin = layout.get("margin", {})
    height_px = min(max(WIDTH_PX * high / wide, _LEAST_PX), _MOST_PX) + margin.get("t", 0) + margin.get("b", 0)
    layout |= {"dragmode": _DRAG[touch], "height": round(height_px), "selectdirection": "any"}
    fixed = {"autorange": False, "fixedrange": True}
    layout["xaxis"] = layout.get("xaxis", {}) | {"range": [x0 - air, x1 + air]} | fixed
    layout["yaxis"] = layout.get("yaxis", {}) | {"range": [y0 - air, y1 + air], "constraintoward": "top"} | fixed
    return shared(said)
