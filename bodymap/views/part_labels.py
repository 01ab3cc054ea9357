"""Labels for parts that come off, and numbers to stick beside what is looked at.

A part that lies in a rack without its name is a part whose history is lost: each label says which it is, what is
stamped into it, its side and its partner on the other side, and of what it is made. A sticker carries a bar of 10 mm, so
that the photo it is in has a scale.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from bodymap.errors import BodymapError
from bodymap.views.ladder import SUBSTRATE_WORDS
from bodymap.views.numbering import next_like
from bodymap.views.parts import PartCard

NUMBERS_MOST = 560


@dataclass(frozen=True)
class LabelSize:
    """How labels lie on an A4 sheet [mm]; `hole`: they are tied on, and a ring shows where to punch."""

    key: str
    name: str
    width_mm: float
    height_mm: float
    across: int
    down: int
    hole: bool = False

    @property
    def on_a_sheet(self) -> int:
        """Labels on one sheet."""
        return self.across * self.down


# Sizes that fit whole on A4 with 8 mm or more to each edge, as most printers need.
SIZES = {
    size.key: size
    for size in (
        LabelSize("tie", "Tag to tie on, 95 × 55 mm", 95, 55, 2, 5, hole=True),
        LabelSize("rack", "Rack label, 95 × 38 mm", 95, 38, 2, 7),
        LabelSize("small", "Small label, 62 × 27 mm", 62, 27, 3, 10),
    )
}
STICKER = LabelSize("sticker", "Number, 19 × 19 mm", 19, 19, 10, 14)


@dataclass(frozen=True)
class PartLabel:
    """What one label says; what is not known is said as not stated, or left out where it is only useful if there is one."""

    part_id: str
    name: str
    marks: str
    side: str
    partner: str
    substrate: str


@dataclass(frozen=True)
class LabelSheet:
    """Labels to be printed, in order."""

    vehicle: str
    size: LabelSize
    labels: tuple[PartLabel, ...]


@dataclass(frozen=True)
class StickerSheet:
    """Numbers to be printed, in order."""

    vehicle: str
    size: LabelSize
    numbers: tuple[str, ...]


def label_sheet(vehicle: str, cards: Iterable[PartCard], chosen: Collection[str], size: str) -> LabelSheet:
    """Labels of the chosen parts, in the order of the record.

    Raises:
        BodymapError: no part is chosen, or a size that is none.
    """
    if size not in SIZES:
        raise BodymapError(f"label size: found {size!r}; allowed: {', '.join(SIZES)}")
    labels = tuple(_label(card) for card in cards if card.part_id in chosen)
    if not labels:
        raise BodymapError("labels: found no part; allowed: at least one part of the record")
    return LabelSheet(vehicle, SIZES[size], labels)


def sticker_sheet(vehicle: str, same_kind: Sequence[str], used: Collection[str], first: str, count: int) -> StickerSheet:
    """The next `count` numbers of a kind that are free, such as S51 onward.

    Args:
        vehicle: its name.
        same_kind: ids of the kind so far.
        used: ids that may not be given again.
        first: the first number where there is none yet, such as S01.
        count: from 1 to 560, four sheets.

    Raises:
        BodymapError: another count.
    """
    if not 1 <= count <= NUMBERS_MOST:
        raise BodymapError(f"stickers: found {count}; allowed: 1 to {NUMBERS_MOST}")
    numbers: list[str] = []
    for _ in range(count):
        numbers.append(next_like([*same_kind, *numbers], {*used, *numbers}, first))
    return StickerSheet(vehicle, STICKER, tuple(numbers))


def _label(card: PartCard) -> PartLabel:
    return PartLabel(
        part_id=card.part_id,
        name=card.name,
        marks=card.marks or "not stated",
        side=_side(card),
        partner=f"{card.partner_id} {card.partner_name}" if card.partner_id else "",
        substrate=SUBSTRATE_WORDS[card.substrate],
    )


def _side(card: PartCard) -> str:
    """Left or right; else the outside drawing it is on, where it is on one."""
    return card.side or (card.sides[0] if len(card.sides) == 1 else "")
