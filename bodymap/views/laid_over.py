"""What is laid over a map that stays as it is: what is chosen, what is not saved yet, the place that was touched.

So a touch does not send and draw the whole map anew.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record
from bodymap.views.layout import SheetLayout
from bodymap.views.sheet_parts import Path, Point
from bodymap.views.silhouette import rings_of


@dataclass(frozen=True)
class LaidOver:
    """All of it in sheet mm.

    `chosen`: edges of the chosen zones. `draft`: edges of an area that is not saved yet. `line`: a painted line that is not
    saved yet, by its stations. `place`: what was touched last; `place_words`: what stands beside it.
    """

    chosen: tuple[Path, ...] = ()
    draft: tuple[Path, ...] = ()
    line: Path = ()
    place: Point | None = None
    place_words: str = ""


def chosen_edges(record: Record, layout: SheetLayout, zone_ids: Collection[str], clear_mm: float = 0.0) -> tuple[Path, ...]:
    """Lines round these zones on the sheet [mm]; round those that are on another sheet, or not in the record, none.

    `clear_mm`: so far outside their edges, so that nothing in a narrow zone is covered; 0: the edges themselves.
    """
    zones = [record.zone[zone_id] for zone_id in zone_ids if zone_id in record.zone]
    return tuple(
        ring
        for zone in zones
        if layout.has(zone.drawing_id)
        for ring in rings_of(layout.place_of(zone.drawing_id), _round(to_shapely(zone.shape), clear_mm))
    )


def _round(shape: BaseGeometry, clear_mm: float) -> BaseGeometry:
    return shape.buffer(clear_mm, join_style="mitre", mitre_limit=2.0) if clear_mm else shape
