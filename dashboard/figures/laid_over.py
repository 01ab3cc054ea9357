"""What is laid over a map, as a drawing of its own on the same frame: the map below is neither sent nor drawn anew.

Lines keep their width and signs their size however large the map is. No pointer finds any of it, only the map below.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

import plotly.graph_objects as go

from bodymap.views.laid_over import LaidOver
from bodymap.views.palette import Theme, paint_of
from bodymap.views.sheet_parts import Path, Point
from dashboard.figures.framing import WIDTH_PX
from dashboard.figures.pens import CASING_PX, PENS, UNSEEN_PX, thinned

_DASHES = "10 6"
_SIGN_PX, _WORDS_PX, _DOT_PX = 22, 36, 7.0
# A ring with a cross in it, round its middle [px].
_RING = "M-8 0A8 8 0 1 1 8 0A8 8 0 1 1-8 0M-8 0H8M0-8V8"


@dataclass(frozen=True)
class Frame:
    """What a map shows, and where on its chart: bounds in sheet mm, room round the drawing and its height in pixels.

    The map keeps one scale both ways, its drawing in the middle of the width and at the top.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    left_px: float
    right_px: float
    top_px: float
    high_px: float

    @classmethod
    def of(cls, figure: go.Figure) -> Frame:
        """The frame of a map (`figures.framing.framed`)."""
        layout = figure.layout
        (x0, x1), (y0, y1), margin = layout.xaxis.range, layout.yaxis.range, layout.margin
        high = layout.height - (margin.t or 0) - (margin.b or 0)
        return cls(x0, y0, x1, y1, margin.l or 0, margin.r or 0, margin.t or 0, high)

    @property
    def mm_per_px(self) -> float:
        """How many mm one pixel shows on a desk screen."""
        return max((self.x1 - self.x0) / WIDTH_PX, (self.y1 - self.y0) / self.high_px)

    @property
    def clear_mm(self) -> float:
        """How far outside a zone's edge the line round it runs, for it and its casing to cover nothing in the zone."""
        return (PENS["selected"].width_px + CASING_PX) / 2 * self.mm_per_px

    def shows(self, place: Point) -> bool:
        """Whether a place on the sheet [mm] is in view."""
        return self.x0 <= place[0] <= self.x1 and self.y0 <= place[1] <= self.y1


def laid_over_html(over: LaidOver, frame: Frame, theme: Theme) -> str:
    """HTML to stand over the chart in a box that its place is reckoned from, as wide as the chart; never empty."""
    draft = paint_of("draft", theme)
    pen = PENS["selected"]
    drawn = [
        *_line(over.chosen, paint_of(pen.role, theme), pen.width_px, frame, paint_of("paper", theme)),
        *_line(over.draft, draft, 3, frame, dashes=_DASHES),
        *_line([over.line] if over.line else [], draft, 3, frame, dashes=_DASHES),
        *_dots(over.line, draft),
    ]
    wide, high = frame.x1 - frame.x0, frame.y1 - frame.y0
    # The box is as large as what the map shows, and no larger: nothing is drawn beside that.
    box = (
        f"--most:{frame.high_px * wide / high:.2f}px;--sides:{frame.left_px + frame.right_px:g}px;"
        f"--shift:{(frame.left_px - frame.right_px) / 2:g}px;top:{frame.top_px:g}px;aspect-ratio:{wide:.1f}/{high:.1f}"
    )
    sheet = f'<svg viewBox="{frame.x0:.1f} {-frame.y1:.1f} {wide:.1f} {high:.1f}">'
    sign = _sign(over.place, over.place_words, frame, theme) if over.place and frame.shows(over.place) else ""
    svg = f"{sheet}{''.join(drawn)}</svg>" if drawn else ""
    return f'<div class="laid_over" aria-hidden="true" style="{box}">{svg}{sign}</div>'


def _line(
    paths: Sequence[Path], paint: str, width_px: float, frame: Frame, casing: str = "", dashes: str = ""
) -> Iterable[str]:
    """Lines as one stroke; where there is a casing, a wider one in its paint below."""
    if not paths:
        return
    rows = thinned(paths, UNSEEN_PX * frame.mm_per_px)
    way = "".join("M" + "L".join(f"{x:.1f} {-y:.1f}" for x, y in row) for row in rows)
    strokes = [(casing, width_px + CASING_PX)] if casing else []
    for colour, width in (*strokes, (paint, width_px)):
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        yield f'<path d="{way}" stroke="{colour}" stroke-width="{width:g}"{dashed}/>'


def _dots(places: Sequence[Point], paint: str) -> Iterable[str]:
    """A dot at each place: a line of no length with round ends keeps its size."""
    if places:
        way = "".join(f"M{x:.1f} {-y:.1f}h0" for x, y in places)
        yield f'<path d="{way}" stroke="{paint}" stroke-width="{_DOT_PX:g}" stroke-linecap="round"/>'


def _sign(place: Point, words: str, frame: Frame, theme: Theme) -> str:
    """A ring with a cross at a place, its words above it; below it where there is no room above."""
    x, y = place
    across, down = (x - frame.x0) / (frame.x1 - frame.x0), (frame.y1 - y) / (frame.y1 - frame.y0)
    at = f"left:{100 * across:.3f}%;top:{100 * down:.3f}%"
    half = _SIGN_PX / 2
    paper, ink = paint_of("paper", theme), paint_of("draft", theme)
    rings = "".join(f'<path d="{_RING}" stroke="{paint}" stroke-width="{px}"/>' for paint, px in ((paper, 6), (ink, 3)))
    ring = f'<svg viewBox="-{half:g} -{half:g} {_SIGN_PX} {_SIGN_PX}" width="{_SIGN_PX}" height="{_SIGN_PX}">{rings}</svg>'
    side = "laid_sign" if frame.y1 - y > _WORDS_PX * frame.mm_per_px else "laid_sign words_below"
    return f'<div class="{side}" style="{at}">{ring}<b style="background:{paper};color:{ink}">{escape(words)}</b></div>'
