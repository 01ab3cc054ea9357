"""Gauge rows laid on to a spot plan: which reading goes where, shown before anything is kept.

Nothing is put aside silently: rows left over, spots left without a reading and every doubt are told.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from string import ascii_lowercase
from typing import Literal

from bodymap.errors import BodymapError
from bodymap.film.spot_plan import PlannedSpot, SpotPlan
from bodymap.model.reading import Principle, Reading

_SAME_MM = 1.0


@dataclass(frozen=True)
class GaugeRow:
    """One row of a gauge file.

    Attributes:
        row: its number in the file, from 1.
        values_um: its readings [µm], in their order.
        spot: name or number of the spot, as the file says.
        taken: date and time, ISO 8601.
        batch: the batch it stands in.
        flags: what is odd about it, in words; it is not left out for that.
    """

    row: int
    values_um: tuple[float, ...]
    spot: str | None = None
    taken: str | None = None
    batch: str | None = None
    flags: tuple[str, ...] = ()


@dataclass(frozen=True)
class Laid:
    """The rows that go to one spot."""

    spot: PlannedSpot
    rows: tuple[GaugeRow, ...]

    @property
    def values_um(self) -> tuple[float, ...]:
        """All readings of the spot [µm]."""
        return tuple(um for row in self.rows for um in row.values_um)


@dataclass(frozen=True)
class Preview:
    """What would be taken in.

    Attributes:
        laid: spots with their rows, in the order of the plan.
        left_over: rows for which the plan has no spot.
        missing: spots for which the file has no row.
        doubts: what the user should look at before taking it in.
    """

    laid: tuple[Laid, ...]
    left_over: tuple[GaugeRow, ...]
    missing: tuple[PlannedSpot, ...]
    doubts: tuple[str, ...]


def lay_on(
    rows: Sequence[GaugeRow],
    plan: SpotPlan,
    *,
    by: Literal["order", "number"] = "order",
    zone_ids: Collection[str] | None = None,
    leave_out: Collection[int] = (),
    first_spot: int = 1,
    not_read: Collection[int] = (),
    swapped: Sequence[tuple[int, int]] = (),
) -> Preview:
    """Lay gauge rows on to a plan.

    Args:
        rows: the rows of a gauge file, in its order.
        plan: the spot plan.
        by: `order`: as the route goes, a spot taking as many single readings as it asks for, or one row of several;
            `number`: by the spot number that the file says.
        zone_ids: only these zones of the plan were read (None: all).
        leave_out: numbers of rows that are not to be taken in.
        first_spot: the spot at which the round began: spots with a lower number have no reading.
        not_read: numbers of spots that were passed over.
        swapped: pairs of spots that were read in each other's place; both have to be among those read.

    Raises:
        BodymapError: a spot to be swapped that is not among those read.
    """
    spots = [spot for spot in plan.spots if zone_ids is None or spot.zone_id in zone_ids]
    asked = _swapped([spot for spot in spots if spot.number >= first_spot and spot.number not in not_read], swapped)
    kept = [row for row in rows if row.row not in leave_out and row.values_um]
    groups, left = _by_number(kept, asked) if by == "number" else _by_order(kept, asked)
    laid = tuple(Laid(spot, tuple(groups[spot.number])) for spot in spots if groups.get(spot.number))
    missing = tuple(spot for spot in spots if not groups.get(spot.number))
    return Preview(laid, tuple(left), missing, tuple(_doubts(laid, left, missing)))


def as_readings(
    preview: Preview,
    *,
    principle: Principle,
    instrument: str | None,
    by: str | None,
    phase: str,
    taken_ids: Collection[str],
    targeted: bool | None = None,
    held: Sequence[Reading] = (),
) -> tuple[Reading, ...]:
    """The readings of a preview as they would stand in the record; ids `G0001` on, those already taken left out.

    A spot is named `N` and its number. Where `held`, the readings of the record, has that name elsewhere in the same zone,
    from another plan, a letter is put behind it: two places are never taken for repeats of one.

    Raises:
        BodymapError: the preview lays nothing.
    """
    if not preview.laid:
        raise BodymapError("gauge readings: found none laid on a spot; allowed: one at least")
    ids, names = _free_ids(taken_ids), _Names(held)
    return tuple(
        Reading(
            reading_id=next(ids),
            zone_id=laid.spot.zone_id,
            x=laid.spot.x,
            y=laid.spot.y,
            um=um,
            principle=principle,
            spot=names.of(laid.spot),
            taken=row.taken,
            phase=phase,
            instrument=instrument,
            by=by,
            targeted=targeted,
        )
        for laid in preview.laid
        for row in laid.rows
        for um in row.values_um
    )


def _swapped(spots: Sequence[PlannedSpot], swapped: Sequence[tuple[int, int]]) -> list[PlannedSpot]:
    """The spots in the order in which they were read."""
    found = list(spots)
    at = {spot.number: place for place, spot in enumerate(found)}
    for one, other in swapped:
        if one not in at or other not in at:
            raise BodymapError(f"spots to swap: found {one} and {other}; allowed: two spots that were read")
        found[at[one]], found[at[other]] = found[at[other]], found[at[one]]
        at[one], at[other] = at[other], at[one]
    return found


def _by_order(rows: Sequence[GaugeRow], spots: Sequence[PlannedSpot]) -> tuple[dict[int, list[GaugeRow]], list[GaugeRow]]:
    groups: dict[int, list[GaugeRow]] = {}
    held = list(_as_spots(rows, spots[0].repeats if spots else 1))
    for spot, group in zip(spots, held, strict=False):
        groups[spot.number] = group
    return groups, [row for group in held[len(spots) :] for row in group]


def _as_spots(rows: Sequence[GaugeRow], repeats: int) -> Iterator[list[GaugeRow]]:
    """Rows as spots: a row of several readings, rows of one spot name, or `repeats` single rows; never across batches."""
    for (_, spot, several), run in groupby(rows, key=lambda row: (row.batch, row.spot, len(row.values_um) > 1)):
        held = list(run)
        size = len(held) if spot is not None and not several else 1 if several else repeats
        yield from (held[start : start + size] for start in range(0, len(held), size))


def _by_number(rows: Sequence[GaugeRow], spots: Sequence[PlannedSpot]) -> tuple[dict[int, list[GaugeRow]], list[GaugeRow]]:
    known: Mapping[str, int] = {str(spot.number): spot.number for spot in spots}
    groups: dict[int, list[GaugeRow]] = {}
    left = []
    for row in rows:
        number = known.get((row.spot or "").strip().lstrip("#Nn").lstrip("0"))
        if number is None:
            left.append(row)
        else:
            groups.setdefault(number, []).append(row)
    return groups, left


def _doubts(laid: Sequence[Laid], left: Sequence[GaugeRow], missing: Sequence[PlannedSpot]) -> Iterator[str]:
    if left:
        yield f"{len(left)} rows are left over, from row {left[0].row} on"
    if missing:
        yield f"{len(missing)} spots have no reading, from spot {missing[0].number} on"
    for one in laid:
        if len(one.values_um) != one.spot.repeats:
            yield f"spot {one.spot.number} has {len(one.values_um)} readings, the plan asks for {one.spot.repeats}"
        if len({row.batch for row in one.rows}) > 1:
            yield f"spot {one.spot.number} has readings of more than one batch"
        for row in one.rows:
            yield from (f"row {row.row}: {flag}" for flag in row.flags)


class _Names:
    """Names of spots that stand for one place each within a zone."""

    def __init__(self, held: Sequence[Reading]) -> None:
        self._places: dict[tuple[str, str], list[tuple[float | None, float | None]]] = {}
        for reading in held:
            if reading.spot:
                self._places.setdefault((reading.zone_id, reading.spot), []).append((reading.x, reading.y))

    def of(self, spot: PlannedSpot) -> str:
        name = f"N{spot.number}"
        offers = [name, *(name + letter for letter in ascii_lowercase)]
        return next((one for one in offers if self._stands_for(spot, one)), f"{name}-{len(self._places)}")

    def _stands_for(self, spot: PlannedSpot, name: str) -> bool:
        places = self._places.get((spot.zone_id, name), [])
        return all(x is not None and y is not None and math.dist((x, y), (spot.x, spot.y)) < _SAME_MM for x, y in places)


def _free_ids(taken: Collection[str]) -> Iterator[str]:
    held, number = set(taken), 0
    while True:
        number += 1
        if f"G{number:04d}" not in held:
            yield f"G{number:04d}"
