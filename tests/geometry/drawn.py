"""Small records drawn by hand, for tests of what changes a drawing."""

from __future__ import annotations

from bodymap.model import Drawing, Part, Record, Shape, Vehicle, Zone
from tests.folders import box


def square(x, y, width, height) -> Shape:
    return Shape.model_validate(box(x, y, width, height))


def zone(ident, shape, part="side", drawing="left", **more) -> Zone:
    return Zone(zone_id=ident, drawing_id=drawing, part_id=part, face=more.pop("face", "outer"), shape=shape, **more)


def record(*entries) -> Record:
    """A vehicle with a left drawing, a hidden one and two parts, and what is given."""
    return Record.of(
        [
            Vehicle(vehicle_id="v", name="Handcart"),
            Drawing(drawing_id="left", name="Left side", kind="outside"),
            Drawing(drawing_id="faces", name="Hidden faces", kind="hidden"),
            Part(part_id="side", name="Side", substrate="steel", removable=False),
            Part(part_id="door", name="Door", substrate="steel", removable=True),
            *entries,
        ]
    )


def line(*points) -> Shape:
    return Shape.model_validate({"type": "LineString", "coordinates": list(points)})


def point(x, y) -> Shape:
    return Shape.model_validate({"type": "Point", "coordinates": [x, y]})
