"""Hidden faces as flat developments, side by side: cab and front, doors and posts, rail under the cap, cap underside."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from demo.drawing import dims as d
from demo.drawing.curves import Pen, box, circle, joined, mirror, rounded, shift, tile
from demo.drawing.front import panes
from demo.drawing.sheet import Sheet
from demo.drawing.side import EVERYWHERE

SIDES = (("L", "Left", "left"), ("R", "Right", "right"))
RAIL_LONG, RAIL_WIDE, RAIL_BAND = 3034.0, 1540.0, 46.0
BULKHEAD = (3140.0, 60.0)


def _whole(shape: BaseGeometry) -> BaseGeometry:
    return tile(shape, [], [("z", EVERYWHERE)])["z"]


def cab_and_front(sheet: Sheet) -> None:
    """Screen flange, bonnet channel, wing joints, lamp seats, bulkhead."""
    _screen_flange(sheet)
    _bonnet_faces(sheet)
    _wing_faces(sheet)
    _bulkhead(sheet)


def _screen_flange(sheet: Sheet) -> None:
    """The aperture's flange: 16 mm under the seal, and 12 mm outside its lip."""
    lips = []
    for (side, word, _), pane in zip(SIDES, reversed(panes()), strict=True):
        pane = shift(pane, -20 if side == "L" else -100, 260)
        sheet.mark("glass", f"{word.lower()} screen", pane.buffer(-2, quad_segs=16))
        inner, lip = pane.buffer(14, quad_segs=16), pane.buffer(26, quad_segs=16)
        pair = tile(lip.difference(pane), [inner.boundary], [("under", inner), ("lip", EVERYWHERE)])
        name = f"Screen flange under the seal, {word.lower()} pane"
        sheet.zone(f"scrf_{side}", "screen", "flange", name, pair["under"], intent="keep")
        lips.append(pair["lip"])
    sheet.zone("scr_lip", "screen", "other", "Screen flange, 12 mm outside the seal lip", joined(lips), intent="as_built")
    edge = LineString([(105, 1986), (1525, 1986)])
    sheet.datum("dt_HF_screen", "Screen aperture, upper edge of the glass", shift(edge, 0, 12))


def _bonnet_faces(sheet: Sheet) -> None:
    x, y = 1790, 1190
    rim = rounded([(x, y), (x + 1240, y), (x + 1240, y + 850), (x, y + 850)], (90, 90, 20, 20))
    well = rounded([(x + 44, y + 44), (x + 1196, y + 44), (x + 1196, y + 900), (x + 44, y + 900)], (60, 60, 0, 0))
    sheet.zone(
        "bon_chan",
        "scuttle",
        "channel",
        "Rain channel round the bonnet opening",
        _whole(rim.difference(well)),
        intent="as_built",
    )
    sheet.mark("body", "bonnet opening", rim)
    for side, word, _ in SIDES:
        left = x + (190 if side == "L" else 910)
        plate = box(left, y + 730, left + 140, y + 820, 14).difference(
            shapely.union_all([circle(left + 35, y + 775, 7), circle(left + 105, y + 775, 7)])
        )
        sheet.zone(
            f"bhs_{side}", "scuttle", "flange", f"Bonnet hinge seat, {word.lower()}", _whole(plate), intent="as_built"
        )
    for side, word, _ in SIDES:
        cx = x + (330 if side == "L" else 910)
        ring = circle(cx, y + 400, 122).difference(circle(cx, y + 400, 98))
        sheet.zone(f"lseat_{side}", "nose", "flange", f"Headlamp seat, {word.lower()}", _whole(ring), intent="as_built")
        sheet.mark("lamp", "headlamp bowl", circle(cx, y + 400, 92))
    sheet.datum("dt_HF_channel", "Bonnet channel, front edge", LineString([(x + 100, y), (x + 1140, y)]))


def _band(dy: float, high: float) -> Polygon:
    """A strip along the swept joint of the wing."""
    top = Pen(60, 0).curve((160, 74), (330, 146), (520, 150)).curve((760, 152), (1000, 100), (1190, 30)).points
    return Polygon([(x, y + dy) for x, y in top] + [(x, y + dy - high) for x, y in reversed(top)])


