"""What a strip calls for, zone by zone: cautions, and what is masked and taken off by then."""

from __future__ import annotations

from collections.abc import Sequence

from bodymap.finish.methods import strip_cautions
from bodymap.geometry.convert import to_shapely
from bodymap.model import Record, Zone
from bodymap.model.plan import StripMethod
from bodymap.release.strip_areas import ZoneSplit

# What lies this near to a zone is told with it [mm].
_NEAR_MM = 100.0


def zone_cautions(record: Record, split: ZoneSplit, method: StripMethod | None = None) -> frozenset[str]:
    """Keys of the cautions for stripping a zone by its planned methods, or by `method`; none where it is not stripped."""
    if method is None and not split.strips:
        return frozenset()
    stacks = record.stacks_of.get(split.zone_id, ())
    coats = {record.coat[layer.coat_id].kind for one in stacks for layer in record.layers_of.get(one.stack_id, ())}
    substrate = record.part[split.part_id].substrate
    methods = [method] if method else [one.method for one in split.strips]
    return frozenset().union(*(strip_cautions(one, substrate, coats) for one in methods))


def masks_on(record: Record, step: int, zones: Sequence[Zone]) -> str:
    """What is masked near zones, and which parts are off the vehicle, when a step strips them, in one sentence."""
    masked: dict[str, int] = {}
    removed: dict[str, None] = {}
    for one in sorted(record.steps, key=lambda one: one.step):
        if one.step >= step:
            break
        if one.action == "mask":
            masked |= dict.fromkeys(one.target, one.step)
        elif one.action == "unmask":
            masked = {area: at for area, at in masked.items() if area not in one.target}
        elif one.action == "remove":
            removed |= dict.fromkeys(one.target)
        elif one.action == "fit":
            removed = {part: None for part in removed if part not in one.target}
    surfaces = [(zone.drawing_id, to_shapely(zone.shape).buffer(_NEAR_MM)) for zone in zones]
    near = [
        f"{area.area_id} {area.title} (since step {masked[area.area_id]})"
        for area in record.areas
        if area.area_id in masked
        and any(on == area.drawing_id and surface.intersects(to_shapely(area.shape)) for on, surface in surfaces)
    ]
    off = [record.part[part].name for part in removed if part in record.part]
    on = "masks on near it: " + "; ".join(near) if near else "no mask is on near it"
    return f"Step {step}: {on}. Off the vehicle by then: {'; '.join(off) if off else 'nothing'}."
