"""What a drawing is made of, gathered while it is drawn."""

from __future__ import annotations

from dataclasses import dataclass, field

from shapely.geometry import LineString, Point
from shapely.geometry.base import BaseGeometry

from demo.drawing.curves import mirror


@dataclass(frozen=True)
class Zone:
    zone_id: str
    drawing_id: str
    part_id: str
    face: str
    name: str
    shape: BaseGeometry
    ratio: float | None = None
    ratio_from: str = ""
    intent: str = ""


@dataclass(frozen=True)
class Outline:
    drawing_id: str
    kind: str
    name: str
    shape: BaseGeometry


@dataclass(frozen=True)
class Datum:
    datum_id: str
    drawing_id: str
    name: str
    shape: Point | LineString


@dataclass
class Sheet:
    """One drawing."""

    drawing_id: str
    zones: list[Zone] = field(default_factory=list)
    outlines: list[Outline] = field(default_factory=list)
    datums: list[Datum] = field(default_factory=list)

    def zone(
        self,
        zone_id: str,
        part: str,
        face: str,
        name: str,
        shape: BaseGeometry,
        ratio: tuple[float, str] | None = None,
        intent: str = "",
    ) -> None:
        """A surface; `ratio`: true surface over drawn surface, and how it was measured."""
        value, basis = ratio or (None, "")
        self.zones.append(Zone(zone_id, self.drawing_id, part, face, name, shape, value, basis, intent))

    def mark(self, kind: str, name: str, *shapes: BaseGeometry) -> None:
        self.outlines += [Outline(self.drawing_id, kind, name, shape) for shape in shapes]

    def datum(self, datum_id: str, name: str, shape: Point | LineString) -> None:
        self.datums.append(Datum(datum_id, self.drawing_id, name, shape))

    def both(self, kind: str, name: str, width: float, *shapes: BaseGeometry) -> None:
        """A mark and its twin on the other side of the middle line."""
        for shape in shapes:
            self.mark(kind, name, shape, mirror(shape, width))
