"""An open touring car of no make: upright radiator, wings of their own, running boards, hood folded down."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.curves import Pen, arc, box, circle, rounded, shift
from bodymap.geometry.starting_shapes.making import StartingShape, sided, whole
from bodymap.geometry.starting_shapes.sheet import Panel, Sheet, across, at, both
from bodymap.geometry.starting_shapes.size import Frame, Usual
from bodymap.geometry.starting_shapes.tourer_plan import draw_plan
from bodymap.model.part import Substrate

USUAL = Usual(length=3800, height=1640, wheelbase=2760, width=1600, front_axle=560, wheel=366, wings="free")
SIDES = ((1, "L", "Left"), (-1, "R", "Right"))

PARTS = sided(
    {
        "radiator_shell": ("Radiator shell", True),
        "bonnet": ("Bonnet", True),
        "scuttle": ("Scuttle", False),
        "door_*": ("front door", True),
        "rear_door_*": ("rear door", True),
        "tub": ("Body tub", False),
        "wing_*": ("front wing", True),
        "board_*": ("running board", True),
        "rear_wing_*": ("rear wing", True),
    }
)


def _body() -> Polygon:
    return (
        Pen(400, 520)
        .to((400, 1060))
        .curve((400, 1110), (420, 1124), (470, 1126))
        .to((1420, 1168))
        .curve((1520, 1174), (1570, 1200), (1650, 1222))
        .to((1690, 1216))
        .curve((1720, 1100), (1800, 1040), (1940, 1036))
        .curve((2060, 1034), (2110, 1080), (2200, 1110))
        .curve((2320, 1142), (2420, 1078), (2540, 1072))
        .curve((2700, 1066), (2800, 1140), (2960, 1166))
        .curve((3180, 1196), (3400, 1196), (3540, 1150))
        .curve((3640, 1060), (3640, 780), (3560, 520))
        .area()
    )


def _wing_front() -> Polygon:
    x = USUAL.front_axle
    return (
        Pen(x - 452, 520)
        .curve((x - 430, 720), (x - 240, 832), (x, 834))
        .curve((x + 230, 834), (x + 380, 640), (x + 520, 500))
        .curve((x + 590, 430), (x + 650, 404), (x + 720, 402))
        .to((x + 720, 366))
        .curve((x + 620, 366), (x + 540, 390), (x + 470, 450))
        .curve((x + 340, 570), (x + 220, 764), (x, 764))
        .curve((x - 190, 762), (x - 340, 680), (x - 392, 500))
        .area()
    )


def _wing_rear() -> Polygon:
    x = USUAL.rear_axle
    return (
        Pen(x - 620, 402)
        .curve((x - 520, 404), (x - 470, 440), (x - 430, 520))
        .curve((x - 350, 720), (x - 210, 834), (x, 834))
        .curve((x + 230, 832), (x + 400, 700), (x + 446, 470))
        .to((x + 392, 460))
        .curve((x + 350, 650), (x + 200, 764), (x, 764))
        .curve((x - 190, 764), (x - 310, 640), (x - 376, 480))
        .curve((x - 410, 400), (x - 480, 366), (x - 620, 366))
        .area()
    )


def _wheels(sheet: Sheet, frame: Frame) -> None:
    for which, word in ((0, "front"), (1, "rear")):
        x, y = frame.axles[which]
        for ring, share in (("tyre", 1.0), ("rim", 0.74), ("rim, inside", 0.69), ("hub", 0.2)):
            sheet.mark("wheel", f"{word} wheel, {ring}", circle(x, y, frame.wheel * share))
        for number in range(12):
            far, near = (arc(x, y, frame.wheel * share, 30 * number, 30 * number + 1)[0] for share in (0.69, 0.2))
            sheet.mark("wheel", f"{word} wheel, spoke", LineString([far, near]))
        sheet.datum(f"wheel_{word}", f"{word.capitalize()} wheel centre", Point(x, y))


def _left(sheet: Sheet, frame: Frame) -> None:
    _wheels(sheet, frame)
    body = frame.side(_body())
    wings = [frame.axle(_wing_front(), 0), frame.axle(_wing_rear(), 1)]
    board = _board(frame, wings)
    sheet.mark("trim", "chassis", frame.side(box(330, 440, 3700, 500, 12)))
    seen = max(shapely.get_parts(body.difference(shapely.union_all([*wings, board]))), key=lambda part: part.area)
    sheet.mark("body", "body", seen)
    shut = {
        "radiator shell": LineString([(500, 400), (500, 1300)]),
        "bonnet, rear edge": LineString([(1420, 400), (1420, 1300)]),
        "bonnet hinge": LineString([(490, 980), (1430, 1010)]),
        "scuttle, rear edge": Pen(1650, 1300).curve((1650, 1100), (1640, 800), (1600, 400)).line(),
        "front door": LineString(rounded([(1760, 580), (2180, 580), (2180, 1300),
            (1760, 1300)], (50, 50, 0, 0)).exterior.coords),
        "rear door": LineString(rounded([(2330, 580), (2730, 580), (2810, 800), (2810, 1300), (2330, 1300)],
                                        (50, 60, 90, 0, 0)).exterior.coords),
    }  # fmt: skip
    cutters = {name: frame.side(line) for name, line in shut.items()}
    seeds = [
        ("radiator", "radiator_shell", "Radiator shell, left", (450, 1000)),
        ("bonnet_top", "bonnet", "Bonnet, left, above the hinge", (1000, 1080)),
        ("bonnet_side", "bonnet", "Bonnet, left flank", (1150, 920)),
        ("scuttle", "scuttle", "Scuttle, left", (1540, 1000)),
        ("door", "door_L", "Left front door", (1970, 800)),
        ("rear_door", "rear_door_L", "Left rear door", (2560, 900)),
        ("tub", "tub", "Body tub, left", (3200, 1060)),
    ]
    panels = [Panel(key, part, name, at(frame.side(Point(seed)))) for key, part, name, seed in seeds]
    over = [
        (Panel("wing", "wing_L", "Left front wing", (0.0, 0.0)), wings[0]),
        (Panel("rear_wing", "rear_wing_L", "Left rear wing", (0.0, 0.0)), wings[1]),
        (Panel("board", "board_L", "Left running board", (0.0, 0.0)), board),
    ]
    sheet.panels(seen, cutters.values(), panels, over)
    for name, line in cutters.items():
        sheet.seams(name, [line], body)
    for panel, shape in over:
        sheet.mark("body", panel.name, shape)
    _side_marks(sheet, frame, body)


def _board(frame: Frame, wings: list[BaseGeometry]) -> BaseGeometry:
    """The running board: between the feet of the wings."""
    k = frame.wheel / USUAL.wheel
    return box(wings[0].bounds[2], frame.wheel, wings[1].bounds[0], frame.wheel + 36 * k)


def _side_marks(sheet: Sheet, frame: Frame, body: BaseGeometry) -> None:
    for number in range(14):
        x = 640 + 50 * number
        sheet.line("body_line", "louvre", frame.side(LineString([(x, 860), (x + 8, 960)])), body)
    screen = rounded([(1640, 1214), (1662, 1214), (1720, 1628), (1698, 1632)], 8)
    sheet.mark("glass", "windscreen, edge on", frame.side(screen))
    hood = (
        Pen(3010, 1180)
        .curve((3040, 1290), (3300, 1330), (3600, 1290))
        .curve((3700, 1270), (3720, 1200), (3640, 1160))
        .curve((3420, 1200), (3200, 1196), (3010, 1180))
        .area()
    )
    sheet.mark("trim", "hood, folded", frame.side(hood))
    sheet.mark(
        "trim", "steering wheel, edge on", frame.side(LineString([(1840, 1010), (1990, 1290)])).buffer(11, quad_segs=6)
    )
    lamp = Pen(392, 1010).curve((350, 1000), (340, 800), (392, 790)).curve((500, 810), (520, 990), (392, 1010)).area()
    sheet.mark("lamp", "headlamp", frame.side(lamp))
    sheet.mark("trim", "dumb iron", frame.side(rounded([(4, 426), (360, 440), (360, 500), (30, 470)], 20)))
    spare = rounded([(3660, 420), (3796, 420), (3796, 1140), (3660, 1140)], 62)
    sheet.mark("wheel", "spare wheel, edge on", frame.side(spare))
    for x in (2140, 2370):
        hx, hy = at(frame.side(Point(x, 960)))
        sheet.mark("trim", "door handle", box(hx - 44, hy - 9, hx + 24, hy + 9, 8))
    sheet.datum("door", "Left front door, front shut line", frame.side(LineString([(1760, 640), (1760, 1000)])))


def _end_wings(low: float) -> list[BaseGeometry]:
    """Both wings from an end, crowned."""
    wing = (
        Pen(430, low)
        .curve((440, 700), (520, 830), (640, 834))
        .curve((760, 834), (792, 700), (794, low))
        .to((740, low))
        .curve((730, 660), (700, 764), (640, 766))
        .curve((560, 764), (500, 660), (490, low))
        .area()
    )
    return [wing, across(wing)]


def _end(sheet: Sheet, frame: Frame, low: float, prefix: str, order: int) -> list[tuple[Panel, BaseGeometry]]:
    """Tyres and wings from an end; the wings as they lie on the drawing."""
    mid = frame.width / 2
    word = "front" if prefix == "wing" else "rear"
    for sign in (-1, 1):
        x = mid + sign * 640 * frame.across
        sheet.mark("wheel", "tyre", box(x - 58, 0, x + 58, 2 * frame.wheel, 50))
    wings = []
    for wing, (_, letter, side) in zip(_end_wings(low), SIDES[::order], strict=True):
        panel = Panel(f"{prefix}_{letter}", f"{prefix}_{letter}", f"{side} {word} wing, {word}", (0.0, 0.0))
        wings.append((panel, shift(frame.end(wing), mid, 0)))
        sheet.mark("body", panel.name, wings[-1][1])
    return wings


def _front(sheet: Sheet, frame: Frame) -> None:
    """From the front: the vehicle's left is on the right of the sheet."""
    wings, mid = _end(sheet, frame, 470, "wing", 1), frame.width / 2
    shell = both(
        Pen(0, 500)
        .to((205, 500))
        .curve((226, 700), (240, 900), (236, 1020))
        .curve((234, 1100), (150, 1124), (0, 1128))
        .points
    )
    core = both(
        Pen(0, 540)
        .to((168, 540))
        .curve((188, 700), (200, 880), (196, 1000))
        .curve((194, 1060), (120, 1070), (0, 1074))
        .points
    )
    scuttle = both(
        Pen(0, 620)
        .to((520, 620))
        .curve((560, 900), (560, 1080), (520, 1160))
        .curve((440, 1216), (200, 1222), (0, 1222))
        .points
    )
    sheet.mark("body", "body", shift(frame.end(scuttle.union(shell)), mid, 0))
    ring, back = shift(frame.end(shell.difference(core)), mid, 0), shift(frame.end(scuttle.difference(shell)), mid, 0)
    over = [(Panel("radiator", "radiator_shell", "Radiator shell, front", (0.0, 0.0)), ring)]
    _, high = at(frame.end(Point(0, 1180)))
    sheet.panels(back, [], [Panel("scuttle", "scuttle", "Scuttle, from the front", (mid, high))], [*over, *wings])
    sheet.mark("trim", "radiator core", shift(frame.end(core), mid, 0))
    for x in range(-160, 161, 40):
        sheet.mark("trim", "radiator slat", shift(frame.end(LineString([(x, 545), (x, 1010)])), mid, 0))
    pane = rounded([(-500, 1226), (500, 1226), (490, 1632), (-490, 1632)], 24)
    sheet.mark("glass", "windscreen", shift(frame.end(pane), mid, 0))
    for sign in (-1, 1):
        lamp_x, lamp_y = mid + sign * 345 * frame.across, 900 * frame.up
        sheet.mark("lamp", "headlamp", circle(lamp_x, lamp_y, 108), circle(lamp_x, lamp_y, 88))
    sheet.mark("trim", "front axle", shift(frame.end(box(-600, 330, 600, 382, 20)), mid, 0))
    sheet.datum("middle", "Middle line of the radiator", shift(frame.end(LineString([(0, 510), (0, 1120)])), mid, 0))


