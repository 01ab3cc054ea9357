"""Film by zone, reading by reading: one row a zone, what counts and what does not."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from bodymap.film.summary import AS_FOUND, phase_of, sift, zone_film
from bodymap.model import Record
from bodymap.views.legend import FILM_RAMP
from bodymap.views.palette import FILM_KNOTS_UM, film_colour
from bodymap.views.sheet_parts import Ramp, Words


@dataclass(frozen=True)
class StripPoint:
    """One reading: its film [µm], where it stands along the ramp (0 to its number of knots less 1), its colour and words."""

    film_um: float
    place: float
    paint: str
    counts: bool
    words: Words


@dataclass(frozen=True)
class StripRow:
    """One zone. `median_um`: of the readings that count, None where none does; `median_place`: along the ramp."""

    zone_id: str
    title: str
    points: tuple[StripPoint, ...]
    median_um: float | None
    median_place: float | None
    n: int
    refused: int


@dataclass(frozen=True)
class FilmStrip:
    """Rows in the order of the record; zones without a reading are left out and counted in `without`."""

    phase: str
    rows: tuple[StripRow, ...]
    ramp: Ramp
    without: int


def ramp_place(film_um: float) -> float:
    """Where a film [µm] stands along the ramp: 0 at its first knot, 1 at its second; beyond its ends at the end.

    >>> ramp_place(25)
    0.5
    """
    return float(np.interp(film_um, FILM_KNOTS_UM, range(len(FILM_KNOTS_UM))))


def film_strip(record: Record, zone_ids: Collection[str] | None = None, phase: str = AS_FOUND) -> FilmStrip:
    """Readings of one phase of the chosen zones; None: of all zones."""
    zones = [zone for zone in record.zones if zone_ids is None or zone.zone_id in zone_ids]
    rows = [row for zone in zones if (row := _row(record, zone.zone_id, phase)) is not None]
    return FilmStrip(phase, tuple(rows), FILM_RAMP, len(zones) - len(rows))


def _row(record: Record, zone_id: str, phase: str) -> StripRow | None:
    zone = record.zone[zone_id]
    asked = [reading for reading in record.readings_of.get(zone_id, ()) if phase_of(reading) == phase]
    if not asked:
        return None
    _, refused = sift(asked, record.part[zone.part_id].substrate)
    why = {one.reading_id: one.why for one in refused}
    points = []
    for reading in asked:
        counts = reading.reading_id not in why
        said = [
            f"{reading.um:g} µm, {reading.principle} gauge",
            f"{reading.reading_id}, spot {reading.spot or 'not stated'}",
        ]
        if not counts:
            said.append(f"not counted: {why[reading.reading_id]}")
        paint = film_colour(reading.um) if counts else "refused"
        points.append(StripPoint(reading.um, ramp_place(reading.um), paint, counts, tuple(said)))
    film = zone_film(record, zone_id, phase)
    place = None if film.median_um is None else ramp_place(film.median_um)
    return StripRow(zone_id, zone.title, tuple(points), film.median_um, place, film.n, len(refused))
