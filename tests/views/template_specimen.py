"""A made-up panel with things of known size, for the tests of the full-size template."""

from __future__ import annotations

from bodymap.model import Area, Datum, Drawing, Finding, Line, OutlineShape, Part, Record, Shape, Vehicle, Zone
from tests.views.brief_specimen import line, point, polygon, rect

WIDE, HIGH = 620.0, 540.0
HOLED = Shape.model_validate(
    {
        "type": "Polygon",
        "coordinates": [
            [[1000, 1000], [1000 + WIDE, 1000], [1000 + WIDE, 1000 + HIGH], [1000, 1000 + HIGH], [1000, 1000]],
            [[1250, 1220], [1250, 1320], [1370, 1320], [1370, 1220], [1250, 1220]],
        ],
    }
)
PANEL = Area(
    area_id="K1", drawing_id="left", purpose="keep", name="Old panel", edge="hard", margin=10, origin="original", shape=HOLED
)
RING = Shape.model_validate(
    {
        "type": "Polygon",
        "coordinates": [
            [[100, 100], [1500, 100], [1500, 1500], [100, 1500], [100, 100]],
            [[130, 130], [130, 1470], [1470, 1470], [1470, 130], [130, 130]],
        ],
    }
)
BASE = (
    Vehicle(vehicle_id="van", name="Delivery van"),
    Drawing(drawing_id="left", name="Left side", kind="outside", scale="measured", scale_from="tape along the sill"),
    Drawing(drawing_id="right", name="Right side", kind="outside", mirror_of="left"),
    Drawing(drawing_id="sketch", name="Roof sketch", kind="hidden", scale="schematic"),
    Part(part_id="side", name="Side", substrate="steel", removable=False),
    OutlineShape(drawing_id="left", kind="shut_line", name="door joint", shape=line((1300, 0), (1300, 2000))),
    Zone(zone_id="z1", drawing_id="left", part_id="side", face="outer", name="Side, upper", shape=rect(0, 0, 2000, 1800),
         surface_ratio=1.2),
    Zone(zone_id="zs", drawing_id="sketch", part_id="side", face="outer", shape=rect(0, 0, 100, 100)),
    Datum(datum_id="dt_L", drawing_id="left", name="Waist swage", shape=line((0, 960), (2000, 960))),
    Datum(datum_id="dt_R", drawing_id="right", name="Waist swage", shape=line((2000, 960), (0, 960))),
    PANEL,
    Area(area_id="ring", drawing_id="left", purpose="mask", name="Frame", edge="hard", shape=RING),
    Area(area_id="signs", drawing_id="left", purpose="keep", name="Lettering, upper line", shape=rect(50, 50, 20, 20)),
    Finding(finding_id="F1", drawing_id="left", kind="ghost", shape=rect(1100, 1100, 40, 40)),
    Finding(finding_id="F2", drawing_id="left", kind="dent", shape=point(1200, 1150)),
    Line(line_id="stripe_L", drawing_id="left", width=6, hand="brush", shape=line((200, 1000), (1700, 1006))),
    Line(line_id="stripe_R", drawing_id="right", width=4, hand="tape", shape=line((1800, 1000), (300, 1000))),
    Line(line_id="bare", drawing_id="left", shape=line((200, 600), (900, 600))),
)  # fmt: skip


def panel(*more):
    return Record.of([*BASE, *more])


__all__ = ["BASE", "HIGH", "HOLED", "PANEL", "RING", "WIDE", "line", "panel", "point", "polygon", "rect"]
