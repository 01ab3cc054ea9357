"""Gaps and overlaps of the zones of one drawing, with their place and mm², and what would mend them.

A gap is narrow: what is wider than `tidy_gap_mm` is open surface and no fault. Between zones of two parts a gap may well
be the shut gap between them; it is shown as such and mended only if somebody says so. A wide hole among zones is shown
where nothing of the outline (glass, lamp, wheel, trim) explains it.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.curves import Point
from bodymap.geometry.proposal import Proposal, applied
from bodymap.model import Reading, Record, Shape, Stack, Zone
from bodymap.settings import Settings

# Boundaries nearer than this are one boundary: a thousandth of what a pencil draws.
_SAME_MM = 0.01
# What is thinner than this on average is left by rounding, not drawn.
_HAIR_MM = 0.02
_EXPLAINS = ("glass", "lamp", "wheel", "trim")
_MOSTLY = 0.5


@dataclass(frozen=True)
class Flaw:
    """A gap, an overlap or an unexplained hole.

    Attributes:
        kind: which.
        shape: where it is.
        area_mm2: how large.
        place: a position inside it [mm].
        zones: the zones that overlap, or that border it, in the order of the record.
        parts: the parts they are of.
    """

    kind: Literal["gap", "overlap", "hole"]
    shape: Shape
    area_mm2: float
    place: Point
    zones: tuple[str, ...]
    parts: tuple[str, ...]

    @property
    def may_be_shut_gap(self) -> bool:
        """It lies between two parts, where a gap belongs."""
        return self.kind == "gap" and len(self.parts) > 1

    @property
    def words(self) -> str:
        """The flaw in a line."""
        between = " and ".join(self.zones)
        shut = ", between parts: may be their shut gap" if self.may_be_shut_gap else ""
        where = f"at ({self.place[0]:.0f}, {self.place[1]:.0f})"
        return f"{self.kind} of {self.area_mm2:.0f} mm² {where}, {between}{shut}"


def flaws_of(record: Record, drawing_id: str, settings: Settings) -> tuple[Flaw, ...]:
    """Overlaps, gaps and unexplained holes among the zones of a drawing, each kind by size, the largest first."""
    zones = record.zones_on.get(drawing_id, ())
    if not zones:
        return ()
    shapes = [to_shapely(zone.shape) for zone in zones]
    least = settings.value("tidy_least_mm2")
    found = [
        *_overlaps(zones, shapes, least),
        *_gaps(zones, shapes, settings),
        *_holes(record, drawing_id, shapes, settings),
    ]
    order = {"overlap": 0, "gap": 1, "hole": 2}
    return tuple(sorted(found, key=lambda flaw: (order[flaw.kind], -flaw.area_mm2)))


def mend(record: Record, flaw: Flaw) -> Proposal:
    """What would mend a flaw: a gap or hole goes to the zone that borders most of it, an overlap to the earlier zone.

    Raises:
        BodymapError: the later zone lies wholly within the earlier one, or the zones are not as they were.
    """
    gone = [ident for ident in flaw.zones if ident not in record.zone]
    if gone or not flaw.zones:
        raise BodymapError(f"mending: found no zone {', '.join(gone) or 'beside it'}; allowed: a flaw of this record")
    return _cut_overlap(record, flaw) if flaw.kind == "overlap" else _fill(record, flaw)


def mend_all(record: Record, drawing_id: str, settings: Settings, *, shut_gaps: bool = False) -> Proposal:
    """What would mend all overlaps and gaps of a drawing, one after the other; holes are left alone.

    Args:
        record: the record.
        drawing_id: the drawing.
        settings: working figures.
        shut_gaps: close gaps between two parts as well.
    """
    whole, now = Proposal(), record
    for flaw in flaws_of(record, drawing_id, settings):
        if flaw.kind == "hole" or (flaw.may_be_shut_gap and not shut_gaps):
            continue
        try:
            one = mend(now, flaw)
        except BodymapError as error:
            whole = whole.and_then(Proposal(questions=(str(error),)))
            continue
        now, whole = applied(now, one), whole.and_then(one)
    return whole


def surfaces(geometry: BaseGeometry) -> list[shapely.Polygon]:
    """Its polygons that have an area; lines and points of contact are left out."""
    parts = shapely.get_parts(shapely.get_parts(geometry)).tolist()
    return [part for part in parts if isinstance(part, shapely.Polygon) and part.area > 0]


def surface_of(geometry: BaseGeometry) -> Shape | None:
    """What of a geometry is surface; None: nothing."""
    parts = surfaces(geometry)
    return from_shapely(parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)) if parts else None


def _overlaps(zones: Sequence[Zone], shapes: Sequence[BaseGeometry], least: float) -> Iterator[Flaw]:
    tree = shapely.STRtree(np.array(shapes, dtype=object))
    pairs = tree.query(np.array(shapes, dtype=object), predicate="intersects").T.tolist()
    for one, other in sorted(pair for pair in pairs if pair[0] < pair[1]):
        for part in _without_threads(shapely.intersection(shapes[one], shapes[other])):
            if part.area >= least and _width(part) > _HAIR_MM:
                yield _flaw("overlap", part, (zones[one], zones[other]))


def _gaps(zones: Sequence[Zone], shapes: Sequence[BaseGeometry], settings: Settings) -> Iterator[Flaw]:
    reach = settings.value("tidy_gap_mm") / 2
    whole = shapely.union_all(shapes)
    # widened and narrowed again: what is bridged on the way is a gap; mitred, so that corners stay as they are
    closed = whole.buffer(reach, join_style="mitre", mitre_limit=5).buffer(-reach, join_style="mitre", mitre_limit=5)
    for part in _without_threads(shapely.difference(closed, whole)):
        along = part.boundary.intersection(whole.boundary.buffer(_SAME_MM)).length
        if _width(part) <= _HAIR_MM or along <= _MOSTLY * part.length:
            continue
        for piece, beside in _by_pairs(part, _beside(part, zones, shapes), 2 * reach):
            if piece.area >= settings.value("tidy_least_mm2") and _width(piece) > _HAIR_MM:
                yield _flaw("gap", piece, beside)


def _by_pairs(
    gap: shapely.Polygon, beside: tuple[Zone, ...], reach_mm: float
) -> Iterator[tuple[shapely.Polygon, tuple[Zone, ...]]]:
    """A gap in pieces, each between two zones: first those of one part, where no gap belongs. One zone alone has none."""
    near = {zone.zone_id: _only_surface(gap.intersection(to_shapely(zone.shape).buffer(reach_mm))) for zone in beside}
    pairs = sorted(itertools.combinations(beside, 2), key=lambda pair: pair[0].part_id != pair[1].part_id)
    left: BaseGeometry = gap
    for pair in pairs:
        both = _only_surface(near[pair[0].zone_id].intersection(near[pair[1].zone_id]))
        for piece in surfaces(left.intersection(both)):
            edge = piece.boundary
            if all(edge.intersection(to_shapely(zone.shape).buffer(_SAME_MM)).length > _SAME_MM * 10 for zone in pair):
                yield piece, pair
                left = _only_surface(left.difference(piece))


def _without_threads(geometry: BaseGeometry) -> list[shapely.Polygon]:
    """Its surfaces without the threads of no width that rounding leaves along shared edges."""
    found = []
    for part in surfaces(geometry):
        core = part.buffer(-_HAIR_MM / 2, join_style="mitre")
        if not core.is_empty:
            found += surfaces(core.buffer(_HAIR_MM / 2, join_style="mitre").intersection(part))
    return found


def _only_surface(geometry: BaseGeometry) -> BaseGeometry:
    """A geometry without the lines and points that an overlay left with it: the next overlay may not take them."""
    return shapely.MultiPolygon(surfaces(geometry))


def _holes(record: Record, drawing_id: str, shapes: Sequence[BaseGeometry], settings: Settings) -> Iterator[Flaw]:
    zones = record.zones_on[drawing_id]
    if record.drawing[drawing_id].kind == "hidden":  # faces laid flat have holes of their own
        return
    known = [
        to_shapely(shape.shape)
        for shape in record.outline
        if shape.drawing_id == drawing_id and shape.kind in _EXPLAINS and shape.shape.rings()
    ]
    explained = shapely.union_all([shapely.make_valid(shape) for shape in known])
    whole = shapely.union_all(shapes)
    rings = [ring for polygon in surfaces(whole) for ring in polygon.interiors]
    for hole in surfaces(shapely.difference(shapely.union_all([shapely.Polygon(ring) for ring in rings]), whole)):
        wide = _width(hole) > settings.value("tidy_gap_mm")
        if wide and hole.intersection(explained).area < _MOSTLY * hole.area:
            yield _flaw("hole", hole, _beside(hole, zones, shapes))


def _flaw(kind: Literal["gap", "overlap", "hole"], part: shapely.Polygon, zones: Iterable[Zone]) -> Flaw:
    held = tuple(zones)
    spot = part.representative_point()
    parts = tuple(dict.fromkeys(zone.part_id for zone in held))
    return Flaw(kind, from_shapely(part), part.area, (spot.x, spot.y), tuple(zone.zone_id for zone in held), parts)


def _beside(part: BaseGeometry, zones: Sequence[Zone], shapes: Sequence[BaseGeometry]) -> tuple[Zone, ...]:
    near = part.buffer(_SAME_MM)
    return tuple(zone for zone, shape in zip(zones, shapes, strict=True) if shape.intersects(near))


def _width(part: BaseGeometry) -> float:
    """Average width of something long and thin [mm]."""
    return float(2 * part.area / part.length)


def _fill(record: Record, flaw: Flaw) -> Proposal:
    gap = to_shapely(flaw.shape)
    edge = gap.boundary
    zones = [record.zone[ident] for ident in flaw.zones]
    shared = [edge.intersection(to_shapely(zone.shape).buffer(_SAME_MM)).length for zone in zones]
    taker = zones[int(np.argmax(shared))]
    shape = to_shapely(taker.shape)
    fitting = shapely.snap(gap, shapely.union_all([to_shapely(zone.shape) for zone in zones]), _SAME_MM)
    whole = shapely.union(shape, fitting if fitting.is_valid and fitting.area > 0 else gap)
    filled = _without_hairs(whole, shape)
    note = f"{taker.title} takes {flaw.area_mm2:.0f} mm²: it borders most of the {flaw.kind}"
    return Proposal((taker.model_copy(update={"shape": from_shapely(filled)}),), notes=(note,))


def _without_hairs(whole: BaseGeometry, before: BaseGeometry) -> BaseGeometry:
    """A surface without the hair-thin holes that joining left in it."""
    made = []
    for polygon in surfaces(whole):
        kept = [ring for ring in polygon.interiors if _width(shapely.Polygon(ring)) > _HAIR_MM or before.covers(ring)]
        made.append(shapely.Polygon(polygon.exterior, kept))
    return made[0] if len(made) == 1 else shapely.MultiPolygon(made)


def _cut_overlap(record: Record, flaw: Flaw) -> Proposal:
    earlier, later = (record.zone[ident] for ident in flaw.zones)
    left = surface_of(shapely.difference(to_shapely(later.shape), to_shapely(flaw.shape)))
    if left is None:
        raise BodymapError(
            f"mending: found {later.title} wholly within {earlier.title}; allowed: zones that each keep a surface: "
            "cut the earlier one, or withdraw the later one"
        )
    note = f"{later.title} gives {flaw.area_mm2:.0f} mm² to {earlier.title}, which comes earlier"
    return Proposal(
        (later.model_copy(update={"shape": left}),), questions=tuple(_stranded(record, later, flaw)), notes=(note,)
    )


def _stranded(record: Record, zone: Zone, flaw: Flaw) -> Iterator[str]:
    """Stacks and readings of a zone that lie in what it gives away."""
    lost = to_shapely(flaw.shape)
    held: list[Stack | Reading] = [*record.stacks_of.get(zone.zone_id, ()), *record.readings_of.get(zone.zone_id, ())]
    for what in held:
        if what.x is not None and what.y is not None and lost.intersects(shapely.Point(what.x, what.y)):
            yield f"{what.KIND} {what.ident} of {zone.title} lies where {flaw.zones[0]} is now: of which is it?"
