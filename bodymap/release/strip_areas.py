"""How the zones divide before a strip: what is kept, what is worked by hand, what its method strips, what is left alone.

Kept is what lies in kept areas, and all of a zone whose intent is to keep or clean. By hand is the stated margin of the
kept areas, as `bodymap.geometry.areas` reckons it. What a method may not come near, and no stated margin leaves to the
hand, is told apart as in reach: it is what `margin-in-rougher-zone` and `method-not-stated` stand for, as a surface.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar, get_args

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.methods import METHODS, margin_mm, widest_margin_mm
from bodymap.finish.patches import SLIVER_MM2, surface_of
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.convert import to_shapely
from bodymap.model.area import Area
from bodymap.model.plan import StripMethod
from bodymap.model.record import Record
from bodymap.model.zone import Zone
from bodymap.release.keeps import Near, Share, Strip, apart, kept_shares, near_keeps, strips_of
from bodymap.settings import Settings

Lot = Literal["strip", "hand", "keep", "left"]
LOTS: tuple[Lot, ...] = get_args(Lot)
_K = TypeVar("_K")


@dataclass(frozen=True)
class ZoneSplit:
    """One zone divided [drawing mm].

    Attributes:
        strips: the strip steps that name it, in order.
        surfaces: what of it is stripped by its method, worked by hand, kept, and left alone; together the whole zone.
        reach_of: by area_id of a kept area, what of the zone lies nearer to it than its methods may come, by hand or not.
        in_reach: what of that is not left to the hand: in `strip`; for a method that no line stops, also in `hand`.
        ratio: true surface ÷ drawn surface.
    """

    zone_id: str
    part_id: str
    strips: tuple[Strip, ...]
    surfaces: Mapping[Lot, BaseGeometry]
    reach_of: Mapping[str, BaseGeometry]
    in_reach: BaseGeometry
    ratio: float

    @property
    def method(self) -> StripMethod | None:
        """How it is stripped last; None: not stated, or not stripped."""
        return self.strips[-1].method if self.strips else None


@dataclass(frozen=True)
class Amount:
    """An area on the drawing and as true surface [mm²]."""

    drawn_mm2: float = 0.0
    surface_mm2: float = 0.0


@dataclass(frozen=True)
class SplitTotals:
    """Sums over zones."""

    strip: Amount
    hand: Amount
    keep: Amount
    left: Amount

    @property
    def whole(self) -> Amount:
        """All four together."""
        lots = [self.strip, self.hand, self.keep, self.left]
        return Amount(sum(one.drawn_mm2 for one in lots), sum(one.surface_mm2 for one in lots))


def split_zones(record: Record, settings: Settings) -> dict[str, ZoneSplit]:
    """Every zone divided, by zone_id in the order of the record.

    Where no step strips anything yet, the zones that are not to be kept or cleaned count as stripped, by no stated method.
    """
    strips, kept = strips_of(record), kept_shares(record)
    unplanned = () if strips else (Strip(0, None, frozenset()),)
    on_drawing = {drawing.drawing_id: _Kept.on(record, drawing.drawing_id) for drawing in record.drawings}
    return {
        zone.zone_id: _split(
            settings, zone, strips.get(zone.zone_id, unplanned), near_keeps(record, zone, kept), kept,
            on_drawing[zone.drawing_id],
        )
        for zone in record.zones
    }  # fmt: skip


def totals_of_splits(splits: Iterable[ZoneSplit]) -> SplitTotals:
    """Sums over zones."""
    held = list(splits)
    return SplitTotals(**{lot: _amount(held, lot) for lot in LOTS})


def by_part(splits: Iterable[ZoneSplit]) -> dict[str, SplitTotals]:
    """Sums by part_id, in the order of the zones."""
    return _grouped(splits, lambda split: split.part_id)


def by_method(splits: Iterable[ZoneSplit]) -> dict[StripMethod | None, SplitTotals]:
    """Sums of the zones that are stripped, by method, from the roughest to the gentlest; None (not stated) last."""
    found = _grouped((split for split in splits if split.strips), lambda split: split.method)
    return {method: found[method] for method in (*METHODS, None) if method in found}


def reach_mm(strip: Strip, area: Area, settings: Settings) -> float:
    """How near a strip step may come to a kept area [mm]: its method's figure; the area's own where no line stops it."""
    if strip.method is None:
        return widest_margin_mm(settings)
    needed = margin_mm(strip.method, settings)
    return needed if METHODS[strip.method].ends_at_a_line else max(needed, area.margin or 0.0)


@dataclass(frozen=True)
class _Kept:
    """What of a drawing is kept, and the bands round it that are worked by hand."""

    keep: BaseGeometry
    hand: BaseGeometry

    @classmethod
    def on(cls, record: Record, drawing_id: str) -> _Kept:
        areas = [area for area in record.areas if area.purpose == "keep" and area.drawing_id == drawing_id]
        keep = shapely.union_all([to_shapely(area.shape) for area in areas])
        bands = [to_shapely(area.shape).buffer(area.margin, quad_segs=QUARTER_SEGMENTS) for area in areas if area.margin]
        return cls(keep, shapely.difference(shapely.union_all(bands), keep))


def _split(
    settings: Settings,
    zone: Zone,
    strips: tuple[Strip, ...],
    near: tuple[Near, ...],
    kept: tuple[Share, ...],
    here: _Kept,
) -> ZoneSplit:
    whole, nothing = to_shapely(zone.shape), shapely.Polygon()
    if zone.intent in ("keep", "clean"):
        strips = tuple(strip for strip in strips if strip.step)
        surfaces: dict[Lot, BaseGeometry] = {"strip": nothing, "hand": nothing, "keep": whole, "left": nothing}
        return ZoneSplit(zone.zone_id, zone.part_id, strips, surfaces, {}, nothing, zone.ratio)
    keep, free = surface_of(whole.intersection(here.keep)), surface_of(whole.difference(here.keep))
    if not strips:
        surfaces = {"strip": nothing, "hand": nothing, "keep": keep, "left": free}
        return ZoneSplit(zone.zone_id, zone.part_id, (), surfaces, {}, nothing, zone.ratio)
    hand, strip = surface_of(free.intersection(here.hand)), surface_of(free.difference(here.hand))
    surfaces = {"strip": strip, "hand": hand, "keep": keep, "left": nothing}
    reach_of: dict[str, BaseGeometry] = {}
    in_reach: list[BaseGeometry] = []
    for one in strips:
        rough = strip if one.method is not None and METHODS[one.method].ends_at_a_line else free
        for area_id, band in _bands(settings, zone, one, near, kept):
            reached = surface_of(free.intersection(band))
            if reached.area > SLIVER_MM2:
                reach_of[area_id] = surface_of(shapely.union(reached, reach_of.get(area_id, nothing)))
                in_reach.append(surface_of(rough.intersection(band)))
    danger = surface_of(shapely.union_all(in_reach))
    return ZoneSplit(
        zone.zone_id, zone.part_id, tuple(one for one in strips if one.step), surfaces, reach_of,
        danger if danger.area > SLIVER_MM2 else nothing, zone.ratio,
    )  # fmt: skip


def _bands(
    settings: Settings, zone: Zone, strip: Strip, near: tuple[Near, ...], kept: tuple[Share, ...]
) -> Iterator[tuple[str, BaseGeometry]]:
    """Round each kept area that a strip step comes too near to in a zone, what it has to keep away from."""
    for one in near:
        reach = reach_mm(strip, one.area, settings)
        if reach > one.gap_mm and not apart(zone, one, strip):
            shapes = [s.shape for s in kept if (s.area.area_id, s.part_id) == (one.area.area_id, one.part_id)]
            yield one.area.area_id, shapely.union_all(shapes).buffer(reach, quad_segs=QUARTER_SEGMENTS)


def _grouped(splits: Iterable[ZoneSplit], key: Callable[[ZoneSplit], _K]) -> dict[_K, SplitTotals]:
    groups: dict[_K, list[ZoneSplit]] = {}
    for split in splits:
        groups.setdefault(key(split), []).append(split)
    return {name: totals_of_splits(group) for name, group in groups.items()}


def _amount(splits: Iterable[ZoneSplit], lot: Lot) -> Amount:
    areas = [(split.surfaces[lot].area, split.ratio) for split in splits]
    return Amount(sum(area for area, _ in areas), sum(area * ratio for area, ratio in areas))
