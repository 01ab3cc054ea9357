"""What a hand-over file is made of: chapters of words, facts, tables and maps. The print and the page draw the same ones.

All texts are plain text, never markup: they may quote the record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from bodymap.views.sheet import SheetView

NOT_STATED = "not stated"
NONE = "–"
ROUNDED = "Every figure is rounded by itself, sums from the unrounded ones: the last digit may differ."


@dataclass(frozen=True)
class Column:
    """A column of a table: its title, its share of the width, and whether its cells are figures set to the right."""

    title: str
    share: float = 1.0
    right: bool = False


@dataclass(frozen=True)
class Row:
    """A row of a table.

    Attributes:
        kind: `total` sums up the rows above; `again` speaks of what was made again.
        under: a further line across all columns, to be copied letter by letter (a hash, for example).
        colour: `#rrggbb` shown before the first cell.
    """

    cells: tuple[str, ...]
    kind: Literal["", "total", "again"] = ""
    under: str = ""
    colour: str | None = None


@dataclass(frozen=True)
class Table:
    """A table with its caption; `empty` is said where it has no rows, `note` below it."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    empty: str
    note: str = ""


@dataclass(frozen=True)
class Facts:
    """Labels and what stands behind them; `verbatim`: labels whose value is to be copied letter by letter."""

    rows: tuple[tuple[str, str], ...]
    verbatim: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Words:
    """Paragraphs, or a list of points."""

    lines: tuple[str, ...]
    points: bool = False


@dataclass(frozen=True)
class Banner:
    """One sentence that must not be overlooked."""

    words: str


@dataclass(frozen=True)
class Heading:
    """A heading within a chapter."""

    title: str


@dataclass(frozen=True)
class Map:
    """The vehicle's skin on one sheet; `alt` says in words what there is to see."""

    ident: str
    title: str
    alt: str
    view: SheetView


@dataclass(frozen=True)
class Plate:
    """A picture of the folder: its file name under media/, what is written below it, and what it shows in words."""

    file: str
    caption: str
    alt: str


@dataclass(frozen=True)
class Plates:
    """Pictures side by side."""

    pictures: tuple[Plate, ...]


Block: TypeAlias = Words | Facts | Table | Banner | Heading | Map | Plates


@dataclass(frozen=True)
class Chapter:
    """A chapter: its anchor, its title, and what it holds."""

    ident: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Standing:
    """Where the journal stood, for the foot of every page: `count` entries, the last with `sha256`; `words` say of what."""

    count: int
    sha256: str
    words: str

    @property
    def short(self) -> str:
        """Count and the first twelve digits, as `bodymap verify --head` takes them."""
        return f"{self.count}·{self.sha256[:12]}"


@dataclass(frozen=True)
class HandOverView:
    """The whole hand-over file. `at`: when it was made (ISO 8601)."""

    vehicle: str
    at: str
    standing: Standing
    chapters: tuple[Chapter, ...]

    @property
    def maps(self) -> tuple[Map, ...]:
        """Every map, in order."""
        return tuple(block for chapter in self.chapters for block in chapter.blocks if isinstance(block, Map))


def table(caption: str, columns: Sequence[Column], rows: Sequence[Row], empty: str, note: str = "") -> Table:
    """A table. Raises ValueError where a row has not one cell for each column."""
    if any(len(row.cells) != len(columns) for row in rows):
        raise ValueError(f"{caption}: a row with another number of cells than there are columns")
    return Table(caption, tuple(columns), tuple(rows), empty, note)


def stated(value: object) -> str:
    """A value in words: a blank is `not stated`, never nothing."""
    if value is None or value in ("", ()):
        return NOT_STATED
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    return "; ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def listed(items: Sequence[str], most: int = 12) -> str:
    """Names one after another; of many the first ones and how many more."""
    if len(items) <= most:
        return ", ".join(items) if items else NONE
    return f"{', '.join(items[:most])} and {len(items) - most} more"
