"""Which zone is the left or right of which: by geometry where one drawing is the twin of another, else by name.

A twin drawing (`mirror_of`) shows the other side of the vehicle, so its zones are those of the first turned left to
right about some upright line. That line is not stated; it is found as the one about which most area of zones and bodies
agrees. Two zones are a pair where at least `mirror_overlap_pct` of both coincides (nearly all of them, where they alone
tell the line). On other drawings (front, rear, roof, hidden faces) two zones are a pair where their ids differ in left
and right only and their areas agree as closely.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.record import Record
from bodymap.settings import Settings

_TOLERANCE_MM = 10.0
_LONE_SHARE = 0.9
_WORDS = {"L": "R", "l": "r", "left": "right", "Left": "Right", "LEFT": "RIGHT", "LH": "RH", "lh": "rh"}
_TOKEN = re.compile(r"(?P<word>left|Left|LEFT)|(?<![A-Za-z])(?P<one>LH|lh|L|l)(?![A-Za-z])|(?<=[a-z])(?P<camel>L)(?![a-z])")


@dataclass(frozen=True)
class Mirror:
    """How a twin drawing lies to the drawing it mirrors: x' = `sum_mm` − x, y' = y + `up_mm`; told by `told_by` shapes."""

    left_drawing: str
    right_drawing: str
    sum_mm: float
    up_mm: float
    told_by: int

    def across(self, geometry: BaseGeometry) -> BaseGeometry:
        """A shape of the left drawing as it lies on the right one."""
        return shapely.transform(geometry, lambda xy: np.column_stack((self.sum_mm - xy[:, 0], xy[:, 1] + self.up_mm)))

    def back(self, geometry: BaseGeometry) -> BaseGeometry:
        """A shape of the right drawing as it lies on the left one."""
        return shapely.transform(geometry, lambda xy: np.column_stack((self.sum_mm - xy[:, 0], xy[:, 1] - self.up_mm)))


@dataclass(frozen=True)
class ZonePair:
    """A left and a right zone, and by what they were paired."""

    left: str
    right: str
    by: Literal["geometry", "name"]


def mirrors(record: Record) -> tuple[Mirror, ...]:
    """The twin drawings whose mirror line could be found; `left` is the one said to be left, else the one mirrored."""
    found = []
    for drawing in record.drawings:
        other = record.drawing.get(drawing.mirror_of or "")
        if other is None or other.drawing_id == drawing.drawing_id:
            continue
        swapped = _says(drawing.drawing_id, drawing.name, "left") or _says(other.drawing_id, other.name, "right")
        left, right = (drawing, other) if swapped else (other, drawing)
        line = _mirror_line(_shapes(record, left.drawing_id), _shapes(record, right.drawing_id))
        if line:
            found.append(Mirror(left.drawing_id, right.drawing_id, *line))
    return tuple(found)


def zone_pairs(record: Record, settings: Settings) -> tuple[ZonePair, ...]:
    """Left and right zones of a record, in the order of the left ones; each zone in one pair at most."""
    share = settings.value("mirror_overlap_pct") / 100
    pairs = [pair for mirror in mirrors(record) for pair in _by_geometry(record, mirror, share)]
    taken = {zone for pair in pairs for zone in (pair.left, pair.right)}
    for zone in record.zones:
        other = record.zone.get(next(iter(_swapped(zone.zone_id)), ""))
        if other is None or {zone.zone_id, other.zone_id} & taken or zone.face != other.face:
            continue
        areas = sorted(to_shapely(one.shape).area * one.ratio for one in (zone, other))
        if areas[0] >= share * areas[1]:
            pairs.append(ZonePair(zone.zone_id, other.zone_id, "name"))
            taken |= {zone.zone_id, other.zone_id}
    place = {zone.zone_id: number for number, zone in enumerate(record.zones)}
    return tuple(sorted(pairs, key=lambda pair: place[pair.left]))


def _by_geometry(record: Record, mirror: Mirror, share: float) -> Iterator[ZonePair]:
    """Pairs whose smaller overlap is greatest first; each zone once."""
    rights = {zone.zone_id: to_shapely(zone.shape) for zone in record.zones_on.get(mirror.right_drawing, ())}
    share = share if mirror.told_by > 1 else max(share, _LONE_SHARE)
    offers = []
    for zone in record.zones_on.get(mirror.left_drawing, ()):
        turned = mirror.across(to_shapely(zone.shape))
        for zone_id, shape in rights.items():
            if turned.envelope.intersects(shape.envelope):
                overlap = turned.intersection(shape).area / max(turned.area, shape.area)
                if overlap >= share and zone.face == record.zone[zone_id].face:
                    offers.append((-overlap, zone.zone_id, zone_id))
    taken: set[str] = set()
    for _, left, right in sorted(offers):
        if left not in taken and right not in taken:
            taken |= {left, right}
            yield ZonePair(left, right, "geometry")


def _shapes(record: Record, drawing_id: str) -> list[BaseGeometry]:
    bodies = (one.shape for one in record.outline if one.drawing_id == drawing_id and one.kind == "body")
    return [to_shapely(shape) for shape in (*(zone.shape for zone in record.zones_on.get(drawing_id, ())), *bodies)]


def _mirror_line(lefts: Sequence[BaseGeometry], rights: Sequence[BaseGeometry]) -> tuple[float, float, int] | None:
    """Sum of x of both sides and rise from left to right [mm] for which the most area agrees, and by how many shapes."""
    votes = np.array([
        (a.centroid.x + b.centroid.x, b.centroid.y - a.centroid.y, min(a.area, b.area))
        for a in lefts
        for b in rights
        if min(a.area, b.area) > _LONE_SHARE * max(a.area, b.area) > 0
    ])  # fmt: skip
    if not len(votes):
        return None
    near = (np.abs(votes[:, None, 0] - votes[None, :, 0]) < _TOLERANCE_MM) & (
        np.abs(votes[:, None, 1] - votes[None, :, 1]) < _TOLERANCE_MM
    )
    agreeing = near[int(np.argmax(near @ votes[:, 2]))]
    middle = np.average(votes[agreeing, :2], axis=0, weights=votes[agreeing, 2])
    return float(middle[0]), float(middle[1]), int(agreeing.sum())


def _swapped(zone_id: str) -> Iterator[str]:
    """The id with its one sign of the left turned to the right; nothing where it has none, or more than one."""
    found = list(_TOKEN.finditer(zone_id))
    if len(found) == 1:
        yield zone_id[: found[0].start()] + _WORDS[found[0].group()] + zone_id[found[0].end() :]


def _says(drawing_id: str, name: str, side: str) -> bool:
    return any(re.search(rf"(?i)(?<![a-z]){side}(?![a-z])", text) for text in (drawing_id, name))
