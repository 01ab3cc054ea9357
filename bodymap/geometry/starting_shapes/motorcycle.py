"""The painted set of a motorcycle of no make: tank, side covers and mudguards, on a sign of the machine they belong to."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.curves import Pen, arc, box, circle, rounded, shift
from bodymap.geometry.starting_shapes.making import StartingShape, sided, whole
from bodymap.geometry.starting_shapes.sheet import Panel, Sheet, at, below, twin
from bodymap.geometry.starting_shapes.size import Frame, Usual
from bodymap.model.part import Substrate

_GUARD = 62
USUAL = Usual(
    length=2120, height=1060, wheelbase=1400, width=740, front_axle=345, wheel=325, wings="ends", over_wheel=_GUARD
)

PARTS = sided(
    {
        "tank": ("Fuel tank", True),
        "side_cover_*": ("side cover", True),
        "mudguard_front": ("Front mudguard", True),
        "mudguard_rear": ("Rear mudguard", True),
    }
)


def _tank() -> Polygon:
    return (
        Pen(668, 786)
        .curve((640, 816), (640, 872), (676, 910))
        .curve((724, 956), (800, 972), (872, 966))
        .curve((990, 954), (1096, 900), (1196, 842))
        .curve((1216, 830), (1216, 800), (1196, 792))
        .curve((1110, 772), (1000, 770), (900, 770))
        .curve((800, 770), (700, 768), (668, 786))
        .area()
    )


def _tank_panel() -> Polygon:
    """The field on the tank's side that is often of another colour."""
    return (
        Pen(706, 806)
        .curve((690, 836), (704, 872), (752, 892))
        .curve((860, 918), (1000, 884), (1120, 828))
        .curve((1010, 800), (820, 784), (706, 806))
        .area()
    )


def _cover() -> Polygon:
    return rounded([(1150, 500), (1372, 560), (1330, 716), (1164, 716)], (30, 34, 50, 36))


def _mudguard(which: int) -> Polygon:
    x, r = (USUAL.front_axle, USUAL.rear_axle)[which], USUAL.wheel
    start, end = ((38, 150), (18, 150))[which]
    outer, inner = arc(x, r, r + _GUARD, start, end), arc(x, r, r + 14, end, start)
    return Polygon([*outer, *inner])


def _left(sheet: Sheet, frame: Frame) -> None:
    _wheels(sheet, frame)
    _machine(sheet, frame)
    tank, panel = frame.side(_tank()), frame.side(_tank_panel())
    sheet.mark("body", "tank", tank)
    middle = panel.representative_point()
    field = tank.difference(panel).representative_point()
    sheet.panels(
        tank,
        [panel.boundary],
        [
            Panel("tank_panel", "tank", "Fuel tank, left, panel", (middle.x, middle.y)),
            Panel("tank_field", "tank", "Fuel tank, left, round the panel", (field.x, field.y)),
        ],
        [
            (Panel("side_cover", "side_cover_L", "Left side cover", (0.0, 0.0)), frame.side(_cover())),
            (
                Panel("mudguard_front", "mudguard_front", "Front mudguard, left flank", (0.0, 0.0)),
                frame.axle(_mudguard(0), 0),
            ),
            (Panel("mudguard_rear", "mudguard_rear", "Rear mudguard, left flank", (0.0, 0.0)), frame.axle(_mudguard(1), 1)),
        ],
    )
    sheet.seams("edge of the tank panel", [panel.boundary], tank)
    sheet.mark("lamp", "headlamp shell", frame.side(_shell()))
    sheet.mark("lamp", "headlamp glass, edge on", frame.side(Pen(446, 936).curve((404, 910), (404, 800), (446, 774)).area()))
    sheet.mark("trim", "knee grip", frame.side(rounded([(930, 800), (1090, 812), (1060, 856), (940, 880)], 20)))
    sheet.datum("cap", "Filler cap, middle", frame.side(Point(820, 972)))
    sheet.datum("tank_foot", "Lower edge of the tank, left", frame.side(LineString([(760, 769), (1120, 775)])))


def _shell() -> Polygon:
    return (
        Pen(446, 774)
        .to((446, 936))
        .curve((520, 940), (572, 900), (572, 855))
        .curve((572, 810), (520, 770), (446, 774))
        .area()
    )


def _wheels(sheet: Sheet, frame: Frame) -> None:
    for which, word in ((0, "front"), (1, "rear")):
        x, y = frame.axles[which]
        for ring, share in (("tyre", 1.0), ("rim", 0.75), ("rim, inside", 0.7), ("hub", 0.2)):
            sheet.mark("wheel", f"{word} wheel, {ring}", circle(x, y, frame.wheel * share))
        for number in range(18):
            spot = arc(x, y, frame.wheel * 0.7, 20 * number, 20 * number + 1)[0]
            hub = arc(x, y, frame.wheel * 0.18, 20 * number + (60 if number % 2 else -60), 20 * number + 90)[0]
            sheet.mark("wheel", f"{word} wheel, spoke", LineString([spot, hub]))
        sheet.datum(f"wheel_{word}", f"{word.capitalize()} wheel centre", Point(x, y))


