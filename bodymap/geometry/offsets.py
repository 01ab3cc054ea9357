"""Offsets of a boundary from a datum, at stations a person with a rule can find again.

A station is told by the place of its foot along the datum and by its offset from there: "at 300 mm along the datum,
125.5 mm to its left". Past an end of a datum line nothing stands square on it: the distance then runs slanting to that
end, and the station says so.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.boundary import Position
from bodymap.geometry.convert import to_shapely
from bodymap.model.shapes import Shape
from bodymap.settings import Settings

Floats = NDArray[np.float64]

# Closer than this no two stations are set, however tight the curve.
CLOSEST_MM = 5.0
_NEAR_MM = 0.01


@dataclass(frozen=True)
class Station:
    """One place on a boundary, told from a datum.

    Attributes:
        station_mm: along the boundary piece, from its beginning.
        x, y: the place, in drawing mm.
        along_mm: of the foot along the datum, from the datum's beginning; 0 for a datum point.
        offset_mm: from the foot to the place; for a datum line plus on the left of its direction, minus on the right.
        foot: the nearest point of the datum, in drawing mm.
        beyond: the place lies past an end of the datum line, so that the offset runs slanting to that end.
    """

    station_mm: float
    x: float
    y: float
    along_mm: float
    offset_mm: float
    foot: Position
    beyond: bool = False


def offsets_to_datum(coordinates: Sequence[Position], datum: Shape, settings: Settings) -> tuple[Station, ...]:
    """Offsets of a boundary piece from a datum point or line.

    Stations lie `station_mm` apart or closer, both ends among them, `stations_least` at least; where the boundary would
    bulge by more than `station_rise_mm` between two, others are set halfway, again and again. A closed piece has its
    first station only once.
    """
    line, base = shapely.LineString(coordinates), to_shapely(datum)
    return tuple(_station(line, base, place) for place in _places(np.array(coordinates, dtype=float), settings))


def beyond_end(datum: BaseGeometry, x: float, y: float) -> bool:
    """Whether a place lies past an end of a datum line, so that no square stands on the line towards it.

    >>> beyond_end(shapely.LineString([(0, 0), (9, 0)]), 10, 5)
    True
    >>> beyond_end(shapely.LineString([(0, 0), (9, 0)]), 9, 5)
    False
    """
    if not isinstance(datum, shapely.LineString):
        return False
    along = datum.project(shapely.Point(x, y))
    if 0 < along < datum.length:
        return False
    (x0, y0), (x1, y1) = datum.coords[:2] if along <= 0 else datum.coords[:-3:-1]
    return ((x - x0) * (x0 - x1) + (y - y0) * (y0 - y1)) / math.dist((x0, y0), (x1, y1)) > _NEAR_MM


def _places(points: Floats, settings: Settings) -> list[float]:
    """Where along a line stations are set [mm]."""
    steps = np.diff(points, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    length, rise, least = float(along[-1]), settings.value("station_rise_mm"), int(settings.value("stations_least"))
    closed = bool((points[0] == points[-1]).all())
    gaps = max(least if closed else least - 1, math.ceil(length / settings.value("station_mm") - 1e-9))
    ends = [length * number / gaps for number in range(gaps + 1)]
    found = [0.0]
    for start, end in itertools.pairwise(ends):
        found += _halved(points, along, start, end, rise)
    return found[:-1] if closed else found


def _halved(points: Floats, along: Floats, start: float, end: float, rise: float) -> list[float]:
    """The stations after `start`, up to and with `end`."""
    if end - start < 2 * CLOSEST_MM or _bulge(points, along, start, end) <= rise:
        return [end]
    middle = (start + end) / 2
    return _halved(points, along, start, middle, rise) + _halved(points, along, middle, end, rise)


def _bulge(points: Floats, along: Floats, start: float, end: float) -> float:
    """How far a line stands off the chord between two places along it at most [mm]."""
    (x0, y0), (x1, y1) = ([float(np.interp(place, along, points[:, axis])) for axis in (0, 1)] for place in (start, end))
    between = points[(along > start) & (along < end)] - (x0, y0)
    if not len(between):
        return 0.0
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord < _NEAR_MM:
        return float(np.hypot(between[:, 0], between[:, 1]).max())
    return float(np.abs((x1 - x0) * between[:, 1] - (y1 - y0) * between[:, 0]).max()) / chord


def _station(line: shapely.LineString, base: BaseGeometry, at_mm: float) -> Station:
    spot = line.interpolate(at_mm)
    if not isinstance(base, shapely.LineString):
        (point,) = shapely.get_coordinates(base).tolist()
        return Station(at_mm, spot.x, spot.y, 0.0, spot.distance(base), (point[0], point[1]))
    along = base.project(spot)
    foot = base.interpolate(along)
    ahead_x, ahead_y = direction_at(base, along)
    left = ahead_x * (spot.y - foot.y) - ahead_y * (spot.x - foot.x)
    offset = math.copysign(spot.distance(foot), left)
    return Station(at_mm, spot.x, spot.y, along, offset, (foot.x, foot.y), beyond_end(base, spot.x, spot.y))


def direction_at(line: shapely.LineString, along_mm: float) -> Position:
    """Unit direction of a line at a place along it; at a vertex halfway between the directions before and after it."""
    ahead_x, ahead_y, _ = _heading(line, along_mm)
    return ahead_x, ahead_y


def square_off(line: shapely.LineString, along_mm: float, offset_mm: float) -> Position:
    """The place at an offset from a line, plus on its left; at a vertex where the two parallels to the line meet there.

    >>> square_off(shapely.LineString([(0, 0), (9, 0)]), 3, 2)
    (3.0, 2.0)
    """
    spot = line.interpolate(along_mm)
    ahead_x, ahead_y, longer = _heading(line, along_mm)
    return spot.x - ahead_y * offset_mm * longer, spot.y + ahead_x * offset_mm * longer


def _heading(line: shapely.LineString, along_mm: float) -> tuple[float, float, float]:
    """Direction at a place along a line, and how much farther than square to it the parallels meet (1 but at a vertex)."""
    points = np.array(line.coords)
    steps = np.diff(points, axis=0)
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    steps, lengths = steps[lengths > 0], lengths[lengths > 0]
    ends = np.cumsum(lengths)
    here = min(int(np.searchsorted(ends, along_mm - 1e-9)), len(ends) - 1)
    after = here + 1 if here + 1 < len(ends) and abs(ends[here] - along_mm) <= 1e-9 else here
    one, other = steps[here] / lengths[here], steps[after] / lengths[after]
    mean = one + other
    size = float(np.hypot(*mean))
    if size < 1e-6:  # the line turns back on itself
        return float(one[0]), float(one[1]), 1.0
    return float(mean[0]) / size, float(mean[1]) / size, 2.0 / size
