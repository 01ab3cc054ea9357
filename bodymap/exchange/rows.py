"""One row or feature as an entry of the model, or as everything that is wrong with it; and what one file gave."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from bodymap.errors import Fault
from bodymap.exchange.cells import NotThisKind, cut, shown
from bodymap.model import Column, Entry, columns_of
from bodymap.model.check import Unread

_MESSAGE = "Value error, "
_IDENT = re.compile(r"[A-Za-z0-9_-]{1,64}(/[A-Za-z0-9_-]{1,64})?")


@dataclass
class FileContent:
    """What one file gave: the entries with their row or feature numbers, and all that was wrong or odd.

    `members` is what stands beside the rows and has to be written back: members of a GeoJSON collection, or under
    `columns` the unknown columns of a CSV file where the rows alone do not tell them.
    """

    model: type[Entry]
    entries: list[tuple[int, Entry]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    members: dict[str, Any] = field(default_factory=dict)

    def fail(self, *, row: int = 0, column: str = "", found: str, allowed: str) -> None:
        """Add a fault of the file as a whole, or of its header."""
        self.faults.append(Fault(self.model.FILE, row, column, found, allowed))

    def lose(self, row: int = 0, ident: str = "") -> None:
        """Say that a row is there and could not be read (row 0: none of the file).

        An `ident` that is no id does not tell which row it was: any id may then be the one that others mean.
        """
        self.unread.append(Unread(self.model.KIND, ident if _IDENT.fullmatch(ident) else "", self.model.FILE, row))

    def take(self, row: int, raw: Mapping[str, Any], read: Callable[[Column, Any], Any], more: Mapping[str, Any]) -> None:
        """Read one row or feature: its raw values by column, and its unknown columns. Adds an entry, or its faults."""
        values, faults = _values(self.model, raw, read)
        try:
            entry = self.model.model_validate({**values, "more": dict(more)})
        except ValidationError as error:
            entry = None
            faults |= _refused(error, columns_of(self.model), raw, faults)
        ident = _ident(self.model, values, raw)
        subject = cut(ident) if ident.isprintable() else shown(ident)
        for column, (found, allowed) in faults.items():
            place = "geometry" if column == "shape" else column
            self.faults.append(Fault(self.model.FILE, row, place, found, allowed, subject))
        if faults or entry is None:
            self.lose(row, ident)
        else:
            self.entries.append((row, entry))


Found = tuple[str, str]  # what was found, what is allowed


def _values(
    model: type[Entry], raw: Mapping[str, Any], read: Callable[[Column, Any], Any]
) -> tuple[dict[str, Any], dict[str, Found]]:
    """The values of a row that could be read, and the columns that are wrong."""
    values: dict[str, Any] = {}
    faults: dict[str, Found] = {}
    for column in columns_of(model):
        try:
            value = read(column, raw.get(column.name))
        except NotThisKind as error:
            faults[column.name] = (str(error) or shown(raw[column.name]), error.allowed or column.words)
            continue
        if value is not None:
            values[column.name] = value
        elif column.required:
            faults[column.name] = ("no geometry" if column.kind == "shape" else "a blank", column.words)
    return values, faults


def _refused(
    error: ValidationError, columns: tuple[Column, ...], raw: Mapping[str, Any], told: Mapping[str, Found]
) -> dict[str, Found]:
    """The columns whose values the model refuses, but for those told already."""
    words = {column.name: column.words for column in columns}
    refused: dict[str, Found] = {}
    for one in error.errors(include_url=False, include_input=False):
        name = str(one["loc"][0]) if one["loc"] else ""
        if name in told or name in refused:
            continue
        message = one["msg"].removeprefix(_MESSAGE)
        if words.get(name) and (message == words[name] or one["type"] != "value_error"):
            refused[name] = (shown(raw.get(name)), words[name])
        else:
            refused[name] = (shown(raw.get(name)), message)
    return refused


def _ident(model: type[Entry], values: Mapping[str, Any], raw: Mapping[str, Any]) -> str:
    """The key of a row as it stands there, empty where it does not tell."""
    key = [str(values.get(name) or raw.get(name) or "").strip() for name in model.KEY]
    return "/".join(key) if all(key) else ""
