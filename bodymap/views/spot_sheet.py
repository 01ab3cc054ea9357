"""The spot sheet: what goes to the vehicle with the gauge. Route, map with numbers, a table to write in by hand, stickers.

A place is told by rule: level from the edge of the part to its left as drawn, and upright from the edge below it. On a
schematic drawing that cannot be told and is left blank.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.film.cautions import part_surface
from bodymap.film.spot_plan import PlannedSpot, SpotPlan
from bodymap.geometry.convert import to_shapely
from bodymap.model import Record
from bodymap.settings import Settings
from bodymap.views.brief_drawing import surroundings
from bodymap.views.paper import Label, Paper, Picture, Stroke, lines_of, scale_bar
from bodymap.views.spot_map import GAUGES

PICTURE_MM = (190.0, 112.0)
_ROOM_MM = 6.0
_AROUND_MM = 60.0
_SIZE_MOST_MM, _SIZE_LEAST_MM = 3.8, 2.2
_OF_SPACING = 0.62
STANDARD_WORDS = {
    "shop": "shop figure",
    "iso19840": "ISO 19840: single readings",
    "sspc_pa2": "SSPC-PA 2: five spots of three readings to an area",
}
GAUGE_WORDS = {"magnetic": "magnetic", "eddy": "eddy current", "ultrasonic": "ultrasonic"}


@dataclass(frozen=True)
class SpotRow:
    """One spot of the table. `across_mm`, `up_mm`: from the edge to its left and the one below; None: cannot be told."""

    number: int
    across_mm: float | None
    up_mm: float | None
    edge_mm: float
    repeats: int
    twin: int | None


@dataclass(frozen=True)
class SpotZone:
    """A zone of the plan with its rows, in the order of the route; `gauge`: what can read on its substrate."""

    zone_id: str
    title: str
    part: str
    substrate: str
    gauge: str
    why: str
    rows: tuple[SpotRow, ...]


@dataclass(frozen=True)
class SpotDrawing:
    """One drawing of the plan: its picture with the numbers, and its zones. `estimate`: places are signs only."""

    drawing_id: str
    name: str
    estimate: bool
    picture: Picture
    zones: tuple[SpotZone, ...]


@dataclass(frozen=True)
class SpotSheet:
    """Everything on a spot sheet. `stickers`: number and zone of each spot; `readings`: how many will be taken."""

    vehicle: str
    standard: str
    spots: int
    readings: int
    repeats_most: int
    drawings: tuple[SpotDrawing, ...]
    stickers: tuple[tuple[int, str], ...]
    notes: tuple[str, ...]
    edge_mm: float


def spot_sheet(record: Record, plan: SpotPlan, standard: str, settings: Settings) -> SpotSheet:
    """The spot sheet of a plan; drawings in the order of the route."""
    order = dict.fromkeys(spot.drawing_id for spot in plan.spots)
    return SpotSheet(
        vehicle=record.vehicle.name,
        standard=STANDARD_WORDS[standard],
        spots=len(plan.spots),
        readings=sum(spot.repeats for spot in plan.spots),
        repeats_most=max((spot.repeats for spot in plan.spots), default=1),
        drawings=tuple(_drawing(record, plan, drawing_id) for drawing_id in order),
        stickers=tuple((spot.number, record.zone[spot.zone_id].title) for spot in plan.spots),
        notes=plan.notes,
        edge_mm=settings.value("probe_edge_mm"),
    )


def _drawing(record: Record, plan: SpotPlan, drawing_id: str) -> SpotDrawing:
    spots = [spot for spot in plan.spots if spot.drawing_id == drawing_id]
    drawing = record.drawing[drawing_id]
    zones = dict.fromkeys(spot.zone_id for spot in spots)
    return SpotDrawing(
        drawing_id,
        drawing.name,
        drawing.schematic,
        _picture(record, drawing_id, spots),
        tuple(_zone(record, plan, zone_id, schematic=drawing.schematic) for zone_id in zones),
    )


def _zone(record: Record, plan: SpotPlan, zone_id: str, *, schematic: bool) -> SpotZone:
    zone = record.zone[zone_id]
    part = record.part[zone.part_id]
    surface = part_surface(record, zone)
    rows = []
    for spot in plan.of_zone(zone_id):
        across, up = (None, None) if schematic else _from_edges(surface, spot)
        rows.append(SpotRow(spot.number, across, up, spot.edge_mm, spot.repeats, spot.twin))
    gauge = GAUGES[part.substrate]
    return SpotZone(
        zone_id, zone.title, part.name, part.substrate, GAUGE_WORDS[gauge] if gauge else "", plan.counts[zone_id].why,
        tuple(rows),
    )  # fmt: skip


def _from_edges(surface: BaseGeometry, spot: PlannedSpot) -> tuple[float | None, float | None]:
    """Level distance to the first edge of the part on the left, and upright to the first below [mm]."""
    x0, y0, _, _ = surface.bounds
    rays = (
        shapely.LineString([(x0 - 1, spot.y), (spot.x, spot.y)]),
        shapely.LineString([(spot.x, y0 - 1), (spot.x, spot.y)]),
    )
    place = shapely.Point(spot.x, spot.y)
    crossed = [shapely.intersection(ray, surface.boundary) for ray in rays]
    across, up = (None if one.is_empty else float(place.distance(one)) for one in crossed)
    return across, up


# --- the picture ------------------------------------------------------------------------------------------------------


def _picture(record: Record, drawing_id: str, spots: Sequence[PlannedSpot]) -> Picture:
    """The planned zones with their surroundings, and the number of each spot on its place."""
    planned = [to_shapely(record.zone[zone_id].shape) for zone_id in dict.fromkeys(spot.zone_id for spot in spots)]
    x0, y0, x1, y1 = (float(n) for n in shapely.total_bounds(planned))
    width, most = PICTURE_MM
    wide, high = x1 - x0 + _AROUND_MM, y1 - y0 + _AROUND_MM
    # Nobody measures on this map: it is as large as the sheet lets it be, and no higher than it needs to be.
    scale = float(math.ceil(max(wide / (width - 2 * _ROOM_MM), high / (most - 2 * _ROOM_MM))))
    height = min(most, high / scale + 2 * _ROOM_MM)
    paper = Paper(width, height, scale, (x0 + x1) / 2, (y0 + y1) / 2)
    strokes = [*surroundings(record, drawing_id, paper)]
    route = tuple(paper.spot(spot.x, spot.y) for spot in spots)
    strokes.append(Stroke("planned", tuple(line for shape in planned for line in lines_of(paper.cut(shape)))))
    if len(route) > 1:
        strokes.append(Stroke("route", (route,)))
    labels = tuple(
        Label(str(spot.number), x, y, _size_mm((x, y), route), "letter") for spot, (x, y) in zip(spots, route, strict=True)
    )
    return Picture(width, height, scale, tuple(one for one in strokes if one.lines), labels, scale_bar(scale, 50))


def _size_mm(place: tuple[float, float], places: Sequence[tuple[float, float]]) -> float:
    """A letter as large as its nearest neighbour allows, so that discs hardly lie on one another."""
    apart = min((math.dist(place, other) for other in places if other != place), default=_SIZE_MOST_MM / _OF_SPACING)
    return min(max(apart * _OF_SPACING, _SIZE_LEAST_MM), _SIZE_MOST_MM)
