"""Labels kept apart: each is set at the nearest free place beside its point, else farther off with a leader, else left out.

Distances are told in letter heights (em), so that a drawing on screen and one on paper set them alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from bodymap.views.sheet_parts import Label

SIZES_PX = {"caption": 16.0, "text": 14.0, "small": 13.0}
# Mean width and line height of a sans letter, in ems: enough to keep labels apart.
_WIDTH_EM, _HEIGHT_EM = 0.6, 1.25
_AIR_PX = 2.0

Box = tuple[float, float, float, float]


@dataclass
class LabelDesk:
    """Places already taken on a sheet, as boxes in sheet mm, while labels are being set. `missed`: labels left out."""

    mm_per_px: float
    within: Box
    taken: list[Box] = field(default_factory=list)
    missed: int = 0

    def keep_free(self, x: float, y: float, radius_px: float) -> None:
        """Nothing is to be written over a sign of this size."""
        radius = radius_px * self.mm_per_px
        self.taken.append((x - radius, y - radius, x + radius, y + radius))

    def put(self, label: Label) -> Label:
        """Sets a label where it is."""
        self.taken.append(self.box(label))
        return label

    def put_first_free(self, labels: Iterable[Label]) -> tuple[Label, ...]:
        """The first of these labels whose place is free, set; nothing where none is."""
        for label in labels:
            box = self.box(label)
            if self.free(box):
                self.taken.append(box)
                return (label,)
        self.missed += 1
        return ()

    def free(self, box: Box) -> bool:
        """Whether a place is on the sheet and not taken."""
        left, low, right, high = self.within
        if box[0] < left or box[1] < low or box[2] > right or box[3] > high:
            return False
        return not any(box[0] < t[2] and t[0] < box[2] and box[1] < t[3] and t[1] < box[3] for t in self.taken)

    def box(self, label: Label) -> Box:
        """The place a label takes [sheet mm]."""
        em = SIZES_PX[label.size] * self.mm_per_px
        lines = label.text.split("\n")
        wide = max(len(line) for line in lines) * em * _WIDTH_EM
        high = len(lines) * em * _HEIGHT_EM
        x, y = label.x + label.right_em * em, label.y + label.up_em * em
        left = {"left": x, "middle": x - wide / 2, "right": x - wide}[label.anchor]
        air = _AIR_PX * self.mm_per_px
        return left - air, y - high / 2 - air, left + wide + air, y + high / 2 + air


def around(label: Label, clear_em: float = 0.75, rings: tuple[float, ...] = (1.9, 3.2, 4.6, 6.2)) -> Iterator[Label]:
    """The label at places round its point: beside it first, then farther off, there with a leader.

    Args:
        label: what is to be set; its own offset is not used.
        clear_em: how far from the point the nearest text begins.
        rings: distances at which a leader is used.
    """
    lines = label.text.count("\n") + 1
    up = clear_em + _HEIGHT_EM * lines / 2 - 0.2
    for right_em, up_em, anchor in (
        (clear_em, 0.0, "left"),
        (-clear_em, 0.0, "right"),
        (0.0, up, "middle"),
        (0.0, -up, "middle"),
        (clear_em * 0.7, up * 0.8, "left"),
        (-clear_em * 0.7, up * 0.8, "right"),
        (clear_em * 0.7, -up * 0.8, "left"),
        (-clear_em * 0.7, -up * 0.8, "right"),
    ):
        yield replace(label, right_em=right_em, up_em=up_em, anchor=anchor)
    for ring in rings:
        half = 0.7 * ring
        for right_em, up_em in ((half, ring), (-half, ring), (half, -ring), (-half, -ring), (ring, half), (-ring, half),
                                (ring, -half), (-ring, -half), (ring * 1.4, 0), (-ring * 1.4, 0)):  # fmt: skip
            anchor = "left" if right_em > 0 else "right"
            yield replace(label, right_em=right_em, up_em=up_em, anchor=anchor, leader=True)
