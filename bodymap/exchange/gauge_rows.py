"""Which rows of a gauge file are header, readings, statistics, batch names, or something beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bodymap.exchange.gauge_text import Rows, number_in
from bodymap.exchange.gauge_times import is_date, is_moment
from bodymap.exchange.gauge_words import batch_named, is_statistic, only_unit, plain, role_of

RowKind = Literal["header", "readings", "statistics", "batch", "beside"]


@dataclass(frozen=True)
class SortedRow:
    """One row, what it is, and the batch it stands in."""

    row: int
    kind: RowKind
    cells: tuple[str, ...]
    batch: str | None = None


def sorted_rows(rows: Rows, decimal: str, thousands: str) -> list[SortedRow]:
    """Every row with its kind. What comes before the table and is narrower than it counts as beside it."""
    width = _width(rows, decimal, thousands)
    found: list[SortedRow] = []
    header: tuple[str, ...] | None = None
    batch: str | None = None
    for place, (number, cells) in enumerate(rows):
        row = tuple(cells)
        kind = _kind(rows, place, width, header, decimal, thousands)
        if kind == "header":
            header = row
        elif kind == "batch":
            batch = batch_named(cells)
        found.append(SortedRow(number, kind, row, batch if kind == "readings" else None))
    return found


def header_of(rows: Sequence[SortedRow]) -> tuple[str, ...] | None:
    """The header; None where there is none."""
    return next((row.cells for row in rows if row.kind == "header"), None)


def _kind(rows: Rows, place: int, width: int, header: tuple[str, ...] | None, decimal: str, thousands: str) -> RowKind:
    cells = rows[place][1]
    numbers = sum(number_in(cell, decimal, thousands) is not None for cell in cells)
    if header is not None and tuple(cells) == header:
        return "header"
    if _statistic(cells, numbers):
        return "statistics"
    if batch_named(cells) and not (header and len(_filled(cells)) >= _least(width)):
        return "batch"
    if header is None and _is_header(rows, place, width, decimal, thousands):
        return "header"
    before = header is None and any(_is_header(rows, later, width, decimal, thousands) for later in range(place, len(rows)))
    if not numbers or before or len(_filled(cells)) < _least(width):
        return "beside"
    return "readings"


def _statistic(cells: Sequence[str], numbers: int) -> bool:
    filled = _filled(cells)
    told = any(sign.isdigit() for cell in filled for sign in cell)
    return bool(filled) and is_statistic(filled[0]) and told and (numbers > 0 or len(filled) == 1)


def _is_header(rows: Rows, place: int, width: int, decimal: str, thousands: str) -> bool:
    """Words over the table: no numbers (but 1, 2, 3 … over repeats), known words or as wide as the rows below."""
    cells = rows[place][1]
    filled = _filled(cells)
    numbers = [cell for cell in filled if number_in(cell, decimal, thousands) is not None]
    repeats = [str(n) for n in range(1, len(numbers) + 1)]
    if not filled or (numbers and (numbers != repeats or len(numbers) < 2 or len(numbers) == len(filled))):
        return False
    words = [cell for cell in filled if cell not in numbers]
    if any(is_date(cell) or is_moment(cell) for cell in words) or len(filled) < _least(width):
        return False
    known = [cell for cell in words if role_of(cell) or only_unit(cell)]
    if numbers:
        return len(known) == len(words)
    below = next((row for _, row in rows[place + 1 :]), [])
    under = any(number_in(cell, decimal, thousands) is not None for cell in below) and not is_statistic(
        (_filled(below) or [""])[0]
    )
    return (bool(known) and (len(known) * 2 >= len(words) or under)) or (
        under and len(filled) >= width and all(map(plain, words))
    )


def _width(rows: Rows, decimal: str, thousands: str) -> int:
    """How many cells most rows with numbers fill."""
    counts = Counter(
        len(_filled(cells))
        for _, cells in rows
        if any(number_in(cell, decimal, thousands) is not None for cell in cells)
        and not is_statistic((_filled(cells) or [""])[0])
    )
    return max(counts, key=lambda count: (counts[count], count), default=1)


def _least(width: int) -> int:
    # a row may lack a repeat or two; a name beside its value is narrower than a table of three columns
    return width if width <= 2 else (width + 1) // 2


def _filled(cells: Sequence[str]) -> list[str]:
    return [cell for cell in cells if cell]
