"""Which masks a drafted coat needs, the record's own where they serve, and when each is put on and taken off."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.finish.patches import SLIVER_MM2, mask_of
from bodymap.geometry.convert import to_shapely
from bodymap.model.area import Area
from bodymap.model.record import Record
from bodymap.settings import Settings

_ID_MOST = 64


@dataclass(frozen=True)
class Shield:
    """A surface that a coat must not reach: a whole zone, or a kept area."""

    drawing_id: str
    ident: str
    title: str
    shape: BaseGeometry
    kept: Area | None = None


@dataclass
class MaskDesk:
    """The masks at hand: the record's own, and those proposed so far (by the id of what they cover)."""

    record: Record
    settings: Settings
    proposed: dict[str, Area] = field(default_factory=dict)

    def needed(self, shields: Sequence[Shield], wet: Mapping[str, BaseGeometry]) -> dict[str, None]:
        """Ids of masks that cover all of the shields and nothing wet. `wet`: by drawing, what is to get the coat."""
        chosen: dict[str, None] = {}
        for shield in shields:
            own = self._own_masks(shield, wet.get(shield.drawing_id))
            chosen.update(dict.fromkeys(own if own is not None else [self._propose(shield).area_id]))
        return chosen

    def area(self, area_id: str) -> Area:
        """A mask by its id, the record's own or a proposed one."""
        return self.record.area.get(area_id) or next(one for one in self.proposed.values() if one.area_id == area_id)

    def harms(self, area_id: str, wet: Mapping[str, BaseGeometry]) -> bool:
        """Whether a mask would keep a coat off where it is wanted."""
        area = self.area(area_id)
        surface = wet.get(area.drawing_id)
        return surface is not None and to_shapely(area.shape).intersection(surface).area > SLIVER_MM2

    def _own_masks(self, shield: Shield, wet: BaseGeometry | None) -> list[str] | None:
        """The record's masks that together cover a shield; None where they leave some of it bare."""
        left, used = shield.shape, []
        mist_mm = self.settings.value("soft_edge_mist_mm")
        for area in self.record.areas:
            if area.purpose != "mask" or area.drawing_id != shield.drawing_id:
                continue
            if wet is not None and to_shapely(area.shape).intersection(wet).area > SLIVER_MM2:
                continue
            shut = mask_of(area, 0, mist_mm).shut
            if left.intersection(shut).area > SLIVER_MM2:
                left = left.difference(shut)
                used.append(area.area_id)
            if left.area <= SLIVER_MM2:
                return used
        return None

    def _propose(self, shield: Shield) -> Area:
        if shield.ident not in self.proposed:
            kept = shield.kept
            self.proposed[shield.ident] = Area.model_validate(
                {
                    "area_id": self._free_id(f"mask_{shield.ident}"),
                    "drawing_id": shield.drawing_id,
                    "purpose": "mask",
                    "name": f"Mask over {shield.title}",
                    "reason": "proposed with the drafted plan; its edge is still to be decided",
                    # a soft edge would let mist on to what is kept
                    "edge": kept.edge if kept is not None and kept.edge != "soft" else None,
                    "origin": "recreated",
                    "shape": kept.shape if kept is not None else self.record.zone[shield.ident].shape,
                }
            )
        return self.proposed[shield.ident]

    def _free_id(self, wanted: str) -> str:
        taken = self.record.ids | {area.area_id for area in self.proposed.values()}
        ident, number = wanted[:_ID_MOST], 2
        while ident in taken:
            ident = f"{wanted[: _ID_MOST - 4]}_{number}"
            number += 1
        return ident


def shields_of(record: Record, reached: Iterable[str], met: frozenset[str]) -> Iterator[Shield]:
    """What has to be covered: kept areas in zones that the coat reaches, and zones which it reaches and must not."""
    zones = [record.zone[zone_id] for zone_id in reached]
    for area in record.areas:
        if area.purpose == "keep" and any(
            zone.drawing_id == area.drawing_id
            and to_shapely(zone.shape).intersection(to_shapely(area.shape)).area > SLIVER_MM2
            for zone in zones
        ):
            yield Shield(area.drawing_id, area.area_id, area.title, to_shapely(area.shape), area)
    for zone in zones:
        if zone.zone_id not in met:
            yield Shield(zone.drawing_id, zone.zone_id, zone.title, to_shapely(zone.shape))


def wet_surfaces(record: Record, met: Iterable[str]) -> dict[str, BaseGeometry]:
    """By drawing, the surfaces that are to get a coat: the zones it is wanted on, without their kept areas."""
    shapes: dict[str, list[BaseGeometry]] = {}
    for zone_id in met:
        zone = record.zone[zone_id]
        shapes.setdefault(zone.drawing_id, []).append(to_shapely(zone.shape))
    kept = {
        drawing: [to_shapely(one.shape) for one in record.areas if one.purpose == "keep" and one.drawing_id == drawing]
        for drawing in shapes
    }
    return {
        drawing: shapely.union_all(found).difference(shapely.union_all(kept[drawing])) for drawing, found in shapes.items()
    }
