"""The picture of a leaf of the strip sheet: zones by number, what is kept hatched, what is not released crossed out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Record
from bodymap.release.strip_areas import ZoneSplit
from bodymap.views.brief_drawing import surroundings
from bodymap.views.hatch import hatch_lines
from bodymap.views.paper import Label, Paper, Picture, Stroke, fitting_scale, lines_of, scale_bar, spots_of

_ROOM_MM = 9.0
_NUMBER_MM = 3.6
_CROSS_MM, _KEEP_MM, _HAND_MM, _REACH_MM = 7.0, 2.4, 1.8, 1.6
# Heights of the warning over a zone, largest first, and its mean width of a character in ems (bold capitals).
_ALARM_MM = (9.0, 7.5, 6.0, 5.0, 4.0, 3.2, 2.6)
_ALARM_EM = 0.74
_PLACES = 21
ALARM = "NOT RELEASED"


@dataclass(frozen=True)
class Alarm:
    """A warning over a zone: centred on (x, y) in paper mm, `size_mm` high, upright where `turned`."""

    text: str
    x: float
    y: float
    size_mm: float
    turned: bool


def strip_picture(
    record: Record,
    splits: Sequence[ZoneSplit],
    numbers: Sequence[int],
    free: Sequence[bool],
    keeps: Sequence[Area],
    size_mm: tuple[float, float],
) -> tuple[Picture, tuple[Alarm, ...]]:
    """The zones of one part on one drawing, in their surroundings.

    Args:
        record: the record.
        splits: the zones.
        numbers: for each, the number it bears on its leaf.
        free: for each, whether it is released.
        keeps: the kept areas that matter to them.
        size_mm: of the picture on paper.
    """
    zones = [to_shapely(record.zone[split.zone_id].shape) for split in splits]
    kept = [to_shapely(area.shape) for area in keeps]
    drawing_id = record.zone[splits[0].zone_id].drawing_id
    paper = _paper(zones, kept, size_mm)
    laid = [paper.cut(zone) for zone in zones]
    strokes = [*surroundings(record, drawing_id, paper)]
    for style, wanted in (("free", True), ("not-free", False)):
        shapes = [shape for shape, yes in zip(laid, free, strict=True) if yes is wanted]
        strokes.append(Stroke(style, _lines(shapes), closed=True))
    locked = [shape for shape, yes in zip(laid, free, strict=True) if not yes]
    crosses = (line for one in locked for way in (45, 135) for line in _hatch(one, _CROSS_MM, way))
    strokes.append(Stroke("crossed", tuple(crosses)))
    hand = [paper.cut(split.surfaces["hand"]) for split in splits]
    strokes.append(Stroke("hand", tuple(line for one in hand for line in _hatch(one, _HAND_MM, 90))))
    reach = [paper.cut(split.in_reach) for split in splits]
    strokes.append(Stroke("reach", tuple(line for one in reach for line in _hatch(one, _REACH_MM, 135))))
    strokes += _keeps(paper, keeps, kept, [paper.cut(split.surfaces["keep"]) for split in splits])
    labels = [_number(number, shape) for number, shape in zip(numbers, laid, strict=True)]
    alarms = [alarm for at, shape in enumerate(laid) if not free[at] and (alarm := _alarm(shape))]
    picture = Picture(
        paper.width_mm, paper.height_mm, paper.scale, tuple(one for one in strokes if one.lines),
        tuple(label for label in labels if label), scale_bar(paper.scale, min(50, paper.width_mm / 4)),
    )  # fmt: skip
    return picture, tuple(alarms)


def _paper(zones: Sequence[BaseGeometry], kept: Sequence[BaseGeometry], size_mm: tuple[float, float]) -> Paper:
    """The window: the zones, and of the kept areas what lies about as near as the widest margin."""
    left, low, right, high = shapely.total_bounds(zones)
    reach = 0.35 * max(right - left, high - low)
    near = [one.intersection(shapely.box(left - reach, low - reach, right + reach, high + reach)) for one in kept]
    left, low, right, high = shapely.total_bounds([*zones, *(one for one in near if not one.is_empty)])
    width, height = size_mm
    scale = fitting_scale(right - left, high - low, width - 2 * _ROOM_MM, height - 2 * _ROOM_MM)
    return Paper(width, height, scale, (left + right) / 2, (low + high) / 2)


def _keeps(
    paper: Paper, keeps: Sequence[Area], kept: Sequence[BaseGeometry], in_zones: Sequence[BaseGeometry]
) -> Iterable[Stroke]:
    """Kept areas, and zones that are kept whole: hatched, their margins dashed."""
    shapes = [paper.cut(shape) for shape in kept] + [shape for shape in in_zones if not shape.is_empty]
    yield Stroke("stays", _lines(shapes), closed=True)
    yield Stroke("hatch", tuple(line for one in shapes for line in _hatch(one, _KEEP_MM, 45)))
    yield Stroke("edge", tuple(line for shape in kept for line in lines_of(paper.cut(shape.boundary))))
    bands = [shape.buffer(area.margin).boundary for area, shape in zip(keeps, kept, strict=True) if area.margin]
    yield Stroke("margin", _lines([paper.cut(band) for band in bands]))


def _lines(shapes: Iterable[BaseGeometry]) -> tuple[tuple[tuple[float, float], ...], ...]:
    return tuple(line for shape in shapes for line in lines_of(shape))


def _hatch(shape: BaseGeometry, step_mm: float, angle_deg: float) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    parts = [part for part in shapely.get_parts(shape).tolist() if part.geom_type == "Polygon" and not part.is_empty]
    return hatch_lines(shapely.MultiPolygon(parts), step_mm, angle_deg) if parts else []


def _number(number: int, shape: BaseGeometry) -> Label | None:
    """A zone's number, above the middle of its widest place."""
    part = _largest(shape)
    if part is None:
        return None
    x, y = spots_of(shapely.maximum_inscribed_circle(part, tolerance=0.5))[0]
    return Label(str(number), x, y, _NUMBER_MM, "letter")