def _rear(sheet: Sheet, frame: Frame) -> None:
    """From the rear: the vehicle's left is on the left of the sheet."""
    wings, mid = _end(sheet, frame, 440, "rear_wing", -1), frame.width / 2
    tail = both(
        Pen(0, 520)
        .to((470, 520))
        .curve((590, 700), (640, 960), (610, 1140))
        .curve((600, 1180), (300, 1192), (0, 1192))
        .points
    )
    shape = shift(frame.end(tail), mid, 0)
    sheet.mark("body", "tail", shape)
    sheet.panels(shape, [], [Panel("tub", "tub", "Body tub, tail", (mid, at(frame.end(Point(0, 900)))[1]))], wings)
    hood = rounded([(-650, 1190), (650, 1190), (620, 1320), (-620, 1320)], 60)
    sheet.mark("trim", "hood, folded", shift(frame.end(hood), mid, 0))
    for share in (1.0, 0.74, 0.2):
        sheet.mark("trim", "spare wheel", circle(mid, 800 * frame.up, 0.92 * frame.wheel * share))
    sheet.mark("trim", "rear axle", shift(frame.end(box(-600, 330, 600, 390, 24)), mid, 0))
    for sign in (-1, 1):
        x = mid + sign * 700 * frame.across
        sheet.mark("lamp", "rear lamp", circle(x, 620 * frame.up, 36))


def made(frame: Frame, substrate: Substrate) -> StartingShape:
    """All views at a size."""
    return whole(
        frame,
        {"left": _left, "front": _front, "rear": _rear, "roof": draw_plan},
        PARTS,
        substrate,
    )
