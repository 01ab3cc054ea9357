"""The front: the vehicle's left is on the right of the sheet."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import Corner, Pen, arc, box, circle, cut, mirror, rounded, tile
from demo.drawing.sheet import Sheet
from demo.drawing.side import EVERYWHERE, GIRTH

LAMP = (596.0, 838.0)  # headlamp centre, from the middle line and the ground
LAMP_R = 92.0
BUMPER_TOP = 465.0


def both(half: list[Corner]) -> Polygon:
    """A shape from its half: points from the middle line at the foot, outward, to the middle line at the top."""
    right = [(d.MIDDLE + u, y) for u, y in half]
    left = [(d.MIDDLE - u, y) for u, y in reversed(half)]
    return shapely.make_valid(Polygon(right + left)).buffer(0)


def cab() -> Polygon:
    """The cab and body from the front or the rear: upright to the waist, then leaning in to the rail."""
    side = (
        Pen(0, 430).to((866, 430)).curve((870, 700), (872, 1000), (868, 1215)).curve((864, 1420), (846, 1640), (826, 1792.5))
    )
    return both(side.to((0, 1792.5)).points)


def wings() -> Polygon:
    """Both wings as one shape, the bonnet between them."""
    half = Pen(0, 473).to((770, 473)).to((786, 430), (862, 430)).curve((875, 620), (879, 860), (864, 940))
    return both(half.curve((846, 1030), (770, 1072), (612, 1072)).to((0, 1072)).points)


def bonnet() -> Polygon:
    half = (
        Pen(0, 1072).to((614, 1072)).curve((606, 1180), (590, 1236), (536, 1254)).curve((380, 1282), (180, 1292), (0, 1292))
    )
    return both(half.points)


def nose() -> Polygon:
    """Between the wings, below the bonnet's lip."""
    half = Pen(0, BUMPER_TOP - 30).to((752, BUMPER_TOP - 30)).to((752, 810)).curve((752, 985), (716, 1062), (560, 1092))
    return both(half.curve((420, 1124), (200, 1146), (0, 1146)).points)


def cap_end() -> Polygon:
    """The cap seen from its end."""
    roll = d.CAP_HALF - d.CAP_LEAN
    half = Pen(0, d.RAIL_HIGH).to((d.CAP_HALF, d.RAIL_HIGH)).curve((767, 1906), (742, 1980), (roll + 62, 2014))
    return both(
        half.curve((roll + 8, 2038), (roll - 70, 2051), (roll - 150, 2059))
        .curve((330, 2070), (160, d.CAP_TOP), (0, d.CAP_TOP))
        .points
    )


def cap_wall() -> BaseGeometry:
    """Its end wall, up to the roll line and out to the 45° line of the corners."""
    inner = shapely.transform(
        cap_end(), lambda xy: (xy - (d.MIDDLE, 0)) * ((d.CAP_HALF - d.CAP_CORNER) / d.CAP_HALF, 1) + (d.MIDDLE, 0)
    )
    return inner.intersection(box(0, d.RAIL_HIGH + 5, d.WIDTH, d.CAP_ROLL))


def rail_end() -> Polygon:
    """The gutter rail across the end."""
    return both([(0, d.RAIL_LOW + 2.5), (836, d.RAIL_LOW + 2.5), (844, 1830), (844, d.RAIL_HIGH), (0, d.RAIL_HIGH)])


def panes() -> list[Polygon]:
    """The split windscreen, right pane first on the sheet's left."""
    pane = rounded(
        [(d.MIDDLE + 17, 1352), (d.MIDDLE + 748, 1352), (d.MIDDLE + 706, 1738), (d.MIDDLE + 17, 1738)], (18, 58, 74, 18)
    )
    return [mirror(pane, d.WIDTH), pane]


