"""What closed cars have in common: wheels, and the views from the front, the rear and above."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.curves import Pen, arc, box, circle, rounded, shift
from bodymap.geometry.starting_shapes.sheet import Panel, Sheet, across, at, below, both, twin
from bodymap.geometry.starting_shapes.size import Frame

ARCH = 1.14  # radius of a wheel arch over that of the tyre
EVERYWHERE = 1e5
Placing = Callable[[BaseGeometry], BaseGeometry]
SIDES = ((1, "L", "Left"), (-1, "R", "Right"))


@dataclass(frozen=True)
class CarLines:
    """Key figures of a closed car at its usual size [mm], so that its views agree.

    Lengths from the nose: front of the bonnet, its rear edge, foot and head of the screen, rear end of the roof, foot of
    the backlight, tail. Heights: sill, lamps, bonnet, belt, roof edge. Half widths: body, belt, roof.
    `lid_foot`: height of the lower edge of boot lid or rear door. `backlight`: its foot and head, seen from the rear.
    """

    bonnet_front: float
    bonnet_rear: float
    screen_foot: float
    screen_head: float
    roof_rear: float
    back_foot: float
    tail: float
    sill: float
    lamp: float
    bonnet: float
    belt: float
    roof_edge: float
    half: float
    half_belt: float
    half_roof: float
    lid_foot: float
    backlight: tuple[float, float]
    lid: str = "boot"
    lid_name: str = "Boot lid"
    split_lid: bool = False


def wheels(sheet: Sheet, frame: Frame, usual_disc: float = 0.62) -> None:
    """Both wheels from the side; `usual_disc`: radius of the rim as a share of the tyre's."""
    for which, word in ((0, "front"), (1, "rear")):
        x, y = frame.axles[which]
        for ring, share in (("tyre", 1.0), ("rim", usual_disc), ("hub cap", usual_disc * 0.52)):
            sheet.mark("wheel", f"{word} wheel, {ring}", circle(x, y, frame.wheel * share))
        sheet.datum(f"wheel_{word}", f"{word.capitalize()} wheel centre", Point(x, y))


def arches(frame: Frame, share: float = ARCH) -> BaseGeometry:
    """Both wheel arches from the side, open to the ground; `share`: their radius as a ratio to the tyre's."""
    gone = []
    for x, y in frame.axles:
        r = frame.wheel * share
        gone.append(shapely.union(circle(x, y, r), box(x - r, -r, x + r, y)))
    return shapely.union_all(gone)


def arch_lips(sheet: Sheet, frame: Frame, body: BaseGeometry) -> None:
    """The pressed lip round each wheel arch."""
    for x, y in frame.axles:
        sheet.line("body_line", "wheel arch lip", LineString(arc(x, y, frame.wheel * ARCH + 26, 0, 180)), body)


def plan(sheet: Sheet, frame: Frame, car: CarLines) -> None:
    """From above, nose to the left, the vehicle's left side along the lower edge; y = 0 is the middle line until moved."""
    half, x0 = car.half, car.bonnet_front - 90
    body = twin(
        Pen(x0, 0)
        .curve((x0, 0.45 * half), (x0 + 20, 0.72 * half), (x0 + 130, 0.85 * half))
        .curve((x0 + 260, 0.97 * half), (car.bonnet_rear - 300, half), (car.bonnet_rear, half))
        .to((min(car.back_foot, car.tail - 340), half))
        .curve((car.tail - 200, half), (car.tail - 60, 0.98 * half), (car.tail - 30, 0.84 * half))
        .curve((car.tail, 0.6 * half), (car.tail, 0.3 * half), (car.tail, 0))
        .points
    )
    edge = Pen(x0 + 30, 0.66 * half).curve((x0 + 300, 0.78 * half), (car.bonnet_rear - 300, 0.84 * half),
                                           (car.bonnet_rear, 0.86 * half)).line()  # fmt: skip
    screen = _screen(car)
    ahead = body.intersection(box(-1e4, -1e4, car.screen_foot - 12, 1e4)).difference(screen)
    panels = [Panel("bonnet", "bonnet", "Bonnet, from above", (car.bonnet_rear - 300, 0))]
    panels += [Panel(f"wing_{s}", f"wing_{s}", f"{word} front wing, top", (car.bonnet_rear - 300, -sign * 0.94 * half))
               for sign, s, word in SIDES]  # fmt: skip
    panels.append(Panel("scuttle", "scuttle", "Scuttle, from above", (car.bonnet_rear + 12, 0)))
    cutters = [edge, below(edge), LineString([(car.bonnet_rear, -EVERYWHERE), (car.bonnet_rear, EVERYWHERE)])]
    _put(sheet, frame, ahead, cutters, panels)
    roof = twin(
        Pen(car.screen_head - 14, 0)
        .curve((car.screen_head - 10, 0.5 * car.half_roof), (car.screen_head, 0.8 * car.half_roof),
               (car.screen_head + 14, 0.96 * car.half_roof))
        .curve((car.screen_head + 400, 1.03 * car.half_roof), (car.roof_rear - 300, 1.02 * car.half_roof),
               (car.roof_rear - 20, 0.94 * car.half_roof))
        .curve((car.roof_rear, 0.6 * car.half_roof), (car.roof_rear + 8, 0.3 * car.half_roof), (car.roof_rear + 10, 0))
        .points
    )  # fmt: skip
    _put(sheet, frame, roof, [], [Panel("roof", "roof", "Roof", (0.5 * (car.screen_head + car.roof_rear), 0))])
    if car.tail - car.back_foot > 400:
        _boot_plan(sheet, frame, car, body)
    _plan_marks(sheet, frame, car, body, [screen, *_back(car)])


