"""What is laid over the panel sheet while keeping and stripping is decided: by intent, by method, by state of release.

Each group has a hatch and words of its own, so that nothing is told by colour alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.methods import METHODS
from bodymap.finish.patches import SLIVER_MM2, surface_of
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model import Record, Zone
from bodymap.model.plan import StripMethod
from bodymap.model.zone import Intent
from bodymap.release.checks import State, ZoneRelease
from bodymap.release.strip_areas import ZoneSplit
from bodymap.views.layout import SheetLayout
from bodymap.views.picks import middle_of
from bodymap.views.sheet_parts import Path, Point
from bodymap.views.silhouette import rings_of
from bodymap.views.zone_card import INTENT_WORDS

Hatch = Literal["", "/", "\\", "x", "-", "|", "+", "."]

NOT_STATED_WORDS = "not stated"
# A lock keeps this far from kept areas, whose names stand there [mm].
_CLEAR_MM = 120.0
_INTENTS: Mapping[Intent | None, tuple[str, Hatch]] = {
    "keep": ("kept", "x"),
    "clean": ("kept", "."),
    "as_built": ("finding", "/"),
    "better": ("datum", "+"),
    None: ("texture", ""),
}
_METHODS: Mapping[StripMethod | None, tuple[str, Hatch]] = {
    "blast": ("finding", "x"),
    "soft_media": ("finding", "+"),
    "chemical": ("finding", "/"),
    "blade": ("ink_soft", "-"),
    "hand": ("ink_soft", "|"),
    None: ("finding", "."),
}
_STATES: Mapping[State, tuple[str, Hatch, str]] = {
    "released": ("accent", "/", "released, locked"),
    "signed but blocked": ("refused", "+", "signed, but blocked again"),
    "ready to sign": ("datum", "-", "waits for signatures only"),
    "blocked": ("refused", "x", "blocked"),
}


@dataclass(frozen=True)
class MapGroup:
    """Surfaces of one meaning [sheet mm]: role of their colour, hatch, and words for the legend."""

    words: str
    paint: str
    hatch: Hatch
    rings: tuple[Path, ...]
    strong: bool = False


@dataclass(frozen=True)
class StripMap:
    """Groups from the ground up, and the places where a lock stands."""

    groups: tuple[MapGroup, ...]
    locks: tuple[Point, ...] = ()


def intent_map(record: Record, layout: SheetLayout) -> StripMap:
    """Every zone by its finish intent."""
    groups = []
    for intent, (paint, hatch) in _INTENTS.items():
        shapes = [(zone.drawing_id, to_shapely(zone.shape)) for zone in record.zones if zone.intent == intent]
        words = INTENT_WORDS[intent] if intent else f"intent {NOT_STATED_WORDS}"
        groups.append(MapGroup(words, paint, hatch, _rings(layout, shapes)))
    return StripMap(_shown(groups))


def method_map(record: Record, layout: SheetLayout, splits: Mapping[str, ZoneSplit]) -> StripMap:
    """What is stripped by which method, what by hand, what is kept, what is left alone, and what a method may not reach."""

    def on(split: ZoneSplit) -> str:
        return record.zone[split.zone_id].drawing_id

    held = [split for split in splits.values() if layout.has(on(split))]
    left = [(on(s), s.surfaces["left"]) for s in held]
    groups = [MapGroup("not stripped by the plan", "texture", "", _rings(layout, left))]
    for method, (paint, hatch) in _METHODS.items():
        shapes = [(on(s), s.surfaces["strip"]) for s in held if s.method == method]
        words = f"strip: {METHODS[method].words}" if method else f"strip: method {NOT_STATED_WORDS}"
        groups.append(MapGroup(words, paint, hatch, _rings(layout, shapes)))
    for words, paint, lot in (("margin, by hand only", "mask", "hand"), ("keep", "kept", "keep")):
        shapes = [(on(s), s.surfaces[lot]) for s in held]  # type: ignore[index]
        groups.append(MapGroup(words, paint, "\\" if lot == "hand" else "x", _rings(layout, shapes)))
    reach = [(on(s), s.in_reach) for s in held]
    groups.append(MapGroup("too near a kept area for its method", "refused", "x", _rings(layout, reach), strong=True))
    return StripMap(_shown(groups))


def release_map(record: Record, layout: SheetLayout, releases: Mapping[str, ZoneRelease]) -> StripMap:
    """The zones that are to be stripped by how far their release has come; a lock on those that are signed."""
    zones = [zone for zone in record.zones if layout.has(zone.drawing_id)]
    told = {zone.zone_id: releases[zone.zone_id] for zone in zones}
    groups = []
    for state, (paint, hatch, words) in _STATES.items():
        shapes = [
            (zone.drawing_id, to_shapely(zone.shape))
            for zone in zones
            if told[zone.zone_id].state == state and (told[zone.zone_id].asked or told[zone.zone_id].signed)
        ]
        groups.append(MapGroup(words, paint, hatch, _rings(layout, shapes)))
    signed = [zone for zone in zones if told[zone.zone_id].signed]
    locks = tuple(layout.to_sheet(zone.drawing_id, *_clear_place(record, zone)) for zone in signed)
    return StripMap(_shown(groups), locks)


def _clear_place(record: Record, zone: Zone) -> Point:
    """The middle of the widest place of a zone, away from kept areas and their names where there is room."""
    keeps = [one for one in record.areas if one.purpose == "keep" and one.drawing_id == zone.drawing_id]
    kept = [to_shapely(area.shape).buffer(_CLEAR_MM) for area in keeps]
    clear = surface_of(to_shapely(zone.shape).difference(shapely.union_all(kept)))
    x, y, _ = middle_of(from_shapely(clear) if clear.area > SLIVER_MM2 else zone.shape)
    return x, y


def _rings(layout: SheetLayout, shapes: list[tuple[str, BaseGeometry]]) -> tuple[Path, ...]:
    return tuple(
        ring
        for drawing_id, shape in shapes
        if layout.has(drawing_id) and not shape.is_empty
        for ring in rings_of(layout.place_of(drawing_id), shape)
    )


def _shown(groups: list[MapGroup]) -> tuple[MapGroup, ...]:
    return tuple(group for group in groups if group.rings)
