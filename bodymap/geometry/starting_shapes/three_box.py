"""A saloon of no make: bonnet, cabin and boot, four doors."""

from __future__ import annotations

from shapely.geometry import LineString, Polygon

from bodymap.geometry.curves import Pen, box, rounded
from bodymap.geometry.starting_shapes.cars import CarLines
from bodymap.geometry.starting_shapes.making import StartingShape, sided
from bodymap.geometry.starting_shapes.side import Door, SideLines, closed_car
from bodymap.geometry.starting_shapes.size import Frame, Usual
from bodymap.model.part import Substrate

USUAL = Usual(length=4320, height=1480, wheelbase=2560, width=1640, front_axle=780, wheel=308)

CAR = CarLines(
    bonnet_front=170, bonnet_rear=1250, screen_foot=1350, screen_head=1770, roof_rear=2850, back_foot=3260, tail=4262,
    sill=262, lamp=690, bonnet=900, belt=985, roof_edge=1392, half=812, half_belt=742, half_roof=590, lid_foot=480,
    backlight=(1040, 1360),
)  # fmt: skip


def _body() -> Polygon:
    return (
        Pen(190, 318)
        .curve((118, 380), (88, 520), (92, 640))
        .curve((94, 760), (120, 838), (196, 862))
        .curve((420, 915), (900, 968), (1330, 990))
        .curve((1460, 1120), (1610, 1280), (1752, 1396))
        .curve((1880, 1476), (2250, 1482), (2420, 1480))
        .curve((2640, 1476), (2780, 1456), (2870, 1408))
        .curve((3010, 1310), (3130, 1150), (3262, 1006))
        .curve((3560, 1000), (3900, 980), (4140, 918))
        .curve((4236, 888), (4262, 780), (4256, 660))
        .curve((4252, 520), (4236, 400), (4190, 330))
        .to((3700, 318), (2990, 262), (1140, 262), (1060, 300))
        .area()
    )


def _doors() -> tuple[Polygon, ...]:
    front_door = (
        Pen(1392, 322).to((1392, 930)).curve((1394, 985), (1420, 1012), (1450, 1040))
        .curve((1560, 1160), (1670, 1290), (1790, 1372)).curve((1830, 1396), (1880, 1404), (1940, 1406))
        .to((2262, 1410), (2262, 322)).area()
    )  # fmt: skip
    rear_door = (
        Pen(2262, 322).to((2262, 1410)).curve((2420, 1410), (2600, 1402), (2720, 1388))
        .curve((2830, 1360), (2910, 1180), (2960, 1000)).curve((2985, 900), (2975, 800), (2940, 690))
        .curve((2900, 560), (2870, 450), (2860, 322)).area()
    )  # fmt: skip
    return front_door, rear_door


def side() -> SideLines:
    """The left side, nose to the left."""
    front_door, rear_door = _doors()
    glass = [
        rounded([(1492, 1012), (2222, 1012), (2222, 1352), (1818, 1352)], (30, 40, 40, 70)),
        rounded([(2302, 1012), (2886, 1012), (2760, 1346), (2302, 1352)], (40, 44, 80, 40)),
    ]
    return SideLines(
        body=_body(),
        doors=(Door("door_front", "front door", front_door, (1900, 700)),
               Door("door_rear", "rear door", rear_door, (2500, 700))),
        glass=glass,
        screen=Pen(1352, 1006).curve((1470, 1126), (1610, 1280), (1740, 1386)).to((1752, 1376))
        .curve((1630, 1270), (1490, 1120), (1378, 1000)).area(),
        bonnet_edge=Pen(60, 770).curve((200, 830), (800, 900), (1250, 926)).to((1400, 934)).line(),
        bonnet_rear=LineString([(1250, 880), (1250, 1100)]),
        gutter=Pen(1600, 1330).curve((1720, 1380), (1800, 1416), (1940, 1420)).to((2262, 1424))
        .curve((2560, 1424), (2760, 1410), (2840, 1366)).to((2980, 1380)).line(),
        lid_edge=Pen(3262, 1040).curve((3268, 980), (3290, 962), (3340, 956)).curve((3700, 936), (4000, 880),
            (4180, 800)).to((4320, 720)).line(),
        sill_line=LineString([(-100, 322), (4400, 322)]),
        seeds={"wing": (1330, 860), "bonnet": (800, 910), "scuttle": (1300, 960), "roof": (2300, 1450),
               "rear_wing": (3060, 1100), "lid": (3700, 960), "sill": (2000, 290)},
        more_cuts=[LineString([(2262, 1404), (2262, 1428)])],
        swages=[
            Pen(120, 700).curve((700, 770), (1000, 780), (1380, 782)).to((2960, 782)).curve((3500, 780),
                (3900, 760), (4240, 700))
            .line(),
        ],
        handles=[(2150, 860), (2850, 860)],
        trim=[("front bumper", rounded([(4, 372), (300, 352), (300, 438), (70, 458), (4, 440)], (30, 20, 30, 40, 30))),
              ("rear bumper", rounded([(4060, 352), (4316, 372), (4316, 440), (4250, 458),
                  (4060, 438)], (20, 30, 30, 40, 30)))],
        lamps=[("headlamp, edge on", Pen(104, 790).curve((56, 770), (56, 620), (96, 600)).area()),
               ("rear lamp, edge on", box(4216, 560, 4262, 720, 18))],
    )  # fmt: skip


PARTS = sided(
    {
        "nose": ("Nose", False),
        "bonnet": ("Bonnet", True),
        "wing_*": ("front wing", True),
        "scuttle": ("Scuttle and screen frame", False),
        "door_front_*": ("front door", True),
        "door_rear_*": ("rear door", True),
        "sill_*": ("sill", False),
        "roof": ("Roof", False),
        "rear_wing_*": ("rear wing", False),
        "boot": ("Boot lid", True),
        "tail": ("Tail", False),
    }
)


def made(frame: Frame, substrate: Substrate) -> StartingShape:
    """All views at a size."""
    return closed_car(frame, CAR, side(), PARTS, substrate)
