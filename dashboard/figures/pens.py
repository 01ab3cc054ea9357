"""How each style of stroke and each sign of a view is drawn on screen: width in pixels, dash, symbol."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

import numpy as np
import shapely

from bodymap.views.palette import Theme, colours, paint_of
from bodymap.views.sheet_parts import Path

_LEAST_POINTS = 4  # a path of fewer points, such as a stroke of a hatch or a box, is drawn as it is
# How much wider than a line the paper beside it is, in all. A line is drawn without the points that stray from it by less
# than `UNSEEN_PX`: they are not seen and make each redraw slower.
CASING_PX, UNSEEN_PX = 2.6, 0.15
FONT = '"Source Sans", "Source Sans 3", "DejaVu Sans", Arial, sans-serif'


@dataclass(frozen=True)
class Pen:
    """A style of stroke: role of its colour, width [px], dash, and whether paper shows beside it (`casing`)."""

    role: str
    width_px: float
    dash: str = "solid"
    casing: bool = False


PENS = {
    "outline": Pen("outline", 2.2),
    "face_edge": Pen("outline", 1.4),
    "shut_line": Pen("shut_line", 1.1),
    "fine": Pen("shut_line", 0.8),
    "body_line": Pen("body_line", 0.8, "6px,4px"),
    "zone_edge": Pen("body_line", 0.7),
    "texture": Pen("texture", 1.0),
    "texture_fine": Pen("texture", 0.7),
    "selected": Pen("accent", 4.0, casing=True),
    "kept": Pen("kept", 2.2, casing=True),
    "kept_again": Pen("kept", 2.2, "3px,3px", casing=True),
    "kept_hatch": Pen("kept", 1.6, casing=True),
    "margin": Pen("kept", 1.4, "7px,4px", casing=True),
    "mask": Pen("mask", 1.6, "10px,3px,2px,3px", casing=True),
    "mask_hatch": Pen("mask", 1.0),
    "finding": Pen("finding", 1.5, casing=True),
    "finding_texture": Pen("finding", 1.0),
    "relief_light": Pen("relief_light", 1.4),
    "relief_dark": Pen("relief_dark", 1.4),
    "datum": Pen("datum", 1.5, "14px,3px,3px,3px", casing=True),
    "painted_line": Pen("ink", 3.0, casing=True),
    "contour": Pen("ink", 1.1),
    "filler_hatch": Pen("finding", 1.0),
    "route": Pen("accent", 1.2, "5px,4px"),
}

# Symbol and size [px] of each sign; hollow ones are told by their ending.
SYMBOLS: dict[str, tuple[str, float]] = {
    "dent": ("circle-open-dot", 13),
    "crack": ("x-thin", 12),
    "corrosion": ("triangle-up", 12),
    "filler": ("square", 11),
    "checking": ("hash-open", 12),
    "blister": ("circle-open", 11),
    "chip": ("triangle-down", 11),
    "ghost": ("diamond-open", 13),
    "rub": ("diamond", 12),
    "repair": ("cross", 12),
    "other": ("star", 13),
    "spot": ("circle", 9),
    "reading": ("circle", 11),
    "refused": ("circle-x-open", 13),
    "to_read": ("circle-open", 11),
    "datum": ("cross-thin", 15),
    "no_photo": ("square-x-open", 13),
    "no_reading": ("circle-cross-open", 13),
}


def hover_label(theme: Theme) -> dict[str, object]:
    """How words at a pointer look."""
    paints = colours(theme)
    font = {"family": FONT, "size": 15, "color": paints["ink"]}
    return {"bgcolor": paints["panel"], "bordercolor": paints["outline"], "align": "left", "font": font}


def coordinates(paths: Iterable[Path], unseen_mm: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """X and y of paths, a gap after each. Single precision: to a thousandth of a mm on any sheet.

    `unseen_mm`: points that lie no farther than this from the line without them are left out.
    """
    rows = thinned(paths, unseen_mm)
    if not rows:
        return np.empty(0, np.float32), np.empty(0, np.float32)
    lengths = np.array([len(row) for row in rows])
    both = np.full((lengths.sum() + len(rows) - 1, 2), np.nan, dtype=np.float32)
    points = np.concatenate(rows)
    both[np.arange(len(points)) + np.repeat(np.arange(len(rows)), lengths)] = points
    return both[:, 0], both[:, 1]


def thinned(paths: Iterable[Path], unseen_mm: float) -> list[np.ndarray]:
    """Paths as (n, 2) arrays; points that lie no farther than `unseen_mm` from the line without them are left out.

    Douglas and Peucker's way, as GEOS has it. Paths of few points come first.
    """
    rows = [np.asarray(path, dtype=float).reshape(-1, 2) for path in paths]
    if unseen_mm <= 0:
        return rows
    winding = [number for number, row in enumerate(rows) if len(row) > _LEAST_POINTS]
    if not winding:
        return rows
    lengths = [len(rows[number]) for number in winding]
    lines = shapely.linestrings(
        np.concatenate([rows[n] for n in winding]), indices=np.repeat(np.arange(len(winding)), lengths)
    )
    points, at = shapely.get_coordinates(shapely.simplify(lines, unseen_mm, preserve_topology=False), return_index=True)
    thin = np.split(points, np.flatnonzero(np.diff(at)) + 1)
    return [*(row for row in rows if len(row) <= _LEAST_POINTS), *thin]


def text_of(words: Iterable[str]) -> str:
    """Lines of plain text for a place that reads a little HTML."""
    return "<br>".join(escape(line, quote=False).replace("\n", "<br>") for line in words)


def see_through(paint: str, theme: Theme, share: float) -> str:
    """A paint through which `share` of the ground does not show."""
    colour = paint_of(paint, theme)
    red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return f"rgba({red},{green},{blue},{share:g})"
