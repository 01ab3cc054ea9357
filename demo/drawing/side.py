"""The left side, nose to the left. The right side is its mirror, with the repaired rear corner."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import Pen, arc, box, circle, cut, mirror, rounded, tile
from demo.drawing.sheet import Sheet

GIRTH = "two tape girths, along and across, over the chords of the drawing"
SIDE = (1.04, GIRTH)
LETTERS_HIGH = (1290.0, 1742.0)
LETTERS_LOW = (850.0, 1012.0)
LETTERS_LONG = (2330.0, 4390.0)
BLEND = 150.0
EVERYWHERE = box(-500, -500, 5500, 3000)


def _wing_top() -> list[tuple[float, float]]:
    """Joint of wing to nose, bonnet and scuttle: up from the nose, a swept crown, down to the door."""
    return Pen(90, 905).curve((165, 985), (300, 1066), (520, 1072)).curve((740, 1078), (1000, 1029), (1222, 947)).points


def _roll_line() -> LineString:
    """Where the bonnet's shoulder has turned 45°."""
    return Pen(150, 1106).curve((300, 1168), (720, 1234), (1128, 1266)).to((1135, 1266.6)).line()


@dataclass(frozen=True)
class SideLines:
    body: Polygon
    shut: dict[str, LineString]


def side_lines() -> SideLines:
    """Silhouettes and shut lines of the left side."""
    nose = (
        Pen(196, 488)
        .curve((136, 540), (98, 650), (97, 770))
        .curve((97, 930), (126, 1076), (216, 1140))
        .curve((330, 1196), (720, 1260), (1130, 1290))
        .curve((1150, 1292), (1166, 1296), (1182, 1302))
        .curve((1256, 1460), (1330, 1628), (1396, 1792.5))
    )
    roof = nose.to((1396, 1842.5), (4520, 1842.5), (4522, 1792.5))
    tail = roof.curve((4536, 1500), (4538, 900), (4528, 470)).curve((4526, 430), (4512, 412), (4480, 410))
    outline = tail.to((2190, 390), (1236, 386), (1206, 430), (520, 430), (520, 488)).area()
    arches = [circle(*wheel, d.ARCH) for wheel in (d.FRONT_WHEEL, d.REAR_WHEEL)]
    top = _wing_top()
    pillar = Pen(d.DOOR_FRONT, 380).to((d.DOOR_FRONT, 1270)).curve((1232, 1340), (1338, 1600), (1424, 1800)).line()
    shut = {
        "wing joint": LineString(top),
        "door, front": pillar,
        "door, rear": LineString([(d.DOOR_REAR, 380), (d.DOOR_REAR, 1800)]),
        "door, lower": LineString([(1215, 404), (2212, 404)]),
        "rail joint": LineString([(1380, d.RAIL_LOW), (4540, d.RAIL_LOW)]),
        "sill seam": LineString([(d.DOOR_REAR, d.CARGO_BOTTOM - 2.5), (4540, d.CARGO_BOTTOM - 2.5)]),
        "rear edge": LineString([(d.BODY_REAR, 380), (d.BODY_REAR, 1800)]),
        "bonnet, rear": LineString([(d.BONNET_REAR, 960), (d.BONNET_REAR, 1300)]),
        "bonnet, front": Pen(186, 1150).curve((200, 1110), (250, 1060), (330, 1030)).line(),
    }
    return SideLines(outline.difference(shapely.union_all(arches)), shut)


def cap_profile() -> Polygon:
    """The cap from the side: end walls that lean in, a well rounded shoulder, a flat crown."""
    return (
        Pen(d.CAP_FRONT, d.RAIL_HIGH)
        .curve((1447, 1920), (1484, 1998), (1560, 2026))
        .curve((1620, 2048), (1704, 2057), (1800, 2064))
        .curve((2080, 2081), (2400, d.CAP_TOP), (2720, d.CAP_TOP))
        .curve((3280, d.CAP_TOP), (3800, 2080), (4114, 2064))
        .curve((4210, 2057), (4294, 2048), (4354, 2026))
        .curve((4430, 1998), (4467, 1920), (d.CAP_REAR, d.RAIL_HIGH))
        .area()
    )


def door_glass() -> Polygon:
    """The door window: sloped front edge with the pillar, round corners."""
    return rounded([(1396, 1346), (2100, 1346), (2100, 1704), (1522, 1704)], (38, 62, 62, 40))


