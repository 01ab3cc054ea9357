"""The side of a closed car: panels cut along its shut lines, and what else is seen there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.curves import box, circle
from bodymap.geometry.starting_shapes.cars import CarLines, arch_lips, arches, front, plan, rear, wheels
from bodymap.geometry.starting_shapes.making import StartingShape, whole
from bodymap.geometry.starting_shapes.sheet import Panel, Sheet, at
from bodymap.geometry.starting_shapes.size import Frame
from bodymap.model.part import Substrate


@dataclass(frozen=True)
class Door:
    """A door on the side: its part without the letter of the side, its words, its shape, a place on its skin."""

    part: str
    words: str
    shape: Polygon
    seed: tuple[float, float]


@dataclass(frozen=True)
class SideLines:
    """The left side of a closed car at its usual size [mm], nose to the left.

    `seeds`: a place in each panel that is no door; a panel without a seed is not there. `lid_edge`: upper edge of the rear
    wing, under the boot lid; None: the tail is all rear wing.
    """

    body: Polygon
    doors: Sequence[Door]
    glass: Sequence[Polygon]
    screen: Polygon
    bonnet_edge: LineString
    bonnet_rear: LineString
    gutter: LineString
    sill_line: LineString
    seeds: Mapping[str, tuple[float, float]]
    lid_edge: LineString | None = None
    swages: Sequence[LineString] = ()
    handles: Sequence[tuple[float, float]] = ()
    trim: Sequence[tuple[str, Polygon]] = ()
    lamps: Sequence[tuple[str, Polygon]] = ()
    more_cuts: Sequence[LineString] = field(default_factory=tuple)


_PARTS = {
    "wing": ("wing_L", "Left front wing"),
    "bonnet": ("bonnet", "Bonnet, left edge"),
    "scuttle": ("scuttle", "Scuttle and screen pillar, left"),
    "roof": ("roof", "Roof, left edge"),
    "rear_wing": ("rear_wing_L", "Left rear wing"),
    "body_side": ("side_L", "Left body side"),
    "lid": ("boot", "Boot lid, left edge"),
    "sill": ("sill_L", "Left sill"),
}


def draw_side(sheet: Sheet, frame: Frame, car: CarLines, lines: SideLines) -> None:
    """Fill the sheet of the left side."""
    body = frame.side(lines.body).difference(arches(frame))
    body = max(shapely.get_parts(body), key=lambda part: part.area)
    glass = [frame.side(pane) for pane in lines.glass]
    shut = {
        "bonnet, side edge": lines.bonnet_edge,
        "bonnet, rear edge": lines.bonnet_rear,
        "gutter": lines.gutter,
        "sill seam": lines.sill_line,
    }
    if lines.lid_edge is not None:
        shut["boot lid, side edge"] = lines.lid_edge
    shut |= {f"seam {number}": line for number, line in enumerate(lines.more_cuts, start=1)}
    cutters = {name: frame.side(line) for name, line in shut.items()}
    cutters |= {door.words: frame.side(LineString(door.shape.exterior.coords)) for door in lines.doors}
    panels = [
        Panel(door.part, f"{door.part}_L", f"Left {door.words}", at(frame.side(Point(door.seed)))) for door in lines.doors
    ]
    for key, seed in lines.seeds.items():
        part, name = _PARTS[key]
        panels.append(Panel(key, car.lid if key == "lid" else part, name, at(frame.side(Point(seed)))))
    wheels(sheet, frame)
    sheet.mark("body", "body", body)
    sheet.panels(body.difference(shapely.union_all(glass)), cutters.values(), panels)
    for name, line in cutters.items():
        sheet.seams(name, [line], body)
    _furnish(sheet, frame, lines, body)
    arch_lips(sheet, frame, body)


def _furnish(sheet: Sheet, frame: Frame, lines: SideLines, body: Polygon) -> None:
    for pane in lines.glass:
        sheet.mark("glass", "side window", frame.side(pane))
    sheet.mark("glass", "windscreen, edge on", frame.side(lines.screen))
    for swage in lines.swages:
        sheet.line("body_line", "swage", frame.side(swage), body)
    for name, shape in lines.trim:
        sheet.mark("trim", name, frame.side(shape))
    for name, shape in lines.lamps:
        sheet.mark("lamp", name, frame.side(shape))
    for x, y in lines.handles:
        hx, hy = at(frame.side(Point(x, y)))
        sheet.mark("trim", "door handle", box(hx - 58, hy - 10, hx + 42, hy + 10, 9), circle(hx - 40, hy, 15))
    for door in lines.doors[:1]:
        x0, _, _, _ = door.shape.bounds
        edge = frame.side(LineString([(x0, lines.sill_line.bounds[1] + 20), (x0, door.seed[1])]))
        sheet.datum("door", f"Left {door.words}, front shut line", edge)
    sheet.datum("sill", "Sill seam, left", _longest(frame.side(lines.sill_line).intersection(body)))


def _longest(line: BaseGeometry) -> BaseGeometry:
    """The longest piece of a line."""
    parts: list[BaseGeometry] = shapely.get_parts(line).tolist()
    return max(parts, key=lambda part: part.length)


def closed_car(
    frame: Frame, car: CarLines, lines: SideLines, parts: dict[str, tuple[str, bool]], substrate: Substrate
) -> StartingShape:
    """All views of a closed car at a size; `parts`: name and whether it comes off, by part_id."""
    return whole(
        frame,
        {
            "left": lambda sheet, at: draw_side(sheet, at, car, lines),
            "front": lambda sheet, at: front(sheet, at, car),
            "rear": lambda sheet, at: rear(sheet, at, car),
            "roof": lambda sheet, at: plan(sheet, at, car),
        },
        parts,
        substrate,
    )
