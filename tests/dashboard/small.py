"""A small record of our own: one side with three zones, one hidden flange, a datum, two coats, a stack, readings."""

from __future__ import annotations

from bodymap.model import Area, Coat, Cover, Datum, Drawing, Layer, Part, Reading, Record, Source, Stack, Vehicle, Zone
from bodymap.model.shapes import Shape

AT = "2026-01-01T00:00:00.000Z"


def rectangle(x0: float, y0: float, x1: float, y1: float) -> Shape:
    ring = [[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]
    return Shape.model_validate({"type": "Polygon", "coordinates": [ring]})


def small_record() -> Record:
    def zone(zone_id, drawing_id, part_id, face, box, **said):
        return Zone(zone_id=zone_id, drawing_id=drawing_id, part_id=part_id, face=face, shape=rectangle(*box), **said)

    return Record(
        vehicle=Vehicle(vehicle_id="v1", name="Test van <b>*bold*</b>"),
        drawings=(
            Drawing(drawing_id="left", name="Left side", kind="outside"),
            Drawing(drawing_id="inner", name="Inner faces", kind="hidden", scale="schematic"),
        ),
        parts=(
            Part(part_id="door", name="Door", substrate="steel", removable=True),
            Part(part_id="side", name="Side", substrate="steel", removable=False),
        ),
        zones=(
            zone("door_out", "left", "door", "outer", (0, 0, 1000, 1200), name="Door outside", surface_ratio=1.05),
            zone("side_out", "left", "side", "outer", (1000, 0, 3000, 1200), name="Side"),
            zone("side_low", "left", "side", "outer", (1000, -300, 3000, 0), name="Sill"),
            zone("flange", "inner", "side", "flange", (0, 0, 900, 20), name="Flange"),
        ),
        covers=(Cover(zone_id="flange", part_id="door"),),
        datums=(
            Datum(
                datum_id="waist",
                drawing_id="left",
                name="Waist crease",
                shape=Shape.model_validate({"type": "LineString", "coordinates": [[1000, 600], [3000, 600]]}),
            ),
        ),
        coats=(
            Coat(coat_id="c1", name="Red-oxide dip", kind="primer", colour="#7a3b2e", um_low=12, um_high=18),
            Coat(coat_id="c2", name="Green enamel", kind="colour", colour="#5f7f4a", um_low=35, um_high=45),
        ),
        stacks=(Stack(stack_id="s1", zone_id="side_out", x=1500, y=400, method="window", reaches_substrate=True),),
        layers=(
            Layer(stack_id="s1", position=1, coat_id="c1", extent="full"),
            Layer(stack_id="s1", position=2, coat_id="c2", extent="full", interface=("dirt",)),
        ),
        areas=(
            Area(
                area_id="K1",
                drawing_id="left",
                purpose="keep",
                name="Witness",
                reason="full stack",
                edge="hard",
                margin=50,
                origin="original",
                shape=rectangle(1200, 200, 1400, 260),
            ),
        ),
        readings=(
            Reading(reading_id="r1", zone_id="side_out", x=1500, y=400, um=55, principle="magnetic"),
            Reading(reading_id="r2", zone_id="side_out", x=1600, y=400, um=57, principle="magnetic"),
            Reading(reading_id="r3", zone_id="side_out", x=1700, y=400, um=58, principle="eddy"),
        ),
        sources=(Source(source_id="p1", kind="photo", title="Left side, unwashed", about=("side_out",)),),
    )
