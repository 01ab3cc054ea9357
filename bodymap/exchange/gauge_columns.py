"""What the columns of a gauge file seem to be, each with the reason, and the unit of its readings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from bodymap.exchange.gauge_rows import SortedRow
from bodymap.exchange.gauge_text import examples, number_in
from bodymap.exchange.gauge_times import is_date, is_moment, is_time
from bodymap.exchange.gauge_words import Role, Unit, only_unit, role_of, units_in

UNIT_NAMES: dict[Unit, str] = {"um": "µm", "mil": "mil", "mm": "mm"}


@dataclass(frozen=True)
class ProposedColumn:
    """One column: its header ("" where there is none), what it seems to be, why, and what stands in it."""

    place: int
    header: str
    role: Role
    why: str
    examples: tuple[str, ...]


@dataclass(frozen=True)
class Signs:
    """How numbers are written."""

    decimal: str
    thousands: str

    def number(self, cell: str) -> float | None:
        """The number in a cell; None where it holds none."""
        found = number_in(cell, self.decimal, self.thousands)
        return None if found is None else found[0]


def columns_proposed(
    rows: Sequence[SortedRow], header: tuple[str, ...] | None, signs: Signs, doubts: list[str]
) -> tuple[ProposedColumn, ...]:
    """What each column seems to be; what is not sure is added to the doubts."""
    readings = [row.cells for row in rows if row.kind == "readings"]
    lengths = Counter(len(cells) for cells in readings)
    count = len(header) if header else max(lengths, key=lambda length: (lengths[length], length))
    longer = [row.row for row in rows if row.kind == "readings" and any(row.cells[count:])]
    if longer:
        doubts.append(f"{len(longer)} rows have more cells than there are columns, first row {longer[0]}")
    columns = []
    for place in range(count):
        cells = [row[place] if place < len(row) else "" for row in readings]
        name = header[place] if header and place < len(header) else ""
        role, why = _role(name, cells, signs)
        columns.append(ProposedColumn(place, name, role, why, examples(cells)))
    columns = _alone(_continued(columns, doubts), signs, doubts)
    _doubt(columns, header, doubts)
    return tuple(columns)


def unit_proposed(
    rows: Sequence[SortedRow], columns: Sequence[ProposedColumn], signs: Signs, doubts: list[str]
) -> tuple[Unit | None, str]:
    """The unit of the readings and why; None where the file does not say, or says several things."""
    told: dict[Unit, str] = {}
    values = [column.place for column in columns if column.role == "value"]
    for column in columns:
        if column.role in ("value", "unit"):
            for named in units_in(column.header):
                told.setdefault(named, f"the header {column.header!r} says so")
    for row in rows:
        cells = row.cells
        behind = [number_in(cells[place], signs.decimal, signs.thousands) for place in values if place < len(cells)]
        by_cell = [found[1] for found in behind if found and found[1]] if row.kind == "readings" else []
        lone = [one for cell in cells if (one := only_unit(cell))] if row.kind in ("readings", "beside", "header") else []
        for named in (*by_cell, *lone):
            told.setdefault(named, f"row {row.row} says so")
    if len(told) == 1:
        return next(iter(told.items()))
    if told:
        said = "; ".join(f"{UNIT_NAMES[unit]}: {why}" for unit, why in told.items())
        doubts.append(
            f"more than one unit is named ({said}): each row goes by its own where it has one, the others need one"
        )
        return None, said
    numbers = [um for row in rows if row.kind == "readings" for place in values if place < len(row.cells)
               and (um := signs.number(row.cells[place])) is not None]  # fmt: skip
    why = "nothing in the file says" + (f"; the readings go from {min(numbers):g} to {max(numbers):g}" if numbers else "")
    doubts.append(f"unit: {why}")
    return None, why


def _role(name: str, cells: Sequence[str], signs: Signs) -> tuple[Role, str]:
    filled = [cell for cell in cells if cell]
    by_word = role_of(name) if name else None
    numbers = [signs.number(cell) for cell in filled]
    numeric = sum(number is not None for number in numbers) * 2 > len(filled)
    if by_word == "number" and filled and not _counts_up(numbers):
        return "spot", f"headed {name!r}, and its numbers do not just count up"
    if by_word in ("date", "time") and filled and all(map(is_moment, filled)):
        return "taken", f"headed {name!r}, each with date and time"
    if by_word and not (by_word == "value" and filled and not numeric):
        return by_word, f"headed {name!r}"
    if not filled:
        return "ignore", "empty"
    tests: tuple[tuple[Callable[[str], object], Role], ...] = (
        (is_moment, "taken"),
        (is_date, "date"),
        (is_time, "time"),
        (only_unit, "unit"),
    )
    for test, role in tests:
        if all(map(test, filled)):
            return role, "by what stands in it"
    if numeric:
        return ("number", "counts up by one") if _counts_up(numbers) else ("value", "numbers")
    return "note", "text"


def _counts_up(numbers: Sequence[float | None]) -> bool:
    """Whether each number is one more than the one before, or begins anew (with a batch)."""
    known = [number for number in numbers if number is not None]
    steps = list(pairwise(known))
    return (
        len(known) == len(numbers)
        and any(other - one == 1 for one, other in steps)
        and all(other - one == 1 or other == known[0] != one for one, other in steps)
    )


def _continued(columns: Sequence[ProposedColumn], doubts: list[str]) -> list[ProposedColumn]:
    """Columns of numbers without a header, right behind a named one of readings, as more readings of the same spot."""
    found: list[ProposedColumn] = []
    more: list[int] = []
    for column in columns:
        behind = bool(found) and found[-1].role == "value" and bool(found[-1].header or found[-1].place in more)
        if behind and not column.header and column.role in ("value", "number"):
            more.append(column.place)
            found.append(replace(column, role="value", why="numbers without a header, right behind readings"))
        else:
            found.append(column)
    if more:
        places = ", ".join(str(place + 1) for place in more)
        doubts.append(f"columns without a header behind the readings are taken as more of them: {places}")
    return found


def _alone(columns: Sequence[ProposedColumn], signs: Signs, doubts: list[str]) -> list[ProposedColumn]:
    """The columns, with one of them holding the readings: a lone column that counts up, a mean, or nothing."""
    if any(column.role == "value" for column in columns):
        named = any(column.role == "value" and column.header and role_of(column.header) == "value" for column in columns)
        return [_left_aside(column, doubts) if named and _unnamed(column) else column for column in columns]
    for role in ("number", "statistic"):
        offers = [
            column
            for column in columns
            if column.role == role and any(signs.number(cell) is not None for cell in column.examples)
        ]
        if offers:
            best = offers[0] if role == "statistic" else offers[-1]
            if len(columns) > 1:
                name = best.header or best.examples[0]
                doubts.append(f"no column of readings; column {best.place + 1} ({name}) is taken for it")
            taken = ProposedColumn(best.place, best.header, "value", "the only column it can be", best.examples)
            return [taken if column is best else column for column in columns]
    doubts.append("no column of readings was found")
    return list(columns)


def _unnamed(column: ProposedColumn) -> bool:
    return column.role == "value" and column.why == "numbers"


def _left_aside(column: ProposedColumn, doubts: list[str]) -> ProposedColumn:
    doubts.append(f"column {column.place + 1} ({column.header or 'no header'}) holds numbers and is left aside")
    return ProposedColumn(column.place, column.header, "ignore", "numbers beside named readings", column.examples)


def _doubt(columns: Sequence[ProposedColumn], header: tuple[str, ...] | None, doubts: list[str]) -> None:
    values = [column for column in columns if column.role == "value"]
    if header is None and len(columns) > 1:
        doubts.append("no header: the columns are told by what stands in them")
    if header is None and len(values) > 1:
        doubts.append(f"{len(values)} columns of numbers are taken as readings of one spot")
    doubts += [
        f"column {column.place + 1} ({column.header}) is taken as {column.role}: {column.why}"
        for column in columns
        if header is not None and column.header and role_of(column.header) is None and column.role != "ignore"
    ]
    roles = {column.role for column in columns}
    if "time" in roles and not roles & {"date", "taken"}:
        doubts.append("times of day without a date: they are not taken over")
    for role in ("spot", "batch", "taken", "date", "time", "unit", "number"):
        same = [column for column in columns if column.role == role]
        if len(same) > 1:
            doubts.append(f"{len(same)} columns seem to be {role}; the first is taken")