def _boot_plan(sheet: Sheet, frame: Frame, car: CarLines, body: Polygon) -> None:
    behind = body.intersection(box(car.back_foot + 12, -1e4, 1e5, 1e4))
    edge = Pen(car.back_foot - 20, 0.82 * car.half).curve(
        (car.back_foot + 300, 0.8 * car.half), (car.tail - 200, 0.74 * car.half), (car.tail + 20, 0.7 * car.half)
    )
    mid = 0.5 * (car.back_foot + car.tail)
    panels = [Panel(car.lid, car.lid, f"{car.lid_name}, from above", (mid, 0))]
    panels += [Panel(f"rear_wing_{s}", f"rear_wing_{s}", f"{word} rear wing, top", (mid, -sign * 0.93 * car.half))
               for sign, s, word in SIDES]  # fmt: skip
    _put(sheet, frame, behind, [edge.line(), below(edge.line())], panels)


def _plan_marks(sheet: Sheet, frame: Frame, car: CarLines, body: BaseGeometry, glass: list[BaseGeometry]) -> None:
    half, up = car.half, frame.width / 2
    sheet.mark("body", "body", shift(frame.plan(body), 0, up))
    for pane in glass:
        sheet.mark("glass", "screen", shift(frame.plan(pane), 0, up))
    bumper = twin(Pen(0, 0).curve((2, 0.6 * half), (20, 0.85 * half), (120, 0.98 * half)).to((120, 0.93 * half))
                  .curve((50, 0.8 * half), (36, 0.5 * half), (36, 0)).points)  # fmt: skip
    end = frame.usual.length
    behind = twin(Pen(end - 36, 0).curve((end - 36, 0.5 * half), (end - 50, 0.8 * half), (end - 120, 0.93 * half))
                  .to((end - 120, 0.98 * half)).curve((end - 20, 0.85 * half), (end - 2, 0.6 * half), (end, 0))
                  .points)  # fmt: skip
    sheet.mark("trim", "front bumper", shift(frame.plan(bumper), 0, up))
    sheet.mark("trim", "rear bumper", shift(frame.plan(behind), 0, up))
    middle = LineString([(car.bonnet_front, 0), (car.tail - 20, 0)])
    sheet.datum("middle", "Middle line", shift(frame.plan(middle), 0, up))


def _screen(car: CarLines) -> Polygon:
    return twin(
        Pen(car.screen_foot - 40, 0)
        .curve((car.screen_foot - 36, 0.5 * car.half_belt), (car.screen_foot - 10, 0.8 * car.half_belt),
               (car.screen_foot + 40, 0.9 * car.half_belt))
        .to((car.screen_head - 10, 0.92 * car.half_roof))
        .curve((car.screen_head - 30, 0.8 * car.half_roof), (car.screen_head - 40, 0.5 * car.half_roof),
               (car.screen_head - 44, 0))
        .points
    )  # fmt: skip


def _back(car: CarLines) -> list[BaseGeometry]:
    if car.back_foot - car.roof_rear < 120:
        return []
    return [
        twin(
            Pen(car.roof_rear + 40, 0)
            .curve((car.roof_rear + 38, 0.5 * car.half_roof), (car.roof_rear + 20, 0.8 * car.half_roof),
                   (car.roof_rear + 14, 0.86 * car.half_roof))
            .to((car.back_foot - 50, 0.78 * car.half_belt))
            .curve((car.back_foot - 20, 0.6 * car.half_belt), (car.back_foot - 8, 0.4 * car.half_belt),
                   (car.back_foot - 6, 0))
            .points
        )
    ]  # fmt: skip


def _put(sheet: Sheet, frame: Frame, region: BaseGeometry, cutters: Sequence[BaseGeometry], panels: list[Panel]) -> None:
    """Panels of the plan view, brought to size; cutters are drawn as shut lines."""
    up = frame.width / 2

    def placed(shape: BaseGeometry) -> BaseGeometry:
        return shift(frame.plan(shape), 0, up)

    _panels(sheet, region, cutters, panels, placed)