def _alarm(shape: BaseGeometry) -> Alarm | None:
    """The warning inside a zone, beside its number, as large as there is room; None: nowhere is it large enough to read."""
    part = _largest(shape)
    if part is None:
        return None
    x, y = spots_of(shapely.maximum_inscribed_circle(part, tolerance=0.5))[0]
    free = part.difference(shapely.Point(x, y).buffer(0.8 * _NUMBER_MM))
    shapely.prepare(free)
    places = np.array(sorted(_places(part), key=lambda spot: math.dist(spot, (x, y))))
    for size in _ALARM_MM:
        for turned in (False, True):
            fits = np.flatnonzero(shapely.contains(free, _boxes(places, size, turned=turned)))
            if len(fits):
                at_x, at_y = places[fits[0]].tolist()
                return Alarm(ALARM, at_x, at_y, size, turned)
    return None


def _places(part: BaseGeometry) -> list[tuple[float, float]]:
    left, low, right, high = part.bounds
    steps = [(n + 0.5) / _PLACES for n in range(_PLACES)]
    return [(left + across * (right - left), low + up * (high - low)) for across in steps for up in steps]


def _boxes(places: NDArray[np.float64], size: float, *, turned: bool) -> NDArray[np.object_]:
    along, across = len(ALARM) * _ALARM_EM * size / 2, 0.55 * size
    half = np.array((across, along) if turned else (along, across))
    boxes: NDArray[np.object_] = shapely.box(*(places - half).T, *(places + half).T)
    return boxes


def _largest(shape: BaseGeometry) -> shapely.Polygon | None:
    parts = [part for part in shapely.get_parts(shape).tolist() if isinstance(part, shapely.Polygon) and part.area > 0]
    return max(parts, key=lambda part: part.area, default=None)
