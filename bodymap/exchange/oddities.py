"""What is odd in a record and still no fault: said once when it is read, so that a slip is seen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model import Reading, Record, Stack
from bodymap.settings import DEFAULTS

# A place taken off a drawing by eye is good to about a millimetre.
_OUTSIDE_MM = 1.0
_OVERLAP_MM2 = 1.0


def oddities(record: Record) -> Iterator[str]:
    """Sentences on what is odd, file by file."""
    yield from _covers(record)
    yield from _coats(record)
    yield from _zones(record)
    yield from _areas(record)
    yield from _outside("stacks.csv", record, record.stacks)
    yield from _outside("readings.csv", record, record.readings)
    yield from (f"readings.csv: {reading.ident} is below 0 µm" for reading in record.readings if reading.um < 0)
    yield from _steps(record)
    yield from _settings(record)
    yield from _media(record)


def _covers(record: Record) -> Iterator[str]:
    for cover in record.covers:
        if record.zone[cover.zone_id].part_id == cover.part_id:
            yield f"covers.csv: part {cover.part_id} is said to hide {cover.zone_id}, a zone of its own"


def _coats(record: Record) -> Iterator[str]:
    for coat in record.coats:
        if coat.coat_id in coat.looks_like:
            yield f"coats.csv: coat {coat.coat_id} is said to look like itself"


def _zones(record: Record) -> Iterator[str]:
    """Zones that lie over one another count twice in every total; a true surface below the drawn one is rare."""
    for zones in record.zones_on.values():
        shapes = [to_shapely(zone.shape) for zone in zones]
        first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
        for one, other in zip(first.tolist(), second.tolist(), strict=True):
            if one < other and (both := shapely.intersection(shapes[one], shapes[other]).area) > _OVERLAP_MM2:
                pair = f"{zones[one].zone_id} and {zones[other].zone_id}"
                yield f"zones.geojson: {pair} lie over one another on {both:.0f} mm², which counts twice"
    for zone in record.zones:
        if zone.ratio < 1:
            yield f"zones.geojson: {zone.zone_id} has a true surface smaller than the drawn one (ratio {zone.ratio:g})"


def _areas(record: Record) -> Iterator[str]:
    for area in record.areas:
        zones = [to_shapely(zone.shape) for zone in record.zones_on.get(area.drawing_id, ())]
        if not any(shapely.intersection(zone, to_shapely(area.shape)).area > 0 for zone in zones):
            yield f"areas.geojson: {area.area_id} lies in no zone of drawing {area.drawing_id}: it protects nothing"


def _outside(file: str, record: Record, seen: Iterable[Stack | Reading]) -> Iterator[str]:
    """Places that lie outside the zone they are said to be in, or have only one of x and y."""
    placed: dict[str, list[tuple[str, float, float]]] = defaultdict(list)
    for entry in seen:
        if entry.x is not None and entry.y is not None:
            placed[entry.zone_id].append((entry.ident, entry.x, entry.y))
        elif entry.x is not None or entry.y is not None:
            yield f"{file}: {entry.ident} has only one of x and y, so its place is not known"
    for zone_id, places in placed.items():
        points = shapely.points([(x, y) for _, x, y in places])
        far = shapely.distance(to_shapely(record.zone[zone_id].shape), points) > _OUTSIDE_MM
        outside = [ident for (ident, _, _), is_far in zip(places, far, strict=True) if is_far]
        if outside:
            yield f"{file}: outside their zone {zone_id}: {', '.join(outside)}"


def _steps(record: Record) -> Iterator[str]:
    for step in record.steps:
        if step.parts and step.action != "coat":
            yield f"steps.csv: step {step.step} ({step.action}) names parts, which count only in a coat step"
        if step.parts_only and not step.parts_beside:
            yield f"steps.csv: step {step.step} paints only parts and names none, so it paints nothing"


def _settings(record: Record) -> Iterator[str]:
    for setting in record.settings:
        if setting.key not in DEFAULTS:
            yield f"settings.csv: {setting.key} is no figure of this version; it is kept and has no effect"


def _media(record: Record) -> Iterator[str]:
    named = {source.file for source in record.sources}
    for media in record.media:
        if media.name not in named:
            yield f"media/{media.name}: no source names it; it is taken in all the same"