def draw(sheet: Sheet) -> None:
    """Fill the sheet."""
    _silhouettes(sheet)
    _zones(sheet)
    _face(sheet)
    _trim(sheet)
    sheet.datum("dt_F_middle", "Middle line of the bonnet, front", LineString([(d.MIDDLE, 560), (d.MIDDLE, 1290)]))
    sheet.datum("dt_F_gutter", "Gutter rail, lower edge, front", LineString([(46, 1795), (d.WIDTH - 46, 1795)]))
    sheet.datum("dt_F_seam", "Screen panel to scuttle, seam, front", LineString([(140, 1304), (d.WIDTH - 140, 1304)]))


def _silhouettes(sheet: Sheet) -> None:
    for side in (-1, 1):
        x = d.MIDDLE + side * 700
        sheet.mark("wheel", "tyre", rounded([(x - 86, 0), (x + 86, 0), (x + 86, 640), (x - 86, 640)], (26, 26, 60, 60)))
        for i in (-2, -1, 1, 2):
            sheet.mark("wheel", "tread", LineString([(x + 24 * i, 8), (x + 24 * i, 430)]))
    sheet.mark("wheel", "axle", box(d.MIDDLE - 620, 318, d.MIDDLE + 620, 360, 14))
    sheet.mark("body", "cab", cab())
    sheet.mark("body", "roof cap", cap_end())
    sheet.mark("body", "wings and nose", shapely.union_all([wings(), nose(), bonnet()]))


def _zones(sheet: Sheet) -> None:
    def put(zone_id: str, part: str, name: str, shape: BaseGeometry, ratio: float | None = None, why: str = GIRTH) -> None:
        shape = tile(shape, [], [("z", EVERYWHERE)])["z"]
        sheet.zone(zone_id, part, "outer", name, shape, None if ratio is None else (ratio, why), "better")

    lamps = [circle(d.MIDDLE + s * LAMP[0], LAMP[1], LAMP_R + 13) for s in (-1, 1)]
    lamps += [circle(d.MIDDLE + s * 600, 640, 39) for s in (-1, 1)]
    above = box(0, BUMPER_TOP + 5, d.WIDTH, 1400)
    lip = nose().boundary
    put(
        "nose_front",
        "nose",
        "Nose",
        cut(nose().intersection(above).difference(shapely.union_all(lamps)), [lip], d.GAP),
        1.10,
    )
    wing = cut(wings().difference(nose()).difference(bonnet()).intersection(box(0, 430, d.WIDTH, 1080)), [lip], d.GAP)
    for part in shapely.get_parts(wing):
        side, word = ("L", "Left") if part.centroid.x > d.MIDDLE else ("R", "Right")
        if part.area > 2000:
            put(f"wing{side}_front", f"wing_{side}", f"{word} wing, front", part, 1.15)
    face = bonnet().difference(nose()).intersection(box(0, 1000, d.WIDTH, 1192))
    front = max(shapely.get_parts(cut(face, [lip], d.GAP)), key=lambda p: p.area)
    put("bonnet_front", "bonnet", "Bonnet, front lip", front, 1.06)
    seam = LineString([(0, 1303), (d.WIDTH, 1303)])
    behind = cab().difference(shapely.union_all([wings(), bonnet(), nose()]).buffer(d.GAP, join_style="mitre"))
    cowl = [
        p for p in shapely.get_parts(cut(behind.intersection(box(0, 930, d.WIDTH, 1303)), [seam], d.GAP)) if p.area > 2000
    ]
    put("scuttle_front", "scuttle", "Scuttle, front face", shapely.union_all(cowl))
    screen = cut(cab().intersection(box(0, 1303, d.WIDTH, 1790)).difference(shapely.union_all(panes())), [seam], d.GAP)
    put("screen_front", "screen", "Screen aperture, outer face", screen)
    put("rail_front", "rail", "Gutter rail, front", rail_end())
    put("cap_front", "cap", "Roof cap, front wall", cap_wall(), 1.29, "chord and rise along the cap, less the crown")


