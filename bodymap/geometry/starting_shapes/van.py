"""A panel van of no make: short bonnet, cab with a door on each side, plain load sides, two rear doors."""

from __future__ import annotations

from shapely.geometry import LineString, Polygon

from bodymap.geometry.curves import Pen, box, rounded
from bodymap.geometry.starting_shapes.cars import CarLines
from bodymap.geometry.starting_shapes.making import StartingShape, sided
from bodymap.geometry.starting_shapes.side import Door, SideLines, closed_car
from bodymap.geometry.starting_shapes.size import Frame, Usual
from bodymap.model.part import Substrate

USUAL = Usual(length=4300, height=1960, wheelbase=2480, width=1720, front_axle=760, wheel=326)

CAR = CarLines(
    bonnet_front=150, bonnet_rear=880, screen_foot=980, screen_head=1330, roof_rear=4190, back_foot=4200, tail=4262,
    sill=300, lamp=760, bonnet=1030, belt=1150, roof_edge=1830, half=850, half_belt=812, half_roof=730, lid_foot=500,
    backlight=(1250, 1620), lid="rear_door", lid_name="Rear door", split_lid=True,
)  # fmt: skip

PARTS = sided(
    {
        "nose": ("Nose", False),
        "bonnet": ("Bonnet", True),
        "wing_*": ("front wing", True),
        "scuttle": ("Scuttle and screen frame", False),
        "door_*": ("cab door", True),
        "side_*": ("load side", False),
        "sill_*": ("sill", False),
        "roof": ("Roof", False),
        "rear_door_*": ("rear door", True),
        "tail": ("Rear frame", False),
    }
)


def _body() -> Polygon:
    return (
        Pen(170, 350)
        .curve((100, 420), (76, 600), (80, 760))
        .curve((84, 920), (120, 1000), (210, 1024))
        .curve((420, 1076), (700, 1116), (950, 1150))
        .curve((1040, 1340), (1160, 1560), (1280, 1750))
        .curve((1340, 1880), (1480, 1938), (1700, 1950))
        .curve((2300, 1968), (3400, 1966), (4080, 1940))
        .curve((4170, 1934), (4206, 1900), (4214, 1830))
        .curve((4250, 1400), (4262, 900), (4256, 440))
        .curve((4254, 380), (4240, 356), (4200, 350))
        .to((2860, 300), (1160, 300), (1060, 336))
        .area()
    )


def _doors() -> tuple[Polygon, ...]:
    door = (
        Pen(1030, 360).to((1030, 1110)).curve((1032, 1170), (1052, 1210), (1078, 1256))
        .curve((1160, 1430), (1260, 1610), (1330, 1706)).curve((1372, 1760), (1420, 1772), (1490, 1774))
        .to((1930, 1778), (1930, 360)).area()
    )  # fmt: skip
    return (door,)


def side() -> SideLines:
    """The left side, nose to the left."""
    (door,) = _doors()
    return SideLines(
        body=_body(),
        doors=(Door("door", "cab door", door, (1500, 800)),),
        glass=[rounded([(1120, 1214), (1880, 1214), (1880, 1700), (1386, 1700)], (34, 44, 44, 90))],
        screen=Pen(972, 1170).curve((1060, 1350), (1170, 1560), (1276, 1724)).to((1290, 1710))
        .curve((1190, 1550), (1084, 1340), (998, 1162)).area(),
        bonnet_edge=Pen(50, 880).curve((200, 960), (500, 1010), (880, 1046)).to((1040, 1060)).line(),
        bonnet_rear=LineString([(880, 1000), (880, 1250)]),
        gutter=Pen(1100, 1640).curve((1280, 1740), (1380, 1796), (1560, 1800)).to((1940, 1806), (4120, 1806),
            (4300, 1806)).line(),
        sill_line=LineString([(-100, 360), (4400, 360)]),
        seeds={"wing": (1000, 960), "bonnet": (560, 1060), "scuttle": (950, 1100), "roof": (2800, 1900),
               "body_side": (2600, 1400), "sill": (2000, 330)},
        more_cuts=[LineString([(1930, 1770), (1930, 1812)])],
        swages=[Pen(2010, 1120).to((4180, 1120)).line(), Pen(2010, 1690).to((4150, 1690)).line(),
                Pen(1090, 780).curve((1400, 800), (1700, 802), (1920, 802)).to((4200, 802)).line()],
        handles=[(1820, 960)],
        trim=[("front bumper", rounded([(4, 400), (260, 382), (260, 474), (60, 492), (4, 474)], (30, 24, 30, 40, 30))),
              ("rear step, edge on", box(4180, 330, 4296, 384, 20))],
        lamps=[("headlamp, edge on", Pen(96, 862).curve((46, 842), (46, 676), (88, 656)).area()),
               ("rear lamp, edge on", box(4238, 600, 4280, 760, 18))],
    )  # fmt: skip


def made(frame: Frame, substrate: Substrate) -> StartingShape:
    """All views at a size."""
    return closed_car(frame, CAR, side(), PARTS, substrate)
