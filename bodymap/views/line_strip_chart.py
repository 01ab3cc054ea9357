"""The strip chart of a painted line on paper: offset, exaggerated, over the station along the datum."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from bodymap.views.line_strip_parts import LineStrip
from bodymap.views.paper import Label, Picture, Point, ScaleBar, Stroke

_LEFT_MM, _RIGHT_MM, _TOP_MM, _BELOW_MM = 13.0, 4.0, 9.0, 11.0
_TEXT_MM, _SMALL_MM = 2.6, 2.3
_STEPS = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
TRACKS = ("own", "twin")
Place = Callable[[float, float], Point]


@dataclass(frozen=True)
class Axis:
    """A round axis: from `low` to `high`, a line each `step`, all in mm."""

    low: float
    high: float
    step: float

    @property
    def places(self) -> tuple[float, ...]:
        """Where its lines lie."""
        return tuple(self.low + number * self.step for number in range(round((self.high - self.low) / self.step) + 1))


@dataclass(frozen=True)
class StripChart:
    """A chart on paper: `exaggeration` says how much larger offsets are drawn than lengths along the datum."""

    picture: Picture
    exaggeration: float


def round_axis(low: float, high: float, most: int) -> Axis:
    """An axis over a range with at most so many steps, each 1, 2 or 5 times a power of ten.

    >>> round_axis(23.0, 31.7, 6)
    Axis(low=22, high=32, step=2)
    """
    step = next((one for one in _STEPS if math.ceil(high / one) - math.floor(low / one) <= most), _STEPS[-1])
    first, last = math.floor(low / step), math.ceil(high / step)
    return Axis(first * step, max(last, first + 1) * step, step)


def strip_chart(strip: LineStrip, width_mm: float, height_mm: float) -> StripChart:
    """Draws a strip chart on a piece of paper.

    Args:
        strip: what it holds.
        width_mm: of the paper.
        height_mm: likewise.
    """
    stations, offsets = ([spot[at] for spot in strip.spots] for at in (0, 1))
    across = round_axis(min(stations), max(stations), 14)
    up = round_axis(min(offsets) - 0.5, max(offsets) + 0.5, 8)
    room = width_mm - _LEFT_MM - _RIGHT_MM, height_mm - _TOP_MM - _BELOW_MM
    scale_x, scale_y = room[0] / (across.high - across.low), room[1] / (up.high - up.low)

    def spot(station: float, offset: float) -> Point:
        return _LEFT_MM + (station - across.low) * scale_x, height_mm - _BELOW_MM - (offset - up.low) * scale_y

    strokes = [
        Stroke("grid", tuple((spot(across.low, at), spot(across.high, at)) for at in up.places)),
        Stroke("grid", tuple((spot(at, up.low), spot(at, up.high)) for at in across.places)),
        *_marks(strip, across, up, spot),
    ]
    for style, track in zip(TRACKS, strip.tracks, strict=False):
        lines = tuple(tuple(spot(*one) for one in run) for run in track.runs if len(run) > 1)
        strokes.append(Stroke(style, lines))
    labels = [
        *_figures(across, up, spot),
        *_names(strip, across, up, spot, width_mm, height_mm),
    ]
    kept = tuple(stroke for stroke in strokes if stroke.lines)
    picture = Picture(width_mm, height_mm, 1 / scale_x, kept, tuple(labels), ScaleBar(0, 0))
    return StripChart(picture, scale_y / scale_x)


def _marks(strip: LineStrip, across: Axis, up: Axis, spot: Place) -> Iterator[Stroke]:
    inside = [mark for mark in strip.marks if mark.to_mm >= across.low and mark.from_mm <= across.high]
    shut = tuple((spot(mark.from_mm, up.low), spot(mark.from_mm, up.high)) for mark in inside if mark.kind == "shut line")
    yield Stroke("shut", shut)
    gaps = [mark for mark in inside if mark.kind == "gap"]
    for mark in gaps:
        a, b = max(mark.from_mm, across.low), min(mark.to_mm, across.high)
        ring = (spot(a, up.low), spot(b, up.low), spot(b, up.high), spot(a, up.high), spot(a, up.low))
        yield Stroke("gap", (ring,), closed=True)
    _, top = spot(across.low, up.high)
    bands = []
    for mark in inside:
        if mark.kind == "zone":
            (a, _), (b, _) = (spot(min(max(at, across.low), across.high), up.high) for at in (mark.from_mm, mark.to_mm))
            bands += [((a, top - 1.2), (b, top - 1.2)), ((a, top - 2.2), (a, top - 0.2)), ((b, top - 2.2), (b, top - 0.2))]
    yield Stroke("band", tuple(bands))


def _figures(across: Axis, up: Axis, spot: Place) -> Iterator[Label]:
    for at in up.places:
        x, y = spot(across.low, at)
        yield Label(f"{at:g}", x - 1.5 - 0.3 * _TEXT_MM * len(f"{at:g}"), y, _TEXT_MM, "figure")
    for at in across.places:
        x, y = spot(at, up.low)
        yield Label(f"{at:g}", x, y + 3, _TEXT_MM, "figure")


def _names(strip: LineStrip, across: Axis, up: Axis, spot: Place, width_mm: float, height_mm: float) -> Iterator[Label]:
    yield Label(f"mm along {strip.datum}", width_mm / 2, height_mm - 3, _TEXT_MM, "axis")
    yield Label("offset, mm", 3, (height_mm + _TOP_MM - _BELOW_MM) / 2, _TEXT_MM, "axis", -90)
    for mark in strip.marks:
        (a, top), (b, _) = (spot(min(max(at, across.low), across.high), up.high) for at in (mark.from_mm, mark.to_mm))
        if mark.kind == "zone" and b - a > len(mark.name) * _SMALL_MM * 0.6:
            yield Label(mark.name, (a + b) / 2, top - 4, _SMALL_MM, "band")
        elif mark.kind == "shut line" and across.low <= mark.from_mm <= across.high:
            yield Label(mark.name, a + 1.8, top + len(mark.name) * _SMALL_MM * 0.3 + 1.5, _SMALL_MM, "band", -90)
