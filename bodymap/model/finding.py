"""What was found on the skin, and the lines painted on it."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from bodymap.model.columns import Allowed, AnyShape, Colour, Id, LineShape, Number, Positive, Text
from bodymap.model.entry import Entry

FindingKind = Literal[
    "dent", "crack", "corrosion", "filler", "checking", "blister", "chip", "ghost", "rub", "repair", "other"
]
Hand = Literal["brush", "tape", "other"]
Severity = Annotated[int, Field(ge=1, le=5), Allowed("whole", "a whole number from 1 to 5")]


class Finding(Entry):
    """Something found: any geometry, or none yet (a release to strip then waits for it). `depth` in mm."""

    KIND: ClassVar[str] = "finding"
    FILE: ClassVar[str] = "findings.geojson"
    KEY: ClassVar[tuple[str, ...]] = ("finding_id",)

    finding_id: Id
    drawing_id: Id
    kind: FindingKind
    depth: Number | None = None
    severity: Severity | None = None
    note: Text | None = None
    shape: AnyShape | None = None


class Line(Entry):
    """A hand-painted or taped line along its centre; `width` in mm."""

    KIND: ClassVar[str] = "line"
    FILE: ClassVar[str] = "lines.geojson"
    KEY: ClassVar[tuple[str, ...]] = ("line_id",)
    SHAPES: ClassVar[tuple[str, ...]] = ("LineString", "MultiLineString")

    line_id: Id
    drawing_id: Id
    width: Positive | None = None
    colour: Colour | None = None
    hand: Hand | None = None
    note: Text | None = None
    shape: LineShape
