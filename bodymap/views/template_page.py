"""The paper of a full-size template: its size, the part that the drawing takes, the bars by which it is checked.

Paper sizes: ISO 216 (A4 210 mm × 297 mm, A3 297 mm × 420 mm; from memory, not seen). A printer errs by one factor along
the sheet and by another across it; both are told by bars printed 100 mm long and measured.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.settings import Settings
from bodymap.units import mm_to_pt

Paper = Literal["A4", "A3"]
PAPERS_MM: dict[str, tuple[float, float]] = {"A4": (210.0, 297.0), "A3": (297.0, 420.0)}
# PDF 1.4 to 1.7: no page side longer than 14,400 points (ISO 32000-1 annex C; from memory, not seen).
PAGE_MOST_PT = 14_400.0
BAR_MM = 100.0
# Room for the upright bar at the left, and for the level bar and the title block below.
SIDE_MM, FOOT_MM = 7.0, 27.0
_PLOTTER_LEAST_MM = (180.0, 125.0)
_SLACK = 1e-6


@dataclass(frozen=True)
class TemplateChoice:
    """How a template is printed.

    Attributes:
        paper: A4 or A3; not used with `plotter`.
        landscape: the long side of the paper level.
        plotter: one page as large as it takes.
        overlap_mm: of neighbouring sheets; None: as the settings have it.
        printed_x_mm: what the level 100 mm bar of a test print measured; `printed_y_mm`: the upright one. None: 100.
    """

    paper: Paper = "A4"
    landscape: bool = False
    plotter: bool = False
    overlap_mm: float | None = None
    printed_x_mm: float | None = None
    printed_y_mm: float | None = None

    def factors(self, settings: Settings) -> tuple[float, float]:
        """By what x and y are stretched so that the bars come out 100 mm long.

        Raises:
            BodymapError: a measured bar that no printer's error explains; both are told.
        """
        low, high = settings.value("template_least_pct"), settings.value("template_most_pct")
        measured = (("x", self.printed_x_mm), ("y", self.printed_y_mm))
        faults = [
            f"100 mm bar in {way}: found {length:g} mm; allowed: {low:g} to {high:g} mm. "
            "What is farther off was scaled in the print dialogue: print at 100 % and measure again"
            for way, length in measured
            if length is not None and not low <= length <= high
        ]
        if faults:
            raise BodymapError("; ".join(faults))
        x, y = (1.0 if length is None else BAR_MM / length for _, length in measured)
        return x, y


@dataclass(frozen=True)
class Frame:
    """A page in paper mm: its size and, from its upper left corner, where the drawing lies."""

    width_mm: float
    height_mm: float
    margin_mm: float
    left_mm: float
    top_mm: float
    live_width_mm: float
    live_height_mm: float


def sheet_frame(choice: TemplateChoice, settings: Settings) -> Frame:
    """The page of one sheet of A4 or A3."""
    short, long = PAPERS_MM[choice.paper]
    width, height = (long, short) if choice.landscape else (short, long)
    margin = settings.value("template_margin_mm")
    live = width - 2 * margin - SIDE_MM, height - 2 * margin - FOOT_MM
    return Frame(width, height, margin, margin + SIDE_MM, margin, *live)


def plotter_frame(width_mm: float, height_mm: float, settings: Settings) -> Frame:
    """One page for a drawing that takes so much paper.

    Raises:
        BodymapError: a side longer than a PDF page can be.
    """
    margin = settings.value("template_margin_mm")
    live_width, live_height = max(width_mm, _PLOTTER_LEAST_MM[0]), max(height_mm, _PLOTTER_LEAST_MM[1])
    frame = Frame(
        live_width + 2 * margin + SIDE_MM,
        live_height + 2 * margin + FOOT_MM,
        margin,
        margin + SIDE_MM,
        margin,
        live_width,
        live_height,
    )
    longest = max(frame.width_mm, frame.height_mm)
    if mm_to_pt(longest) > PAGE_MOST_PT:
        most = math.floor(PAGE_MOST_PT / mm_to_pt(1) + _SLACK)
        raise BodymapError(f"plotter page: found a side of {longest:.0f} mm; allowed: up to {most} mm; print it on sheets")
    return frame
