"""What it takes to cover a kept area while stripper or blast is near it: foil in layers, and tape round it.

The cover takes the kept area and the band round it that is worked by hand. Common practice, no source; seams between
sheets of foil are not counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from bodymap.finish.methods import METHODS
from bodymap.geometry.areas import QUARTER_SEGMENTS, area_preview
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model import Area, Record
from bodymap.release.strip_areas import ZoneSplit
from bodymap.settings import Settings
from bodymap.units import mm2_to_m2, mm_to_m


@dataclass(frozen=True)
class Cover:
    """Cover of one kept area: surface it takes [m²], layers; foil and tape with layers and laps."""

    surface_m2: float
    layers: int
    foil_m2: float
    tape_m: float


def cover_of(record: Record, area: Area, splits: Sequence[ZoneSplit], settings: Settings) -> Cover | None:
    """The cover of a kept area against these zones' methods; None where it is near to blade and hand work only."""
    methods = {one.method for split in splits if area.area_id in split.reach_of for one in split.strips}
    if not any(method is None or METHODS[method].margin_key for method in methods):
        return None
    layers = int(settings.value("foil_layers")) if methods & {"chemical", None} else 1
    shape = to_shapely(area.shape)
    zones = [to_shapely(zone.shape) for zone in record.zones_on.get(area.drawing_id, ())]
    wide = shape.buffer(area.margin or 0.0, quad_segs=QUARTER_SEGMENTS)
    cover = shapely.union(shape, wide.intersection(shapely.union_all(zones)))
    shares = area_preview(record, area.drawing_id, from_shapely(cover)).values()
    outside_mm2 = max(cover.area - sum(share.drawn_mm2 for share in shares), 0.0)
    surface_m2 = mm2_to_m2(outside_mm2 + sum(share.surface_mm2 for share in shares))
    foil = surface_m2 * layers * (1 + settings.value("mask_film_lap_pct") / 100)
    tape = mm_to_m(cover.length) * layers * (1 + settings.value("tape_lap_pct") / 100)
    return Cover(surface_m2, layers, foil, tape)