def _wing_faces(sheet: Sheet) -> None:
    """Both wings: flange, the seat it is bolted to, the bolt heads, what lay under the washers, the inner face."""
    for side, word, low in SIDES:
        width, dx = 1250.0, 30.0 if side == "L" else 1560.0

        def place(shape: BaseGeometry, side: str = side, width: float = width, dx: float = dx) -> BaseGeometry:
            return _whole(shift(mirror(shape, width) if side == "R" else shape, dx, 0))

        flange, seat = _band(880, 38), _band(800, 38)
        along = [(150, 51), (320, 120), (500, 150), (680, 146), (860, 118), (1010, 86), (1130, 52)]
        holes = [(x, y + 880 - 19) for x, y in along]
        drilled = place(flange.difference(shapely.union_all([circle(x, y, 7) for x, y in holes])))
        washers = place(shapely.union_all([circle(x, y, 17) for x, y in holes]))
        pair = tile(
            drilled, [ring.exterior for ring in shapely.get_parts(washers)], [("washers", washers), ("flange", EVERYWHERE)]
        )
        heads = shapely.union_all([circle(x, y + 205 - 80, 13) for x, y in holes])
        sheet.zone(
            f"wfl_{side}", f"wing_{side}", "flange", f"{word} wing, bolting flange", pair["flange"], intent="as_built"
        )
        sheet.zone(
            f"wsh_{side}", f"wing_{side}", "other", f"{word} wing, under the washers", pair["washers"], intent="as_built"
        )
        sheet.zone(f"wse_{side}", "scuttle", "flange", f"Seat of the {low} wing flange", place(seat), intent="as_built")
        sheet.zone(f"bolt_{side}", f"bolts_{side}", "other", f"{word} wing, bolt heads", place(heads), intent="as_built")
        arch = circle(700, 60, 400)
        back = (
            Pen(70, 200)
            .curve((60, 420), (120, 560), (300, 632))
            .curve((470, 690), (760, 690), (1190, 560))
            .to((1190, 60), (70, 60))
            .area()
        )
        back = max(shapely.get_parts(back.difference(arch)), key=lambda p: p.area)
        sheet.zone(f"wbk_{side}", f"wing_{side}", "back", f"{word} wing, inner face", place(back))
        sheet.datum(
            f"dt_HF_wing_{side}", f"{word} wing flange, rearmost bolt centre", Point(*_at(holes[-1], side, width, dx))
        )


def _at(point: tuple[float, float], side: str, width: float, dx: float) -> tuple[float, float]:
    return (width - point[0] if side == "R" else point[0]) + dx, point[1]


def _bulkhead(sheet: Sheet) -> None:
    """The wall behind the cab, seen from the load space."""
    x, y = BULKHEAD
    wall = rounded(
        [(x, y), (x + 1560, y), (x + 1560, y + 1400), (x + 1480, y + 1640), (x + 80, y + 1640), (x, y + 1400)],
        (20, 20, 300, 90, 90, 300),
    )
    hatch = box(x + 530, y + 1080, x + 1030, y + 1400, 40)
    mid = LineString([(x - 10, y + 640), (x + 1570, y + 640)])
    parts = tile(
        wall.difference(hatch), [mid], [("low", box(x - 10, y - 10, x + 1600, y + 640)), ("up", EVERYWHERE.buffer(3000))]
    )
    sheet.zone("bulk_up", "bulkhead", "back", "Cab bulkhead, load side, upper", parts["up"], intent="keep")
    sheet.zone("bulk_low", "bulkhead", "back", "Cab bulkhead, load side, lower", parts["low"], intent="clean")
    sheet.mark("body_line", "bulkhead swage", LineString([(x + 40, y + 640), (x + 1520, y + 640)]))
    sheet.mark("glass", "hatch to the cab", hatch.buffer(-12))
    for i in range(1, 6):
        sheet.mark("body_line", "stiffening swage", LineString([(x + 260 * i, y + 60), (x + 260 * i, y + 580)]))
    sheet.datum("dt_HF_bulk", "Bulkhead, middle swage", mid.intersection(wall))
    sheet.datum("dt_HF_hatch", "Hatch, lower left corner", Point(x + 530, y + 1080))


def doors_and_posts(sheet: Sheet, door: BaseGeometry, rear_door: BaseGeometry) -> None:
    """Cab door jambs, hinge seats and leaves, inner faces; the same of the rear doors."""
    frame = Polygon(door.exterior)
    for side, word, low in SIDES:
        dx = 60.0 if side == "L" else 1560.0
        turned = frame if side == "L" else mirror(frame, d.DOOR_FRONT + d.DOOR_REAR)
        opening = shift(turned, dx - d.DOOR_FRONT, -330)
        _jamb(sheet, opening, side, low)
        inner = shift(mirror(door, d.DOOR_FRONT + d.DOOR_REAR) if side == "L" else door, dx - d.DOOR_FRONT, 1180)
        sheet.zone(f"din_{side}", f"door_{side}", "back", f"{word} cab door, inner face", _whole(inner))
        _cab_hinges(sheet, dx + 1030, side, low)
    _rear_faces(sheet, rear_door)