def _tube(frame: Frame, thick: float, *points: tuple[float, float]) -> BaseGeometry:
    return frame.side(LineString(points)).buffer(thick / 2, cap_style="round", quad_segs=6)


def _machine(sheet: Sheet, frame: Frame) -> None:
    """Frame, engine and seat: signs, so that the painted parts are found."""
    x1, y1 = USUAL.front_axle, USUAL.wheel
    x2 = USUAL.rear_axle
    tubes = [
        ((600, 830), (730, 340), (1120, 330)), ((600, 800), (1180, 740)), ((1180, 760), (1120, 330)),
        ((1180, 730), (1660, 690)), ((1120, 380), (x2, y1)), ((1500, 700), (x2, y1)),
    ]  # fmt: skip
    sheet.mark("trim", "frame", shapely.union_all([_tube(frame, 30, *points) for points in tubes]))
    sheet.mark("trim", "fork", _tube(frame, 46, (x1, y1), (618, 900)))
    sheet.mark("trim", "handlebar", _tube(frame, 26, (618, 900), (650, 1000), (760, 1045), (830, 1030)))
    case = rounded([(780, 260), (1090, 260), (1110, 420), (1010, 500), (830, 500), (770, 420)], 50)
    fins = [box(838 - 4 * n, 516 + 34 * n, 1012 + 4 * n, 536 + 34 * n, 9) for n in range(6)]
    sheet.mark("trim", "crankcase", frame.side(case))
    sheet.mark("trim", "cylinder", *[frame.side(fin) for fin in fins])
    sheet.mark("trim", "primary cover", frame.side(circle(950, 380, 92)), frame.side(circle(950, 380, 58)))
    pipe = (
        Pen(850, 660)
        .curve((740, 660), (720, 560), (740, 420))
        .curve((760, 270), (860, 232), (1000, 232))
        .to((1330, 250))
        .line()
    )
    sheet.mark("trim", "exhaust", frame.side(pipe).buffer(20, quad_segs=6))
    sheet.mark("trim", "silencer", frame.side(rounded([(1320, 216), (1980, 260), (1980, 330), (1320, 286)], 26)))
    seat = Pen(1204, 800).curve((1260, 850), (1420, 820), (1500, 838)).curve((1600, 862), (1720, 850), (1740, 800)).curve(
        (1700, 752), (1300, 740), (1204, 800)).area()  # fmt: skip
    sheet.mark("trim", "seat", frame.side(seat))
    sheet.mark("lamp", "rear lamp", frame.side(rounded([(2010, 560), (2066, 540), (2066, 610), (2016, 626)], 14)))


def _top(sheet: Sheet, frame: Frame) -> None:
    """From above, nose to the left; the left side along the lower edge."""
    up = frame.width / 2

    def placed(shape: BaseGeometry) -> BaseGeometry:
        return shift(frame.plan(shape), 0, up)

    tank = twin(Pen(652, 0).curve((652, 90), (690, 140), (790, 148)).curve((920, 156), (1100, 110), (1180, 62))
                .curve((1206, 44), (1210, 20), (1210, 0)).points)  # fmt: skip
    for which, word in ((0, "front"), (1, "rear")):
        x = (USUAL.front_axle, USUAL.rear_axle)[which]
        r = USUAL.wheel
        sheet.mark("wheel", f"{word} tyre", placed(box(x - r, -52, x + r, 52, 50)))
    guards = [box(28, -66, 645, 66, 56), box(1400, -74, 2086, 74, 62)]
    bar = Pen(640, 0).curve((640, 120), (660, 250), (820, 352)).line()
    for half in (bar, below(bar)):
        sheet.mark("trim", "handlebar", placed(half).buffer(14, quad_segs=6))
    sheet.mark("body", "tank", placed(tank))
    middle = LineString([(600, 0), (1300, 0)])
    sheet.panels(placed(tank), [], [Panel("tank", "tank", "Fuel tank, from above", at(placed(Point(900, 0))))])
    front = guards[0].difference(tank.buffer(6))
    rear = guards[1].difference(box(1000, -200, 1745, 200))
    for key, name, shape in (
        ("mudguard_front", "Front mudguard, from above", front),
        ("mudguard_rear", "Rear mudguard, from above", rear),
    ):
        sheet.zone(Panel(key, key, name, (0.0, 0.0)), placed(shape))
    sheet.mark("trim", "filler cap", placed(circle(820, 0, 34)))
    sheet.mark("trim", "seat", placed(rounded([(1200, -90), (1740, -120), (1740, 120), (1200, 90)], 70)))
    sheet.datum("middle", "Middle line of the tank", placed(middle))


def made(frame: Frame, substrate: Substrate) -> StartingShape:
    """Both sides, and from above, at a size."""
    return whole(frame, {"left": _left, "roof": _top}, PARTS, substrate)
