"""Labels kept apart: each is set at the nearest free place beside its point, else farther off with a leader, else left out.

Distances are told in letter heights (em), so that a drawing on screen and one on paper set them alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.views.sheet_parts import Label

SIZES_PX = {"caption": 16.0, "text": 14.0, "small": 13.0}
# Mean width and line height of a sans letter, in ems: enough to keep labels apart.
_WIDTH_EM, _HEIGHT_EM = {"caption": 0.52, "text": 0.6, "small": 0.6}, 1.25
_AIR_PX = 2.0

# Places tried within a surface, in letter heights from its middle, the nearest first.
_NEAR = np.array(
    sorted(
        ((right * 0.6, up * 0.45) for right in range(-16, 17) for up in range(-11, 12)),
        key=lambda at: at[0] ** 2 + 2 * at[1] ** 2,
    )
)

Array = npt.NDArray[np.float64]
Anchor = Literal["left", "middle", "right"]
Box = tuple[float, float, float, float]
# How much of a label's width lies left of its place.
_SHARE: dict[str, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}
# Distances at which a label has a leader, in letter heights.
RINGS = (1.9, 3.2, 4.6, 6.2)


@dataclass(frozen=True)
class _Place:
    """A place beside a point, or farther off."""

    right_em: float
    up_em: float
    anchor: Anchor
    leader: bool = False

    def of(self, label: Label) -> Label:
        """The label at this place."""
        leader = self.leader or label.leader
        return replace(label, right_em=self.right_em, up_em=self.up_em, anchor=self.anchor, leader=leader)


@dataclass
class LabelDesk:
    """Places already taken on a sheet, as boxes in sheet mm, while labels are being set.

    `cells`: a label whose point lies in one of these stays in it, so that it never lies on another drawing.
    `window`: labels whose point lies outside it are not set. `missed`: labels left out for want of room.
    """

    mm_per_px: float
    within: Box
    cells: tuple[Box, ...] = ()
    window: Box | None = None
    missed: int = 0
    _taken: Array = field(default_factory=lambda: np.empty((4, 64)), repr=False)  # an edge a row
    _count: int = 0

    def take(self, box: Box) -> None:
        """Nothing else is to be written here."""
        if self._count == self._taken.shape[1]:
            self._taken = np.concatenate([self._taken, np.empty_like(self._taken)], axis=1)
        self._taken[:, self._count] = box
        self._count += 1

    def keep_free(self, x: float, y: float, radius_px: float) -> None:
        """Nothing is to be written over a sign of this size."""
        radius = radius_px * self.mm_per_px
        self.take((x - radius, y - radius, x + radius, y + radius))

    def put(self, label: Label) -> Label:
        """Sets a label where it is."""
        self.take(self.box(label))
        return label

    def put_first_free(self, labels: Iterable[Label], *, counts: bool = True) -> tuple[Label, ...]:
        """The first of these labels whose place is free, set; nothing where none is, which is noted where it `counts`."""
        for label in labels:
            if not self._seen(label):
                return ()
            box = self.box(label)
            if self.free(box, self._cell(label)):
                self.take(box)
                return (label,)
        self.missed += counts
        return ()

    def put_around(
        self, label: Label, clear_em: float = 0.75, rings: tuple[float, ...] = RINGS, *, counts: bool = True
    ) -> tuple[Label, ...]:
        """The label set at the first free place of `around`; nothing where none is, which is noted where it `counts`."""
        if not self._seen(label):
            return ()
        places = _places(clear_em, label.text.count("\n") + 1, rings)
        boxes = self._boxes([label], places)[0]
        free = self._free(boxes, self._cell(label))
        if not free.any():
            self.missed += counts
            return ()
        first = int(free.argmax())
        self.take(tuple(boxes[first]))
        return (places[first].of(label),)

    def room_for(self, labels: Sequence[Label], clear_em: float, rings: tuple[float, ...]) -> list[bool]:
        """Which of these labels have a place of `around` that is not taken yet; `put_around` will find none for the others.

        Each is of one line. For thousands of labels most of which have no room: all are tried at once.
        """
        if not labels or not self._count:
            return [True] * len(labels)
        boxes = self._boxes(labels, _places(clear_em, 1, rings))
        flat, taken = boxes.reshape(-1, 4), self._taken[:, : self._count]
        place, other = shapely.STRtree(_rectangles(taken)).query(_rectangles(flat.T))
        a, b = flat[place].T, taken[:, other]
        meets = (a[0] < b[2]) & (b[0] < a[2]) & (a[1] < b[3]) & (b[1] < a[3])
        free = np.ones(len(flat), bool)
        free[place[meets]] = False
        return [bool(one) for one in np.any(free.reshape(boxes.shape[:2]), axis=1).tolist()]

    def _boxes(self, labels: Sequence[Label], places: tuple[_Place, ...]) -> Array:
        """The places these labels, all of as many lines, would take (n, k, 4) [sheet mm]."""
        x, y, px = np.array([(label.x, label.y, SIZES_PX[label.size]) for label in labels]).T[:, :, None]
        wide, high = np.array([_size_em(label) for label in labels]).T[:, :, None]
        em, air = px * self.mm_per_px, _AIR_PX * self.mm_per_px
        moved, share = _moves(places)
        boxes = np.empty((len(labels), len(places), 4))
        boxes[..., 0] = x - air + em * (moved[:, 0] - share * wide)
        boxes[..., 1] = y - air + em * (moved[:, 1] - high / 2)
        boxes[..., 2] = boxes[..., 0] + (em * wide + 2 * air)
        boxes[..., 3] = boxes[..., 1] + (em * high + 2 * air)
        return boxes

    def _free(self, boxes: Array, within: Box) -> npt.NDArray[np.bool_]:
        """Which of these places lie within bounds and are not taken (k)."""
        left, low, right, high = within
        fits = (boxes[:, 0] >= left) & (boxes[:, 1] >= low) & (boxes[:, 2] <= right) & (boxes[:, 3] <= high)
        taken = self._taken[:, : self._count]
        low_x, low_y, high_x, high_y = boxes[:, 0].min(), boxes[:, 1].min(), boxes[:, 2].max(), boxes[:, 3].max()
        near = (taken[0] < high_x) & (low_x < taken[2]) & (taken[1] < high_y) & (low_y < taken[3])
        a, b = boxes[:, None, :], taken[:, near].T[None]
        meets = (a[..., 0] < b[..., 2]) & (b[..., 0] < a[..., 2]) & (a[..., 1] < b[..., 3]) & (b[..., 1] < a[..., 3])
        return np.asarray(fits & ~meets.any(axis=1))

    def free(self, box: Box, within: Box) -> bool:
        """Whether a place lies within these bounds and is not taken."""
        return bool(self._free(np.array([box]), within)[0])

    def _seen(self, label: Label) -> bool:
        if self.window is None:
            return True
        left, low, right, high = self.window
        return left <= label.x <= right and low <= label.y <= high

    def _cell(self, label: Label) -> Box:
        inside = (c for c in self.cells if c[0] <= label.x <= c[2] and c[1] <= label.y <= c[3])
        return next(inside, self.within)

    def box(self, label: Label) -> Box:
        """The place a label takes [sheet mm]."""
        em = SIZES_PX[label.size] * self.mm_per_px
        wide, high = (em * size for size in _size_em(label))
        x, y = label.x + label.right_em * em, label.y + label.up_em * em
        left = {"left": x, "middle": x - wide / 2, "right": x - wide}[label.anchor]
        air = _AIR_PX * self.mm_per_px
        return left - air, y - high / 2 - air, left + wide + air, y + high / 2 + air


def _rectangles(edges: Array) -> list[BaseGeometry]:
    """Boxes of the rows left, low, right, high (4, n)."""
    return np.asarray(shapely.box(*edges)).tolist()  # type: ignore[no-any-return]


def _size_em(label: Label) -> tuple[float, float]:
    """Width and height of a label's text, in letter heights."""
    lines = label.text.split("\n")
    return max(map(len, lines)) * _WIDTH_EM[label.size], len(lines) * _HEIGHT_EM


