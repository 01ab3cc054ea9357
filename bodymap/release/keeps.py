"""What kept areas, and the methods of the planned strip, have against stripping a zone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from bodymap.finish.methods import METHODS, margin_mm, method_refusal, methods_for, widest_margin_mm
from bodymap.finish.patches import SLIVER_MM2
from bodymap.geometry.convert import to_shapely
from bodymap.model.area import Area
from bodymap.model.plan import StripMethod
from bodymap.model.record import Record
from bodymap.model.zone import Zone
from bodymap.release.blockers import Blocker, Where
from bodymap.settings import Settings


@dataclass(frozen=True)
class Strip:
    """One time a zone is stripped by the plan: the step, its method, and the parts off the vehicle by then."""

    step: int
    method: StripMethod | None
    removed: frozenset[str]


@dataclass(frozen=True)
class Near:
    """A kept area as it lies to a zone: the least distance [mm], and the part it is on there (None: on no zone)."""

    area: Area
    gap_mm: float
    part_id: str | None


def strips_of(record: Record) -> dict[str, tuple[Strip, ...]]:
    """By zone, every strip step of the plan that names it."""
    removed: set[str] = set()
    found: dict[str, list[Strip]] = {}
    for step in sorted(record.steps, key=lambda one: one.step):
        if step.action == "remove":
            removed.update(step.target)
        elif step.action == "fit":
            removed.difference_update(step.target)
        elif step.action == "strip":
            for zone_id in step.target:
                found.setdefault(zone_id, []).append(Strip(step.step, step.method, frozenset(removed)))
    return {zone: tuple(strips) for zone, strips in found.items()}


@dataclass(frozen=True)
class Share:
    """A kept area as it lies on one part (None: on no zone)."""

    area: Area
    part_id: str | None
    shape: BaseGeometry


def kept_shares(record: Record) -> tuple[Share, ...]:
    """Every kept area, what lies of it on each part by itself."""
    return tuple(share for area in record.areas if area.purpose == "keep" for share in _by_part(record, area))


def near_keeps(record: Record, zone: Zone, kept: Iterable[Share]) -> tuple[Near, ...]:
    """The kept areas on a zone's drawing with their distances.

    On a drawing of hidden surfaces places mean something within one part only: the faces are laid flat beside each other.
    """
    hidden = record.drawing[zone.drawing_id].kind == "hidden"
    surface = to_shapely(zone.shape)
    return tuple(
        Near(one.area, surface.distance(one.shape), one.part_id)
        for one in kept
        if one.area.drawing_id == zone.drawing_id and (not hidden or one.part_id in (zone.part_id, None))
    )


def keep_blockers(
    record: Record, settings: Settings, zone: Zone, strips: tuple[Strip, ...], kept: tuple[Share, ...]
) -> Iterator[Blocker]:
    """Kept areas whose edge is not settled, methods that do not suit, margins in reach of a rough method."""
    near = near_keeps(record, zone, kept)
    if zone.intent in ("keep", "clean") or _wholly_kept(zone, kept):
        why = f"its intent is {zone.intent}" if zone.intent in ("keep", "clean") else "all of it lies in kept areas"
        yield Blocker(
            "not-to-be-stripped",
            f"{zone.title} is not to be stripped: {why}",
            "leave it out of the strip steps; or change its intent, or the kept area, with the people who decided it",
            Where("zone", zone.zone_id),
        )
    yield from _edges(record, settings, near, strips)
    for strip in strips:
        yield from _method(record, zone, strip)
        yield from _margins(record, settings, zone, near, strip)


def _edges(record: Record, settings: Settings, near: tuple[Near, ...], strips: tuple[Strip, ...]) -> Iterator[Blocker]:
    """Edge kinds and signatures of the kept areas that the strip comes near to."""
    reach = max(
        (margin_mm(strip.method, settings) if strip.method else widest_margin_mm(settings) for strip in strips),
        default=widest_margin_mm(settings),
    )
    signed = {one.subject for one in record.signoffs if one.what == "keep"}
    for area in {one.area.area_id: one.area for one in near if one.gap_mm <= max(reach, one.area.margin or 0.0)}.values():
        where = Where("area", area.area_id)
        if area.edge is None:
            yield Blocker(
                "keep-edge-without-kind",
                f"the edge of {area.title} ({area.area_id}) has no kind: nobody can tell how to mask it",
                "state its edge: hard, soft, to a part edge, to a body line, or under a left-in seal",
                where,
            )
        if area.area_id not in signed:
            yield Blocker(
                "keep-not-signed",
                f"nobody has signed for {area.title} ({area.area_id})",
                f"have the decision to keep {area.area_id} signed by name",
                where,
            )


def _method(record: Record, zone: Zone, strip: Strip) -> Iterator[Blocker]:
    part = record.part[zone.part_id]
    why = method_refusal(strip.method, part.substrate) if strip.method else None
    if strip.method and why:
        others = ", ".join(METHODS[one].words for one in methods_for(part.substrate))
        yield Blocker(
            "method-not-for-substrate",
            f"step {strip.step} strips {zone.title} by {METHODS[strip.method].words}: {why}",
            f"plan another method: {others}",
            Where("step", str(strip.step)),
        )


def _margins(record: Record, settings: Settings, zone: Zone, near: tuple[Near, ...], strip: Strip) -> Iterator[Blocker]:
    """Kept areas that are nearer than the method of a strip step may come."""
    told = set()
    for one in sorted(near, key=lambda one: one.gap_mm):
        if one.area.area_id in told or apart(zone, one, strip):
            continue
        blocker = _margin(record, settings, zone, one, strip)
        if blocker:
            told.add(one.area.area_id)
            yield blocker


def _margin(record: Record, settings: Settings, zone: Zone, near: Near, strip: Strip) -> Blocker | None:
    area, where = near.area, Where("step", str(strip.step))
    lies = (
        f"{area.title} ({area.area_id}) lies {near.gap_mm:.0f} mm from it"
        if near.gap_mm > 0
        else (f"{area.title} ({area.area_id}) lies in it or touches it")
    )
    if strip.method is None:
        widest = widest_margin_mm(settings)
        if near.gap_mm >= widest:
            return None
        return Blocker(
            "method-not-stated",
            f"step {strip.step} strips {zone.title} and does not say how; {lies}, and a method may need {widest:g} mm",
            f"state the method of step {strip.step}",
            where,
        )
    method, needed = METHODS[strip.method], margin_mm(strip.method, settings)
    stated = area.margin or 0.0
    if method.ends_at_a_line:
        if near.gap_mm >= needed or stated >= needed:
            return None
        margin = "no margin is stated for it" if area.margin is None else f"its margin is {stated:g} mm"
        cure = f"give {area.area_id} a margin of {needed:g} mm, worked by hand; or work {zone.title} by blade or hand"
        what = f"step {strip.step} strips {zone.title} by {method.words}, which needs {needed:g} mm; {lies}, and {margin}"
        return Blocker("margin-in-rougher-zone", what, cure, Where("area", area.area_id))
    needed = max(needed, stated)
    if near.gap_mm >= needed:
        return None
    what = f"step {strip.step} strips {zone.title} by {method.words}, which must stay {needed:g} mm away; {lies}"
    return Blocker("margin-in-rougher-zone", what, _away(record, zone, near, strip, needed), where)


def _away(record: Record, zone: Zone, near: Near, strip: Strip, needed: float) -> str:
    """How to get a rough method away from a kept area."""
    cures = [f"strip {zone.title} by another method"]
    for part_id in dict.fromkeys((near.part_id, zone.part_id)):
        part = record.part.get(part_id or "")
        if part and part.removable and near.part_id != zone.part_id:
            cures.append(f"take {part.name} off before step {strip.step}")
    cures.append(f"cut the zone {needed:g} mm from {near.area.area_id} and work that band by hand")
    return "; or ".join(cures)


def apart(zone: Zone, near: Near, strip: Strip) -> bool:
    """Whether one of the two is off the vehicle by then, so that their places on the drawing mean nothing."""
    if near.part_id is None or near.part_id == zone.part_id:
        return False
    return zone.part_id in strip.removed or near.part_id in strip.removed


def _by_part(record: Record, area: Area) -> Iterator[Share]:
    """A kept area as it lies on each part; where it lies on no zone, all of it."""
    shape = to_shapely(area.shape)
    shares: dict[str, list[BaseGeometry]] = defaultdict(list)
    for zone in record.zones_on.get(area.drawing_id, ()):
        share = to_shapely(zone.shape).intersection(shape)
        if share.area > SLIVER_MM2:
            shares[zone.part_id].append(share)
    for part_id, found in shares.items():
        yield Share(area, part_id, union_all(found))
    if not shares:
        yield Share(area, None, shape)


def _wholly_kept(zone: Zone, kept: Iterable[Share]) -> bool:
    left = to_shapely(zone.shape)
    for one in kept:
        if one.area.drawing_id == zone.drawing_id:
            left = left.difference(one.shape)
    return bool(left.area <= SLIVER_MM2)
