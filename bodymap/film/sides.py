"""Left against right: medians of mirrored zones, and whether their difference is more than the gauges can be off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bodymap.film.spots import spots_of
from bodymap.film.summary import AS_FOUND, zone_film
from bodymap.film.twins import ZonePair, zone_pairs
from bodymap.film.uncertainty import median_u_um
from bodymap.model.record import Record
from bodymap.settings import Settings

SideVerdict = Literal["alike", "left thicker", "left thinner", "cannot tell"]


@dataclass(frozen=True)
class SideDifference:
    """One mirrored pair of zones.

    `difference_um` is the left median less the right one, None where one side has no reading that counts; `u_um` its
    uncertainty, both sides' by their squares. `alike`: no difference is shown beyond it, which is not to say there is none.
    """

    left: str
    right: str
    by: Literal["geometry", "name"]
    left_um: float | None
    right_um: float | None
    difference_um: float | None
    u_um: float | None
    verdict: SideVerdict
    why: str


@dataclass(frozen=True)
class NotCompared:
    """A mirrored pair that is not compared, and why."""

    left: str
    right: str
    why: str


@dataclass(frozen=True)
class Sides:
    """Pairs with readings on a side or both, the greatest difference first, and pairs that are not compared."""

    compared: tuple[SideDifference, ...]
    left_out: tuple[NotCompared, ...]


def compare_sides(record: Record, settings: Settings, phase: str = AS_FOUND) -> Sides:
    """Every mirrored pair of zones of which one has readings in this phase, left against right."""
    compared, left_out = [], []
    for pair in zone_pairs(record, settings):
        if not (record.readings_of.get(pair.left) or record.readings_of.get(pair.right)):
            continue
        left, right = (record.part[record.zone[zone].part_id].substrate for zone in (pair.left, pair.right))
        if left != right:
            left_out.append(NotCompared(pair.left, pair.right, f"unlike substrates: {left} and {right}"))
        else:
            compared.append(_difference(record, pair, settings, phase))
    compared.sort(key=lambda one: (one.difference_um is None, -abs(one.difference_um or 0.0)))
    return Sides(tuple(compared), tuple(left_out))


def _difference(record: Record, pair: ZonePair, settings: Settings, phase: str) -> SideDifference:
    medians = [zone_film(record, zone, phase).median_um for zone in (pair.left, pair.right)]
    left, right = medians
    if left is None or right is None:
        missing = " and ".join(zone for zone, um in zip((pair.left, pair.right), medians, strict=True) if um is None)
        why = f"no reading that counts on {missing}"
        return SideDifference(pair.left, pair.right, pair.by, left, right, None, None, "cannot tell", why)
    u_um = math.hypot(
        *(median_u_um(um, spots_of(record, zone, phase), settings) for zone, um in ((pair.left, left), (pair.right, right)))
    )
    difference = left - right
    verdict: SideVerdict = "alike"
    if abs(difference) > u_um:
        verdict = "left thicker" if difference > 0 else "left thinner"
    why = f"medians {left:.0f} and {right:.0f} µm, difference {difference:+.0f} ± {u_um:.0f} µm"
    return SideDifference(pair.left, pair.right, pair.by, left, right, difference, u_um, verdict, why)
