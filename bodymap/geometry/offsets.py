"""Offsets of a boundary from a datum, at stations a person with a rule can find again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.boundary import BoundaryPiece, Position, circumradius_mm
from bodymap.geometry.convert import to_shapely
from bodymap.model.shapes import Shape
from bodymap.settings import Settings


@dataclass(frozen=True)
class Station:
    """One place on a boundary, told from a datum.

    Attributes:
        station_mm: along the boundary piece, from its beginning.
        x, y: the place, in drawing mm.
        along_mm: of the foot along the datum, from the datum's beginning; 0 for a datum point.
        offset_mm: from the foot to the place; for a datum line plus on the left of its direction, minus on the right.
        foot: the nearest point of the datum, in drawing mm.
    """

    station_mm: float
    x: float
    y: float
    along_mm: float
    offset_mm: float
    foot: Position


def offsets_to_datum(coordinates: Sequence[Position], datum: Shape, settings: Settings) -> tuple[Station, ...]:
    """Offsets of a boundary piece from a datum point or line.

    Stations lie `station_mm` apart or closer, both ends among them, `stations_least` at least; on a curve so close that
    the boundary bulges by no more than `station_rise_mm` between two.
    """
    line = shapely.LineString(coordinates)
    base = to_shapely(datum)
    count = _station_count(coordinates, line.length, settings)
    return tuple(_station(line, base, line.length * number / (count - 1)) for number in range(count))


def piece_offsets(piece: BoundaryPiece, datum: Shape, settings: Settings) -> tuple[Station, ...]:
    """`offsets_to_datum` of a boundary piece."""
    return offsets_to_datum(piece.coordinates, datum, settings)


def _station_count(coordinates: Sequence[Position], length_mm: float, settings: Settings) -> int:
    apart = settings.value("station_mm")
    rise = settings.value("station_rise_mm")
    third = max(1, len(coordinates) // 3)
    radii = [
        circumradius_mm(*triple) for triple in zip(coordinates, coordinates[third:], coordinates[2 * third :], strict=False)
    ]
    radius = min(radii, default=math.inf)
    if math.isfinite(radius):
        apart = min(apart, math.sqrt(8 * radius * rise))  # rise of a chord s on radius R: s² / 8R
    return max(int(settings.value("stations_least")), math.ceil(length_mm / apart - 1e-9) + 1)


def _station(line: shapely.LineString, base: BaseGeometry, at_mm: float) -> Station:
    spot = line.interpolate(at_mm)
    if isinstance(base, shapely.Point):
        return Station(at_mm, spot.x, spot.y, 0.0, spot.distance(base), (base.x, base.y))
    along = base.project(spot)
    foot = base.interpolate(along)
    ahead_x, ahead_y = direction_at(base, along)
    left = ahead_x * (spot.y - foot.y) - ahead_y * (spot.x - foot.x)
    return Station(at_mm, spot.x, spot.y, along, math.copysign(spot.distance(foot), left), (foot.x, foot.y))


def direction_at(line: shapely.LineString | BaseGeometry, along_mm: float) -> Position:
    """Unit direction of a line at a place along it; at a vertex the mean of both sides."""
    reach = min(1.0, line.length / 4)
    before, after = line.interpolate(max(0.0, along_mm - reach)), line.interpolate(min(line.length, along_mm + reach))
    length = math.hypot(after.x - before.x, after.y - before.y)
    return (after.x - before.x) / length, (after.y - before.y) / length