def _regions(lines: SideLines) -> dict[str, BaseGeometry]:
    """The panels between their shut lines, gaps taken out."""
    panels = cut(lines.body, lines.shut.values(), d.GAP)
    seeds = {
        "wing": (1000, 800), "bonnet": (700, 1150), "nose": (180, 1050), "scuttle": (1190, 1100), "door": (1600, 900),
        "cargo": (2600, 900), "rail": (3000, 1815), "sill": (2500, 500), "sill_rear": (4200, 500),
    }  # fmt: skip
    faces = list(shapely.get_parts(panels))
    return {name: next(face for face in faces if face.contains(Point(seed))) for name, seed in seeds.items()}


def draw(sheet: Sheet, *, side: str) -> None:
    """Fill the sheet of one side, `L` or `R`."""
    lines = side_lines()
    regions = _regions(lines)
    word = "Left" if side == "L" else "Right"
    work = Sheet(sheet.drawing_id)
    _front_zones(work, regions, side, word)
    _cargo_zones(work, regions["cargo"], side, word)
    _cap_zone(work, side, word)
    _silhouettes(work, lines)
    _trim(work, side)
    _body_lines(work, regions)
    _datums(work, side, word)
    if side == "R":
        _turn(work)
    sheet.zones += work.zones
    sheet.outlines += work.outlines
    sheet.datums += work.datums


def _front_zones(sheet: Sheet, regions: dict[str, BaseGeometry], side: str, word: str) -> None:
    (wing,) = tile(regions["wing"], [], [("wing", EVERYWHERE)]).values()
    sheet.zone(f"wing{side}_side", f"wing_{side}", "outer", f"{word} wing, side", wing, (1.15, GIRTH), "better")
    nose = tile(regions["nose"], [], [("n", EVERYWHERE)])["n"]
    sheet.zone(f"nose_{side}", "nose", "outer", f"Nose, {word.lower()} cheek", nose, (1.10, GIRTH), "better")
    crown = Polygon([*_roll_line().coords, (1135, 1500), (100, 1500)])
    bonnet = tile(regions["bonnet"].difference(crown), [], [("b", EVERYWHERE)])["b"]
    sheet.zone(f"bonnet_{side}", "bonnet", "outer", f"Bonnet, {word.lower()} shoulder", bonnet, (1.06, GIRTH), "better")
    sill_line = LineString([(1100, 1302), (1300, 1302)])
    post = tile(regions["scuttle"], [sill_line], [("post", box(1100, 1302, 1500, 1800)), ("scuttle", EVERYWHERE)])
    sheet.zone(f"scuttle_{side}", "scuttle", "outer", f"Scuttle, {word.lower()} side", post["scuttle"], intent="better")
    sheet.zone(f"post_{side}", "screen", "outer", f"{word} screen pillar", post["post"], intent="better")
    door = regions["door"].intersection(
        rounded([(1150, 404), (d.DOOR_REAR, 404), (d.DOOR_REAR, 1850), (1150, 1850)], (0, 34, 0, 0))
    )
    door = tile(door.difference(door_glass()), [], [("door", EVERYWHERE)])["door"]
    sheet.zone(f"door{side}_skin", f"door_{side}", "outer", f"{word} cab door", door, (1.03, GIRTH), "better")
    sills = shapely.union_all([regions["sill"], regions["sill_rear"]])
    sill = tile(sills, [], [("s", EVERYWHERE)])["s"]
    sheet.zone(f"sill{side}_face", f"sill_{side}", "outer", f"{word} sill", sill, intent="clean")
    rail = tile(regions["rail"].intersection(box(1396, 1700, 4520, 1900)), [], [("r", EVERYWHERE)])["r"]
    sheet.zone(f"rail_{side}", "rail", "outer", f"Gutter rail, {word.lower()}", rail, intent="better")


