"""What to bear in mind with readings that count: what else the gauge reads as film, edges, curves, range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.film.spots import used_readings
from bodymap.film.summary import AS_FOUND, zone_film
from bodymap.geometry.convert import to_shapely
from bodymap.model.reading import Reading
from bodymap.model.record import Record
from bodymap.model.zone import Zone
from bodymap.settings import Settings

_FOLDED = ("flange", "jamb", "channel")


@dataclass(frozen=True)
class Caution:
    """One caution on the readings of a zone; `reading_ids`: those it is about, empty: all that count."""

    what: str
    reading_ids: tuple[str, ...] = ()


def cautions_of(record: Record, zone_id: str, settings: Settings, phase: str = AS_FOUND) -> tuple[Caution, ...]:
    """Cautions on the readings of a zone that count in one phase; none where there are no such readings."""
    used, _ = used_readings(record, zone_id, phase)
    if not used:
        return ()
    found = _cautions(record, record.zone[zone_id], used, settings, phase)
    return tuple(Caution(one.what) if len(one.reading_ids) == len(used) else one for one in found)


def _cautions(record: Record, zone: Zone, used: Sequence[Reading], settings: Settings, phase: str) -> Iterator[Caution]:
    magnetic = tuple(reading.reading_id for reading in used if reading.principle == "magnetic")
    if magnetic and _filler_known(record, zone):
        yield Caution("filler counts as film: a magnetic gauge reads filler and paint together", magnetic)
    elif magnetic and (zone_film(record, zone.zone_id, phase).max_um or 0.0) > settings.value("filler_suspect_um"):
        level = settings.value("filler_suspect_um")
        yield Caution(f"readings above {level:g} µm: filler or body solder counts as film for a magnetic gauge", magnetic)
    if magnetic:
        yield Caution("zinc on the steel counts as film for a magnetic gauge", magnetic)
    if zone.ratio > settings.value("curved_ratio") or zone.face in _FOLDED:
        yield Caution("curved: zero the gauge on bare metal of the same curve, a zero taken on the flat reads wrong here")
    least_mm = settings.value("probe_edge_mm")
    schematic = record.drawing[zone.drawing_id].schematic
    if schematic:
        yield Caution("schematic drawing: the distance from edges cannot be told")
    near = () if schematic else _near_edge(record, zone, used, least_mm)
    if near:
        yield Caution(f"nearer than {least_mm:g} mm to an edge of the part: prove it on the bare part", near)
    placeless = tuple(reading.reading_id for reading in used if reading.x is None or reading.y is None)
    if placeless:
        yield Caution("no place stated: the distance from edges cannot be told", placeless)
    low, high = settings.value("gauge_least_um"), settings.value("gauge_most_um")
    beyond = tuple(reading.reading_id for reading in used if not low <= reading.um <= high)
    if beyond:
        yield Caution(f"outside the gauge's range of {low:g}–{high:g} µm", beyond)


def _filler_known(record: Record, zone: Zone) -> bool:
    stacks = record.stacks_of.get(zone.zone_id, ())
    layers = (layer for stack in stacks for layer in record.layers_of.get(stack.stack_id, ()))
    if any(record.coat[layer.coat_id].kind == "filler" for layer in layers if layer.extent != "none"):
        return True
    shape = to_shapely(zone.shape)
    found = (one.shape for one in record.findings if one.kind == "filler" and one.drawing_id == zone.drawing_id)
    return any(shape.intersects(to_shapely(place)) for place in found if place is not None)


def part_surface(record: Record, zone: Zone) -> BaseGeometry:
    """The zones of a part and face on one drawing as one surface: an edge between them is none of the metal's."""
    zones = record.zones_on[zone.drawing_id]
    return shapely.union_all([
        to_shapely(one.shape) for one in zones if one.part_id == zone.part_id and one.face == zone.face
    ])  # fmt: skip


def _near_edge(record: Record, zone: Zone, used: Sequence[Reading], least_mm: float) -> tuple[str, ...]:
    placed = [reading for reading in used if reading.x is not None and reading.y is not None]
    if not placed:
        return ()
    surface = part_surface(record, zone)
    points = shapely.points(np.array([(reading.x, reading.y) for reading in placed], float))
    # a tenth of a millimetre is rounding, not nearness
    near = np.asarray((shapely.distance(surface.boundary, points) < least_mm - 0.1) | ~shapely.covers(surface, points))
    return tuple(reading.reading_id for reading, is_near in zip(placed, near, strict=True) if is_near)
