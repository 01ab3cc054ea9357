"""Areas drawn inside zones: kept, or covered while a coat goes on."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Id, MarginMm, SurfaceShape, Text
from bodymap.model.entry import Entry

Purpose = Literal["keep", "mask"]
Edge = Literal["hard", "soft", "part_edge", "body_line", "left_in_seal"]
Origin = Literal["original", "recreated"]


class Area(Entry):
    """A kept area (never stripped) or a mask (covered while a coat goes on).

    `margin`: mm outside a kept area worked by hand only; blank means that none is stated; 10 m at most.
    """

    KIND: ClassVar[str] = "area"
    FILE: ClassVar[str] = "areas.geojson"
    KEY: ClassVar[tuple[str, ...]] = ("area_id",)
    SHAPES: ClassVar[tuple[str, ...]] = ("Polygon", "MultiPolygon")

    area_id: Id
    drawing_id: Id
    purpose: Purpose
    name: Text | None = None
    reason: Text | None = None
    edge: Edge | None = None
    margin: MarginMm | None = None
    origin: Origin | None = None
    shape: SurfaceShape

    @property
    def title(self) -> str:
        """Name to show: its own, else its id."""
        return self.name or self.area_id
