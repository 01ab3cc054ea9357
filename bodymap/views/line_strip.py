"""A painted line along its datum, left and right together: the strip chart by which a liner judges a hand.

Offsets are those of `bodymap.geometry.painted_line`, told plus on the side of the datum on which the line lies. The twin
is measured from the twin of the datum, mirrored: plus means the same there. The chart shows, it never straightens: drift,
wobble and a change of hand are what the hand left, and stay unless the owner decides otherwise.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.offsets import beyond_end
from bodymap.geometry.painted_line import (
    LineOffset,
    figures_of,
    line_datum,
    offsets_of_run,
    runs_of,
    widths_of,
)
from bodymap.geometry.twin_side import other_side
from bodymap.model import Datum, Line, Record
from bodymap.settings import Settings
from bodymap.views.line_strip_parts import LineStrip, StripMark, StripRow, StripTrack, strip_words
from bodymap.views.template_ink import line_title

__all__ = ["LineStrip", "StripMark", "StripRow", "StripTrack", "line_strip", "twin_of"]

_GAP_LEAST_MM = 1.0


@dataclass(frozen=True)
class _Base:
    """A datum to measure from: its line, turned round where it runs against that of the twin, and the sign of plus."""

    name: str
    line: shapely.LineString
    sign: float


def line_strip(record: Record, line_id: str, settings: Settings, *, datum_id: str | None = None,
               twin_id: str | None = None) -> LineStrip:  # fmt: skip
    """The strip chart of a line.

    Args:
        record: the record.
        line_id: the line.
        settings: the figures in force.
        datum_id: the datum line to measure from; None: as `line_datum` chooses.
        twin_id: the line on the other side; None: that on the twin drawing which answers to it.

    Raises:
        BodymapError: no such line or datum, no datum line on its drawing, or none of the line beside it.
    """
    line = _line(record, line_id)
    datum = _datum(record, line, settings, datum_id)
    base = _signed(line, _Base(datum.name, _datum_line(datum), 1.0), settings)
    twin = _line(record, twin_id) if twin_id else twin_of(record, line, settings)
    tracks = [_track(record, line, base, settings)]
    if tracks[0].figures is None:
        raise BodymapError(
            f"line {line_id}: found no part of it beside the datum {datum.name!r}; allowed: a datum line that runs along it"
        )
    other = _twin_base(record, line, datum, base, twin, settings) if twin else None
    if twin and other:
        tracks.append(_track(record, twin, other, settings))
    rows = tuple(_rows(tracks, settings.value("station_mm")))
    marks = tuple(_marks(record, line, base))
    said = tuple(strip_words(tracks, rows, settings, twin=twin is not None))
    return LineStrip(line_id, line_title(line), datum.name, tuple(tracks), marks, rows, said)


def twin_of(record: Record, line: Line, settings: Settings) -> Line | None:
    """The line on the other side: by its id, the only one there, or the one that lies likest beside its datum."""
    drawing = record.drawing[line.drawing_id]
    sides = {one.drawing_id for one in record.drawings if one.mirror_of == drawing.drawing_id} | {drawing.mirror_of}
    there = [one for one in record.lines if one.drawing_id in sides]
    named = [one for one in there if one.line_id == other_side(line.line_id)]
    if named or len(there) < 2:
        return next(iter(named or there), None)
    own = _mean(record, line, settings)
    means = [(mean, one) for one in there if (mean := _mean(record, one, settings)) is not None]
    if own is None or not means:
        return None
    return min(means, key=lambda pair: abs(pair[0] - own))[1]


def _mean(record: Record, line: Line, settings: Settings) -> float | None:
    datum = line_datum(record, line, settings)
    track = _track(record, line, _Base("", _datum_line(datum), 1.0), settings) if datum else None
    return abs(track.figures.mean_mm) if track and track.figures else None


def _line(record: Record, line_id: str) -> Line:
    for line in record.lines:
        if line.line_id == line_id:
            return line
    known = ", ".join(line.line_id for line in record.lines) or "none is recorded"
    raise BodymapError(f"strip chart: found no line {line_id!r}; allowed: {known}")


def _datum(record: Record, line: Line, settings: Settings, datum_id: str | None) -> Datum:
    lines = [one for one in record.datums if one.drawing_id == line.drawing_id and one.shape.type == "LineString"]
    known = ", ".join(one.datum_id for one in lines) or "none yet: draw one along the line"
    if datum_id is not None:
        for one in lines:
            if one.datum_id == datum_id:
                return one
        raise BodymapError(f"line {line.line_id}: found no datum line {datum_id!r} on its drawing; allowed: {known}")
    found = line_datum(record, line, settings)
    if found is None:
        raise BodymapError(f"line {line.line_id}: found no datum line on its drawing to measure from; allowed: {known}")
    return found


def _datum_line(datum: Datum) -> shapely.LineString:
    line = to_shapely(datum.shape)
    if not isinstance(line, shapely.LineString):
        raise BodymapError(f"datum {datum.datum_id}: found a {datum.shape.type}; allowed: a line to measure from")
    return line


def _offsets(line: Line, base: _Base, settings: Settings) -> list[tuple[LineOffset, ...]]:
    step = settings.value("line_station_mm")
    runs = (offsets_of_run(run, base.line, step) for run in runs_of(line))
    return sorted((run for run in runs if run), key=lambda run: run[0].station_mm)


def _signed(line: Line, base: _Base, settings: Settings) -> _Base:
    """Plus on the side on which the line lies."""
    total = sum(one.offset_mm for run in _offsets(line, base, settings) for one in run)
    return _Base(base.name, base.line, -1.0 if total < 0 else 1.0)


def _twin_base(record: Record, line: Line, datum: Datum, base: _Base, twin: Line, settings: Settings) -> _Base | None:
    """The datum of the twin: by its id, else as chosen for it; laid the mirrored way, so that stations answer."""
    lines = [one for one in record.datums if one.drawing_id == twin.drawing_id and one.shape.type == "LineString"]
    found = next((one for one in lines if one.datum_id == other_side(datum.datum_id)), None)
    found = found or line_datum(record, twin, settings)
    if found is None:
        return None
    there, same_side = _datum_line(found), twin.drawing_id == line.drawing_id
    (x0, y0), (x1, y1) = base.line.coords[0], base.line.coords[-1]
    (u0, v0), (u1, v1) = there.coords[0], there.coords[-1]
    across = (x1 - x0) if same_side else (x0 - x1)
    if across * (u1 - u0) + (y1 - y0) * (v1 - v0) < 0:
        there = there.reverse()
    return _Base(found.name, there, base.sign if same_side else -base.sign)


def _track(record: Record, line: Line, base: _Base, settings: Settings) -> StripTrack:
    runs = [
        tuple(LineOffset(one.station_mm, base.sign * one.offset_mm, one.x, one.y) for one in run)
        for run in _offsets(line, base, settings)
    ]
    widths = [width for _, width in widths_of(line)]
    return StripTrack(
        line.line_id,
        line_title(line),
        record.drawing[line.drawing_id].name,
        line.hand,
        tuple(tuple((one.station_mm, one.offset_mm) for one in run) for run in runs),
        figures_of([one for run in runs for one in run]),
        (min(widths), max(widths)) if widths else None,
        _past(line, base.line),
    )


def _past(line: Line, datum: shapely.LineString, step_mm: float = 10.0) -> float:
    """How much of a line lies past the ends of a datum, to the nearest 10 mm."""
    past = 0
    for run in runs_of(line):
        spots = [run.interpolate(number * step_mm) for number in range(math.ceil(run.length / step_mm))]
        past += sum(beyond_end(datum, spot.x, spot.y) for spot in spots)
    return past * step_mm


def _rows(tracks: Sequence[StripTrack], step_mm: float) -> Iterator[StripRow]:
    """Offsets at the stations a person with a rule would take."""
    stations = sorted({round(at / step_mm) for track in tracks for run in track.runs for at, _ in run})
    for number in stations:
        values = [_at(track, number * step_mm) for track in tracks]
        own, twin = values[0], values[1] if len(values) > 1 else None
        if own is not None or twin is not None:
            yield StripRow(number * step_mm, own, twin)


def _at(track: StripTrack, station_mm: float) -> float | None:
    """The offset at a station: between two neighbours of one run straight; None outside every run."""
    for run in track.runs:
        for (a, low), (b, high) in itertools.pairwise(run):
            if a <= station_mm <= b:
                return low + (high - low) * (station_mm - a) / (b - a)
        if len(run) == 1 and run[0][0] == station_mm:
            return run[0][1]
    return None


def _marks(record: Record, line: Line, base: _Base) -> Iterator[StripMark]:
    yield from _gaps(line, base)
    whole = _bridged(runs_of(line), base)
    for one in record.outline:
        if one.drawing_id == line.drawing_id and one.kind == "shut_line":
            crossings = shapely.get_parts(_crossings(to_shapely(one.shape), whole)).tolist()
            places = [_place(spot, base) for spot in crossings if not beyond_end(base.line, spot.x, spot.y)]
            yield from (StripMark("shut line", one.name or "shut line", at, at) for at in sorted(set(places)))
    for zone in record.zones_on.get(line.drawing_id, ()):
        surface = to_shapely(zone.shape)
        inside = surface.intersection(whole) if surface.is_valid else shapely.LineString()
        for part in (one for one in shapely.get_parts(inside).tolist() if one.length > 0):
            first, last = sorted(_place(spot, base) for spot in _ends(part))
            if last - first >= _GAP_LEAST_MM:
                yield StripMark("zone", zone.title, first, last)


def _gaps(line: Line, base: _Base) -> Iterator[StripMark]:
    """Between one run and the next; where an end lies past the datum, how wide the gap is cannot be told."""
    runs = sorted(
        sorted((_place(spot, base), beyond_end(base.line, spot.x, spot.y)) for spot in _ends(run)) for run in runs_of(line)
    )
    for (_, (before, past)), ((after, ahead), _) in itertools.pairwise(runs):
        if after - before >= _GAP_LEAST_MM and not past and not ahead:
            yield StripMark("gap", "gap in the line", before, after)


def _ends(run: BaseGeometry) -> list[shapely.Point]:
    spots = shapely.get_coordinates(run)
    return [shapely.Point(spots[0]), shapely.Point(spots[-1])]


def _place(spot: shapely.Point, base: _Base) -> float:
    return float(base.line.project(spot))


def _bridged(runs: Sequence[shapely.LineString], base: _Base) -> BaseGeometry:
    """The runs one after the other along the datum, with straight bridges over the gaps."""
    laid = [run if _begins(run, base) <= _begins(run.reverse(), base) else run.reverse() for run in runs]
    laid.sort(key=lambda run: _begins(run, base))
    return shapely.LineString([spot for run in laid for spot in run.coords])


def _begins(run: shapely.LineString, base: _Base) -> float:
    return float(base.line.project(shapely.Point(run.coords[0])))


def _crossings(shape: BaseGeometry, line: BaseGeometry) -> BaseGeometry:
    edge = shape.boundary if shape.geom_type in ("Polygon", "MultiPolygon") else shape
    return shapely.MultiPoint(shapely.get_coordinates(edge.intersection(line)))