def _face(sheet: Sheet) -> None:
    """Lamps and grille."""
    for side in (-1, 1):
        x = d.MIDDLE + side * LAMP[0]
        sheet.mark("trim", "headlamp rim", circle(x, LAMP[1], LAMP_R + 12))
        sheet.mark("lamp", "headlamp", circle(x, LAMP[1], LAMP_R))
        sheet.mark("lamp", "headlamp lens", circle(x, LAMP[1], LAMP_R - 26))
        sheet.mark("trim", "side lamp rim", circle(d.MIDDLE + side * 600, 640, 38))
        sheet.mark("lamp", "side lamp", circle(d.MIDDLE + side * 600, 640, 29))
        swell = LineString(arc(x, LAMP[1], LAMP_R + 44, 40, 200) if side > 0 else arc(x, LAMP[1], LAMP_R + 44, -20, 140))
        sheet.mark("body_line", "headlamp swell", swell)
    widths = (300, 352, 388, 408, 408, 388, 352)
    for i, half in enumerate(widths):
        y = 596 + i * 60
        sheet.mark("trim", "grille slot", box(d.MIDDLE - half, y, d.MIDDLE + half, y + 26, 12.9))
    grille = rounded(
        [
            (d.MIDDLE - 372, 560),
            (d.MIDDLE + 372, 560),
            (d.MIDDLE + 470, 790),
            (d.MIDDLE + 400, 1012),
            (d.MIDDLE - 400, 1012),
            (d.MIDDLE - 470, 790),
        ],
        70,
    )
    sheet.mark("body_line", "grille surround", grille.boundary)


def _trim(sheet: Sheet) -> None:
    m = d.MIDDLE
    bumper = both(
        Pen(0, 372)
        .to((720, 372))
        .curve((790, 372), (822, 392), (822, 420))
        .curve((822, 450), (790, 464), (720, 464))
        .to((0, 468))
        .points
    )
    sheet.mark("trim", "front bumper", bumper)
    sheet.both("trim", "overrider", d.WIDTH, box(m + 330, 356, m + 372, 496, 18))
    sheet.mark("trim", "plate, blank", box(m - 250, 250, m + 250, 354, 10))
    for pane in panes():
        sheet.mark("glass", "windscreen", pane)
    for side in (-1, 1):
        wiper = Pen(m + side * 250, 1330).to((m + side * 250 + 210, 1560)).line()
        sheet.mark("trim", "wiper", wiper, circle(m + side * 250, 1330, 13))
    sheet.mark("trim", "bonnet catch", rounded([(m - 46, 1152), (m + 46, 1152), (m + 30, 1174), (m - 30, 1174)], 7))
    sheet.mark(
        "body_line",
        "bonnet middle bead",
        LineString([(m - 9, 1180), (m - 9, 1290)]),
        LineString([(m + 9, 1180), (m + 9, 1290)]),
    )
    sheet.both(
        "body_line",
        "bonnet shoulder",
        d.WIDTH,
        Pen(m + 470, 1112).curve((m + 500, 1170), (m + 510, 1220), (m + 500, 1258)).line(),
    )
    sheet.mark(
        "body_line",
        "waist line",
        LineString([(8, d.WAIST_HIGH), (m - 610, d.WAIST_HIGH)]),
        LineString([(m + 610, d.WAIST_HIGH), (d.WIDTH - 8, d.WAIST_HIGH)]),
    )
    sheet.mark("body_line", "cap roll line", LineString([(m - 540, d.CAP_ROLL), (m + 540, d.CAP_ROLL)]))
    sheet.mark("body_line", "cap moulding", LineString([(m - 768, 1860), (m + 768, 1860)]))
    sheet.mark("shut_line", "bonnet lip", _lip())
    sheet.mark("shut_line", "screen panel seam", LineString([(7, 1303), (d.WIDTH - 7, 1303)]))
    sheet.mark("trim", "gutter lip", LineString([(m - 843, d.RAIL_HIGH - 10), (m + 843, d.RAIL_HIGH - 10)]))


def _lip() -> LineString:
    half = (
        Pen(752, 473)
        .to((752, 810))
        .curve((752, 985), (716, 1062), (560, 1092))
        .curve((420, 1124), (200, 1146), (0, 1146))
        .points
    )
    return LineString([(d.MIDDLE - u, y) for u, y in half] + [(d.MIDDLE + u, y) for u, y in reversed(half)][1:])
