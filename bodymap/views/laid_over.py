"""What is laid over a map that stays as it is: what is chosen, what is not saved yet, the place that was touched.

So a touch does not send and draw the whole map anew.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

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


def chosen_edges(record: Record, layout: SheetLayout, zone_ids: Collection[str]) -> tuple[Path, ...]:
    """The edges of these zones on the sheet [mm]; of those that are on another sheet, or not in the record, none."""
    zones = [record.zone[zone_id] for zone_id in zone_ids if zone_id in record.zone]
    return tuple(
        ring
        for zone in zones
        if layout.has(zone.drawing_id)
        for ring in rings_of(layout.place_of(zone.drawing_id), to_shapely(zone.shape))
    )
