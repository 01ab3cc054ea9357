"""The van from above, nose to the left; the vehicle's left side is the lower edge of the sheet."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import Corner, Pen, box, circle, cut, rounded, tile
from demo.drawing.sheet import Sheet
from demo.drawing.side import EVERYWHERE, GIRTH


def twin(half: list[Corner]) -> Polygon:
    """A shape from its half: points from the middle line in front, outward, to the middle line behind (x, offset)."""
    low = [(x, d.MIDDLE - v) for x, v in half]
    high = [(x, d.MIDDLE + v) for x, v in reversed(half)]
    return Polygon(low + high).buffer(0)


def flip(shape: BaseGeometry) -> BaseGeometry:
    """The twin of a shape across the middle line."""
    return shapely.transform(shape, lambda xy: (xy * (1, -1)) + (0, d.WIDTH))


def line(points: list[Corner]) -> LineString:
    return LineString([(x, d.MIDDLE - v) for x, v in points])


def body() -> Polygon:
    half = Pen(97, 0).curve((97, 330), (112, 560), (140, 690)).curve((150, 800), (220, 872), (400, 874))
    half = half.curve((800, 876), (1100, 870), (1240, 868)).to((4470, 868)).curve((4514, 868), (4528, 850), (4529, 800))
    return twin(half.curve((4532, 600), (4534, 300), (4534, 0)).points)


def bonnet_edge() -> list[Corner]:
    """The bonnet's foot in plan, from its lip to the scuttle."""
    return (
        Pen(205, 0)
        .curve((208, 300), (216, 470), (240, 560))
        .curve((262, 596), (420, 606), (700, 612))
        .to((d.BONNET_REAR, 618))
        .points
    )


def bonnet_crown() -> Polygon:
    half = Pen(346, 0).to((346, 458)).curve((400, 490), (620, 516), (860, 528)).to((d.BONNET_REAR, 536), (d.BONNET_REAR, 0))
    return twin(half.points)


def screen_foot() -> list[Corner]:
    return Pen(1182, 0).curve((1184, 300), (1196, 560), (1240, 800)).points


def screen_head() -> list[Corner]:
    return Pen(1396, 0).curve((1398, 300), (1406, 560), (1436, 770)).points


def draw(sheet: Sheet) -> None:
    """Fill the sheet."""
    sheet.mark(
        "trim",
        "front bumper",
        twin(
            Pen(6, 0)
            .curve((8, 400), (24, 690), (90, 790))
            .curve((130, 838), (220, 842), (318, 842))
            .to((318, 812))
            .curve((200, 812), (140, 800), (112, 760))
            .curve((66, 690), (44, 400), (42, 0))
            .points
        ),
    )
    sheet.mark("body", "body", body())
    _step(sheet)
    _zones(sheet)
    _outlines(sheet)
    sheet.datum("dt_T_middle", "Middle line of the van", LineString([(210, d.MIDDLE), (4534, d.MIDDLE)]))
    sheet.datum("dt_T_bonnet", "Bonnet, rear shut line", LineString([(d.BONNET_REAR, 260), (d.BONNET_REAR, 1490)]))
    sheet.datum("dt_T_cap", "Cap foot, rear edge", LineString([(d.CAP_REAR, 280), (d.CAP_REAR, 1470)]))


def _step(sheet: Sheet) -> None:
    tread = box(4440, d.MIDDLE - 610, d.LENGTH, d.MIDDLE + 610, 16)
    sheet.mark("trim", "step plate, tread", tread.difference(body()))
    sheet.mark("trim", "step ribs", *[LineString([(x, d.MIDDLE - 590), (x, d.MIDDLE + 590)]) for x in (4552, 4574, 4596)])


