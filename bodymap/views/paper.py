"""A part of a drawing on paper: window, scale, strokes by meaning, labels that do not lie on one another.

Paper coordinates are mm from the upper left corner of the picture, y downward. What a stroke or a label looks like is
told by its style, a word for its meaning; whoever draws the picture gives it colour and line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

Point = tuple[float, float]
# ISO 5455: 1:1, 1:2, 1:5, 1:10 and so on (from memory, not seen).
SCALES = tuple(step * 10**power for power in range(4) for step in (1, 2, 5))
# Mean width of a character of the shipped sans, in ems: enough to keep labels apart.
_EM_PER_CHAR = 0.58
_EM_HEIGHT = 1.15
_UNSEEN_MM = 0.02


@dataclass(frozen=True)
class Stroke:
    """Lines of one meaning, in paper mm; `closed`: rings that may be filled (even-odd)."""

    style: str
    lines: tuple[tuple[Point, ...], ...]
    closed: bool = False


@dataclass(frozen=True)
class Label:
    """A text centred on (x, y) in paper mm, `size_mm` high (em), turned clockwise by `turn_deg`."""

    text: str
    x: float
    y: float
    size_mm: float
    style: str
    turn_deg: float = 0.0


@dataclass(frozen=True)
class ScaleBar:
    """A bar of `length_mm` on the vehicle that is `paper_mm` long on the sheet."""

    length_mm: float
    paper_mm: float


@dataclass(frozen=True)
class Picture:
    """A drawing on paper: 1 mm on it is `scale` mm on the vehicle."""

    width_mm: float
    height_mm: float
    scale: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    bar: ScaleBar


@dataclass(frozen=True)
class Paper:
    """Where a drawing lies on a picture: (cx, cy) of the drawing is the middle of the paper."""

    width_mm: float
    height_mm: float
    scale: float
    cx: float
    cy: float

    def spot(self, x: float, y: float) -> Point:
        """A point of the drawing on paper."""
        return self.width_mm / 2 + (x - self.cx) / self.scale, self.height_mm / 2 - (y - self.cy) / self.scale

    def laid(self, shape: BaseGeometry) -> BaseGeometry:
        """A geometry of the drawing on paper, not cut."""
        right, down = self.spot(0, 0)
        return affinity.affine_transform(shape, [1 / self.scale, 0, 0, -1 / self.scale, right, down])

    def cut(self, shape: BaseGeometry) -> BaseGeometry:
        """A geometry of the drawing on paper, cut at the edge of the picture."""
        return shapely.intersection(self.laid(shape), shapely.box(0, 0, self.width_mm, self.height_mm))

    def shows(self, shape: BaseGeometry) -> bool:
        """Whether the bounds of a geometry of the drawing reach into the picture."""
        wide, high = self.width_mm * self.scale / 2, self.height_mm * self.scale / 2
        left, low, right, top = shape.bounds
        return bool(left <= self.cx + wide and right >= self.cx - wide and low <= self.cy + high and top >= self.cy - high)


def simple_parts(shape: BaseGeometry) -> list[BaseGeometry]:
    """The polygons, lines and points of a geometry, out of collections within collections."""
    parts: list[BaseGeometry] = shapely.get_parts(shape).tolist()
    return [one for part in parts for one in (simple_parts(part) if hasattr(part, "geoms") else [part])]


def spots_of(line: BaseGeometry) -> tuple[Point, ...]:
    """The positions of a point or a line."""
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line))


def fitting_scale(width_mm: float, height_mm: float, on_width_mm: float, on_height_mm: float) -> float:
    """The largest scale of ISO 5455 (1:n, given as n) at which something fits on a piece of paper.

    >>> fitting_scale(900, 300, 160, 90)
    10
    """
    least = max(width_mm / on_width_mm, height_mm / on_height_mm)
    return next((scale for scale in SCALES if scale >= least), least)


def scale_bar(scale: float, most_paper_mm: float) -> ScaleBar:
    """The longest round bar (1, 2 or 5 times a power of ten, in mm) not longer than `most_paper_mm` on paper.

    >>> scale_bar(5, 50)
    ScaleBar(length_mm=200, paper_mm=40.0)
    """
    lengths = [step * 10**power for power in range(6) for step in (1, 2, 5)]
    length = max((one for one in lengths if one / scale <= most_paper_mm), default=lengths[0])
    return ScaleBar(length, length / scale)


def lines_of(shape: BaseGeometry) -> tuple[tuple[Point, ...], ...]:
    """The lines of a geometry on paper, outer rings and holes as closed lines; points have none.

    Points that no eye sees on paper are left out.
    """
    found: list[tuple[Point, ...]] = []
    for part in simple_parts(shapely.simplify(shape, _UNSEEN_MM)):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            found += [spots_of(ring) for ring in (part.exterior, *part.interiors)]
        elif isinstance(part, shapely.LineString) and not part.is_empty:
            found.append(spots_of(part))
    return tuple(found)


def text_box(label: Label, room_mm: float = 0.5) -> BaseGeometry:
    """The paper that a label takes, with some room round it [mm]."""
    if label.style == "letter":
        return shapely.Point(label.x, label.y).buffer(0.75 * label.size_mm + room_mm)
    if label.style == "letters":
        half = _EM_PER_CHAR * len(label.text) * label.size_mm / 2
        return shapely.LineString([(label.x - half, label.y), (label.x + half, label.y)]).buffer(
            0.75 * label.size_mm + room_mm
        )
    wide = len(label.text) * label.size_mm * _EM_PER_CHAR / 2 + room_mm
    high = label.size_mm * _EM_HEIGHT / 2 + room_mm / 2
    box = shapely.box(label.x - wide, label.y - high, label.x + wide, label.y + high)
    return affinity.rotate(box, label.turn_deg, origin=(label.x, label.y)) if label.turn_deg else box


@dataclass
class Desk:
    """Labels and what they must not lie on, while a picture is being made."""

    width_mm: float
    height_mm: float
    labels: list[Label] = field(default_factory=list)
    taken: list[BaseGeometry] = field(default_factory=list)
    boxes: list[BaseGeometry] = field(default_factory=list)

    def free(self, box: BaseGeometry) -> bool:
        """Whether nothing lies on this place yet and it is wholly on the picture."""
        inside = shapely.box(0.5, 0.5, self.width_mm - 0.5, self.height_mm - 0.5).contains(box)
        return bool(inside) and not any(box.intersects(other) for other in self.taken)

    def keep_free(self, *boxes: BaseGeometry) -> None:
        """Marks places on which no label may lie."""
        self.taken.extend(boxes)

    def put(self, label: Label, *also: BaseGeometry) -> None:
        """Puts a label down; `also`: other places that belong to it."""
        self.labels.append(label)
        self.boxes.append(text_box(label, 0.2))
        self.keep_free(text_box(label), *also)

    def put_first_free(self, labels: Iterable[Label]) -> bool:
        """Puts down the first label whose place is free; False if none is."""
        for label in labels:
            if self.free(text_box(label)):
                self.put(label)
                return True
        return False
