"""A painted line as it lies on the body: its stripe of true width, its offsets from a datum, its drift and its wobble.

Offsets are told as one measures them: a rule set square to the datum at a station, read where the middle of the line
crosses it. Plus is on the left of the datum's direction. Nothing here makes a line straighter than it is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.offsets import square_off
from bodymap.model import Datum, Line, Record
from bodymap.model.shapes import Shape
from bodymap.settings import Settings

Width = tuple[float, float]
_QUARTER = 32
_PAST_MM = 1.0


@dataclass(frozen=True)
class LineOffset:
    """Where a line crosses the square on its datum: `station_mm` along the datum, `offset_mm` from it, the place (x, y)."""

    station_mm: float
    offset_mm: float
    x: float
    y: float


@dataclass(frozen=True)
class LineFigures:
    """How a line runs beside its datum.

    Attributes:
        n: stations counted.
        mean_mm: mean offset.
        drift_mm_per_m: slope of the least-squares line through the offsets; None under two stations.
        wobble_mm: standard deviation about that line (n - 2 in the denominator); None under three stations.
        least_mm, most_mm: smallest and greatest offset.
    """

    n: int
    mean_mm: float
    drift_mm_per_m: float | None
    wobble_mm: float | None
    least_mm: float
    most_mm: float


def runs_of(line: Line) -> tuple[shapely.LineString, ...]:
    """The unbroken runs of a line [drawing mm], in the order of the record."""
    return tuple(shapely.get_parts(to_shapely(line.shape)).tolist())


def offsets_of_run(run: BaseGeometry, datum: BaseGeometry, step_mm: float) -> tuple[LineOffset, ...]:
    """Offsets of one run at every whole multiple of `step_mm` along a datum line where a square on the datum meets it.

    Where a square meets the run more than once the crossing nearest to the datum counts. A run that lies wholly past an
    end of the datum has none.
    """
    if not isinstance(datum, shapely.LineString) or run.is_empty:
        return ()
    reach = float(shapely.distance(shapely.points(shapely.get_coordinates(run)), datum).max()) + _PAST_MM
    places = [datum.project(shapely.Point(spot)) for spot in shapely.get_coordinates(run)]
    first, last = math.ceil(min(places) / step_mm - 1e-9), math.floor(max(places) / step_mm + 1e-9)
    found = (_crossing(run, datum, number * step_mm, reach) for number in range(first, last + 1))
    return tuple(one for one in found if one is not None)


def _crossing(run: BaseGeometry, datum: shapely.LineString, at_mm: float, reach_mm: float) -> LineOffset | None:
    (x0, y0), (x1, y1) = square_off(datum, at_mm, -reach_mm), square_off(datum, at_mm, reach_mm)
    square = shapely.LineString([(x0, y0), (x1, y1)])
    spots = shapely.get_coordinates(run.intersection(square))
    # The square ends on the run itself at times: what rounding leaves out there is still a crossing.
    if not len(spots) and run.distance(square) < 1e-6:
        spots = shapely.get_coordinates(shapely.shortest_line(run, square))[:1]
    if not len(spots):
        return None
    foot = datum.interpolate(at_mm)
    ways = (spots - (foot.x, foot.y)) @ np.array([(x1 - x0), (y1 - y0)]) / square.length
    nearest = int(np.abs(ways).argmin())
    return LineOffset(at_mm, float(ways[nearest]), float(spots[nearest][0]), float(spots[nearest][1]))


def figures_of(offsets: Sequence[LineOffset]) -> LineFigures | None:
    """Drift and wobble of a line over all its stations; None where it has none."""
    if not offsets:
        return None
    at, off = np.array([[one.station_mm, one.offset_mm] for one in offsets]).T
    drift = wobble = None
    if len(set(at.tolist())) > 1:
        slope, rise = np.polyfit(at - at.mean(), off, 1)
        drift = float(slope) * 1000.0
        if len(at) > 2:
            rest = off - (slope * (at - at.mean()) + rise)
            wobble = float(np.sqrt((rest**2).sum() / (len(at) - 2)))
    return LineFigures(len(at), float(off.mean()), drift, wobble, float(off.min()), float(off.max()))


def line_datum(record: Record, line: Line, settings: Settings) -> Datum | None:
    """The datum line to measure a painted line from: within reach of it, beside most of it, and of those the nearest.

    Reach is `datum_reach_mm`. Where no datum line is in reach the nearest of the drawing is taken; None: it has none.
    """
    shape = to_shapely(line.shape)
    datums = [one for one in record.datums if one.drawing_id == line.drawing_id and one.shape.type == "LineString"]
    near = [one for one in datums if to_shapely(one.shape).distance(shape) <= settings.value("datum_reach_mm")]
    if not near:
        return min(datums, key=lambda one: to_shapely(one.shape).distance(shape), default=None)
    step = settings.value("line_station_mm")

    def beside(one: Datum) -> tuple[float, float]:
        base = to_shapely(one.shape)
        count = sum(len(offsets_of_run(run, base, step)) for run in runs_of(line))
        return -count, base.distance(shape)

    return min(near, key=beside)


def line_from_offsets(datum: Shape, offsets: Sequence[tuple[float, float]]) -> Shape:
    """The centre of a line from offsets typed at stations of a datum line: straight from station to station.

    Args:
        datum: a LineString.
        offsets: (station along the datum, offset from it; plus on its left) [mm], in the order in which the line runs.

    Raises:
        BodymapError: fewer than two stations, a figure that is none, one station twice in a row, or a station past an end
            of the datum; all of them at once.
    """
    base = to_shapely(datum)
    if not isinstance(base, shapely.LineString):
        raise BodymapError(f"line from offsets: found a datum that is a {datum.type}; allowed: a datum line")
    faults = [] if len(offsets) > 1 else [f"{len(offsets)} station(s); allowed: two or more"]
    before: tuple[float, float] | None = None
    for number, (at, off) in enumerate(offsets, start=1):
        if not (math.isfinite(at) and math.isfinite(off)):
            faults.append(f"station {number}: found {at:g}, {off:g}; allowed: numbers in mm")
        elif not 0 <= at <= base.length + 1e-6:
            faults.append(f"station {number}: found {at:g} mm; allowed: 0 to {base.length:.1f} mm along the datum")
        elif (at, off) == before:
            faults.append(f"station {number}: found {at:g} mm at {off:g} mm once more; allowed: each place once")
        before = (at, off)
    if faults:
        raise BodymapError("line from offsets: " + "; ".join(faults))
    return from_shapely(shapely.LineString([square_off(base, min(at, base.length), off) for at, off in offsets]))


def widths_of(line: Line) -> tuple[Width, ...]:
    """The width profile of a line: (mm along the line from its beginning, width in mm); one pair where it is one width.

    The record has one `width`. A property `widths`, a list of [mm along, width] that the record carries along with the
    line, is read as the profile. Empty: no width is stated.

    Raises:
        BodymapError: `widths` is no such list.
    """
    told = line.more.get("widths")
    if not told:
        return () if line.width is None else ((0.0, line.width),)
    try:
        pairs = sorted((float(at), float(width)) for at, width in told)
    except (TypeError, ValueError):
        pairs = []
    if not pairs or any(not math.isfinite(at) or at < 0 or not 0 < width < math.inf for at, width in pairs):
        raise BodymapError(
            f"line {line.line_id}, widths: found {told!r}; allowed: a list of [mm along the line, width in mm, above 0]"
        )
    return tuple(pairs)


def stripe_of(line: Line) -> BaseGeometry | None:
    """The surface a line takes on the body, square at its ends; None where no width is stated."""
    profile = widths_of(line)
    if not profile:
        return None
    stripes, done = [], 0.0
    for run in runs_of(line):
        stripes.append(_stripe(run, profile, done))
        done += run.length
    return shapely.union_all(stripes)


def _stripe(run: shapely.LineString, profile: Sequence[Width], begins_mm: float) -> BaseGeometry:
    at, widths = zip(*profile, strict=True)
    if len(set(widths)) == 1:
        return run.buffer(widths[0] / 2, cap_style="flat", join_style="round", quad_segs=_QUARTER)
    own = [run.project(shapely.Point(spot)) for spot in run.coords]
    places = sorted({*own, *(place - begins_mm for place in at if 0 < place - begins_mm < run.length)})
    halves = np.interp(np.array(places) + begins_mm, at, widths) / 2
    left = [square_off(run, place, half) for place, half in zip(places, halves.tolist(), strict=True)]
    right = [square_off(run, place, -half) for place, half in zip(places, halves.tolist(), strict=True)]
    return shapely.make_valid(shapely.Polygon([*left, *reversed(right)]), method="structure", keep_collapsed=False)
