"""Paths read from a file that is no record: listed with what they may be, scaled, and made into entries when it is said.

A sketch knows nothing of parts and faces: those are told for each path (`Choice`), and nothing becomes a zone without.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, reduce

import shapely
from pydantic import ValidationError
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.exchange.sketch_roles import ROLES, Role
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.convert import from_shapely
from bodymap.geometry.curves import Point
from bodymap.geometry.trail import Trail
from bodymap.geometry.validity import shape_fault
from bodymap.model import Entry, OutlineShape, Shape, Zone

FACES = ("outer", "back", "flange", "jamb", "channel", "other")
_RING_LEAST = 4
# Room left between what is drawn and what is laid beside it: a share of what is drawn.
_AIR, _AIR_LEAST_MM = 0.05, 50.0


@dataclass(frozen=True)
class SketchPath:
    """One path of a file.

    Attributes:
        ident: its number in the file, `p1` on.
        name: what it is called itself; empty: nothing.
        groups: what the groups around it are called, from the outside in.
        trails: its lines, in mm of the sketch, y up.
        even_odd: whether what is enclosed twice is open (else only what runs the other way round is).
        role: what it may be, by its names; None: they do not tell.
        role_from: the name that tells.
        told: what the file says of a zone by itself (part_id, face, zone_id), to be confirmed.
    """

    ident: str
    name: str
    groups: tuple[str, ...]
    trails: tuple[Trail, ...]
    even_odd: bool = False
    role: Role | None = None
    role_from: str = ""
    told: Mapping[str, str] = field(default_factory=dict)
    chord_error_mm: float = 0.05

    @cached_property
    def lines(self) -> tuple[tuple[Point, ...], ...]:
        """Its lines as points [mm]; what is a single point is left out."""
        return tuple(line for line in (trail.points(self.chord_error_mm) for trail in self.trails) if len(line) > 1)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x and y, greatest x and y [mm]."""
        x, y = zip(*(point for line in self.lines for point in line), strict=True)
        return min(x), min(y), max(x), max(y)

    @property
    def length_mm(self) -> float:
        """Along all its lines."""
        return sum(math.dist(one, other) for line in self.lines for one, other in itertools.pairwise(line))

    @property
    def closed(self) -> bool:
        """Whether every line of it ends where it begins."""
        return all(line[0] == line[-1] and len(line) >= _RING_LEAST for line in self.lines)

    @property
    def gap_mm(self) -> float:
        """Widest distance between the ends of one of its lines."""
        return max(math.dist(line[0], line[-1]) for line in self.lines)

    @property
    def fault(self) -> str | None:
        """Why it encloses no usable surface; None: it does."""
        try:
            self.surface()
        except BodymapError as error:
            return str(error)
        return None

    def surface(self, *, close: bool = False) -> Shape:
        """What it encloses [mm]; `close`: with open lines closed straight.

        Raises:
            BodymapError: it is open, or encloses nothing that can be used.
        """
        rings = [_ring(line, close=close) for line in self.lines]
        for ring in rings:
            if ring is None:
                raise BodymapError(f"an open line: its ends are {self.gap_mm:.1f} mm apart")
            fault = shape_fault(_raw(ring))
            if fault:
                raise BodymapError(f"a surface that cannot be used: {fault}")
        kept = [ring for ring in rings if ring is not None]
        edges = kept if self.even_odd else _winding_edges(kept)
        whole = reduce(lambda one, other: one.symmetric_difference(other), edges[1:], edges[0])
        surface = from_shapely(whole) if not whole.is_empty else None
        if surface is None or surface.type not in ("Polygon", "MultiPolygon"):
            raise BodymapError("a surface that cannot be used: it has no area")
        return surface

    def outline(self) -> Shape:
        """It as an outline: a surface where it encloses one, else its lines."""
        if self.closed and self.fault is None:
            return self.surface()
        return from_shapely(
            shapely.LineString(self.lines[0]) if len(self.lines) == 1 else shapely.MultiLineString(self.lines)
        )

    def calibrated(self, calibration: Calibration) -> SketchPath:
        """The same path under a calibration; curves are made into points after it."""
        return replace(self, trails=tuple(trail.moved(calibration.points) for trail in self.trails))


@dataclass(frozen=True)
class Choice:
    """What a path is to become. A zone needs its part and face, and an id; `close`: an open line is closed straight."""

    role: Role
    name: str = ""
    zone_id: str = ""
    part_id: str = ""
    face: str = ""
    close: bool = False


