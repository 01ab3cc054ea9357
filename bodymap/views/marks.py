"""Marks on the sheet: kept areas and masks, findings, painted lines, datums, stacks and film readings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from statistics import fmean

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.film.summary import AS_FOUND, phase_of, sift
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Datum, Finding, Line, Reading, Record, Stack
from bodymap.views.layout import Placed, SheetLayout
from bodymap.views.palette import film_colour
from bodymap.views.picks import middle_of, points_along
from bodymap.views.sheet_parts import AreaMark, FindingMark, LineMark, Path, Point, PointMark, Sign, Texture, Words
from bodymap.views.silhouette import paths_of, rings_of, shifted
from bodymap.views.textures import hatch, texture_paths
from bodymap.views.zone_card import EDGE_WORDS, NOT_STATED

_HATCH_PX = 9.0
_KEEP_DEG, _MASK_DEG = 45.0, 135.0
_RELIEF_PX = 1.1
_FINDING_TEXTURE: dict[str, Texture] = {
    "corrosion": "mist",
    "filler": "partly",
    "checking": "open",
    "blister": "absent",
    "rub": "not_made",
    "repair": "cut_back",
}


def area_marks(record: Record, layout: SheetLayout, mm_per_px: float) -> tuple[AreaMark, ...]:
    """Kept areas, then masks; masks lie above kept areas and are hatched the other way."""
    areas = [area for area in record.areas if layout.has(area.drawing_id)]
    areas.sort(key=lambda area: area.purpose == "mask")
    return tuple(_area_mark(layout.place_of(area.drawing_id), area, mm_per_px) for area in areas)


def area_words(area: Area) -> tuple[str, ...]:
    """What there is to say of an area."""
    kind = "kept, never stripped" if area.purpose == "keep" else "mask"
    title = f"{area.area_id} {area.name}" if area.name else area.area_id
    said = [f"{title}: {kind}", EDGE_WORDS[area.edge] if area.edge else f"edge {NOT_STATED}"]
    if area.purpose == "keep":
        said.append(f"margin {area.margin:g} mm by hand only" if area.margin else "no margin stated")
    if area.origin == "recreated":
        said.append("made again by us, not old")
    return tuple(said)


def finding_marks(record: Record, layout: SheetLayout, mm_per_px: float) -> tuple[FindingMark, ...]:
    """Findings with a place on this sheet."""
    return tuple(
        _finding_mark(record, layout.place_of(finding.drawing_id), finding, mm_per_px)
        for finding in record.findings
        if layout.has(finding.drawing_id) and finding.shape is not None
    )


def finding_words(finding: Finding) -> tuple[str, ...]:
    """What there is to say of a finding."""
    said = [f"{finding.finding_id}: {finding.kind}"]
    if finding.severity is not None:
        said[0] += f", severity {finding.severity} of 5"
    if finding.depth is not None:
        said.append(f"depth {finding.depth:g} mm")
    return (*said, *([finding.note] if finding.note else []))


def line_marks(record: Record, layout: SheetLayout) -> tuple[LineMark, ...]:
    """Painted lines."""
    return tuple(
        LineMark(
            line.line_id,
            paths_of(layout.place_of(line.drawing_id), to_shapely(line.shape)),
            line.colour,
            line.width,
            _line_words(line),
        )
        for line in record.lines
        if layout.has(line.drawing_id)
    )


def stack_marks(record: Record, layout: SheetLayout) -> tuple[PointMark, ...]:
    """Places where the layers were looked at; a stack without a place stands in the middle of its zone, and says so."""
    marks = []
    for stack in record.stacks:
        zone = record.zone[stack.zone_id]
        if not layout.has(zone.drawing_id):
            continue
        placed = stack.x is not None and stack.y is not None
        x, y = (stack.x, stack.y) if stack.x is not None and stack.y is not None else middle_of(zone.shape)[:2]
        sheet_x, sheet_y = layout.to_sheet(zone.drawing_id, x, y)
        words = _stack_words(record, stack, zone.title, placed=placed)
        marks.append(PointMark("spot", sheet_x, sheet_y, "stack", words, zone.zone_id, stack.stack_id))
    return tuple(marks)


def reading_marks(record: Record, layout: SheetLayout, phase: str = AS_FOUND) -> tuple[tuple[PointMark, ...], int]:
    """Readings of one phase, one mark for each spot; and how many of them have no place to stand at.

    Readings that cannot be used are shown crossed and hollow, with the reason; they never take a colour.
    """
    marks: list[PointMark] = []
    placeless = 0
    for zone in record.zones:
        if not layout.has(zone.drawing_id):
            continue
        asked = [r for r in record.readings_of.get(zone.zone_id, ()) if phase_of(r) == phase]
        used, refused = sift(asked, record.part[zone.part_id].substrate)
        why = {one.reading_id: one.why for one in refused}
        placeless += sum(r.x is None or r.y is None for r in asked)
        place = layout.place_of(zone.drawing_id)
        marks += [_reading_mark(place, at, group, zone.title) for at, group in _by_spot(used)]
        crossed = _by_spot([reading for reading in asked if reading.reading_id in why])
        marks += [_refused_mark(place, at, group, why, zone.title) for at, group in crossed]
    return tuple(marks), placeless


def datum_marks(record: Record, layout: SheetLayout) -> dict[PointMark, tuple[Path, ...]]:
    """For each datum the sign at which its name stands, and its lines (none for a point)."""
    found = {}
    for datum in record.datums:
        if layout.has(datum.drawing_id):
            place, shape = layout.place_of(datum.drawing_id), to_shapely(datum.shape)
            found[_datum_mark(place, datum, shape)] = paths_of(place, shape)
    return found


def near_lines(
    record: Record, layout: SheetLayout, marked: Sequence[tuple[tuple[Path, ...], Words]], step_mm: float
) -> tuple[PointMark, ...]:
    """Places along marked lines (paths on the sheet, and their words) at which a pointer finds the words and the zone."""
    told = [
        (point, words)
        for paths, words in marked
        for path in paths
        for point in points_along(shapely.LineString(path), step_mm)
    ]
    if not told:
        return ()
    at = np.array([point for point, _ in told])
    zone_ids = np.full(len(told), "", dtype=object)
    for place in layout.placed:
        x, y = at[:, 0] - place.dx, at[:, 1] - place.dy
        for zone in record.zones_on.get(place.drawing_id, ()):
            zone_ids[shapely.intersects_xy(to_shapely(zone.shape), x, y)] = zone.zone_id
    return tuple(
        PointMark("datum", x, y, "ink", words, zone_id)
        for ((x, y), words), zone_id in zip(told, zone_ids.tolist(), strict=True)
    )


def zone_at(record: Record, drawing_id: str, x: float, y: float) -> str:
    """The zone a place on a drawing lies in; empty: none."""
    spot = shapely.Point(x, y)
    found = (zone.zone_id for zone in record.zones_on.get(drawing_id, ()) if to_shapely(zone.shape).intersects(spot))
    return next(found, "")


def _area_mark(place: Placed, area: Area, mm_per_px: float) -> AreaMark:
    shape = to_shapely(area.shape)
    margin: tuple[Path, ...] = ()
    if area.purpose == "keep" and area.margin:
        band = shape.buffer(area.margin, quad_segs=QUARTER_SEGMENTS // 8)
        margin = rings_of(place, band)
    x, y, _ = middle_of(area.shape)
    lines = hatch(shape, _HATCH_PX * mm_per_px, _KEEP_DEG if area.purpose == "keep" else _MASK_DEG)
    return AreaMark(
        area_id=area.area_id,
        purpose=area.purpose,
        recreated=area.origin == "recreated",
        rings=rings_of(place, shape),
        hatch=shifted(lines, place.dx, place.dy),
        margin=margin,
        middle=(x + place.dx, y + place.dy),
        words=area_words(area),
    )


def _finding_mark(record: Record, place: Placed, finding: Finding, mm_per_px: float) -> FindingMark:
    shape = to_shapely(finding.shape) if finding.shape else shapely.Point()
    rings = rings_of(place, shape)
    lines = paths_of(place, shape)[len(rings) :]
    surface = shapely.union_all([part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"])
    texture = texture_paths(surface, _FINDING_TEXTURE.get(finding.kind, "solid"), mm_per_px)
    relief = _RELIEF_PX * mm_per_px if finding.kind == "ghost" else 0.0
    x, y = _sign_place(shape)
    kind: Sign = finding.kind
    return FindingMark(
        finding_id=finding.finding_id,
        kind=kind,
        rings=rings,
        paths=lines,
        texture=shifted(texture, place.dx, place.dy),
        lit=shifted(rings, -relief, relief) if relief else (),
        shaded=shifted(rings, relief, -relief) if relief else (),
        sign=(x + place.dx, y + place.dy),
        words=finding_words(finding),
        zone_id=zone_at(record, finding.drawing_id, x, y),
    )


def _sign_place(shape: BaseGeometry) -> Point:
    """A point on the shape, near the middle of its largest part."""
    parts = shapely.get_parts(shape).tolist()
    if not parts:
        return 0.0, 0.0
    largest = max(parts, key=lambda part: (part.area, part.length))
    spot = largest.interpolate(0.5, normalized=True) if largest.geom_type == "LineString" else largest.representative_point()
    return spot.x, spot.y


def _line_words(line: Line) -> tuple[str, ...]:
    width = f"{line.width:g} mm wide" if line.width else f"width {NOT_STATED}"
    hand = f"by {line.hand}" if line.hand else f"hand {NOT_STATED}"
    return (f"{line.line_id}: painted line", f"{width}, {hand}", *([line.note] if line.note else []))


def _stack_words(record: Record, stack: Stack, zone_title: str, *, placed: bool) -> tuple[str, ...]:
    layers = record.layers_of.get(stack.stack_id, ())
    there = [layer.coat_id + (" mist" if layer.extent == "mist" else "") for layer in layers if layer.extent != "none"]
    absent = [layer.coat_id for layer in layers if layer.extent == "none"]
    foot = "to the substrate" if stack.reaches_substrate else "not to the substrate, layers may be missing below"
    said = [f"{stack.stack_id}, {stack.method}, {foot}", zone_title]
    said.append("from the metal outward: " + (", ".join(there) or "no layer seen"))
    if absent:
        said.append("looked for, not there: " + ", ".join(absent))
    if not placed:
        said.append("its place in the zone is not stated")
    return tuple(said)


def _by_spot(readings: Sequence[Reading]) -> list[tuple[Point, list[Reading]]]:
    """Readings with a place, gathered by spot, at the mean of their places."""
    groups: dict[str, list[tuple[float, float, Reading]]] = defaultdict(list)
    for reading in readings:
        if reading.x is not None and reading.y is not None:
            groups[reading.spot or f"\0{reading.reading_id}"].append((reading.x, reading.y, reading))
    # Plain sums: the statistics library takes twenty times as long for three figures.
    return [
        ((sum(x for x, _, _ in group) / len(group), sum(y for _, y, _ in group) / len(group)), [one for _, _, one in group])
        for group in groups.values()
    ]


def _reading_mark(place: Placed, at: Point, group: list[Reading], zone_title: str) -> PointMark:
    values = [reading.um for reading in group]
    mean = fmean(values)
    each = ", ".join(f"{value:g}" for value in values)
    said = [f"{mean:.0f} µm" + (f", mean of {each}" if len(values) > 1 else ""), f"{group[0].principle} gauge", zone_title]
    x, y = at[0] + place.dx, at[1] + place.dy
    return PointMark("reading", x, y, film_colour(mean), tuple(said), group[0].zone_id, f"{mean:.0f}")


def _refused_mark(place: Placed, at: Point, group: list[Reading], why: dict[str, str], zone_title: str) -> PointMark:
    said = [f"{reading.reading_id}: {reading.um:g} µm, not counted: {why[reading.reading_id]}" for reading in group]
    return PointMark("refused", at[0] + place.dx, at[1] + place.dy, "refused", (*said, zone_title), group[0].zone_id)


def _datum_mark(place: Placed, datum: Datum, shape: BaseGeometry) -> PointMark:
    x, y = _sign_place(shape)
    kind = "line" if shape.length > 0 else "point"
    words = (datum.name, f"datum {kind}")
    sign: Sign = "datum"
    return PointMark(sign, x + place.dx, y + place.dy, "datum", words, "", datum.name)