def _panels(
    sheet: Sheet, region: BaseGeometry, cutters: Sequence[BaseGeometry], panels: list[Panel], placed: Placing
) -> None:
    whole = placed(region)
    lines = [placed(line) for line in cutters]
    moved = [Panel(p.key, p.part_id, p.name, at(placed(Point(p.seed)))) for p in panels]
    sheet.panels(whole, lines, moved)
    sheet.seams("shut line", lines, whole)


def _end_body(car: CarLines, frame: Frame) -> Polygon:
    top = frame.usual.height
    return both(
        Pen(0, car.sill)
        .to((0.62 * car.half, car.sill))
        .curve((0.8 * car.half, car.sill), (0.94 * car.half, car.sill + 30), (0.965 * car.half, car.sill + 110))
        .curve((1.01 * car.half, 0.45 * car.belt), (1.02 * car.half, 0.8 * car.belt), (0.985 * car.half, 0.92 * car.belt))
        .curve((0.97 * car.half, 0.97 * car.belt), (car.half_belt, 0.99 * car.belt), (0.985 * car.half_belt, car.belt))
        .to((car.half_roof, car.roof_edge))
        .curve(
            (0.96 * car.half_roof, 0.5 * (car.roof_edge + top)),
            (0.8 * car.half_roof, top - 8),
            (0.5 * car.half_roof, top - 3),
        )
        .to((0, top))
        .points
    )


def _tyres(sheet: Sheet, frame: Frame, car: CarLines) -> None:
    for sign in (-1, 1):
        x = frame.width / 2 + sign * 0.8 * car.half * frame.across
        tyre = rounded(
            [(x - 78, 0), (x + 78, 0), (x + 78, 1.7 * frame.wheel), (x - 78, 1.7 * frame.wheel)], (24, 24, 40, 40)
        )
        sheet.mark("wheel", "tyre", tyre)


def front(sheet: Sheet, frame: Frame, car: CarLines) -> None:
    """From the front: the vehicle's left is on the right of the sheet."""
    mid = frame.width / 2

    def placed(shape: BaseGeometry) -> BaseGeometry:
        return shift(frame.end(shape), mid, 0)

    body = _end_body(car, frame)
    pane = both([(0, car.belt + 22), (0.86 * car.half_belt, car.belt + 18), (0.9 * car.half_roof, car.roof_edge - 26),
                 (0, car.roof_edge - 12)]).buffer(-34).buffer(34)  # fmt: skip
    _tyres(sheet, frame, car)
    sheet.mark("body", "body", placed(body))
    lamps = [circle(sign * 0.72 * car.half, car.lamp, 92) for sign in (-1, 1)]
    wing = Pen(0.5 * car.half, car.sill - 50).to((0.5 * car.half, car.lamp - 60)).curve(
        (0.5 * car.half, car.lamp + 80), (0.56 * car.half, car.bonnet - 60), (0.74 * car.half, car.bonnet)
    ).to((0.8 * car.half, car.belt + 4)).line()  # fmt: skip
    lip = Pen(-0.74 * car.half, car.bonnet - 20).curve(
        (-0.4 * car.half, car.lamp + 40), (0.4 * car.half, car.lamp + 40), (0.74 * car.half, car.bonnet - 20)
    ).line()  # fmt: skip
    belt = LineString([(-EVERYWHERE, car.belt), (EVERYWHERE, car.belt)])
    head = LineString([(-EVERYWHERE, car.roof_edge - 6), (EVERYWHERE, car.roof_edge - 6)])
    panels = [
        Panel("nose", "nose", "Nose", (0, car.lamp - 200)),
        Panel("bonnet", "bonnet", "Bonnet, front", (0, 0.5 * (car.bonnet + car.lamp) + 50)),
        *(Panel(f"wing_{s}", f"wing_{s}", f"{word} front wing, front", (sign * 0.9 * car.half, 0.5 * car.belt))
          for sign, s, word in SIDES),
        Panel("screen", "scuttle", "Screen frame", (0, car.belt + 10)),
        Panel("roof", "roof", "Roof, front edge", (0, 0.5 * (car.roof_edge + frame.usual.height))),
    ]  # fmt: skip
    region = body.difference(shapely.union_all([pane, *lamps]))
    _panels(sheet, region, [wing, across(wing), lip, belt, head], panels, placed)
    sheet.mark("glass", "windscreen", placed(pane))
    for lamp in lamps:
        sheet.mark("trim", "headlamp rim", placed(lamp))
        sheet.mark("lamp", "headlamp", placed(lamp.buffer(-12)))
    for row in range(4):
        y = car.lamp - 130 + row * 48
        sheet.mark("trim", "grille slot", placed(box(-0.4 * car.half, y, 0.4 * car.half, y + 20, 9.9)))
    _bumper(sheet, car, placed, "front bumper")
    middle = placed(LineString([(0, car.sill + 20), (0, car.bonnet)]))
    sheet.datum("middle", "Middle line of the bonnet", middle)


