"""Zones cut and merged, with what belongs to them: each gives a proposal, nothing is saved.

A stack or reading goes with the piece it lies in. What has no place, and what somebody has signed for, is never moved
by itself: it is asked about.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import shapely

from bodymap.errors import BodymapError
from bodymap.geometry.boundary import BoundaryPiece
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.proposal import Proposal
from bodymap.geometry.split import split, split_at_distance
from bodymap.geometry.tidy import surfaces
from bodymap.model import Entry, Reading, Record, Shape, Stack, Zone

# State of each coat on each zone, as `bodymap.history.states` gives it; states that say nothing contradict nothing.
States = Mapping[str, Mapping[str, str]]
_SAYS = ("full", "mist", "shielded")
_OVERLAP_MOST_MM2 = 1.0


def cut_by_line(record: Record, zone_id: str, line: Shape, new_ids: Sequence[str] = ()) -> Proposal:
    """A zone cut along a line that crosses it: the largest piece keeps the id.

    Args:
        record: the record.
        zone_id: the zone.
        line: a LineString or MultiLineString [mm].
        new_ids: ids of the other pieces, the larger first; left out: the id of the zone with a number.

    Raises:
        BodymapError: no such zone, a line that does not cut it, or an id that is taken.
    """
    return _cut(record, zone_id, split(_zone(record, zone_id).shape, line), new_ids)


def cut_at_offset(
    record: Record, zone_id: str, piece: BoundaryPiece, distance_mm: float, new_ids: Sequence[str] = ()
) -> Proposal:
    """A zone cut at a distance from a piece of its edge; the larger piece keeps the id. Raises as `cut_by_line` does."""
    pieces = split_at_distance(_zone(record, zone_id).shape, piece, distance_mm)
    return _cut(record, zone_id, sorted(pieces, key=lambda shape: -to_shapely(shape).area), new_ids)


def merge(record: Record, zone_ids: Sequence[str], states: States | None = None) -> Proposal:
    """Zones made into one, which keeps the id of the first.

    Args:
        record: the record.
        zone_ids: two or more zones of one drawing, one part and one face.
        states: {coat: {zone: state}} as the history reads it; None: the user has been asked about nothing yet, and is.

    Raises:
        BodymapError: they are not of one drawing, part and face; their histories contradict each other; what hides them or
            what is wanted on them differs; they overlap; or one that would go has been signed for.
    """
    zones = [_zone(record, ident) for ident in dict.fromkeys(zone_ids)]
    if len(zones) < 2:
        raise BodymapError(f"merge: found {len(zones)} zone; allowed: two or more")
    faults = [*_unlike(zones), *_disagreeing(zones, states), *_beside_different(record, zones), *_signed(record, zones[1:])]
    if faults:
        raise BodymapError(f"merge: found {'; '.join(faults)}; allowed: zones of one surface with one history")
    kept, others = zones[0], zones[1:]
    shape, ratio = _joined(zones), _joined_ratio(zones)
    basis = (
        "areas of the merged zones, each with its own ratio"
        if len({z.ratio for z in zones}) > 1
        else kept.surface_ratio_from
    )
    whole = kept.model_copy(update={"shape": shape, "surface_ratio": ratio, "surface_ratio_from": basis})
    moved = _moved(record, [zone.zone_id for zone in others], kept.zone_id)
    withdraw = [(kind, ident) for zone in others for kind, ident in _with_it(record, zone)]
    return Proposal((whole, *moved), tuple(withdraw), questions=tuple(_merge_questions(record, zones, states)))


def _zone(record: Record, zone_id: str) -> Zone:
    if zone_id not in record.zone:
        raise BodymapError(f"zone: found {zone_id!r}; allowed: a zone of this record")
    return record.zone[zone_id]


# --- cutting -----------------------------------------------------------------------------------------------------------


def _cut(record: Record, zone_id: str, pieces: Sequence[Shape], new_ids: Sequence[str]) -> Proposal:
    zone = record.zone[zone_id]
    idents = _idents(record, zone_id, len(pieces) - 1, new_ids)
    kept = zone.model_copy(update={"shape": pieces[0]})
    new = [
        zone.model_copy(update={"zone_id": ident, "shape": shape, "name": _numbered(zone.name, number)})
        for number, (ident, shape) in enumerate(zip(idents, pieces[1:], strict=True), start=2)
    ]
    put: list[Entry] = [kept, *new, *_relocated(record, zone_id, new)]
    put += [cover.model_copy(update={"zone_id": one.zone_id}) for cover in record.covers_of.get(zone_id, ()) for one in new]
    put += [
        goal.model_copy(update={"zone_id": one.zone_id}) for one in new for goal in record.goals if goal.zone_id == zone_id
    ]
    put += [
        step.model_copy(update={"target": (*step.target, *idents)})
        for step in record.steps
        if step.action == "strip" and zone_id in step.target
    ]
    return Proposal(tuple(put), questions=tuple(_cut_questions(record, zone)))


def _idents(record: Record, zone_id: str, count: int, told: Sequence[str]) -> list[str]:
    if len(told) > count:
        raise BodymapError(f"cut: found {len(told)} ids for {count} new zones; allowed: one for each")
    taken = [ident for ident in told if ident in record.ids]
    if taken or len(set(told)) != len(told):
        raise BodymapError(f"cut: found the id {', '.join(taken) or 'twice'}; allowed: ids that nothing in this record has")
    idents, number = list(told), 2
    while len(idents) < count:
        ident = f"{zone_id[:60]}_{number}"
        if ident not in record.ids and ident not in idents:
            idents.append(ident)
        number += 1
    return idents


def _numbered(name: str | None, number: int) -> str | None:
    return f"{name} ({number})" if name else None


def _relocated(record: Record, zone_id: str, new: Sequence[Zone]) -> Iterator[Entry]:
    """Stacks and readings that lie in a new piece."""
    places = [(one.zone_id, to_shapely(one.shape)) for one in new]
    held: list[Stack | Reading] = [*record.stacks_of.get(zone_id, ()), *record.readings_of.get(zone_id, ())]
    for what in held:
        if what.x is None or what.y is None:
            continue
        spot = shapely.Point(what.x, what.y)
        ident = next((ident for ident, shape in places if shape.contains(spot)), None)
        if ident:
            yield what.model_copy(update={"zone_id": ident})


def _cut_questions(record: Record, zone: Zone) -> Iterator[str]:
    held: list[Stack | Reading] = [*record.stacks_of.get(zone.zone_id, ()), *record.readings_of.get(zone.zone_id, ())]
    for what in held:
        if what.x is None or what.y is None:
            yield f"{what.KIND} {what.ident} has no place: it stays with {zone.title}; does it belong there?"
    for signoff in record.signoffs:
        if signoff.subject == zone.zone_id:
            yield f"{signoff.what} by {signoff.by} was signed for all of {zone.title}: it stays with the largest piece only"
    if zone.surface_ratio is not None:
        yield f"the surface ratio {zone.surface_ratio:g} was measured on all of {zone.title}: does it hold for each piece?"


# --- merging -----------------------------------------------------------------------------------------------------------


def _unlike(zones: Sequence[Zone]) -> Iterator[str]:
    for name, words in (("drawing_id", "drawings"), ("part_id", "parts"), ("face", "faces")):
        found = list(dict.fromkeys(str(getattr(zone, name)) for zone in zones))
        if len(found) > 1:
            yield f"different {words} ({', '.join(found)})"
    whole = [to_shapely(zone.shape) for zone in zones]
    over = sum(shape.area for shape in whole) - float(shapely.union_all(whole).area)
    if over > _OVERLAP_MOST_MM2:
        yield f"an overlap of {over:.0f} mm²: mend it first"


def _disagreeing(zones: Sequence[Zone], states: States | None) -> Iterator[str]:
    for coat, of_zone in (states or {}).items():
        said = {zone.title: of_zone[zone.zone_id] for zone in zones if of_zone.get(zone.zone_id) in _SAYS}
        if len(set(said.values())) > 1:
            yield f"coat {coat} " + ", ".join(f"{state} on {title}" for title, state in said.items())


def _beside_different(record: Record, zones: Sequence[Zone]) -> Iterator[str]:
    covers = {frozenset((c.part_id, c.lets_mist_in) for c in record.covers_of.get(zone.zone_id, ())) for zone in zones}
    if len(covers) > 1:
        yield "zones that different parts hide"
    goals = {
        tuple(sorted((g.position, g.coat_id, g.extent) for g in record.goals if g.zone_id == zone.zone_id)) for zone in zones
    }
    if len(goals) > 1:
        yield "zones with different wanted finishes"
    if len({zone.intent for zone in zones if zone.intent}) > 1:
        yield "zones with different intents"


def _signed(record: Record, zones: Sequence[Zone]) -> Iterator[str]:
    for zone in zones:
        names = [f"{signoff.what} by {signoff.by}" for signoff in record.signoffs if signoff.subject == zone.zone_id]
        if names:
            yield f"{zone.title} signed for ({', '.join(names)})"


def _joined(zones: Sequence[Zone]) -> Shape:
    parts = surfaces(shapely.union_all([to_shapely(zone.shape) for zone in zones]))
    return from_shapely(parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts))


def _joined_ratio(zones: Sequence[Zone]) -> float | None:
    """The ratio under which the true surface stays what it was."""
    if all(zone.surface_ratio is None for zone in zones):
        return None
    if len({zone.surface_ratio for zone in zones}) == 1:
        return zones[0].surface_ratio
    areas = [to_shapely(zone.shape).area for zone in zones]
    return float(sum(area * zone.ratio for area, zone in zip(areas, zones, strict=True)) / sum(areas))


def _moved(record: Record, gone: Sequence[str], to: str) -> Iterator[Entry]:
    """What speaks of zones that go, speaking of another."""
    for ident in gone:
        yield from (stack.model_copy(update={"zone_id": to}) for stack in record.stacks_of.get(ident, ()))
        yield from (reading.model_copy(update={"zone_id": to}) for reading in record.readings_of.get(ident, ()))
    for step in record.steps:
        if step.action == "strip" and set(gone) & set(step.target):
            yield step.model_copy(update={"target": _renamed(step.target, gone, to)})
    for source in record.sources:
        if set(gone) & set(source.about):
            yield source.model_copy(update={"about": _renamed(source.about, gone, to)})


def _renamed(idents: Sequence[str], gone: Sequence[str], to: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(to if ident in gone else ident for ident in idents))


def _with_it(record: Record, zone: Zone) -> Iterator[tuple[str, str]]:
    for cover in record.covers_of.get(zone.zone_id, ()):
        yield cover.KIND, cover.ident
    for goal in record.goals:
        if goal.zone_id == zone.zone_id:
            yield goal.KIND, goal.ident
    yield zone.KIND, zone.zone_id


def _merge_questions(record: Record, zones: Sequence[Zone], states: States | None) -> Iterator[str]:
    unseen = [zone.title for zone in zones if not record.stacks_of.get(zone.zone_id)]
    if unseen and len(unseen) < len(zones):
        yield f"{', '.join(unseen)}: nothing was looked at there; has it the history of the others?"
    if states is None and len(unseen) < len(zones) - 1:
        yield "the histories of these zones have not been compared: are they one?"
    if len({zone.surface_ratio is None for zone in zones}) > 1:
        yield "not all of these zones have a measured surface ratio: 1 is taken where there is none"
