"""Whether a coat reaches a zone: what is off the vehicle, what is painted, what covers what.

The rules are those by which the history is read, so that a plan is judged as the past is: a zone of a part that is not
painted gets nothing; a zone of a fitted part under fitted covers gets nothing, or mist where every one of them leaves a
gap; every other zone gets the coat in full. Masks are geometry and come on top (see `replay`).
"""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.model.part import Cover
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.model.zone import Zone


@dataclass(frozen=True)
class Coating:
    """One coat going on: parts off the vehicle, those of them painted beside it, and whether only those are painted."""

    removed: frozenset[str]
    beside: frozenset[str]
    only: bool = False


def off_vehicle(zone: Zone, coating: Coating) -> bool:
    """The zone's part is off the vehicle while the coat goes on."""
    return zone.part_id in coating.removed


def hiding(record: Record, zone: Zone, coating: Coating) -> tuple[Cover, ...]:
    """The covers of a zone that are on the vehicle together with it while the coat goes on."""
    if off_vehicle(zone, coating):
        return ()
    return tuple(cover for cover in record.covers_of.get(zone.zone_id, ()) if cover.part_id not in coating.removed)


def exposed(record: Record, zone: Zone, coating: Coating) -> Extent:
    """How far the coat reaches an unmasked zone: `full`, `mist` or `none`."""
    if off_vehicle(zone, coating):
        return "full" if zone.part_id in coating.beside else "none"
    if coating.only:
        return "none"
    covers = hiding(record, zone, coating)
    if not covers:
        return "full"
    return "mist" if all(cover.lets_mist_in for cover in covers) else "none"
