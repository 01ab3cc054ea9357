"""One view of a starting shape while it is drawn, and what it becomes: outline shapes, zones, parts, datums.

Zones of a view share their edges point for point, so that there is no gap and no overlap to begin with.
All positions are in mm on the drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.geometry.curves import GRID_MM, cut_faces, joined
from bodymap.model import Datum, OutlineShape, Zone
from bodymap.model.drawing import OutlineKind

_SEEN_MM = 1.0
# Shorter than this a piece of a line is where it only crosses an edge.
_SPLINTER_MM = 5.0


@dataclass(frozen=True)
class Panel:
    """A zone to be: its key on the view, its part, its name, and a place inside it on the finished drawing."""

    key: str
    part_id: str
    name: str
    seed: tuple[float, float]


@dataclass
class Sheet:
    """One view."""

    drawing_id: str
    zones: list[Zone] = field(default_factory=list)
    outline: list[OutlineShape] = field(default_factory=list)
    datums: list[Datum] = field(default_factory=list)

    def mark(self, kind: OutlineKind, name: str, *shapes: BaseGeometry) -> None:
        """Something that makes the vehicle recognisable."""
        for shape in shapes:
            tidy = shapely.set_precision(shape, GRID_MM)
            if not tidy.is_empty:
                self.outline.append(OutlineShape(drawing_id=self.drawing_id, kind=kind, name=name, shape=from_shapely(tidy)))

    def line(self, kind: OutlineKind, name: str, line: BaseGeometry, within: BaseGeometry) -> None:
        """A line as far as it runs on a surface."""
        seen = line.intersection(within.buffer(-_SEEN_MM))
        parts = [part for part in shapely.get_parts(seen) if part.geom_type == "LineString"]
        if parts:
            self.mark(kind, name, shapely.line_merge(shapely.MultiLineString(parts)))

    def seams(self, name: str, lines: Iterable[BaseGeometry], within: BaseGeometry) -> None:
        """Shut lines: lines as far as two panels meet along them on a surface."""
        edges = shapely.union_all([to_shapely(zone.shape).boundary for zone in self.zones]).buffer(2 * GRID_MM)
        for line in lines:
            seen = line.intersection(edges).intersection(within.buffer(-_SEEN_MM))
            parts = [p for p in shapely.get_parts(seen) if p.geom_type == "LineString" and p.length > _SPLINTER_MM]
            if parts:
                self.mark("shut_line", name, shapely.line_merge(shapely.MultiLineString(parts)))

    def datum(self, key: str, name: str, shape: BaseGeometry) -> None:
        """A point or line to measure from."""
        tidy = from_shapely(shapely.set_precision(shape, GRID_MM))
        self.datums.append(Datum(datum_id=f"dt_{self.drawing_id}_{key}", drawing_id=self.drawing_id, name=name, shape=tidy))

    def panels(
        self,
        region: BaseGeometry,
        cutters: Iterable[BaseGeometry],
        panels: Sequence[Panel],
        over: Sequence[tuple[Panel, BaseGeometry]] = (),
    ) -> None:
        """Cut a region into panels, by their seeds; what lies over it are panels of their own, the first uppermost.

        Raises:
            BodymapError: a panel that has no face: the shape cannot be drawn at this size.
        """
        edges = [line for shape in (region, *(shape for _, shape in over)) for line in _lines(shape.boundary)]
        whole = shapely.union_all([region, *(shape for _, shape in over)])
        named = [*(panel for panel, _ in over), *panels]
        held: dict[int, list[Polygon]] = {}
        free: list[Polygon] = []
        for face in cut_faces(whole, [*edges, *cutters]):
            owner = _owner(face, panels, over)
            if owner is None:
                free.append(face)
            else:
                held.setdefault(owner, []).append(face)
        missing = [panel.name for number, panel in enumerate(named) if number not in held]
        if missing:
            raise BodymapError(
                f"starting shape: found no room for {', '.join(missing)}; allowed: a size nearer to the usual"
            )
        for face in sorted(free, key=lambda face: -face.area):
            held[_neighbour(face, held)].append(face)
        for number, panel in enumerate(named):
            self.zone(panel, joined(held[number]))

    def zone(self, panel: Panel, shape: BaseGeometry) -> None:
        """A zone of its own."""
        self.zones.append(
            Zone(
                zone_id=f"{self.drawing_id}_{panel.key}",
                drawing_id=self.drawing_id,
                part_id=panel.part_id,
                face="outer",
                name=panel.name,
                shape=from_shapely(shapely.set_precision(shape, GRID_MM)),
            )
        )


def at(spot: BaseGeometry) -> tuple[float, float]:
    """Where a point came to lie."""
    x, y = shapely.get_coordinates(spot)[0].tolist()
    return x, y


def both(half: Sequence[tuple[float, float]]) -> Polygon:
    """A shape about x = 0 from its right half: points from the middle line at the foot, outward, to it at the top."""
    right, left = list(half), [(-x, y) for x, y in reversed(half)]
    ring = [spot for n, spot in enumerate(right + left) if n == 0 or spot != (right + left)[n - 1]]
    return Polygon(ring).buffer(0)


def twin(half: Sequence[tuple[float, float]]) -> Polygon:
    """A shape about y = 0 from its upper half: points from the middle line in front, outward, to it behind."""
    upper, lower = list(half), [(x, -y) for x, y in reversed(half)]
    ring = [spot for n, spot in enumerate(upper + lower) if n == 0 or spot != (upper + lower)[n - 1]]
    return Polygon(ring).buffer(0)


def across(shape: BaseGeometry) -> BaseGeometry:
    """The left-right twin of a shape about x = 0."""
    return shapely.transform(shape, lambda xy: xy * np.array((-1.0, 1.0)))


def below(shape: BaseGeometry) -> BaseGeometry:
    """The twin of a shape about y = 0."""
    return shapely.transform(shape, lambda xy: xy * np.array((1.0, -1.0)))


def _owner(face: Polygon, panels: Sequence[Panel], over: Sequence[tuple[Panel, BaseGeometry]]) -> int | None:
    inside = face.representative_point()
    for number, (_, shape) in enumerate(over):
        if shape.contains(inside):
            return number
    return next((len(over) + n for n, panel in enumerate(panels) if face.covers(Point(panel.seed))), None)


def _lines(boundary: BaseGeometry) -> list[LineString]:
    return [part for part in shapely.get_parts(boundary) if isinstance(part, LineString)]


def _neighbour(face: Polygon, held: dict[int, list[Polygon]]) -> int:
    """The panel that shares most of a face's edge."""
    return max(held, key=lambda number: sum(part.boundary.intersection(face.boundary).length for part in held[number]))
