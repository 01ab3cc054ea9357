"""The rear: the vehicle's left is on the left of the sheet."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import Pen, box, circle, cut, mirror, rounded, tile
from demo.drawing.front import cab, cap_end, cap_wall, rail_end
from demo.drawing.sheet import Sheet
from demo.drawing.side import EVERYWHERE, GIRTH

DOOR_LOW, DOOR_HIGH = 462.0, 1757.0
DOOR_OUT = 703.0  # outer shut line from the middle line
FRAME_LOW = 430.0
STEP_LOW, STEP_HIGH = 300.0, 410.0


def window(side: str) -> Polygon:
    """The small window of a rear door."""
    pane = rounded([(d.MIDDLE - 508, 1355), (d.MIDDLE - 196, 1355), (d.MIDDLE - 196, 1552), (d.MIDDLE - 508, 1552)], 50)
    return pane if side == "L" else mirror(pane, d.WIDTH)


def opening() -> Polygon:
    """The rear door opening: shut line round both doors."""
    m = d.MIDDLE
    return rounded(
        [(m - DOOR_OUT, DOOR_LOW), (m + DOOR_OUT, DOOR_LOW), (m + DOOR_OUT, DOOR_HIGH), (m - DOOR_OUT, DOOR_HIGH)],
        (30, 30, 70, 70),
    )


def body() -> BaseGeometry:
    return (
        cab()
        .intersection(box(0, FRAME_LOW, d.WIDTH, 1800))
        .intersection(rounded([(-20, FRAME_LOW), (1770, FRAME_LOW), (1770, 1900), (-20, 1900)], (70, 70, 0, 0)))
    )


def draw(sheet: Sheet) -> None:
    """Fill the sheet."""
    m = d.MIDDLE
    for side in (-1, 1):
        x = m + side * 700
        sheet.mark("wheel", "tyre", rounded([(x - 86, 0), (x + 86, 0), (x + 86, 640), (x - 86, 640)], (26, 26, 60, 60)))
        for i in (-2, -1, 1, 2):
            sheet.mark("wheel", "tread", LineString([(x + 24 * i, 8), (x + 24 * i, 420)]))
    sheet.mark("wheel", "axle", box(m - 620, 316, m + 620, 366, 14), circle(m, 342, 112))
    sheet.mark("body", "body", body())
    sheet.mark("body", "roof cap", cap_end())
    _zones(sheet)
    _trim(sheet)
    _lines(sheet)
    sheet.datum("dt_B_middle", "Meeting line of the rear doors", LineString([(m, DOOR_LOW), (m, DOOR_HIGH)]))
    sheet.datum("dt_B_frame", "Rear frame, lower edge", LineString([(90, FRAME_LOW), (d.WIDTH - 90, FRAME_LOW)]))
    sheet.datum("dt_B_step", "Step plate, upper edge", LineString([(m - 590, STEP_HIGH), (m + 590, STEP_HIGH)]))
    sheet.datum("dt_B_gutter", "Gutter rail, lower edge, rear", LineString([(46, 1795), (d.WIDTH - 46, 1795)]))
    sheet.datum("dt_B_hinge_L", "Left rear door, middle hinge pin centre", Point(m - DOOR_OUT, 1112))
    sheet.datum("dt_B_hinge_R", "Right rear door, middle hinge pin centre", Point(m + DOOR_OUT, 1112))


def _zones(sheet: Sheet) -> None:
    m = d.MIDDLE
    middle = LineString([(m, 0), (m, 2000)])
    for side, word in (("L", "Left"), ("R", "Right")):
        half = box(0, 0, m, 2000) if side == "L" else box(m, 0, d.WIDTH, 2000)
        door = cut(opening().intersection(half).difference(window(side)), [opening().boundary, middle], d.GAP)
        door = tile(max(shapely.get_parts(door), key=lambda p: p.area), [], [("d", EVERYWHERE)])["d"]
        sheet.zone(f"rdoor{side}_skin", f"rdoor_{side}", "outer", f"{word} rear door", door, (1.02, GIRTH), "better")
    lamps = [circle(m + s * 785, y, 47) for s in (-1, 1) for y in (600, 712)]
    frame = cut(
        body().intersection(box(0, 0, d.WIDTH, 1790)).difference(opening()).difference(shapely.union_all(lamps)),
        [opening().boundary],
        d.GAP,
    )
    cutters = [LineString([(0, 464), (d.WIDTH, 464)]), LineString([(0, 1750), (d.WIDTH, 1750)])]
    names = [
        ("frame_sill", box(0, 0, d.WIDTH, 464), "Rear frame, lower member"),
        ("frame_head", box(0, 1750, d.WIDTH, 1900), "Rear frame, header"),
        ("frame_L", box(0, 464, m, 1750), "Rear frame, left pillar"),
        ("frame_R", box(m, 464, d.WIDTH, 1750), "Rear frame, right pillar"),
    ]
    tiles = tile(frame, cutters, [(n, mask) for n, mask, _ in names])
    for zone_id, _, name in names:
        sheet.zone(zone_id, "rear_frame", "outer", name, tiles[zone_id], intent="better")
    step = tile(box(m - 610, STEP_LOW, m + 610, STEP_HIGH, 16), [], [("s", EVERYWHERE)])["s"]
    sheet.zone("step_face", "step", "outer", "Rear step plate, rear face", step, intent="keep")
    rail = tile(rail_end(), [], [("r", EVERYWHERE)])["r"]
    sheet.zone("rail_rear", "rail", "outer", "Gutter rail, rear", rail, intent="better")
    wall = tile(cap_wall(), [], [("c", EVERYWHERE)])["c"]
    sheet.zone(
        "cap_rear",
        "cap",
        "outer",
        "Roof cap, rear wall",
        wall,
        (1.29, "chord and rise along the cap, less the crown"),
        "better",
    )


def _trim(sheet: Sheet) -> None:
    m = d.MIDDLE
    for side in ("L", "R"):
        sheet.mark("glass", "rear door window", window(side))
    for y in (690, 1112, 1590):
        strap = shapely.union_all(
            [
                box(m - DOOR_OUT - 36, y - 20, m - DOOR_OUT + 150, y + 20, 19),
                box(m - DOOR_OUT - 12, y - 34, m - DOOR_OUT + 12, y + 34, 11),
            ]
        )
        sheet.both("trim", "rear door hinge", d.WIDTH, strap)
    sheet.mark("trim", "rear door handle", box(m + 34, 1010, m + 58, 1150, 11), circle(m + 46, 1080, 24))
    sheet.mark("trim", "bolt rod guide", box(m + 30, 520, m + 58, 566, 6), box(m + 30, 1660, m + 58, 1706, 6))
    for s in (-1, 1):
        for y, name in ((600, "stop and tail lamp"), (712, "direction lamp")):
            sheet.mark("trim", f"{name}, rim", circle(m + s * 785, y, 43))
            sheet.mark("lamp", name, circle(m + s * 785, y, 34))
        sheet.mark("lamp", "reflector", circle(m + s * 785, 500, 22))
    sheet.mark("trim", "plate, blank", box(m - 520, 640, m - 90, 752, 8))
    sheet.mark("lamp", "plate lamp", rounded([(m - 350, 762), (m - 260, 762), (m - 272, 790), (m - 338, 790)], 8))
    sheet.both("trim", "step bracket", d.WIDTH, box(m + 470, STEP_HIGH, m + 500, 432))
    sheet.mark("trim", "gutter lip", LineString([(m - 843, d.RAIL_HIGH - 10), (m + 843, d.RAIL_HIGH - 10)]))


def _lines(sheet: Sheet) -> None:
    m = d.MIDDLE
    sheet.mark("shut_line", "rear doors", opening().boundary)
    sheet.mark("shut_line", "rear doors, meeting line", LineString([(m, DOOR_LOW), (m, DOOR_HIGH)]))
    for y in (d.WAIST_LOW, d.WAIST_HIGH):
        sheet.mark(
            "body_line", "waist line", LineString([(m - 690, y), (m - 14, y)]), LineString([(m + 14, y), (m + 690, y)])
        )
    for s in (-1, 1):
        panel = rounded([(m + s * 90, 830), (m + s * 600, 830), (m + s * 600, 1062), (m + s * 90, 1062)], 40)
        sheet.mark("body_line", "rear door pressing", panel.boundary)
        frame = window("L" if s < 0 else "R").buffer(22, quad_segs=16).boundary
        sheet.mark("body_line", "rear window surround", frame)
    sheet.mark("body_line", "step tread ribs", *[LineString([(m - 590, y), (m + 590, y)]) for y in (322, 344, 366, 388)])
    sheet.mark("body_line", "cap roll line", LineString([(m - 540, d.CAP_ROLL), (m + 540, d.CAP_ROLL)]))
    sheet.mark("body_line", "cap moulding", LineString([(m - 768, 1860), (m + 768, 1860)]))
    sheet.mark(
        "body_line",
        "corner radius",
        Pen(40, 470).curve((30, 900), (32, 1215), (72, 1785)).line(),
        Pen(d.WIDTH - 40, 470).curve((d.WIDTH - 30, 900), (d.WIDTH - 32, 1215), (d.WIDTH - 72, 1785)).line(),
    )
