"""What the film readings of a zone say, and which of them cannot say anything.

Used: readings of the asked phase, not marked invalid, by a gauge that can read on the part's substrate. The others are
kept and shown with the reason, and never reach a figure.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable
from dataclasses import dataclass

from bodymap.film.fitness import refusal
from bodymap.model.part import Substrate
from bodymap.model.reading import Reading
from bodymap.model.record import Record
from bodymap.settings import Settings

AS_FOUND = "as found"


@dataclass(frozen=True)
class Refused:
    """A reading that is shown and never counted, and why."""

    reading_id: str
    why: str


@dataclass(frozen=True)
class ZoneFilm:
    """Film on one zone in one phase.

    `n` readings at `spots` spots are used. Mean, median, least and greatest are over single readings [µm], None where
    there are none; `sd_um` is the sample standard deviation (n − 1), None below two readings.
    """

    zone_id: str
    n: int
    spots: int
    mean_um: float | None
    sd_um: float | None
    median_um: float | None
    min_um: float | None
    max_um: float | None
    refused: tuple[Refused, ...]


def phase_of(reading: Reading) -> str:
    """The phase a reading was taken in; blank counts as found."""
    return reading.phase or AS_FOUND


def sift(readings: Iterable[Reading], substrate: Substrate) -> tuple[tuple[Reading, ...], tuple[Refused, ...]]:
    """Readings that count on this substrate, and those that do not, each with the reason."""
    used, refused = [], []
    for reading in readings:
        why = f"marked invalid: {reading.invalid}" if reading.invalid else _refused(reading, substrate)
        if why is None:
            used.append(reading)
        else:
            refused.append(Refused(reading.reading_id, why))
    return tuple(used), tuple(refused)


def _refused(reading: Reading, substrate: Substrate) -> str | None:
    if reading.um < 0:
        return "no film is below 0 µm: check the gauge's zero"
    return refusal(reading.principle, substrate)


def zone_film(record: Record, zone_id: str, phase: str = AS_FOUND) -> ZoneFilm:
    """Film on one zone in one phase. Raises KeyError on an unknown zone."""
    zone = record.zone[zone_id]
    asked = (reading for reading in record.readings_of.get(zone_id, ()) if phase_of(reading) == phase)
    used, refused = sift(asked, record.part[zone.part_id].substrate)
    values = [reading.um for reading in used]
    return ZoneFilm(
        zone_id=zone_id,
        n=len(values),
        spots=len({reading.spot or f"\0{reading.reading_id}" for reading in used}),
        mean_um=statistics.fmean(values) if values else None,
        sd_um=statistics.stdev(values) if len(values) > 1 else None,
        median_um=statistics.median(values) if values else None,
        min_um=min(values, default=None),
        max_um=max(values, default=None),
        refused=refused,
    )


def reading_u_um(um: float, settings: Settings) -> float:
    """Uncertainty of one reading [µm]: the greater of a fixed and a relative part (ASTM E376-11 note 2)."""
    return max(settings.value("gauge_u_abs_um"), abs(um) * settings.value("gauge_u_rel_pct") / 100)