def _jamb(sheet: Sheet, opening: BaseGeometry, side: str, low: str) -> None:
    band = opening.buffer(30, join_style="mitre").difference(opening.buffer(-26, join_style="mitre"))
    x0, _, x1, y1 = opening.bounds
    band = band.intersection(box(x0 - 60, 0, x1 + 60, y1 - 34))
    mid, foot = (x0 + x1) / 2, opening.bounds[1] + 60
    front_first = side == "L"
    left = "front" if front_first else "rear"
    right = "rear" if front_first else "front"
    masks = [
        ("sill", box(x0 - 60, -60, x1 + 60, foot)),
        (left, box(x0 - 60, foot, mid, 3000)),
        (right, box(mid, foot, x1 + 60, 3000)),
    ]
    tiles = tile(band, [LineString([(x0 - 60, foot), (x1 + 60, foot)])], masks)
    words = {"front": "front post", "sill": "sill", "rear": "rear post"}
    for name in ("front", "sill", "rear"):
        sheet.zone(
            f"jamb{side}_{name}", "shell", "jamb", f"Cab door jamb, {low}, {words[name]}", tiles[name], intent="as_built"
        )
    sheet.mark("body", "door opening", opening)
    sheet.datum(
        f"dt_HD_jamb_{side}",
        f"Cab door opening, {low}, sill edge",
        LineString([(x0 + 60, opening.bounds[1]), (x1 - 60, opening.bounds[1])]),
    )


def _cab_hinges(sheet: Sheet, x: float, side: str, low: str) -> None:
    def plates(dx: float) -> BaseGeometry:
        shapes = []
        for y in (480, 960):
            plate = box(x + dx, y, x + dx + 96, y + 190, 16)
            shapes.append(plate.difference(shapely.union_all([circle(x + dx + 48, y + k, 7) for k in (40, 95, 150)])))
        return _whole(shapely.union_all(shapes))

    sheet.zone(f"hse_{side}", "shell", "flange", f"Cab door hinge seats, {low} post", plates(30), intent="keep")
    sheet.zone(
        f"hle_{side}", f"hinges_{side}", "back", f"Cab door hinges, {low}, leaf backs", plates(200), intent="as_built"
    )
    sheet.datum(f"dt_HD_hinge_{side}", f"Cab door, {low}, lower hinge pin centre", Point(x + 163, 575))


def _rear_faces(sheet: Sheet, rear_door: BaseGeometry) -> None:
    x, y = 3180.0, 40.0
    for side, word, low in SIDES:
        dx = x if side == "L" else x + 980
        hinge_y = (300, 720, 1140)
        leaf = shapely.union_all(
            [
                rounded([(dx, y + k), (dx + 190, y + k), (dx + 190, y + k + 62), (dx, y + k + 62)], (8, 31, 31, 8))
                .difference(circle(dx + 60, y + k + 31, 7))
                .difference(circle(dx + 130, y + k + 31, 7))
                for k in hinge_y
            ]
        )
        seat = shapely.union_all(
            [box(dx + 330, y + k - 9, dx + 410, y + k + 71, 8).difference(circle(dx + 370, y + k + 31, 7)) for k in hinge_y]
        )
        sheet.zone(
            f"rle_{side}", f"rdoor_{side}", "back", f"{word} rear door, hinge leaf backs", _whole(leaf), intent="as_built"
        )
        sheet.zone(
            f"rse_{side}", "rear_frame", "flange", f"{word} rear pillar, hinge seats", _whole(seat), intent="as_built"
        )
        sheet.zone(
            f"rja_{side}",
            "rear_frame",
            "jamb",
            f"Rear opening, {low} jamb",
            _whole(box(dx + 520, y + 40, dx + 592, y + 1330, 6)),
            intent="as_built",
        )
        ring = shapely.union_all([circle(dx + 720, y + k, 46).difference(circle(dx + 720, y + k, 26)) for k in (420, 540)])
        sheet.zone(f"rls_{side}", "rear_frame", "flange", f"Rear lamp seats, {low}", _whole(ring), intent="as_built")
        sheet.datum(f"dt_HD_rear_{side}", f"{word} rear pillar, middle hinge, fixing hole", Point(dx + 370, y + 751))
        inside = rear_door if side == "R" else mirror(rear_door, d.WIDTH)
        x0, y0 = inside.bounds[:2]
        sheet.zone(
            f"rin_{side}",
            f"rdoor_{side}",
            "back",
            f"{word} rear door, inner face",
            _whole(shift(inside, dx - x0 + 60, 1620 - y0)),
        )


