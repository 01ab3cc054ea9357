"""One value as text in a CSV cell and as a JSON value, and back, by the kind of its column.

A blank (an empty cell, null, empty text) is None: not stated. Text is kept to the last space; around every other kind
spaces mean nothing and are let go. Numbers have a decimal point and no grouping; `nan`, `inf`, `1_000` and `0x10` are
none. Whether a value is allowed (an id, a date, a range) is the model's to say; here it is only read.

The open folder must give back exactly what it was given, so text that a spreadsheet program could take for a formula
(a cell beginning with `=`, `+`, `-` or `@`) is written as it is and not escaped. Open such a file as text there.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from typing import Any

from bodymap.model import Column

_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,4})?")
_WHOLE = re.compile(r"[+-]?[0-9]{1,16}(\.0*)?")
# The greatest whole number that JSON readers and spreadsheets hold exactly (RFC 8259, section 6).
WHOLE_MOST = 2**53 - 1
_BETWEEN = ";"
_SHOWN_MOST = 160


class NotThisKind(ValueError):
    """The value is not of the kind of its column.

    Says what was found where the value itself does not, and what is allowed where the column's words are too wide.
    """

    def __init__(self, found: str = "", allowed: str = "") -> None:
        super().__init__(found)
        self.allowed = allowed


def value_of(column: Column, cell: str) -> Any:
    """The value in a CSV cell; None where it is blank.

    Raises:
        NotThisKind: the cell cannot be read as this kind of column.
    """
    if column.kind == "text":
        return cell or None
    cell = cell.strip(" \t")
    if not cell:
        return None
    return _READERS.get(column.kind, str)(cell)


def text_of(column: Column, value: Any) -> str:
    """The text of a value in a CSV cell; `value_of` reads the same value back."""
    if value is None:
        return ""
    if column.kind == "yes_no":
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return _BETWEEN.join(value)
    return plain_text(value)


def value_in_json(column: Column, value: Any) -> Any:
    """The value of a JSON property; None where it is null or empty text.

    Raises:
        NotThisKind: the property is not of the kind of its column.
    """
    if value is None or value == "":
        return None
    if column.kind == "number":
        return _json_number(value)
    if column.kind == "whole":
        return _json_whole(value)
    if not isinstance(value, str):
        raise NotThisKind
    return value_of(column, value)


def json_of(column: Column, value: Any) -> Any:
    """A value as a JSON property; `value_in_json` reads the same value back."""
    return plain_number(value) if column.kind == "number" else value if column.kind == "whole" else text_of(column, value)


def plain_number(value: float) -> int | float:
    """A number without an idle fraction, for JSON: 100.0 is written 100.

    >>> plain_number(100.0), plain_number(0.1)
    (100, 0.1)
    """
    return int(value) if value.is_integer() and abs(value) <= WHOLE_MOST and (value or str(value) == "0.0") else value


def plain_text(value: Any) -> str:
    """A value of an unknown column as text: text as it is, numbers in the shortest exact form, the rest as JSON.

    >>> plain_text(100.0), plain_text(0.1), plain_text("=A1"), plain_text([1, None])
    ('100', '0.1', '=A1', '[1, null]')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    return json.dumps(value, ensure_ascii=False)


def shown(value: Any) -> str:
    """A value as a message shows it: one line, cut where it is long."""
    return cut(repr(value) if isinstance(value, str) else json.dumps(value, ensure_ascii=False, default=str))


def cut(text: str) -> str:
    """A text, cut where it is too long for a message."""
    return text if len(text) <= _SHOWN_MOST else f"{text[: _SHOWN_MOST - 1]}…"


def _number(cell: str) -> float:
    if not _NUMBER.fullmatch(cell):
        raise NotThisKind
    return float(cell)


def _whole(cell: str) -> int:
    if not _WHOLE.fullmatch(cell):
        raise NotThisKind
    return _in_reach(int(cell.partition(".")[0]))


def _yes_no(cell: str) -> bool:
    if cell not in ("yes", "no"):
        raise NotThisKind
    return cell == "yes"


def _list(cell: str) -> tuple[str, ...]:
    items = tuple(item.strip(" \t") for item in cell.split(_BETWEEN))
    if not all(items):
        raise NotThisKind
    return items


def _json_number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise NotThisKind
    try:
        return float(value)
    except OverflowError as error:
        raise NotThisKind from error


def _json_whole(value: Any) -> int:
    number = _json_number(value)
    if not number.is_integer():
        raise NotThisKind
    return _in_reach(int(value))


def _in_reach(number: int) -> int:
    if abs(number) > WHOLE_MOST:
        raise NotThisKind
    return number


_READERS: Mapping[str, Callable[[str], Any]] = {
    "number": _number,
    "whole": _whole,
    "yes_no": _yes_no,
    "ids": _list,
    "choices": _list,
}
