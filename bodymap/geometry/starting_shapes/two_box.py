"""A small car of no make: bonnet and cabin with a tailgate, two doors."""

from __future__ import annotations

from shapely.geometry import LineString, Polygon

from bodymap.geometry.curves import Pen, box, rounded
from bodymap.geometry.starting_shapes.cars import CarLines
from bodymap.geometry.starting_shapes.making import StartingShape, sided
from bodymap.geometry.starting_shapes.side import Door, SideLines, closed_car
from bodymap.geometry.starting_shapes.size import Frame, Usual
from bodymap.model.part import Substrate

USUAL = Usual(length=3640, height=1430, wheelbase=2240, width=1500, front_axle=650, wheel=282)

CAR = CarLines(
    bonnet_front=150, bonnet_rear=1020, screen_foot=1120, screen_head=1500, roof_rear=3330, back_foot=3380, tail=3590,
    sill=250, lamp=650, bonnet=850, belt=930, roof_edge=1330, half=742, half_belt=680, half_roof=560, lid_foot=500,
    backlight=(985, 1280), lid="tailgate", lid_name="Tailgate",
)  # fmt: skip

PARTS = sided(
    {
        "nose": ("Nose", False),
        "bonnet": ("Bonnet", True),
        "wing_*": ("front wing", True),
        "scuttle": ("Scuttle and screen frame", False),
        "door_*": ("door", True),
        "sill_*": ("sill", False),
        "roof": ("Roof", False),
        "rear_wing_*": ("rear wing", False),
        "tailgate": ("Tailgate", True),
        "tail": ("Tail", False),
    }
)


def _body() -> Polygon:
    return (
        Pen(160, 300)
        .curve((100, 350), (80, 480), (82, 600))
        .curve((84, 720), (112, 792), (190, 815))
        .curve((400, 870), (760, 915), (1100, 936))
        .curve((1210, 1060), (1340, 1220), (1470, 1338))
        .curve((1570, 1410), (1850, 1428), (2150, 1430))
        .curve((2600, 1428), (3000, 1408), (3280, 1366))
        .curve((3370, 1352), (3410, 1310), (3440, 1250))
        .curve((3500, 1120), (3550, 1000), (3570, 900))
        .curve((3592, 760), (3592, 560), (3570, 430))
        .curve((3560, 360), (3540, 320), (3500, 306))
        .to((2560, 250), (1000, 250), (900, 286))
        .area()
    )


def _doors() -> tuple[Polygon, ...]:
    door = (
        Pen(1150, 306).to((1150, 880)).curve((1152, 930), (1176, 956), (1204, 986))
        .curve((1300, 1096), (1410, 1230), (1512, 1316)).curve((1560, 1350), (1620, 1356), (1700, 1358))
        .to((2180, 1362)).curve((2206, 1200), (2206, 700), (2180, 306)).area()
    )  # fmt: skip
    return (door,)


def side() -> SideLines:
    """The left side, nose to the left."""
    (door,) = _doors()
    glass = [
        rounded([(1246, 962), (2136, 962), (2128, 1306), (1546, 1306)], (30, 36, 36, 70)),
        rounded([(2262, 962), (3210, 962), (3080, 1296), (2258, 1306)], (36, 60, 110, 36)),
    ]
    return SideLines(
        body=_body(),
        doors=(Door("door", "door", door, (1700, 650)),),
        glass=glass,
        screen=Pen(1124, 950).curve((1226, 1064), (1340, 1206), (1456, 1318)).to((1470, 1308))
        .curve((1352, 1196), (1240, 1054), (1146, 942)).area(),
        bonnet_edge=Pen(60, 716).curve((180, 790), (600, 842), (1020, 868)).to((1160, 880)).line(),
        bonnet_rear=LineString([(1020, 820), (1020, 1040)]),
        gutter=Pen(1310, 1270).curve((1440, 1330), (1540, 1370), (1700, 1372)).to((2190, 1378))
        .curve((2700, 1374), (3050, 1352), (3300, 1310)).to((3460, 1290)).line(),
        lid_edge=Pen(3330, 1400).curve((3400, 1240), (3490, 1060), (3510, 880)).curve((3524, 700), (3520, 600), (3500, 480))
        .to((3640, 470)).line(),
        sill_line=LineString([(-100, 306), (3740, 306)]),
        seeds={"wing": (1110, 800), "bonnet": (700, 872), "scuttle": (1070, 900), "roof": (2300, 1405),
               "rear_wing": (2500, 850), "lid": (3560, 760), "sill": (1800, 280)},
        more_cuts=[LineString([(2170, 1350), (2170, 1384)])],
        swages=[Pen(100, 640).curve((500, 700), (900, 712), (1150, 714)).to((2200, 714)).curve((2800, 712), (3300, 690),
                                                                                             (3580, 650)).line()],
        handles=[(2080, 830)],
        trim=[("front bumper", rounded([(4, 360), (250, 344), (250, 418), (56, 434), (4, 420)], (28, 20, 30, 36, 28))),
              ("rear bumper", rounded([(3400, 344), (3636, 360), (3636, 420), (3590, 434),
                  (3400, 418)], (20, 28, 28, 36, 30)))],
        lamps=[("headlamp, edge on", Pen(94, 748).curve((48, 730), (48, 590), (88, 570)).area()),
               ("rear lamp, edge on", box(3548, 560, 3594, 720, 18))],
    )  # fmt: skip


def made(frame: Frame, substrate: Substrate) -> StartingShape:
    """All views at a size."""
    return closed_car(frame, CAR, side(), PARTS, substrate)