def rear(sheet: Sheet, frame: Frame, car: CarLines) -> None:
    """From the rear: the vehicle's left is on the left of the sheet."""
    mid = frame.width / 2

    def placed(shape: BaseGeometry) -> BaseGeometry:
        return shift(frame.end(shape), mid, 0)

    body = _end_body(car, frame)
    panes = _backlights(car)
    _tyres(sheet, frame, car)
    sheet.mark("body", "body", placed(body))
    top = car.roof_edge - 10 if car.lid != "boot" else car.belt - 4
    out = _lid_half(car)
    lid = rounded([(-out - 30, car.lid_foot), (out + 30, car.lid_foot), (out, top), (-out, top)], 60)
    gutter = LineString([(-EVERYWHERE, car.roof_edge - 4), (EVERYWHERE, car.roof_edge - 4)])
    low = LineString([(-EVERYWHERE, car.lid_foot - 34), (EVERYWHERE, car.lid_foot - 34)])
    cutters: list[BaseGeometry] = [LineString(lid.exterior.coords), gutter, low]
    panels = _rear_panels(car, frame, out)
    if car.split_lid:
        cutters.append(LineString([(0, car.lid_foot - 10), (0, top + 10)]))
    if car.lid == "boot":
        cutters.append(LineString([(-EVERYWHERE, car.belt + 6), (EVERYWHERE, car.belt + 6)]))
    _panels(sheet, body.difference(shapely.union_all(panes)), cutters, panels, placed)
    for pane in panes:
        sheet.mark("glass", "backlight", placed(pane))
    for sign in (-1, 1):
        x = sign * 0.9 * car.half
        sheet.mark("lamp", "rear lamp", placed(box(x - 42, car.lid_foot + 60, x + 42, car.lid_foot + 210, 30)))
    _bumper(sheet, car, placed, "rear bumper")


def _lid_half(car: CarLines) -> float:
    """Half width of the lid at its upper edge."""
    return 0.66 * car.half if car.lid == "boot" else 0.88 * car.half_roof


def _backlights(car: CarLines) -> list[BaseGeometry]:
    foot, head = car.backlight
    if car.lid != "boot":
        out = _lid_half(car)
        inner = 90 if car.split_lid else 0
        wide, narrow = out - 40, out - 60
    else:
        inner = 0
        lean = 0.84 * (car.half_roof - car.half_belt) / (car.roof_edge - car.belt)
        wide, narrow = (0.84 * car.half_belt + lean * (y - car.belt) for y in (foot, head))
    if not inner:
        return [rounded([(-wide, foot), (wide, foot), (narrow, head), (-narrow, head)], 50)]
    pane = rounded([(inner, foot), (wide, foot), (narrow, head), (inner, head)], 45)
    return [pane, across(pane)]


def _rear_panels(car: CarLines, frame: Frame, out: float) -> list[Panel]:
    y = car.lid_foot + 40
    words = {1: ("L", "Left"), -1: ("R", "Right")}
    lids = [Panel(car.lid, car.lid, f"{car.lid_name}, outside", (0, y))]
    if car.split_lid:
        lids = [Panel(f"{car.lid}_{s}", f"{car.lid}_{s}", f"{word} rear door", (-sign * 0.5 * out, y))
                for sign, (s, word) in words.items()]  # fmt: skip
    top = 0.5 * (car.roof_edge + frame.usual.height)
    frames = [Panel("wings", "tail", "Tail, round the lid", (out + 60, 0.6 * car.lid_foot + 0.4 * car.belt))]
    if car.lid == "boot":
        frames = [
            Panel("wings", "tail", "Tail, beside the lid", (0.9 * car.half, 0.8 * car.belt)),
            Panel("back", "roof", "Roof, round the backlight", (0, car.belt + 14)),
        ]
    return [
        *lids,
        *frames,
        Panel("apron", "tail", "Tail, under the lid", (0, 0.5 * (car.sill + car.lid_foot - 34))),
        Panel("roof", "roof", "Roof, rear edge", (0, top)),
    ]


def _bumper(sheet: Sheet, car: CarLines, placed: Placing, name: str) -> None:
    y = car.sill + 70
    sheet.mark("trim", name, placed(box(-0.99 * car.half, y, 0.99 * car.half, y + 88, 40)))
    for sign in (-1, 1):
        sheet.mark(
            "trim", "overrider", placed(box(sign * 0.42 * car.half - 22, y - 16, sign * 0.42 * car.half + 22, y + 118, 18))
        )