def _zones(sheet: Sheet) -> None:
    def put(zone_id: str, part: str, name: str, shape: BaseGeometry, ratio: tuple[float, str] | None = None) -> None:
        sheet.zone(zone_id, part, "outer", name, tile(shape, [], [("z", EVERYWHERE)])["z"], ratio, "better")

    rear = LineString([(d.BONNET_REAR, 100), (d.BONNET_REAR, 1700)])
    put("bonnet_top", "bonnet", "Bonnet, crown", cut(bonnet_crown(), [rear], d.GAP), (1.06, GIRTH))
    edge = line([*bonnet_edge(), (1300, 622)])
    outer = Pen(196, 560).curve((214, 730), (300, 856), (580, 858)).to((1222, 855), (1222, 612)).area()
    wing = shapely.transform(outer, lambda xy: (xy * (1, -1)) + (0, d.MIDDLE))
    door = line([(d.DOOR_FRONT, 500), (d.DOOR_FRONT, 900)])
    wing = max(
        shapely.get_parts(cut(wing.difference(twin([*bonnet_edge(), (d.BONNET_REAR, 0)])), [edge, door], d.GAP)),
        key=lambda p: p.area,
    )
    put("wingL_top", "wing_L", "Left wing, top", wing, (1.15, GIRTH))
    put("wingR_top", "wing_R", "Right wing, top", flip(wing), (1.15, GIRTH))
    foot = screen_foot()
    scuttle = twin([(d.BONNET_REAR, 0), (d.BONNET_REAR, 700), *reversed(foot[: _upto(foot, 700)])])
    parted = cut(scuttle, [rear, edge, flip(edge)], d.GAP)
    put("scuttle_top", "scuttle", "Scuttle, top", max(shapely.get_parts(parted), key=lambda p: p.area))
    roll = d.CAP_HALF - d.CAP_LEAN
    crown = box(d.CAP_FRONT + d.CAP_LEAN, d.MIDDLE - roll, d.CAP_REAR - d.CAP_LEAN, d.MIDDLE + roll, 120)
    put("cap_top", "cap", "Roof cap, crown", crown, (1.03, "chord and rise across the crown"))


def _upto(points: list[Corner], v: float) -> int:
    return next(i for i, p in enumerate(points) if p[1] > v)


def _outlines(sheet: Sheet) -> None:
    m = d.MIDDLE
    foot, head = screen_foot(), screen_head()
    for sign in (1, -1):
        pane = Polygon(
            [(x + 8, m - sign * max(v, 15)) for x, v in foot if v < 770]
            + [(x - 10, m - sign * max(v, 15)) for x, v in reversed(head) if v < 735]
        )
        sheet.mark("glass", "windscreen", pane.buffer(-14).buffer(14, quad_segs=12))
        sheet.mark("shut_line", "bonnet edge", LineString([(x, m - sign * v) for x, v in bonnet_edge()]))
        sheet.mark("shut_line", "door, front", LineString([(d.DOOR_FRONT, m - sign * 790), (d.DOOR_FRONT, m - sign * 866)]))
        sheet.mark(
            "body_line",
            "wing crown",
            LineString(
                [
                    (x, m - sign * v)
                    for x, v in Pen(200, 700).curve((330, 806), (520, 800), (760, 806)).to((1216, 812)).points
                ]
            ),
        )
        sheet.mark("trim", "wiper", LineString([(1196, m - sign * 250), (1282, m - sign * 250 - 190)]))
        sheet.mark("lamp", "headlamp, from above", _lamp(sign))
    sheet.mark("shut_line", "bonnet, rear", LineString([(d.BONNET_REAR, m - 618), (d.BONNET_REAR, m + 618)]))
    sheet.mark(
        "body_line",
        "gutter rail",
        rounded([(1392, m - 843), (4524, m - 843), (4524, m + 843), (1392, m + 843)], 90).boundary,
    )
    sheet.mark(
        "trim", "gutter trough", rounded([(1412, m - 826), (4506, m - 826), (4506, m + 826), (1412, m + 826)], 78).boundary
    )
    sheet.mark("body", "roof cap", box(d.CAP_FRONT, m - d.CAP_HALF, d.CAP_REAR, m + d.CAP_HALF, 190))
    sheet.mark(
        "body_line",
        "cap shoulder",
        box(d.CAP_FRONT + 78, m - d.CAP_HALF + 78, d.CAP_REAR - 78, m + d.CAP_HALF - 78, 160).boundary,
    )
    for v in (-330, 0, 330):
        sheet.mark("body_line", "cap rib", box(1780, m + v - 17, 4140, m + v + 17, 16.9).boundary)
    for v in (-9, 9):
        sheet.mark("body_line", "bonnet middle bead", LineString([(216, m + v), (1126, m + v)]))
    sheet.mark("trim", "ventilator lid", box(1146, m - 130, 1176, m + 130, 10))
    sheet.mark("trim", "bonnet catch", circle(232, m, 14))


def _lamp(sign: int) -> Polygon:
    m = d.MIDDLE
    return Polygon([(x, m - sign * v) for x, v in Pen(128, 520).curve((74, 540), (74, 652), (136, 676)).points])