def _frame(x: float, y: float) -> dict[str, BaseGeometry]:
    """A band right round the roof, cut at its corners: seen from above, nose to the left, the left side below."""

    def ring(inset: float) -> Polygon:
        return box(x + inset, y + inset, x + RAIL_LONG - inset, y + RAIL_WIDE - inset, 190 - inset)

    band = ring(0).difference(ring(RAIL_BAND))
    cut_in = 250.0
    cutters = [LineString([(x + k, y - 5), (x + k, y + RAIL_WIDE + 5)]) for k in (cut_in, RAIL_LONG - cut_in)]
    masks = [
        ("front", box(x - 5, y - 5, x + cut_in, y + RAIL_WIDE + 5)),
        ("rear", box(x + RAIL_LONG - cut_in, y - 5, x + RAIL_LONG + 5, y + RAIL_WIDE + 5)),
        ("L", box(x, y - 5, x + RAIL_LONG, y + RAIL_WIDE / 2)),
        ("R", box(x, y + RAIL_WIDE / 2, x + RAIL_LONG, y + RAIL_WIDE + 5)),
    ]
    return tile(band, cutters, masks)


WORDS = {"L": "left", "R": "right", "front": "front", "rear": "rear"}


def rail_under_cap(sheet: Sheet) -> None:
    """The gutter rail where the cap's flange lies on it; in the middle the step plate's hidden faces."""
    for name, shape in _frame(40, 40).items():
        sheet.zone(
            f"rlu_{name}", "rail", "flange", f"Gutter rail under the cap flange, {WORDS[name]}", shape, intent="as_built"
        )
    sheet.datum("dt_HR_front", "Rail, front edge at the middle", Point(40, 40 + RAIL_WIDE / 2))
    sheet.datum("dt_HR_left", "Rail, outer edge, left", LineString([(300, 40), (2800, 40)]))
    x, y = 940.0, 560.0
    sheet.zone(
        "step_under",
        "step",
        "back",
        "Rear step plate, underside",
        _whole(box(x, y + 260, x + 1220, y + 440, 16)),
        intent="clean",
    )
    seats = shapely.union_all(
        [box(x + k, y, x + k + 90, y + 130, 8).difference(circle(x + k + 45, y + 65, 9)) for k in (140, 990)]
    )
    sheet.zone("step_seat", "rear_frame", "flange", "Seats of the step brackets", _whole(seats), intent="as_built")
    sheet.datum("dt_HR_step", "Step bracket seat, left, bolt hole centre", Point(x + 185, y + 65))
    sheet.mark("trim", "step bracket", *[box(x + k, y + 140, x + k + 30, y + 250) for k in (170, 1020)])


def cap_underside(sheet: Sheet) -> None:
    """The cap's flange from beneath, the sealant bead along its edge, the inner face of the crown."""
    for name, shape in _frame(60, 60).items():
        sheet.zone(f"cfl_{name}", "cap", "flange", f"Cap flange, underside, {WORDS[name]}", shape, intent="as_built")
    outer = box(34, 34, 86 + RAIL_LONG, 86 + RAIL_WIDE, 216)
    inner = box(48, 48, 72 + RAIL_LONG, 72 + RAIL_WIDE, 202)
    sheet.zone(
        "bead", "bead", "other", "Sealant bead along the cap edge", _whole(outer.difference(inner)), intent="as_built"
    )
    inside = box(300, 300, RAIL_LONG - 180, RAIL_WIDE - 180, 120)
    sheet.zone("cap_inside", "cap", "back", "Roof cap, inner face of the crown", _whole(inside))
    for v in (330, 0, -330):
        sheet.mark(
            "body_line",
            "cap rib",
            box(470, 60 + RAIL_WIDE / 2 + v - 17, RAIL_LONG - 350, 60 + RAIL_WIDE / 2 + v + 17, 16.9).boundary,
        )
    sheet.datum("dt_HC_left", "Cap flange, outer edge, left", LineString([(320, 60), (2820, 60)]))
