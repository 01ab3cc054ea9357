"""Zones: surfaces with one finish history."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Id, Positive, SurfaceShape, Text
from bodymap.model.entry import Entry

Face = Literal["outer", "back", "flange", "jamb", "channel", "other"]
Intent = Literal["keep", "clean", "as_built", "better"]


class Zone(Entry):
    """A surface with one finish history.

    `surface_ratio` is true surface ÷ drawn surface; left blank it counts as 1 and stays marked as not measured.
    """

    KIND: ClassVar[str] = "zone"
    FILE: ClassVar[str] = "zones.geojson"
    KEY: ClassVar[tuple[str, ...]] = ("zone_id",)
    SHAPES: ClassVar[tuple[str, ...]] = ("Polygon", "MultiPolygon")

    zone_id: Id
    drawing_id: Id
    part_id: Id
    face: Face
    name: Text | None = None
    surface_ratio: Positive | None = None
    surface_ratio_from: Text | None = None
    intent: Intent | None = None
    shape: SurfaceShape

    @property
    def ratio(self) -> float:
        """Surface ratio to reckon with: 1 where none is stated."""
        return 1.0 if self.surface_ratio is None else self.surface_ratio

    @property
    def title(self) -> str:
        """Name to show: its own, else its id."""
        return self.name or self.zone_id
