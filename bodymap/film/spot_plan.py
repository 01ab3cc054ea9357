"""Where to set the gauge: how many spots by area and standard, well spread, clear of edges, mirrored, on a short route.

The numbers of a plan are those on the stickers. Spots of a zone are taken one after the other; the twin of a planned
zone gets the same spots mirrored, in the same order, so that left and right can be compared spot by spot.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.film.acceptance import PA2_READINGS_PER_SPOT, PA2_SPOTS_PER_AREA, iso19840_least_readings, pa2_areas
from bodymap.film.spreading import Place, inmost, short_route, spread
from bodymap.film.twins import Mirror, ZonePair, mirrors, zone_pairs
from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.progress import Step, silent
from bodymap.settings import Settings
from bodymap.units import mm2_to_m2

Standard = Literal["shop", "iso19840", "sspc_pa2"]
_IN_THE_WAY = ("trim", "lamp", "glass")
_ROUNDING_MM = 1e-3
_WORDS = "Spreading the spots"
_Twins = dict[tuple[str, int], tuple[str, int]]


@dataclass(frozen=True)
class SpotCount:
    """How many spots a surface asks for, how many readings at each, and by what."""

    spots: int
    repeats: int
    why: str


@dataclass(frozen=True)
class PlannedSpot:
    """One spot to be read.

    Attributes:
        number: its number on the route, from 1; also on its sticker.
        x, y: place [drawing mm].
        edge_mm: distance from the nearest edge of its zone [mm].
        twin: number of the mirrored spot; None where there is none.
    """

    number: int
    zone_id: str
    drawing_id: str
    x: float
    y: float
    edge_mm: float
    repeats: int
    twin: int | None = None


@dataclass(frozen=True)
class SpotPlan:
    """The spots in the order of the route, the count asked for in each zone, and what could not be kept to."""

    spots: tuple[PlannedSpot, ...]
    counts: Mapping[str, SpotCount]
    notes: tuple[str, ...]

    def of_zone(self, zone_id: str) -> tuple[PlannedSpot, ...]:
        """The spots of one zone in the order of the route."""
        return tuple(spot for spot in self.spots if spot.zone_id == zone_id)


def spots_needed(surface_mm2: float, standard: Standard, settings: Settings) -> SpotCount:
    """How many spots a true surface [mm²] asks for.

    ISO 19840: single readings by its table 1. SSPC-PA 2: five spots of three readings to each area of 10 m². Shop: one to
    each `spots_shop_m2`, between `spots_shop_least` and `spots_shop_most`.

    Raises:
        BodymapError: a surface not above 0, or a standard that is not known.
    """
    if not surface_mm2 > 0:
        raise BodymapError(f"surface: found {surface_mm2:g} mm²; allowed: greater than 0")
    surface = f"{mm2_to_m2(surface_mm2):.2f} m²"
    if standard == "iso19840":
        return SpotCount(iso19840_least_readings(surface_mm2), 1, f"ISO 19840 table 1 for {surface} (from memory, not seen)")
    if standard == "sspc_pa2":
        areas = pa2_areas(surface_mm2)
        why = f"SSPC-PA 2 for {surface}: five spots of three readings to each 10 m²"
        return SpotCount(areas * PA2_SPOTS_PER_AREA, PA2_READINGS_PER_SPOT, why)
    if standard != "shop":
        raise BodymapError(f"standard: found {standard!r}; allowed: shop, iso19840 or sspc_pa2")
    least, most = int(settings.value("spots_shop_least")), int(settings.value("spots_shop_most"))
    by_area = math.ceil(mm2_to_m2(surface_mm2) / settings.value("spots_shop_m2"))
    why = f"shop figure: {least} to {most}, one to each {settings.value('spots_shop_m2'):g} m² of {surface}"
    return SpotCount(min(max(by_area, least), max(most, least)), int(settings.value("spot_repeats")), why)


def plan_spots(
    record: Record,
    standard: Standard,
    settings: Settings,
    zone_ids: Sequence[str] | None = None,
    counts: Mapping[str, int] | None = None,
    step: Step = silent,
) -> SpotPlan:
    """A spot plan of zones, every outer one if none are named; `counts`: spots of single zones, where others are wanted.

    The same record and settings always give the same plan. `step` is told how far it is, and may stop it. Raises KeyError
    on an unknown zone.
    """
    wanted = (
        [record.zone[one] for one in zone_ids] if zone_ids is not None else [z for z in record.zones if z.face == "outer"]
    )
    needed = {}
    for zone in wanted:
        need = spots_needed(to_shapely(zone.shape).area * zone.ratio, standard, settings)
        own = (counts or {}).get(zone.zone_id)
        needed[zone.zone_id] = (
            need if own is None else replace(need, spots=_at_least_one(zone.zone_id, own), why="as asked for")
        )
    notes: list[str] = []
    schematic = sorted({zone.drawing_id for zone in wanted if record.drawing[zone.drawing_id].schematic})
    notes += [f"{drawing} is a schematic drawing: places and distances from edges are signs only" for drawing in schematic]
    places, twins = _placed(record, settings, needed, notes, step)
    spots = [
        PlannedSpot(
            0, zone_id, record.zone[zone_id].drawing_id, x, y, _edge_mm(record, zone_id, (x, y)), needed[zone_id].repeats
        )
        for zone_id in _zone_route(record, places)
        for x, y in places[zone_id]
    ]
    step(_WORDS, 1.0)
    return SpotPlan(_with_twins(spots, twins), needed, tuple(notes))


def room_for_spots(record: Record, zone_id: str, settings: Settings) -> BaseGeometry:
    """Where a probe may be set down in a zone: `probe_edge_mm` inside it and clear of trim, lamps and glass [drawing mm]."""
    zone, least_mm = record.zone[zone_id], settings.value("probe_edge_mm")
    in_the_way = [
        to_shapely(one.shape) for one in record.outline if one.drawing_id == zone.drawing_id and one.kind in _IN_THE_WAY
    ]
    surfaces = [shape for shape in in_the_way if shape.area > 0]
    return to_shapely(zone.shape).buffer(-least_mm).difference(shapely.union_all(surfaces).buffer(least_mm))


def _at_least_one(zone_id: str, count: int) -> int:
    if count < 1:
        raise BodymapError(f"spots of {zone_id}: found {count}; allowed: 1 or more")
    return count


def _placed(
    record: Record, settings: Settings, needed: Mapping[str, SpotCount], notes: list[str], step: Step
) -> tuple[dict[str, list[Place]], _Twins]:
    """The places of each zone in its own short route, and which mirrors which: nth of a zone to nth of another."""
    pairs = {pair.right: pair for pair in zone_pairs(record, settings) if pair.by == "geometry"}
    lines = {(mirror.left_drawing, mirror.right_drawing): mirror for mirror in mirrors(record)}
    places: dict[str, list[Place]] = {}
    twins: _Twins = {}
    narrow: list[str] = []
    for number, zone_id in enumerate(sorted(needed, key=lambda one: one in pairs)):
        told = _of_zone(step, number, len(needed))
        told(_WORDS, 0.0)
        count, room = needed[zone_id].spots, room_for_spots(record, zone_id, settings)
        pair = pairs.get(zone_id)
        if room.is_empty:
            narrow.append(record.zone[zone_id].title)
            places[zone_id] = [inmost(to_shapely(record.zone[zone_id].shape))]
        elif pair and places.get(pair.left):
            mirrored = _mirrored(_line_of(record, pair, lines), places[pair.left][:count], room)
            twins |= {(zone_id, to): (pair.left, of) for to, of in enumerate(mirrored)}
            kept = list(mirrored.values())
            places[zone_id] = kept + spread(room, count, kept, told)
        else:
            places[zone_id] = short_route(spread(room, count, step=told))
    if narrow:
        clear = f"no place {settings.value('probe_edge_mm'):g} mm clear of edges and trim"
        notes.append(f"{clear}, so one spot at the widest; prove it on bare part: {'; '.join(narrow)}")
    return places, twins


def _of_zone(step: Step, number: int, many: int) -> Step:
    """The step of one zone among many."""

    def inner(words: str, share: float) -> None:
        step(f"{words} ({number + 1} of {many} zones)", (number + share) / many)

    return inner


def _line_of(record: Record, pair: ZonePair, lines: Mapping[tuple[str, str], Mirror]) -> Mirror:
    return lines[record.zone[pair.left].drawing_id, record.zone[pair.right].drawing_id]


def _mirrored(mirror: Mirror, lefts: Sequence[Place], room: BaseGeometry) -> dict[int, Place]:
    """Those of the left places, by their number, that fall inside the room when mirrored."""
    points = shapely.get_coordinates(mirror.across(shapely.MultiPoint(lefts))).tolist()
    # mirroring rounds, and a left place may lie right on the edge of its room
    return {of: (x, y) for of, (x, y) in enumerate(points) if room.distance(shapely.Point(x, y)) < _ROUNDING_MM}


def _edge_mm(record: Record, zone_id: str, place: Place) -> float:
    return float(to_shapely(record.zone[zone_id].shape).boundary.distance(shapely.Point(place)))


def _zone_route(record: Record, places: Mapping[str, Sequence[Place]]) -> list[str]:
    """Zones drawing by drawing, each next to where the one before ended."""
    route: list[str] = []
    for drawing in record.drawings:
        left = [zone.zone_id for zone in record.zones_on.get(drawing.drawing_id, ()) if places.get(zone.zone_id)]
        at = places[left[0]][0] if left else (0.0, 0.0)
        while left:
            nearest = _nearest(at, left, places)
            route.append(nearest)
            left.remove(nearest)
            at = places[nearest][-1]
    return route


def _nearest(at: Place, zone_ids: Sequence[str], places: Mapping[str, Sequence[Place]]) -> str:
    return min(zone_ids, key=lambda one: math.dist(at, places[one][0]))


def _with_twins(spots: Sequence[PlannedSpot], twins: _Twins) -> tuple[PlannedSpot, ...]:
    """The spots with their numbers on the route, and the number of each one's twin."""
    of_zone: dict[str, list[int]] = {}
    for number, spot in enumerate(spots, start=1):
        of_zone.setdefault(spot.zone_id, []).append(number)
    twin: dict[int, int] = {}
    for (zone_id, to), (other_id, of) in twins.items():
        one, other = of_zone[zone_id][to], of_zone[other_id][of]
        twin |= {one: other, other: one}
    return tuple(replace(spot, number=number, twin=twin.get(number)) for number, spot in enumerate(spots, start=1))