@dataclass(frozen=True)
class Sketch:
    """The paths of a file.

    Attributes:
        shapes: the paths in their order.
        notes: what is to be known of the reading.
        scale_from: how the scale was fixed.
        trusted_scale: the file itself says how large the drawing is; where not, it must be calibrated.
        source: name of the file, for messages.
    """

    shapes: tuple[SketchPath, ...]
    notes: tuple[str, ...]
    scale_from: str
    trusted_scale: bool
    source: str = "outline"

    @property
    def needs_calibration(self) -> bool:
        """No scale is known: its millimetres mean nothing yet. Calibrating is offered always, even where this is not so."""
        return not self.trusted_scale

    def calibrated(self, calibration: Calibration) -> Sketch:
        """The sketch under a calibration of two points set on it; from then on its scale is known."""
        shapes = tuple(path.calibrated(calibration) for path in self.shapes)
        return replace(self, shapes=shapes, scale_from=calibration.words or "calibrated", trusted_scale=True)

    def moved(self, offset: Point) -> Sketch:
        """The sketch moved by (x, y) [mm]; what is known of its scale stays as it was."""
        move = Calibration(offset=offset)
        return replace(self, shapes=tuple(path.calibrated(move) for path in self.shapes))

    def beside(self, drawn: tuple[float, float, float, float], paths: Collection[str], move: Calibration) -> Calibration:
        """How it has to be moved to lie to the right of what is drawn, on the same level.

        Args:
            drawn: least x and y, greatest x and y of what is drawn [mm].
            paths: those whose place counts, by ident; none: all.
            move: how it was brought to this size; the same, but for the offset, is returned.
        """
        counted = [path.bounds for path in self.shapes if path.ident in paths] or [path.bounds for path in self.shapes]
        left, low = min(bounds[0] for bounds in counted), min(bounds[1] for bounds in counted)
        air = max(_AIR_LEAST_MM, _AIR * (drawn[2] - drawn[0]))
        x, y = move.offset
        return replace(move, offset=(x + drawn[2] + air - left, y + drawn[1] - low))

    def to_entries(self, drawing_id: str, choices: Mapping[str, Choice]) -> tuple[Entry, ...]:
        """Outline shapes and zones of the chosen paths, in the order of the file; a path without a choice is left out.

        Args:
            drawing_id: the drawing they are to be on.
            choices: what paths are to become, by their ident.

        Raises:
            Faults: everything that keeps a choice from being carried out.
        """
        paths = {path.ident: path for path in self.shapes}
        faults = [
            Fault(self.source, column="path", found=repr(ident), allowed=f"a path of this file, {_range(paths)}")
            for ident in choices
            if ident not in paths
        ]
        entries: list[Entry] = []
        for number, path in enumerate(self.shapes, start=1):
            choice = choices.get(path.ident)
            if choice is None:
                continue
            at = Fault(self.source, number, subject=path.ident)
            wrong = list(_wrong(path, choice, at))
            faults += wrong
            if not wrong:
                entries.append(_entry(path, choice, drawing_id))
        faults += _twice(self.source, entries)
        if faults:
            raise Faults(f"outline from {self.source}", faults)
        return tuple(entries)


def _range(paths: Mapping[str, SketchPath]) -> str:
    idents = list(paths)
    return f"{idents[0]} to {idents[-1]}" if idents else "of which there are none"


def _wrong(path: SketchPath, choice: Choice, at: Fault) -> Iterable[Fault]:
    if choice.role not in ROLES:
        yield replace(at, column="role", found=repr(choice.role), allowed=" or ".join(ROLES))
    if choice.role != "zone":
        return
    if not choice.part_id:
        yield replace(at, column="part_id", found="a zone without a part", allowed="a part_id of this record")
    if choice.face not in FACES:
        yield replace(at, column="face", found=repr(choice.face) if choice.face else "a zone without a face",
                      allowed=" or ".join(FACES))  # fmt: skip
    try:
        surface = path.surface(close=choice.close)
        Zone(zone_id=choice.zone_id, drawing_id="d", part_id=choice.part_id or "p", face="outer", shape=surface)
    except ValidationError as error:
        for one in error.errors(include_url=False, include_input=False):
            yield replace(at, column=str(one["loc"][0]), found=repr(getattr(choice, str(one["loc"][0]), "")),
                          allowed=one["msg"].removeprefix("Value error, "))  # fmt: skip
    except BodymapError as error:
        yield replace(at, column="geometry", found=str(error), allowed="a closed line that does not cross itself")


def _entry(path: SketchPath, choice: Choice, drawing_id: str) -> Entry:
    name = (choice.name or path.name).strip() or None
    if choice.role == "zone":
        return Zone.model_validate(
            {
                "zone_id": choice.zone_id,
                "drawing_id": drawing_id,
                "part_id": choice.part_id,
                "face": choice.face,
                "name": name,
                "shape": path.surface(close=choice.close),
            }
        )
    return OutlineShape(drawing_id=drawing_id, kind=choice.role, name=name, shape=path.outline())


def _twice(source: str, entries: Iterable[Entry]) -> Iterable[Fault]:
    seen: set[str] = set()
    for entry in entries:
        if isinstance(entry, Zone) and entry.zone_id in seen:
            yield Fault(source, column="zone_id", found=f"{entry.zone_id!r} twice", allowed="each zone_id once")
        seen.add(entry.ident)


def _ring(line: tuple[Point, ...], *, close: bool) -> shapely.Polygon | None:
    if line[0] != line[-1]:
        if not close:
            return None
        line = (*line, line[0])
    return shapely.Polygon(line) if len(line) >= _RING_LEAST else None


def _raw(ring: shapely.Polygon) -> Shape:
    return Shape.model_validate({"type": "Polygon", "coordinates": [list(ring.exterior.coords)]})


def _winding_edges(rings: list[shapely.Polygon]) -> list[BaseGeometry]:
    """The rings at which the inside changes by the non-zero rule: a ring that runs the same way inside another does not."""
    turns = [1 if ring.exterior.is_ccw else -1 for ring in rings]
    edges: list[BaseGeometry] = []
    for number, ring in enumerate(rings):
        spot = ring.representative_point()
        # rings that are the same count one after the other
        outer = sum(
            turn
            for other, (held, turn) in enumerate(zip(rings, turns, strict=True))
            if other != number and held.contains(spot) and (held.area, -other) > (ring.area, -number)
        )
        if (outer != 0) != (outer + turns[number] != 0):
            edges.append(ring)
    return edges