def inside(label: Label, surface: BaseGeometry, mm_per_px: float) -> tuple[Label, ...]:
    """The label at places within a surface, the nearest to its point first, where all of it lies in the surface.

    The surface and the label's point are in the same plane [mm].
    """
    em = SIZES_PX[label.size] * mm_per_px
    wide, high = (em * size / 2 for size in _size_em(label))
    x, y = label.x + _NEAR[:, 0] * em, label.y + _NEAR[:, 1] * em
    shapely.prepare(surface)
    fits = shapely.contains(surface, shapely.box(x - wide, y - high, x + wide, y + high))
    return tuple(replace(label, x=float(at_x), y=float(at_y)) for at_x, at_y in zip(x[fits], y[fits], strict=True))


def outward(label: Label, middle: tuple[float, float], clear_em: float = 0.4) -> Iterator[Label]:
    """The label beside its point, first on the side that lies away from `middle`."""
    places = list(around(label, clear_em, ()))
    across, up = label.x - middle[0], label.y - middle[1]
    yield from sorted(places, key=lambda at: -(across * at.right_em + up * at.up_em) / (abs(at.right_em) + abs(at.up_em)))


def around(label: Label, clear_em: float = 0.75, rings: tuple[float, ...] = RINGS) -> Iterator[Label]:
    """The label at places round its point: beside it first, then farther off, there with a leader.

    Args:
        label: what is to be set; its own offset is not used.
        clear_em: how far from the point the nearest text begins.
        rings: distances at which a leader is used.
    """
    yield from (place.of(label) for place in _places(clear_em, label.text.count("\n") + 1, rings))


@lru_cache(maxsize=64)
def _moves(places: tuple[_Place, ...]) -> tuple[Array, Array]:
    """How far each place lies from the point (k, 2), and how much of the width lies left of it (k) [letter heights]."""
    moved = np.array([(place.right_em, place.up_em) for place in places])
    return moved, np.array([_SHARE[place.anchor] for place in places])


@lru_cache(maxsize=64)
def _places(clear_em: float, lines: int, rings: tuple[float, ...]) -> tuple[_Place, ...]:
    up = clear_em + _HEIGHT_EM * lines / 2 - 0.2
    found = [
        _Place(clear_em, 0.0, "left"),
        _Place(-clear_em, 0.0, "right"),
        _Place(0.0, up, "middle"),
        _Place(0.0, -up, "middle"),
        _Place(clear_em * 0.7, up * 0.8, "left"),
        _Place(-clear_em * 0.7, up * 0.8, "right"),
        _Place(clear_em * 0.7, -up * 0.8, "left"),
        _Place(-clear_em * 0.7, -up * 0.8, "right"),
    ]
    for ring in rings:
        half = 0.7 * ring
        found += [
            _Place(right_em, up_em, "left" if right_em > 0 else "right", leader=True)
            for right_em, up_em in ((half, ring), (-half, ring), (half, -ring), (-half, -ring), (ring, half), (-ring, half),
                                    (ring, -half), (-ring, -half), (ring * 1.4, 0), (-ring * 1.4, 0))
        ]  # fmt: skip
    return tuple(found)
