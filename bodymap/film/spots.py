"""Spots: the places where a zone was read. Readings of one `spot` are repeats; a reading without one is a spot by itself."""

from __future__ import annotations

import statistics
from collections.abc import Iterable
from dataclasses import dataclass

from bodymap.film.summary import AS_FOUND, Refused, phase_of, sift
from bodymap.model.reading import Reading
from bodymap.model.record import Record


@dataclass(frozen=True)
class Spot:
    """One place read.

    Attributes:
        zone_id: the zone it is in.
        name: name of the spot; None for a single reading without one.
        x, y: mean place of its readings [drawing mm]; None where one of them has none.
        values_um: its readings [µm], in their order.
        reading_ids: their ids.
        targeted: one of them was taken on purpose at a suspect place.
    """

    zone_id: str
    name: str | None
    x: float | None
    y: float | None
    values_um: tuple[float, ...]
    reading_ids: tuple[str, ...]
    targeted: bool

    @property
    def mean_um(self) -> float:
        """Mean of its readings [µm]."""
        return statistics.fmean(self.values_um)


def used_readings(record: Record, zone_id: str, phase: str = AS_FOUND) -> tuple[tuple[Reading, ...], tuple[Refused, ...]]:
    """Readings of a zone in one phase that count, and those that do not with the reason."""
    asked = (reading for reading in record.readings_of.get(zone_id, ()) if phase_of(reading) == phase)
    return sift(asked, record.part[record.zone[zone_id].part_id].substrate)


def spots_of(record: Record, zone_id: str, phase: str = AS_FOUND) -> tuple[Spot, ...]:
    """The spots of a zone in one phase, from the readings that count, in the order of their first reading."""
    return grouped(used_readings(record, zone_id, phase)[0])


def grouped(readings: Iterable[Reading]) -> tuple[Spot, ...]:
    """Readings (of one phase, all of them counting) as spots; the same name in two zones is two spots."""
    held: dict[tuple[str, str], list[Reading]] = {}
    for reading in readings:
        key = reading.spot or f"\0{reading.reading_id}"
        held.setdefault((reading.zone_id, key), []).append(reading)
    return tuple(_spot(group) for group in held.values())


def _spot(group: list[Reading]) -> Spot:
    xs, ys = [one.x for one in group], [one.y for one in group]
    return Spot(
        zone_id=group[0].zone_id,
        name=group[0].spot,
        x=_mean(xs),
        y=_mean(ys),
        values_um=tuple(one.um for one in group),
        reading_ids=tuple(one.reading_id for one in group),
        targeted=any(one.targeted for one in group),
    )


def _mean(numbers: list[float | None]) -> float | None:
    known = [number for number in numbers if number is not None]
    return statistics.fmean(known) if len(known) == len(numbers) else None
