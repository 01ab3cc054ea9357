"""What is known of the paint of each coat: from its data sheet, the shop, and the gun it is sprayed with.

Volume solids, thinning, wanted film and film of a pass stand with the coat (`coats.csv`); what is blank there is not
stated here. Transfer efficiency goes by the gun, from the working figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.model.coat import Coat
from bodymap.model.record import Record
from bodymap.settings import Settings

Gun = Literal["air", "low_pressure", "airless", "air_assisted", "electrostatic", "hand"]
GUNS: Mapping[Gun, str] = {
    "air": "air-atomised gun",
    "low_pressure": "low-pressure gun",
    "airless": "airless gun",
    "air_assisted": "air-assisted airless gun",
    "electrostatic": "manual electrostatic gun",
    "hand": "brush, roller or knife",
}
# Kinds that are put on by hand unless somebody says otherwise.
_BY_HAND = ("filler", "line")


@dataclass(frozen=True)
class Span:
    """A figure that is only known between two ends; both are the same where it is stated."""

    low: float
    high: float

    def times(self, factor: float) -> Span:
        """The span with both ends multiplied by a bare number, in its own unit."""
        return Span(self.low * factor, self.high * factor)

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)


@dataclass(frozen=True)
class Material:
    """The paint of one coat as it is to be sprayed; None: not stated.

    `film_um`: dry film [µm], one figure where it is stated with the coat, else the coat's usual film. `transfer`: above 0
    and up to 1. `basis`: where each figure comes from, in words.
    """

    coat_id: str
    volume_solids_pct: float | None
    thinning_pct: float | None
    film_um: Span | None
    pass_um: float | None
    transfer: float
    basis: tuple[str, ...]


def materials_of(record: Record, settings: Settings, guns: Mapping[str, Gun] | None = None) -> dict[str, Material]:
    """The material of every coat, by coat_id. `guns`: the gun of coats that are not sprayed with an air-atomised one.

    Raises:
        BodymapError: a gun for a coat that is none, or a gun that is not known.
    """
    guns = guns or {}
    for coat_id, gun in guns.items():
        if coat_id not in record.coat:
            raise BodymapError(f"gun of a coat: found {coat_id!r}; allowed: a coat of the record")
        if gun not in GUNS:
            raise BodymapError(f"gun of {coat_id}: found {gun!r}; allowed: {', '.join(GUNS)}")
    return {coat.coat_id: _material(coat, settings, guns.get(coat.coat_id)) for coat in record.coats}


def _material(coat: Coat, settings: Settings, gun: Gun | None) -> Material:
    if gun is None:
        gun = "hand" if coat.kind in _BY_HAND else "air"
    figure = settings.figures[f"transfer_{gun}_pct"]
    film, film_basis = _film(coat)
    basis = [film_basis] if film_basis else []
    if coat.volume_solids_pct is not None:
        basis.append(f"volume solids {coat.volume_solids_pct:g} %: stated with the coat")
    if coat.thinning_pct is not None:
        basis.append(f"thinned by {coat.thinning_pct:g} % of the paint's volume: stated with the coat")
    if coat.pass_um is not None:
        basis.append(f"{coat.pass_um:g} µm a pass: stated with the coat")
    basis.append(f"transfer {figure.value:g} %, {GUNS[gun]}: {figure.basis}; {figure.source or 'no source stated'}")
    return Material(
        coat.coat_id,
        coat.volume_solids_pct,
        coat.thinning_pct,
        film,
        coat.pass_um,
        figure.value / 100,
        tuple(basis),
    )


def _film(coat: Coat) -> tuple[Span | None, str]:
    if coat.film_um is not None:
        return Span(coat.film_um, coat.film_um), f"film {coat.film_um:g} µm: stated with the coat"
    if coat.um_low is not None and coat.um_high is not None:
        return Span(coat.um_low, coat.um_high), f"film {coat.um_low:g}–{coat.um_high:g} µm: usual film of the coat"
    return None, ""
