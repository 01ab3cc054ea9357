"""Dates and times as gauge files write them, to ISO 8601."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime
from typing import Literal

Order = Literal["ymd", "dmy", "mdy"]

_DATE = re.compile(r"(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})")
_TIME = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([AaPp])?\.?(?:[Mm]\.?)?")
_CENTURY = 2000


def is_date(cell: str) -> bool:
    """Whether a cell is a date by its form."""
    return bool(_DATE.fullmatch(cell))


def is_time(cell: str) -> bool:
    """Whether a cell is a time of day by its form."""
    return bool(_TIME.fullmatch(cell))


def is_moment(cell: str) -> bool:
    """Whether a cell is a date and a time."""
    date, _, time = cell.replace("T", " ", 1).partition(" ")
    return is_date(date) and is_time(time.strip().rstrip("Zz"))


def order_of(cells: Iterable[str], doubts: list[str]) -> Order:
    """The order of day, month and year in the cells' dates."""
    dates = [found for found in (_DATE.match(cell) for cell in cells) if found]
    if not dates:
        return "ymd"
    if any(len(found[1]) == 4 for found in dates):
        return "ymd"
    if all(len(found[4]) <= 2 for found in dates):
        doubts.append(f"years of two digits, as in {dates[0][0]}: read as 20..")
    if any(int(found[1]) > 12 for found in dates):
        return "dmy"
    if any(int(found[3]) > 12 for found in dates):
        return "mdy"
    if dates[0][2] != ".":
        doubts.append(f"{dates[0][0]} may begin with the day or the month: the day is taken")
    return "dmy"


def moment(date: str, time: str, order: Order) -> str | None:
    """Date and time (either may be empty) as ISO 8601; None where they are none, or a time stands alone.

    >>> moment("07.10.2025", "9:12", "dmy"), moment("10/7/25", "9:12:05 PM", "mdy"), moment("31.02.2025", "", "dmy")
    ('2025-10-07T09:12', '2025-10-07T21:12:05', None)
    """
    day = _DATE.fullmatch(date.strip())
    if not day:
        return None
    parts = dict(zip(order, (int(day[1]), int(day[3]), int(day[4])), strict=True))
    year = parts["y"] + (_CENTURY if parts["y"] < 100 else 0)
    clock = _TIME.fullmatch(time.strip().rstrip("Zz"))
    if time.strip() and not clock:
        return None
    hour, minute, second = (int(clock[1]), int(clock[2]), int(clock[3] or 0)) if clock else (0, 0, 0)
    if clock and clock[4]:
        hour = hour % 12 + (12 if clock[4].lower() == "p" else 0)
    try:
        found = datetime(year, parts["m"], parts["d"], hour, minute, second)
    except ValueError:
        return None
    if not clock:
        return found.date().isoformat()
    return found.isoformat(timespec="seconds" if clock[3] else "minutes")


def split_moment(cell: str) -> tuple[str, str]:
    """Date and time of a cell that holds both."""
    date, _, time = cell.strip().replace("T", " ", 1).partition(" ")
    return date, time.strip()
