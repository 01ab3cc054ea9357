"""What every step of the plan has to be done to: which surface it strips, which gets its coat, which masks it puts on.

The rules are those of the replay; here the question is how much surface each step is work and material for, whatever
lies on it before or after. Areas are drawn; the true surface is theirs times the zone's surface ratio.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.exposure import Coating, exposed
from bodymap.finish.patches import SLIVER_MM2, Laid, Mask, Patch, coated, mask_of
from bodymap.geometry.areas import QUARTER_SEGMENTS
from bodymap.geometry.convert import to_shapely
from bodymap.model.plan import Step, StripMethod
from bodymap.model.record import Record
from bodymap.model.stack import Extent
from bodymap.model.zone import Zone
from bodymap.settings import Settings


@dataclass(frozen=True)
class Coated:
    """Surface of a zone that gets the coat of a step, in full or in mist [mm², drawn and true]."""

    step: int
    coat_id: str
    zone_id: str
    extent: Extent
    drawn_mm2: float
    surface_mm2: float


@dataclass(frozen=True)
class Stripped:
    """Surface of a zone that a step strips, kept areas left out [mm²]; `method`: None where none is stated.

    `margin_surface_mm2`: how much of it lies in the margin of a kept area, worked by hand whatever the method.
    """

    step: int
    zone_id: str
    method: StripMethod | None
    drawn_mm2: float
    surface_mm2: float
    margin_surface_mm2: float


@dataclass(frozen=True)
class Worked:
    """What the steps of a plan are done to, in their order."""

    coated: tuple[Coated, ...]
    stripped: tuple[Stripped, ...]


@dataclass
class _State:
    record: Record
    settings: Settings
    removed: set[str] = field(default_factory=set)
    masked: dict[str, int] = field(default_factory=dict)
    coated: list[Coated] = field(default_factory=list)
    stripped: list[Stripped] = field(default_factory=list)


def worked(record: Record, settings: Settings, steps: Iterable[Step] | None = None) -> Worked:
    """Go through the record's steps (or others) in the order of their numbers."""
    state = _State(record, settings)
    for step in sorted(record.steps if steps is None else steps, key=lambda step: step.step):
        target = step.target[0] if step.target else ""
        if step.action == "remove":
            state.removed.add(target)
        elif step.action == "fit":
            state.removed.discard(target)
        elif step.action == "mask":
            state.masked.setdefault(target, step.step)
        elif step.action == "unmask":
            state.masked.pop(target, None)
        elif step.action == "strip":
            state.stripped.extend(_strip(record, step))
        else:
            state.coated.extend(_coat(state, step, target))
    return Worked(tuple(state.coated), tuple(state.stripped))


def _strip(record: Record, step: Step) -> Iterator[Stripped]:
    for zone_id in step.target:
        zone = record.zone[zone_id]
        keeps = [area for area in record.areas if area.purpose == "keep" and area.drawing_id == zone.drawing_id]
        bare = to_shapely(zone.shape).difference(shapely.union_all([to_shapely(area.shape) for area in keeps]))
        bands = [to_shapely(area.shape).buffer(area.margin, quad_segs=QUARTER_SEGMENTS) for area in keeps if area.margin]
        margin_mm2 = bare.intersection(shapely.union_all(bands)).area
        if bare.area > SLIVER_MM2:
            yield Stripped(step.step, zone_id, step.method, bare.area, bare.area * zone.ratio, margin_mm2 * zone.ratio)


def _coat(state: _State, step: Step, coat_id: str) -> Iterator[Coated]:
    coating = Coating(frozenset(state.removed), frozenset(step.parts_beside), only=step.parts_only)
    mist_mm = state.settings.value("soft_edge_mist_mm")
    on = [(state.record.area[area_id], number) for area_id, number in state.masked.items()]
    masks = [(area.drawing_id, mask_of(area, number, mist_mm)) for area, number in on]
    for zone in state.record.zones:
        extent = exposed(state.record, zone, coating)
        if extent == "none":
            continue
        over = [mask for drawing, mask in masks if drawing == zone.drawing_id]
        yield from _covered(zone, Laid(coat_id, extent, step.step), over)


def _covered(zone: Zone, laid: Laid, masks: list[Mask]) -> Iterator[Coated]:
    surface: BaseGeometry = to_shapely(zone.shape)
    drawn: dict[Extent, float] = {}
    for patch in coated(Patch(surface, kept=False, layers=(), known=True), laid, masks):
        for layer in patch.layers:
            drawn[layer.extent] = drawn.get(layer.extent, 0.0) + patch.surface.area
    for extent, area_mm2 in drawn.items():
        yield Coated(laid.step or 0, laid.coat_id, zone.zone_id, extent, area_mm2, area_mm2 * zone.ratio)
