"""How the film readings of zones or parts are spread: small multiples on the one film scale, so that shapes can be compared.

The classes are eighths of the steps of the film ramp: even along the scale as it is drawn, 6.25 µm wide up to 300 µm and
wider where film is thick. Readings that do not count are not in them; their number is told.
"""

from __future__ import annotations

import statistics
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from bodymap.film.spots import used_readings
from bodymap.film.summary import AS_FOUND
from bodymap.model import Record
from bodymap.views.legend import FILM_RAMP
from bodymap.views.palette import FILM_KNOTS_UM, film_colour
from bodymap.views.sheet_parts import Ramp

By = Literal["zone", "part"]
_EACH = 8
PLACES = tuple(float(place) for place in np.arange(0, (len(FILM_KNOTS_UM) - 1) * _EACH + 1) / _EACH)
# Edges of the classes [µm]; what lies beyond the ends counts with the end.
EDGES_UM = tuple(float(um) for um in np.interp(PLACES, range(len(FILM_KNOTS_UM)), FILM_KNOTS_UM))


@dataclass(frozen=True)
class Histogram:
    """The readings of one zone or part that count, by class; `refused`: how many do not."""

    ident: str
    title: str
    counts: tuple[int, ...]
    n: int
    median_um: float | None
    median_place: float | None
    refused: int


@dataclass(frozen=True)
class FilmHistograms:
    """Histograms that share their classes. `first`, `last`: the classes with a reading, over all of them.

    `colours`: of each class; `without`: zones or parts without a reading, left out.
    """

    phase: str
    by: By
    panels: tuple[Histogram, ...]
    first: int
    last: int
    colours: tuple[str, ...]
    ramp: Ramp
    without: int


def ramp_place(film_um: float) -> float:
    """Where a film [µm] stands along the ramp: 0 at its first knot, 1 at its second; beyond its ends at the end.

    >>> ramp_place(25)
    0.5
    """
    return float(np.interp(film_um, FILM_KNOTS_UM, range(len(FILM_KNOTS_UM))))


def film_histograms(
    record: Record, by: By = "zone", zone_ids: Collection[str] | None = None, phase: str = AS_FOUND
) -> FilmHistograms:
    """Histograms of the chosen zones (None: all), or of the parts they belong to, in the order of the record."""
    groups: dict[str, list[str]] = {}
    for zone in record.zones:
        if zone_ids is None or zone.zone_id in zone_ids:
            groups.setdefault(zone.zone_id if by == "zone" else zone.part_id, []).append(zone.zone_id)
    titles = {ident: record.zone[ident].title if by == "zone" else record.part[ident].name for ident in groups}
    made = [_histogram(record, ident, titles[ident], zones, phase) for ident, zones in groups.items()]
    panels = tuple(one for one in made if one.n or one.refused)
    filled = [place for one in panels for place, count in enumerate(one.counts) if count]
    middles = [(low + high) / 2 for low, high in pairwise(EDGES_UM)]
    return FilmHistograms(
        phase, by, panels, min(filled, default=0), max(filled, default=0),
        tuple(film_colour(um) for um in middles), FILM_RAMP, len(made) - len(panels),
    )  # fmt: skip


def _histogram(record: Record, ident: str, title: str, zones: Sequence[str], phase: str) -> Histogram:
    values: list[float] = []
    refused = 0
    for zone_id in zones:
        used, not_used = used_readings(record, zone_id, phase)
        values += [reading.um for reading in used]
        refused += len(not_used)
    clipped = np.clip(np.array(values, float), EDGES_UM[0], EDGES_UM[-1])
    counts = np.histogram(clipped, EDGES_UM)[0]
    median = statistics.median(values) if values else None
    place = None if median is None else ramp_place(median)
    return Histogram(ident, title, tuple(int(count) for count in counts), len(values), median, place, refused)
