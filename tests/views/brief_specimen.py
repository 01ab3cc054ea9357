"""A made-up van with one area of each sort, for the tests of the mask brief."""

from __future__ import annotations

import math

from bodymap.model import (
    Area,
    Coat,
    Cover,
    Datum,
    Drawing,
    OutlineShape,
    Part,
    Record,
    Shape,
    Signoff,
    Source,
    Step,
    Vehicle,
    Zone,
)


def polygon(*points):
    return Shape.model_validate({"type": "Polygon", "coordinates": [[*map(list, points), list(points[0])]]})


def rect(x, y, width, height):
    return polygon((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def line(*points):
    return Shape.model_validate({"type": "LineString", "coordinates": [list(point) for point in points]})


def point(x, y):
    return Shape.model_validate({"type": "Point", "coordinates": [x, y]})


def circle(x, y, radius, count=180):
    turns = [2 * math.pi * number / count for number in range(count)]
    return polygon(*((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns))


WITNESS = Area(
    area_id="K4", drawing_id="left", purpose="keep", name="Full-stack witness", reason="All coats lie here.", edge="hard",
    margin=25, origin="original", shape=rect(3300, 900, 200, 60),
)  # fmt: skip
PANEL = Area(
    area_id="M1", drawing_id="left", purpose="mask", name="Silver panel", edge="soft", origin="recreated",
    shape=rect(1800, 850, 900, 500),
)  # fmt: skip
BADGE = Area(area_id="M2", drawing_id="left", purpose="mask", name="Badge ground", edge="hard", shape=circle(1250, 700, 45))
FLANGE = Area(
    area_id="K1", drawing_id="sketch", purpose="keep", name="Flange under the seal", edge="left_in_seal",
    shape=rect(100, 5, 1800, 30),
)  # fmt: skip
BLANK = Area(area_id="K9", drawing_id="left", purpose="keep", shape=rect(2000, 400, 600, 200))

BASE = (
    Vehicle(vehicle_id="van", name="Delivery van"),
    Drawing(drawing_id="left", name="Left side", kind="outside"),
    Drawing(drawing_id="sketch", name="Roof sketch", kind="hidden", scale="schematic"),
    OutlineShape(drawing_id="left", kind="body", shape=rect(0, 200, 3950, 1450)),
    OutlineShape(drawing_id="left", kind="wheel", shape=circle(700, 250, 280)),
    OutlineShape(drawing_id="left", kind="glass", shape=rect(1000, 1100, 450, 300)),
    Part(part_id="cargo", name="Cargo side", substrate="steel", removable=False),
    Part(part_id="door", name="Cab door", substrate="steel", removable=True),
    Part(part_id="cap", name="Roof cap", substrate="grp", removable=True),
    Zone(
        zone_id="upper", drawing_id="left", part_id="cargo", face="outer", name="Cargo side, upper", surface_ratio=1.04,
        shape=rect(1600, 800, 2200, 650),
    ),
    Zone(
        zone_id="lower", drawing_id="left", part_id="cargo", face="outer", name="Cargo side, lower",
        shape=rect(1600, 300, 2200, 500),
    ),
    Zone(zone_id="door", drawing_id="left", part_id="door", face="outer", shape=rect(950, 300, 600, 1200)),
    Zone(zone_id="flange", drawing_id="sketch", part_id="cap", face="flange", shape=rect(0, 0, 2000, 60)),
    Datum(datum_id="swage", drawing_id="left", name="Waist swage", shape=line((900, 790), (3900, 790))),
    Coat(coat_id="silver", name="Silver lacquer", kind="colour", colour="#b9bcc0"),
    Coat(coat_id="blue", name="Translucent blue", kind="tinted", colour="#2a5d9f"),
    Signoff(subject="K4", what="keep", by="owner", on="2024-02-01"),
    Source(source_id="P12", kind="photo", title="Witness in raking light", about=("K4",)),
)  # fmt: skip
AREAS = (WITNESS, PANEL, BADGE, FLANGE, BLANK)
STEPS = (
    Step(step=1, action="remove", target=("cap",)),
    Step(step=2, action="mask", target=("K4",)),
    Step(step=3, action="mask", target=("M1",)),
    Step(step=4, action="coat", target=("silver",), parts=("cap",)),
    Step(step=5, action="unmask", target=("M1",)),
    Step(step=6, action="fit", target=("cap",)),
    Step(step=7, action="coat", target=("blue",)),
)


def van(*more, areas=AREAS, steps=STEPS):
    return Record.of([*BASE, *areas, *steps, *more])


def cover(part="cap", zone="upper", gap=None):
    return Cover(part_id=part, zone_id=zone, gap=gap)
