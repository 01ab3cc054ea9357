"""What polishing or flatting took off: the same zone read before and after.

Where both rounds share spots, spots are compared one by one: the gauge's own error is then mostly the same in both and
falls out, if both rounds were taken with one instrument. Else the medians are compared with the full uncertainty of both.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.film.spots import Spot, grouped, used_readings
from bodymap.film.summary import AS_FOUND
from bodymap.film.uncertainty import median_u_um
from bodymap.model.reading import Reading
from bodymap.model.record import Record
from bodymap.settings import Settings

LossVerdict = Literal["loss", "gain", "no change shown", "cannot tell"]
_PAIRS_LEAST = 3


@dataclass(frozen=True)
class Loss:
    """Film lost between two rounds [µm], its uncertainty, from how many spots compared one by one (0: by medians)."""

    loss_um: float | None
    u_um: float | None
    pairs: int
    verdict: LossVerdict
    why: str


def loss_between_phases(record: Record, zone_id: str, before: str, after: str, settings: Settings) -> Loss:
    """Film lost on a zone between two phases. Raises KeyError on an unknown zone."""
    return loss(used_readings(record, zone_id, before)[0], used_readings(record, zone_id, after)[0], settings)


def loss_since(record: Record, zone_id: str, moment: str, settings: Settings, phase: str = AS_FOUND) -> Loss:
    """Film lost on a zone between readings of one phase taken before a moment (ISO 8601) and those from it on.

    Readings without a time are in neither round.
    """
    dated = [reading for reading in used_readings(record, zone_id, phase)[0] if reading.taken]
    first = [reading for reading in dated if str(reading.taken) < moment]
    return loss(first, [reading for reading in dated if str(reading.taken) >= moment], settings)


def loss(before: Sequence[Reading], after: Sequence[Reading], settings: Settings) -> Loss:
    """Film lost between two rounds of readings of one zone, all of them counting."""
    if not before or not after:
        return Loss(None, None, 0, "cannot tell", f"no reading that counts {'before' if not before else 'after'}")
    first, last = grouped(before), grouped(after)
    named = {spot.name: spot for spot in last if spot.name}
    pairs = [(spot, named[spot.name]) for spot in first if spot.name in named]
    instruments = {reading.instrument for reading in (*before, *after)}
    if len(pairs) >= _PAIRS_LEAST and len(instruments) == 1 and None not in instruments:
        return _paired(pairs, settings)
    medians = [statistics.median(reading.um for reading in readings) for readings in (before, after)]
    u_um = math.hypot(*(median_u_um(um, spots, settings) for um, spots in zip(medians, (first, last), strict=True)))
    return _judged(medians[0] - medians[1], u_um, 0, f"medians {medians[0]:.0f} and {medians[1]:.0f} µm")


def _paired(pairs: Sequence[tuple[Spot, Spot]], settings: Settings) -> Loss:
    lost = [before.mean_um - after.mean_um for before, after in pairs]
    mean = statistics.fmean(lost)
    scatter = 2 * max(statistics.stdev(lost), settings.value("gauge_repeat_um")) / math.sqrt(len(lost))
    relative = abs(mean) * settings.value("gauge_u_rel_pct") / 100
    u_um = math.hypot(scatter, relative, settings.value("gauge_drift_um"))
    return _judged(mean, u_um, len(pairs), f"{len(pairs)} spots read before and after with one instrument")


def _judged(loss_um: float, u_um: float, pairs: int, what: str) -> Loss:
    verdict: LossVerdict = "no change shown" if abs(loss_um) <= u_um else "loss" if loss_um > 0 else "gain"
    return Loss(loss_um, u_um, pairs, verdict, f"{what}: {loss_um:.1f} ± {u_um:.1f} µm")
