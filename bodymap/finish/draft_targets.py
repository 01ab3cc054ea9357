"""What a drafted plan has to lay on each zone, what it leaves alone, and the order in which the coats go on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import shapely

from bodymap.finish.naming import NAMED_MOST, zone_said, zones_said
from bodymap.finish.patches import SLIVER_MM2
from bodymap.finish.replay import goals_of
from bodymap.geometry.convert import to_shapely
from bodymap.history.as_found import LayersSeen, as_found_stack, layers_seen
from bodymap.history.read import History
from bodymap.model.record import Record
from bodymap.model.shapes import Shape
from bodymap.model.zone import Zone

_KEPT = "left alone because the intent is to keep or clean, though the goal is another finish"
_UNSEEN = "not drafted: no goal, and nobody has looked down to the substrate"
_REPEATED = "no goal stated, so the finish as found is repeated"


@dataclass(frozen=True)
class Target:
    """What is to be done to one zone: whether it is stripped, and the layers to lay, from the substrate outward."""

    zone_id: str
    strip: bool
    layers: LayersSeen


@dataclass
class Targets:
    """The zones that are worked on, by zone_id; every other zone is to stay as it is. `notes`: what has to be known."""

    zones: dict[str, Target] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def targets_of(record: Record, history: History | None = None) -> Targets:
    """What to do to each zone.

    Zones to be kept or only cleaned, and zones that lie wholly in kept areas, are left alone. Where a goal is stated the
    zone gets it: from bare substrate, or on top where the finish as found is how the goal begins; a zone that has its goal
    already is left alone. Where none is stated the finish as found is repeated. If every zone has its goal already, the
    goals are a copy of what was found, and the draft repeats them all.
    """
    goals, targets = goals_of(record), Targets()
    done: list[Target] = []
    told: dict[str, list[str]] = {words: [] for words in (_KEPT, _UNSEEN, _REPEATED)}
    for zone in record.zones:
        found, goal = _found(record, zone.zone_id), goals.get(zone.zone_id)
        spared = zone.intent in ("keep", "clean")
        if spared or _wholly_kept(record, zone):
            if spared and goal not in (None, found):
                told[_KEPT].append(zone.zone_id)
        elif goal is not None and goal == found:
            done.append(Target(zone.zone_id, strip=True, layers=goal))
        elif goal is not None:
            targets.zones[zone.zone_id] = _towards(zone.zone_id, goal, found)
        elif found is not None:
            told[_REPEATED].append(zone.zone_id)
            targets.zones[zone.zone_id] = Target(zone.zone_id, strip=True, layers=found)
        else:
            told[_UNSEEN].append(zone.zone_id)
    _settle_done(record, targets, done)
    targets.notes += [f"{words}: {zones_said(record, names)}" for words, names in told.items() if names]
    targets.notes += _on_top(record, targets)
    targets.notes += _local(record, targets, history)
    return targets


def _settle_done(record: Record, targets: Targets, done: list[Target]) -> None:
    """Zones that have their goal already: left alone, or repeated if there is nothing else to do."""
    if done and not targets.zones:
        targets.zones |= {target.zone_id: target for target in done}
        targets.notes.append("every goal is the finish as found: all of it is stripped and repeated")
    elif done:
        names = zones_said(record, [one.zone_id for one in done])
        targets.notes.append(f"left alone, the finish as found is the goal: {names}")


def coat_order_of(record: Record, targets: Mapping[str, LayersSeen]) -> tuple[list[str], list[str]]:
    """Coats in an order of which every zone's layers are a part, and notes on coats that have to be sprayed twice.

    Again and again the first coat in the rows of coats.csv under which no zone waits for another one. Where zones want two
    coats the other way round, the one that most zones wait for goes first and is sprayed again later.
    """
    rows = {coat.coat_id: row for row, coat in enumerate(record.coats)}
    waiting = {zone: [coat for coat, _ in layers] for zone, layers in targets.items() if layers}
    order, notes = [], []
    while waiting:
        heads = Counter(coats[0] for coats in waiting.values())
        blocked = {coat for coats in waiting.values() for coat in coats[1:] if coat != coats[0]}
        free = [coat for coat in heads if coat not in blocked]
        if free:
            coat = min(free, key=lambda one: rows.get(one, len(rows)))
        else:
            coat = min(heads, key=lambda one: (-heads[one], rows.get(one, len(rows))))
            notes.append(f"{coat} is sprayed more than once: zones want it and other coats in different orders")
        order.append(coat)
        waiting = {zone: coats[1:] if coats[0] == coat else coats for zone, coats in waiting.items()}
        waiting = {zone: coats for zone, coats in waiting.items() if coats}
    return order, list(dict.fromkeys(notes))


def _towards(zone_id: str, goal: LayersSeen, found: LayersSeen | None) -> Target:
    if found and goal[: len(found)] == found:
        return Target(zone_id, strip=False, layers=goal[len(found) :])
    return Target(zone_id, strip=True, layers=goal)


def _found(record: Record, zone_id: str) -> LayersSeen | None:
    stack = as_found_stack(record, zone_id)
    return layers_seen(record, stack) if stack else None


def _wholly_kept(record: Record, zone: Zone) -> bool:
    kept = [to_shapely(area.shape) for area in record.areas if area.purpose == "keep" and area.drawing_id == zone.drawing_id]
    return bool(kept) and bool(to_shapely(zone.shape).difference(shapely.union_all(kept)).area <= SLIVER_MM2)


def _on_top(record: Record, targets: Targets) -> Iterator[str]:
    names = [target.zone_id for target in targets.zones.values() if not target.strip]
    if names:
        yield f"not stripped, the goal goes on top of the finish as found: {zones_said(record, names)}"


def _local(record: Record, targets: Targets, history: History | None) -> Iterator[str]:
    """What lies on a part of a zone only, so that one stack cannot say it."""
    lines = {coat.coat_id for coat in record.coats if coat.kind == "line"}
    for target in targets.zones.values():
        drawn = sorted({coat for coat, _ in target.layers} & lines)
        if drawn:
            zone = zone_said(record, target.zone_id)
            yield f"{zone}: {', '.join(drawn)} is a painted line; the rehearsal lays it on all of the zone"
    stripped = [record.zone[target.zone_id] for target in targets.zones.values() if target.strip]
    for line in record.lines:
        over = [zone.zone_id for zone in stripped if zone.drawing_id == line.drawing_id and _crosses(zone, line.shape)]
        if over:
            yield f"the line {line.line_id} is painted again by hand after the last step, over {zones_said(record, over)}"
    for ghost, zone_id, stack_id in _on_ghosts(record, targets):
        zone = zone_said(record, zone_id)
        yield f"{zone}: its stack {stack_id} was taken on {ghost}; the rest of the zone may carry other coats"
    for one in history.found.contradictions if history else ():
        if one.zone in targets.zones:
            told = f"stacks {_named(one.stacks)} disagree about {one.coat}; a boundary runs through the zone"
            yield f"{zone_said(record, one.zone)}: {told}"


def _on_ghosts(record: Record, targets: Targets) -> Iterator[tuple[str, str, str]]:
    ghosts = [finding for finding in record.findings if finding.kind == "ghost" and finding.shape is not None]
    goals = goals_of(record)
    for zone_id in targets.zones:
        stack = None if zone_id in goals else as_found_stack(record, zone_id)
        if stack is None or stack.x is None or stack.y is None:
            continue
        at = shapely.Point(stack.x, stack.y)
        for ghost in ghosts:
            on_drawing = ghost.drawing_id == record.zone[zone_id].drawing_id
            if on_drawing and ghost.shape is not None and to_shapely(ghost.shape).intersects(at):
                yield ghost.finding_id, zone_id, stack.stack_id


def _crosses(zone: Zone, shape: Shape) -> bool:
    return bool(to_shapely(zone.shape).intersection(to_shapely(shape)).length > 0)


def _named(names: Sequence[str]) -> str:
    more = f" and {len(names) - NAMED_MOST} more" if len(names) > NAMED_MOST else ""
    return ", ".join(names[:NAMED_MOST]) + more