def _cargo_zones(sheet: Sheet, cargo: BaseGeometry, side: str, word: str) -> None:
    """The cargo side: plain above and below the waist, the two lettered fields; right, the skin let in and its blend."""
    x0, x1 = LETTERS_LONG
    weld = d.BODY_REAR - 2.5 - d.REPAIR_LONG
    top = d.CARGO_BOTTOM + d.REPAIR_HIGH
    low_end = x1 if side == "L" else weld - BLEND
    repair, blend = box(weld, 0, 4600, top), box(weld - BLEND, 0, 4600, top + 110)
    waist = box(2000, d.WAIST_LOW, 4600, d.WAIST_HIGH)
    high, low = box(x0, LETTERS_HIGH[0], x1, LETTERS_HIGH[1]), box(x0, LETTERS_LOW[0], low_end, LETTERS_LOW[1])
    names = [
        ("waist", waist),
        ("let_high", high),
        ("let_low", low),
        ("high", box(2000, d.WAIST_HIGH, 4600, 1900)),
        ("low", EVERYWHERE),
    ]
    cutters = [waist.boundary, high.boundary, low.boundary]
    if side == "R":
        names[:0] = [("skin", repair), ("blend", blend)]
        cutters += [repair.boundary, blend.boundary]
    titles = {
        "high": "upper, plain", "low": "lower, plain", "waist": "waist band", "let_high": "upper lettered field",
        "let_low": "lower lettered field", "skin": "skin let in, rear lower corner", "blend": "blend round the let-in skin",
    }  # fmt: skip
    for name, shape in tile(cargo, cutters, names).items():
        part = "skin_R" if name == "skin" else f"side_{side}"
        sheet.zone(f"side{side}_{name}", part, "outer", f"{word} cargo side, {titles[name]}", shape, SIDE, "as_built")


def _cap_zone(sheet: Sheet, side: str, word: str) -> None:
    """The cap's side wall up to the roll line; the corners belong to the end walls beyond their 45° line."""
    wall = cap_profile().intersection(
        box(d.CAP_FRONT + d.CAP_CORNER, d.RAIL_HIGH + 5, d.CAP_REAR - d.CAP_CORNER, d.CAP_ROLL)
    )
    wall = tile(wall, [], [("w", EVERYWHERE)])["w"]
    basis = "chord and rise across the cap, less the crown"
    sheet.zone(f"cap_{side}", "cap", "outer", f"Roof cap, {word.lower()} wall", wall, (1.29, basis), "better")


def _silhouettes(sheet: Sheet, lines: SideLines) -> None:
    sheet.mark("body", "body", lines.body)
    sheet.mark("body", "roof cap", cap_profile())
    for wheel in (d.FRONT_WHEEL, d.REAR_WHEEL):
        name = "front" if wheel is d.FRONT_WHEEL else "rear"
        for ring, r in (("tyre", d.TYRE), ("rim", d.RIM), ("hub cap", d.HUB)):
            sheet.mark("wheel", f"{name} wheel, {ring}", circle(*wheel, r))
        sheet.mark("wheel", f"{name} wheel, rim well", circle(*wheel, d.RIM - 34))
        sheet.mark("wheel", f"{name} wheel, hub boss", circle(*wheel, 44))
        for i in range(8):
            (x, y) = arc(*wheel, 150, i * 45, i * 45 + 1)[0]
            sheet.mark("wheel", f"{name} wheel, slot", circle(x, y, 15))
    sheet.mark("glass", "door window", door_glass())
    screen = (
        Pen(1192, 1312)
        .curve((1264, 1466), (1334, 1626), (1396, 1780))
        .to((1408, 1780))
        .curve((1346, 1626), (1276, 1466), (1206, 1312))
    )
    sheet.mark("glass", "windscreen, edge on", screen.area())
    for name, line in lines.shut.items():
        piece = line.intersection(lines.body)
        sheet.mark("shut_line", name, piece if piece.geom_type == "LineString" else shapely.line_merge(piece))


def _trim(sheet: Sheet, side: str) -> None:
    sheet.mark(
        "trim", "front bumper", rounded([(6, 372), (322, 372), (322, 466), (56, 472), (6, 436)], (34, 40, 40, 60, 40))
    )
    sheet.mark("trim", "step plate, edge on", box(4440, 318, d.LENGTH, 362, 12), box(4452, 362, 4478, 412))
    sheet.mark("lamp", "headlamp, edge on", Pen(116, 938).curve((66, 906), (66, 812), (101, 780)).area())
    sheet.mark("lamp", "side lamp, edge on", Pen(110, 660).curve((88, 652), (92, 612), (124, 604)).area())
    sheet.mark("lamp", "rear lamp, edge on", Pen(4533, 690).curve((4556, 684), (4556, 616), (4530, 610)).area())
    sheet.mark("lamp", "semaphore indicator", box(2232, 1400, 2252, 1580, 9))
    sheet.mark("trim", "door handle", box(2062, 1102, 2168, 1122, 10), circle(2074, 1112, 17))
    for y in (640, 1110):
        sheet.mark("trim", "cab door hinge", box(1204, y - 38, 1240, y + 38, 9))
    for y in (690, 1200, 1650):
        sheet.mark("trim", "rear door hinge, edge on", box(4528, y - 30, 4552, y + 30, 8))
    sheet.mark("trim", "gutter lip", LineString([(1392, d.RAIL_HIGH - 10), (4522, d.RAIL_HIGH - 10)]))
    sheet.mark("trim", "quarter light bar", LineString([(1632, 1346), (1632, 1704)]))
    sheet.mark("trim", "drip moulding over the door", Pen(1452, 1772).curve((1700, 1782), (2000, 1782), (2190, 1776)).line())
    if side == "L":
        sheet.mark("trim", "fuel filler flap", circle(2330, 742, 58), circle(2330, 742, 46))


