"""Small records for the tests of film: panels drawn by hand, readings laid on them."""

from __future__ import annotations

from bodymap.model import Coat, Drawing, Layer, Part, Reading, Record, Stack, Vehicle, Zone


def box(x, y, width, height):
    """A rectangle, counter-clockwise, its lower left corner at x, y; in mm."""
    ring = [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]
    return {"type": "Polygon", "coordinates": [ring]}


def zone(zone_id, shape, drawing="left", part="p", face="outer", ratio=None):
    return Zone(zone_id=zone_id, drawing_id=drawing, part_id=part, face=face, shape=shape, surface_ratio=ratio)


def part(part_id="p", substrate="steel"):
    return Part(part_id=part_id, name=f"Part {part_id}", substrate=substrate, removable=False)


def reading(reading_id, zone_id, um, x=None, y=None, principle="magnetic", **more):
    return Reading(reading_id=reading_id, zone_id=zone_id, um=um, x=x, y=y, principle=principle, **more)


def record(zones, *, parts=(), drawings=("left",), readings=(), **more):
    """A record of these zones; drawings as ids or Drawing."""
    made = [d if isinstance(d, Drawing) else Drawing(drawing_id=d, name=d, kind="outside") for d in drawings]
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="cart"),
        drawings=tuple(made),
        parts=tuple(parts) or (part(),),
        zones=tuple(zones),
        readings=tuple(readings),
        **more,
    )


def field(zone_id, um_at, places, start=1, **more):
    """Readings of a made-up film at places."""
    return [reading(f"r{n}", zone_id, um_at(x, y), x, y, **more) for n, (x, y) in enumerate(places, start)]


def even_places(x0, y0, width, height, columns, rows):
    """Places in the middles of even meshes."""
    return [(x0 + (i + 0.5) * width / columns, y0 + (j + 0.5) * height / rows) for j in range(rows) for i in range(columns)]


def stack(zone_id, layers, stack_id="s1", *, reaches=True, **more):
    """A stack and its layers; a layer is a coat_id, (coat_id, extent) or (coat_id, extent, um)."""
    rows = [(layer,) if isinstance(layer, str) else layer for layer in layers]
    return Stack(stack_id=stack_id, zone_id=zone_id, method="section", reaches_substrate=reaches, **more), [
        Layer(
            stack_id=stack_id,
            position=n,
            coat_id=row[0],
            extent=row[1] if len(row) > 1 else "full",
            um=row[2] if len(row) > 2 else None,
        )
        for n, row in enumerate(rows, 1)
    ]


def coat(coat_id, low=None, high=None, kind="colour"):
    return Coat(coat_id=coat_id, name=f"Coat {coat_id}", kind=kind, um_low=low, um_high=high)
