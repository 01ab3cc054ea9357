"""How far a film figure may be off: the gauge, its drift over the round, and how the spots of a zone scatter.

The gauge's own part does not shrink with more readings; the scatter part does. They are independent, so they add by
their squares (ISO/IEC Guide 98-3, 5.1.2; from memory, not seen). All are half widths at about 95 %.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from bodymap.errors import BodymapError
from bodymap.film.spots import Spot
from bodymap.film.summary import reading_u_um
from bodymap.settings import Settings

# Two standard errors; a median scatters √(π/2) times as much as a mean (normal distribution, many readings).
_COVERAGE = 2.0
_MEDIAN = math.sqrt(math.pi / 2)


def gauge_u_um(um: float, settings: Settings) -> float:
    """Uncertainty [µm] of what a gauge says at a film: its accuracy and its drift over the round."""
    return math.hypot(reading_u_um(um, settings), settings.value("gauge_drift_um"))


def median_u_um(median_um: float, spots: Sequence[Spot], settings: Settings) -> float:
    """Uncertainty [µm] of the median of a zone: gauge, drift, and scatter between spots (none told by a single spot)."""
    scatter = 0.0
    if len(spots) > 1:
        deviation = statistics.stdev(spot.mean_um for spot in spots)
        scatter = _COVERAGE * _MEDIAN * deviation / math.sqrt(len(spots))
    return math.hypot(gauge_u_um(median_um, settings), scatter)


@dataclass(frozen=True)
class FoilCheck:
    """What a gauge said of the same foils before and after a round.

    Attributes:
        foils_um: true film of each foil [µm], ascending.
        bias_um: mean of both readings less the foil, of each.
        drift_um: reading after less reading before, of each.
    """

    foils_um: tuple[float, ...]
    bias_um: tuple[float, ...]
    drift_um: tuple[float, ...]

    @property
    def most_drift_um(self) -> float:
        """The greatest drift on any foil [µm]: what the setting `gauge_drift_um` is to be."""
        return max(abs(drift) for drift in self.drift_um)

    def out_of_reach(self, um: float) -> bool:
        """Whether a film [µm] lies outside the foils, so that the check says nothing of it."""
        return not self.foils_um[0] <= um <= self.foils_um[-1]

    def u_um(self, um: float, settings: Settings) -> float:
        """Uncertainty of a reading [µm] with the drift at that film, straight between foils and level beyond them."""
        return math.hypot(reading_u_um(um, settings), _between(um, self.foils_um, [abs(drift) for drift in self.drift_um]))


def foil_check(before: Sequence[tuple[float, float]], after: Sequence[tuple[float, float]]) -> FoilCheck:
    """Compare checks on foils before and after a round of readings.

    Args:
        before: (foil, reading) pairs [µm]; several readings of one foil are averaged.
        after: the same foils again.

    Raises:
        BodymapError: no foils, or not the same foils before and after.
    """
    first, last = _by_foil(before), _by_foil(after)
    if not first or first.keys() != last.keys():
        raise BodymapError(
            f"foil check: found foils {_list(first)} before and {_list(last)} after [µm]; allowed: the same, one at least"
        )
    foils = tuple(sorted(first))
    return FoilCheck(
        foils,
        tuple((first[foil] + last[foil]) / 2 - foil for foil in foils),
        tuple(last[foil] - first[foil] for foil in foils),
    )


def _by_foil(pairs: Sequence[tuple[float, float]]) -> dict[float, float]:
    held: dict[float, list[float]] = {}
    for foil, reading in pairs:
        held.setdefault(foil, []).append(reading)
    return {foil: statistics.fmean(readings) for foil, readings in held.items()}


def _list(foils: dict[float, float]) -> str:
    return ", ".join(f"{foil:g}" for foil in sorted(foils)) or "none"


def _between(um: float, foils_um: Sequence[float], amounts: Sequence[float]) -> float:
    for (low, at_low), (high, at_high) in zip(
        zip(foils_um, amounts, strict=True), list(zip(foils_um, amounts, strict=True))[1:], strict=False
    ):
        if low <= um <= high:
            return at_low + (at_high - at_low) * (um - low) / (high - low)
    return amounts[0] if um < foils_um[0] else amounts[-1]
