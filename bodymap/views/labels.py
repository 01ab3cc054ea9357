"""Labels kept apart: each is set at the nearest free place beside its point, else farther off with a leader, else left out.

Distances are told in letter heights (em), so that a drawing on screen and one on paper set them alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
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
    _taken: Array = field(default_factory=lambda: np.empty((64, 4)), repr=False)
    _count: int = 0

    def take(self, box: Box) -> None:
        """Nothing else is to be written here."""
        if self._count == len(self._taken):
            self._taken = np.concatenate([self._taken, np.empty_like(self._taken)])
        self._taken[self._count] = box
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

    def free(self, box: Box, within: Box) -> bool:
        """Whether a place lies within these bounds and is not taken."""
        left, low, right, high = within
        if box[0] < left or box[1] < low or box[2] > right or box[3] > high:
            return False
        taken = self._taken[: self._count]
        meets = (box[0] < taken[:, 2]) & (taken[:, 0] < box[2]) & (box[1] < taken[:, 3]) & (taken[:, 1] < box[3])
        return not bool(meets.any())

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
        lines = label.text.split("\n")
        wide = max(len(line) for line in lines) * em * _WIDTH_EM[label.size]
        high = len(lines) * em * _HEIGHT_EM
        x, y = label.x + label.right_em * em, label.y + label.up_em * em
        left = {"left": x, "middle": x - wide / 2, "right": x - wide}[label.anchor]
        air = _AIR_PX * self.mm_per_px
        return left - air, y - high / 2 - air, left + wide + air, y + high / 2 + air


def inside(label: Label, surface: BaseGeometry, mm_per_px: float) -> tuple[Label, ...]:
    """The label at places within a surface, the nearest to its point first, where all of it lies in the surface.

    The surface and the label's point are in the same plane [mm].
    """
    em = SIZES_PX[label.size] * mm_per_px
    lines = label.text.split("\n")
    wide, high = max(len(line) for line in lines) * em * _WIDTH_EM[label.size] / 2, len(lines) * em * _HEIGHT_EM / 2
    x, y = label.x + _NEAR[:, 0] * em, label.y + _NEAR[:, 1] * em
    shapely.prepare(surface)
    fits = shapely.contains(surface, shapely.box(x - wide, y - high, x + wide, y + high))
    return tuple(replace(label, x=float(at_x), y=float(at_y)) for at_x, at_y in zip(x[fits], y[fits], strict=True))


def outward(label: Label, middle: tuple[float, float], clear_em: float = 0.4) -> Iterator[Label]:
    """The label beside its point, first on the side that lies away from `middle`."""
    places = list(around(label, clear_em, ()))
    across, up = label.x - middle[0], label.y - middle[1]
    yield from sorted(places, key=lambda at: -(across * at.right_em + up * at.up_em) / (abs(at.right_em) + abs(at.up_em)))


def around(label: Label, clear_em: float = 0.75, rings: tuple[float, ...] = (1.9, 3.2, 4.6, 6.2)) -> Iterator[Label]:
    """The label at places round its point: beside it first, then farther off, there with a leader.

    Args:
        label: what is to be set; its own offset is not used.
        clear_em: how far from the point the nearest text begins.
        rings: distances at which a leader is used.
    """
    lines = label.text.count("\n") + 1
    up = clear_em + _HEIGHT_EM * lines / 2 - 0.2
    beside: tuple[tuple[float, float, Anchor], ...] = (
        (clear_em, 0.0, "left"),
        (-clear_em, 0.0, "right"),
        (0.0, up, "middle"),
        (0.0, -up, "middle"),
        (clear_em * 0.7, up * 0.8, "left"),
        (-clear_em * 0.7, up * 0.8, "right"),
        (clear_em * 0.7, -up * 0.8, "left"),
        (-clear_em * 0.7, -up * 0.8, "right"),
    )
    for right_em, up_em, anchor in beside:
        yield replace(label, right_em=right_em, up_em=up_em, anchor=anchor)
    for ring in rings:
        half = 0.7 * ring
        for right_em, up_em in ((half, ring), (-half, ring), (half, -ring), (-half, -ring), (ring, half), (-ring, half),
                                (ring, -half), (-ring, -half), (ring * 1.4, 0), (-ring * 1.4, 0)):  # fmt: skip
            side: Anchor = "left" if right_em > 0 else "right"
            yield replace(label, right_em=right_em, up_em=up_em, anchor=side, leader=True)
