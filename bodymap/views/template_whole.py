"""A full-size template in one piece, for a cutter or a drawing program: lines by layer and names, true mm, y up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from bodymap.views.paper import Point, simple_parts, spots_of
from bodymap.views.template import Bounds, Template
from bodymap.views.template_ink import Ink, Named

_OWN = frozenset({"edge", "hole", "centre", "margin"})
_AROUND_MM = 20.0
_TEXT_MM = 5.0
_BARS_MM = 100.0
_CORNER_MM = 10.0
LAYERS = {
    "edge": "CUT_EDGE",
    "hole": "HOLES",
    "centre": "LINES",
    "line": "LINES",
    "line_centre": "LINES",
    "datum": "DATUMS",
    "margin": "MARGIN",
    "hatch": "HATCH",
    "other": "AREAS",
    "finding": "FINDINGS",
    "zone": "ZONES",
}
OUTLINE, TEXT, CHECK = "OUTLINE", "TEXT", "CHECK_100MM"


@dataclass(frozen=True)
class Track:
    """One line on a layer; `closed`: a ring, whose last point repeats the first."""

    layer: str
    points: tuple[Point, ...]
    closed: bool


@dataclass(frozen=True)
class Written:
    """A text centred on (x, y), upright, `size_mm` high."""

    text: str
    x: float
    y: float
    size_mm: float


@dataclass(frozen=True)
class TemplateWhole:
    """A template in one piece; `bounds` of all of it [mm], `texts` with the title below the drawing last."""

    template: Template
    bounds: Bounds
    tracks: tuple[Track, ...]
    texts: tuple[Written, ...]


def template_whole(template: Template, issue: str, printed: str) -> TemplateWhole:
    """Everything of a template on its layers, with two bars of 100 mm and a title below it.

    What is asked for is whole; its surroundings are cut 20 mm beyond it.

    Args:
        template: what is asked for.
        issue: where the journal stood, for the title.
        printed: the day, for the title.
    """
    own = [point for ink in template.ink if ink.style in _OWN for line in ink.lines for point in line]
    spots = np.array([*own, template.bounds[:2], template.bounds[2:]])
    (x0, y0), (x1, y1) = spots.min(axis=0).tolist(), spots.max(axis=0).tolist()
    window = (x0 - _AROUND_MM, y0 - _AROUND_MM, x1 + _AROUND_MM, y1 + _AROUND_MM)
    tracks = [track for ink in template.ink for track in _tracks(ink, window)]
    texts = [text for name in template.names if (text := _name(name, window)) is not None]
    left, low = window[0], window[1] - _BARS_MM - 2 * _CORNER_MM
    tracks += [
        Track(CHECK, ((left, low), (left + _BARS_MM, low)), closed=False),
        Track(CHECK, ((left, low), (left, low + _BARS_MM)), closed=False),
    ]
    title = _title(template, issue, printed)
    texts += [
        Written(line, left + _CORNER_MM + _wide(line) / 2, low + _BARS_MM - 12 - number * 1.8 * _TEXT_MM, _TEXT_MM)
        for number, line in enumerate(title)
    ]
    right = max(window[2], left + _CORNER_MM + max(map(_wide, title)))
    return TemplateWhole(template, (window[0], low, right, window[3]), tuple(tracks), tuple(texts))


def _tracks(ink: Ink, window: Bounds) -> list[Track]:
    layer = LAYERS.get(ink.style, OUTLINE)
    if ink.style in _OWN:
        return [Track(layer, line, ink.closed) for line in ink.lines]
    found = []
    for line in ink.lines:
        xs, ys = zip(*line, strict=True)
        if window[0] <= min(xs) and max(xs) <= window[2] and window[1] <= min(ys) and max(ys) <= window[3]:
            found.append(Track(layer, line, ink.closed))
        else:
            cut = shapely.line_merge(shapely.clip_by_rect(shapely.LineString(line), *window))
            parts = [part for part in simple_parts(cut) if isinstance(part, shapely.LineString) and part.length > 0]
            found += [Track(layer, spots_of(part), closed=False) for part in parts]
    return found


def _name(name: Named, window: Bounds) -> Written | None:
    seen = shapely.clip_by_rect(name.shape, *window)
    if seen.is_empty:
        return None
    spot = shapely.point_on_surface(seen)
    above = _TEXT_MM if name.style in ("line", "datum") else 0.0
    return Written(name.text, float(spot.x), float(spot.y) + above, _TEXT_MM)


def _wide(text: str) -> float:
    return 0.7 * _TEXT_MM * len(text)


def _title(template: Template, issue: str, printed: str) -> list[str]:
    return [
        f"{template.title} ({template.ident})",
        f"{template.drawing}, {template.vehicle}",
        f"issue {issue}, printed {printed}",
        "1 : 1, millimetres; the two lines here are 100 mm each",
        *template.banners,
        template.stays,
    ]
