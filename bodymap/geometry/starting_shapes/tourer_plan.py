"""The open touring car from above."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.curves import Pen, box, rounded, shift
from bodymap.geometry.starting_shapes.sheet import Panel, Sheet, at, below, twin
from bodymap.geometry.starting_shapes.size import Frame

_SIDES = ((-1, "L", "Left"), (1, "R", "Right"))


def draw_plan(sheet: Sheet, frame: Frame) -> None:
    """From above, nose to the left, the vehicle's left side along the lower edge."""
    up = frame.width / 2

    def placed(shape: BaseGeometry) -> BaseGeometry:
        return shift(frame.plan(shape), 0, up)

    body = twin(Pen(400, 0).to((400, 236), (500, 240)).curve((800, 262), (1200, 330), (1420, 400))
                .curve((1560, 460), (1620, 540), (1700, 560)).curve((2000, 620), (2900, 640), (3300, 600))
                .curve((3560, 560), (3640, 300), (3640, 0)).points)  # fmt: skip
    cockpit = rounded([(1740, -520), (3340, -540), (3340, 540), (1740, 520)], (90, 220, 220, 90))
    wings = _wings()
    cutters = [LineString([(500, -900), (500, 900)]), LineString([(1420, -900), (1420, 900)]),
               LineString([(1690, -900), (1690, 900)])]  # fmt: skip
    seeds = [
        ("radiator", "radiator_shell", "Radiator shell, from above", (450, 0)),
        ("bonnet", "bonnet", "Bonnet, from above", (900, 0)),
        ("scuttle", "scuttle", "Scuttle, from above", (1560, 0)),
        ("tub", "tub", "Body tub, rim and tail", (3500, 0)),
    ]
    panels = [Panel(key, part, name, at(placed(Point(seed)))) for key, part, name, seed in seeds]
    for name, shape in wings.items():
        sheet.mark("body", name, placed(shape))
    sheet.mark("body", "body", placed(body))
    lines = [placed(line) for line in cutters]
    seen = placed(body.difference(cockpit))
    hidden = placed(body)
    under = [(_panel(key), placed(shape).difference(hidden)) for key, shape in wings.items()]
    sheet.panels(seen, lines, panels, under)
    sheet.seams("shut line", lines, seen)
    sheet.mark("trim", "cockpit", placed(cockpit))
    for x in (2060, 2860):
        sheet.mark("trim", "seat", placed(rounded([(x, -480), (x + 330, -480), (x + 330, 480), (x, 480)], 70)))
    sheet.mark("glass", "windscreen, from above", placed(box(1668, -520, 1700, 520, 10)))
    sheet.mark("trim", "hood, folded", placed(rounded([(3260, -620), (3600, -560), (3600, 560), (3260, 620)], 80)))
    sheet.line("body_line", "bonnet hinge", placed(LineString([(500, 0), (1420, 0)])), seen)
    sheet.datum("middle", "Middle line", placed(LineString([(420, 0), (1680, 0)])))


def _panel(key: str) -> Panel:
    side = "Left" if key.endswith("L") else "Right"
    what = {"wing": "front wing", "rear_wing": "rear wing", "board": "running board"}[key[:-2]]
    return Panel(key, key, f"{side} {what}, from above", (0.0, 0.0))


def _wings() -> dict[str, BaseGeometry]:
    front = Pen(108, 500).curve((112, 700), (180, 790), (420, 794)).to((1280, 794), (1280, 640)).curve(
        (900, 640), (760, 470), (420, 440)).curve((240, 430), (120, 440), (108, 500)).area()  # fmt: skip
    board = box(1280, 600, 2700, 794)
    rear = (
        Pen(2700, 794)
        .to((3400, 794))
        .curve((3640, 790), (3760, 700), (3766, 560))
        .curve((3600, 480), (3300, 500), (2700, 560))
        .area()
    )
    made: dict[str, BaseGeometry] = {}
    for sign, letter, _ in _SIDES:
        for name, shape in (("wing", front), ("board", board), ("rear_wing", rear)):
            half = shape if sign > 0 else below(shape)
            made[f"{name}_{letter}"] = shapely.normalize(half)
    return made