def _body_lines(sheet: Sheet, regions: dict[str, BaseGeometry]) -> None:
    door, cargo, wing = regions["door"], regions["cargo"], regions["wing"]
    for y in (d.WAIST_LOW, d.WAIST_HIGH):
        sheet.mark(
            "body_line",
            "waist line",
            LineString([(2215, y), (4508, y)]),
            LineString([(1228, y), (2202, y)]).intersection(door),
        )
    for y in (1070, 1096):
        sheet.mark("body_line", "swage", LineString([(2262, y), (4460, y)]))
    sheet.mark(
        "body_line",
        "lower swage",
        LineString([(2215, 640), (3120, 640)]).intersection(cargo),
        LineString([(3838, 640), (4508, 640)]),
    )
    sheet.mark("body_line", "swept line of the wing", Pen(1228, 944).curve((1480, 852), (1790, 800), (2080, 640)).line())
    for wheel, panel in ((d.FRONT_WHEEL, wing), (d.REAR_WHEEL, cargo)):
        lip = LineString(arc(*wheel, d.ARCH + 26, 0, 180)).intersection(panel.buffer(-1))
        sheet.mark("body_line", "wheel arch lip", lip)
    sheet.mark(
        "body_line",
        "wing crown",
        Pen(128, 900).curve((240, 975), (380, 1018), (540, 1022)).curve((770, 1028), (1000, 968), (1216, 888)).line(),
    )
    sheet.mark("body_line", "cap moulding", LineString([(d.CAP_FRONT + 4, 1860), (d.CAP_REAR - 4, 1860)]))
    sheet.mark("body_line", "cap roll line", LineString([(1604, d.CAP_ROLL), (4318, d.CAP_ROLL)]))


def _datums(sheet: Sheet, side: str, word: str) -> None:
    low = word.lower()
    sheet.datum(
        f"dt_{side}_door_rear", f"{word} door, rear shut line (door side edge)", LineString([(2205, 460), (2205, 1780)])
    )
    sheet.datum(f"dt_{side}_gutter", f"Gutter rail, lower edge, {low}", LineString([(1396, 1795), (4520, 1795)]))
    sheet.datum(
        f"dt_{side}_waist", f"Waist swage, lower crest, {low}", LineString([(2215, d.WAIST_LOW), (4508, d.WAIST_LOW)])
    )
    sheet.datum(f"dt_{side}_rear", f"Cargo side, rear edge, {low}", LineString([(4510, 640), (4510, 1786)]))
    sheet.datum(f"dt_{side}_seam", f"Sill seam, {low}", LineString([(2212, d.CARGO_BOTTOM), (4508, d.CARGO_BOTTOM)]))
    sheet.datum(f"dt_{side}_hinge", f"{word} cab door, lower hinge pin centre", Point(1222, 640))
    sheet.datum(f"dt_{side}_wheel_front", f"Front wheel centre, {low}", Point(*d.FRONT_WHEEL))
    sheet.datum(f"dt_{side}_wheel_rear", f"Rear wheel centre, {low}", Point(*d.REAR_WHEEL))


def _turn(sheet: Sheet) -> None:
    """Turn the left side into the right: nose to the right."""
    sheet.zones = [_swap(z) for z in sheet.zones]
    sheet.outlines = [_swap(o) for o in sheet.outlines]
    sheet.datums = [_swap(p) for p in sheet.datums]


def _swap(item):
    values = {**vars(item), "shape": mirror(item.shape, d.LENGTH)}
    return type(item)(**values)
