"""Flat drawings, what makes the vehicle recognisable on them, and the points and lines to measure from."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import AnyShape, DatumShape, Id, Text
from bodymap.model.entry import Entry

DrawingKind = Literal["outside", "hidden"]
Scale = Literal["measured", "schematic"]
# How `scale_from` begins where the drawing was begun with a shape of ours: two points give it a size, no curve.
READY_MADE = "a ready-made starting shape"
OutlineKind = Literal["body", "glass", "wheel", "lamp", "trim", "shut_line", "body_line"]


class Drawing(Entry):
    """One flat drawing: a side of the vehicle, or a sheet of hidden surfaces. Its plane is in mm, x right, y up."""

    KIND: ClassVar[str] = "drawing"
    FILE: ClassVar[str] = "drawings.csv"
    KEY: ClassVar[tuple[str, ...]] = ("drawing_id",)

    drawing_id: Id
    name: Text
    kind: DrawingKind
    scale: Scale | None = None
    scale_from: Text | None = None
    mirror_of: Id | None = None

    @property
    def schematic(self) -> bool:
        """Shapes are signs only: areas are estimates and no template is printed."""
        return self.scale == "schematic"

    @property
    def ready_made(self) -> bool:
        """It was begun with a shape of ours: its curves are no vehicle's, whatever its size was measured by."""
        return (self.scale_from or "").startswith(READY_MADE)


class OutlineShape(Entry):
    """A shape that makes the vehicle recognisable and is no zone."""

    KIND: ClassVar[str] = "outline"
    FILE: ClassVar[str] = "outline.geojson"

    drawing_id: Id
    kind: OutlineKind
    name: Text | None = None
    shape: AnyShape


class Datum(Entry):
    """A named point or line to measure from."""

    KIND: ClassVar[str] = "datum"
    FILE: ClassVar[str] = "datums.geojson"
    KEY: ClassVar[tuple[str, ...]] = ("datum_id",)
    SHAPES: ClassVar[tuple[str, ...]] = ("Point", "LineString")

    datum_id: Id
    drawing_id: Id
    name: Text
    shape: DatumShape
