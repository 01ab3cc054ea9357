"""Large vehicles with a known way of being painted, for measuring. Everything is counted off, nothing is left to chance."""

from __future__ import annotations

from bodymap.model import Coat, Cover, Drawing, Layer, Part, Record, Stack, Vehicle, Zone

SHAPE = {"type": "Polygon", "coordinates": [[[0, 0], [10, 0], [10, 10], [0, 10], [0, 0]]]}


def painted_vehicle(*, parts=60, zones=300, coats=15, stacks=400, linked=False):
    """A record of a vehicle that was painted so many times, with windows that show what the rules of painting leave.

    Zone n is on part n modulo `parts` + 1, of which the last is the body. Every fourth zone is a seat on the body under a
    removable part; every sixth a channel that lets mist in. `linked`: every part also hides a zone of the next one, so
    that all hang together. At each coat every seventh part or so is off, and every eleventh zone taped.
    """
    names = [f"c{n}" for n in range(coats)]
    part_rows = [Part(part_id=f"p{n}", name=f"Part {n}", substrate="steel", removable=True) for n in range(parts)]
    part_rows.append(Part(part_id="body", name="Body", substrate="steel", removable=False))
    owners, covers = _layout(parts, zones, linked=linked)
    zone_rows = tuple(
        Zone(zone_id=f"z{n}", drawing_id="d", part_id=owner, face="outer", shape=SHAPE) for n, owner in enumerate(owners)
    )
    stack_rows, layers = [], []
    for n in range(stacks):
        zone = n % zones
        stack_rows.append(Stack(stack_id=f"S{n}", zone_id=f"z{zone}", method="section", reaches_substrate=n % 5 != 4))
        seen = [(coat, extent) for k, coat in enumerate(names) if (extent := _extent(zone, k, owners, covers, parts))]
        layers += [
            Layer(stack_id=f"S{n}", position=position, coat_id=coat, extent=extent)
            for position, (coat, extent) in enumerate(seen, 1)
        ]
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="large"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=tuple(part_rows),
        zones=zone_rows,
        covers=tuple(Cover(zone_id=f"z{zone}", part_id=part, gap=gap) for zone, part, gap in covers),
        coats=tuple(Coat(coat_id=name, name=name, kind="colour") for name in names),
        stacks=tuple(stack_rows),
        layers=tuple(layers),
    )


def _layout(parts, zones, *, linked):
    owners, covers = [], []
    for n in range(zones):
        part = n % parts
        if n % 4 == 0 or n % 6 == 1:
            owners.append("body")
            covers.append((n, f"p{part}", n % 6 == 1))
        else:
            owners.append(f"p{part}")
            if linked and n % 3 == 2:
                covers.append((n, f"p{(part + 1) % parts}", n % 2 == 1))
            if linked and n % 5 == 3:
                covers.append((n, f"p{(part + 7) % parts}", False))
    return owners, covers


def _part_state(part, coat, parts):
    number = int(part[1:])
    if (number * 5 + coat // 2) % 7 == 0:
        return "off"
    return "away" if (number + 3 * (coat // 3)) % 13 == 0 else "fitted"


def _extent(zone, coat, owners, covers, parts):
    """What a zone got of a coat; empty: nothing."""
    owner = owners[zone]
    state = "fitted" if owner == "body" else _part_state(owner, coat, parts)
    if state == "away" or (zone * 3 + coat) % 31 == 0:
        return ""
    fitted = [gap for covered, part, gap in covers if covered == zone and _part_state(part, coat, parts) == "fitted"]
    if state == "fitted" and fitted:
        return "mist" if all(fitted) else ""
    return "full"
