"""What an entry says, as a row of typed columns and back, with nothing lost on the way.

The pivot is the body of an entry as the journal keeps it (`model.journal.body_of`): a column is NULL exactly where the
body does not have it. Lists of ids and of words stand joined by `;`, which neither may hold; `more` is JSON.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from bodymap.errors import Fault
from bodymap.model.columns import Column, columns_of
from bodymap.model.entry import Entry
from bodymap.model.journal import body_of
from bodymap.model.record import KINDS
from bodymap.model.shapes import Shape
from bodymap.store.blobs import decoded, encoded

WHOLE_MOST = 2**63 - 1  # what an INTEGER column holds
_LISTS = ("ids", "choices")


def names_of(kind: str) -> tuple[str, ...]:
    """The columns of a kind's log table beside its key, in the order in which rows are written and read here."""
    return (*(column.name for column in columns_of(KINDS[kind])), "more")


def storable(entry: Entry) -> dict[str, Any]:
    """The body of an entry in the form that comes back the same from a REAL column and from JSON.

    SQLite keeps no negative nought, so that becomes nought before anything is hashed; tuples in `more` become lists.
    """
    body = body_of(entry)
    for column in columns_of(type(entry)):
        if column.kind == "number" and column.name in body:
            body[column.name] += 0.0
    if "more" in body:
        body["more"] = json.loads(json.dumps(body["more"], allow_nan=False))
    return body


def unstorable(entry: Entry, file: str, row: int) -> Iterator[Fault]:
    """What an entry says that a record file cannot hold."""
    for column in columns_of(type(entry)):
        value = getattr(entry, column.name)
        if column.kind == "whole" and value is not None and value > WHOLE_MOST:
            yield Fault(file, row, column.name, str(value), f"a whole number up to {WHOLE_MOST}", entry.ident)
    try:
        json.dumps(entry.more, allow_nan=False)
    except (TypeError, ValueError, RecursionError) as error:
        yield Fault(file, row, ", ".join(entry.more), str(error), "what JSON can say (RFC 8259)", entry.ident)


def exactly(body: Mapping[str, Any]) -> str:
    """Text that is the same for two bodies only if they say the same to the last bit: 1, 1.0 and yes are three things."""
    return json.dumps(body, sort_keys=True)


def row_of(kind: str, body: Mapping[str, Any]) -> tuple[Any, ...]:
    """The values of `names_of(kind)` for a body."""
    values = [_to_sql(column, body.get(column.name)) for column in columns_of(KINDS[kind])]
    more = body.get("more")
    return (*values, None if more is None else json.dumps(more, allow_nan=False))


def body_from(kind: str, row: Sequence[Any]) -> dict[str, Any]:
    """The body that a row of `names_of(kind)` keeps.

    Raises:
        ValueError: a value that no entry could have left there.
    """
    body = _plain(kind, row)
    for column in columns_of(KINDS[kind]):
        if column.kind == "shape" and column.name in body:
            body[column.name] = decoded(body[column.name]).geojson()
    return body


def entry_from(kind: str, row: Sequence[Any]) -> Entry:
    """The entry that a row of `names_of(kind)` keeps, checked by its model.

    Raises:
        ValueError: what stands in the row is no such entry.
    """
    model = KINDS[kind]
    said = _plain(kind, row)
    for column in columns_of(model):
        if column.kind == "shape" and column.name in said:
            said[column.name] = decoded(said[column.name])
    return model.model_validate(said)


def shape_of(entry: Entry) -> Shape | None:
    """The geometry of an entry, if it has one."""
    shape = getattr(entry, "shape", None)
    return shape if isinstance(shape, Shape) else None


def in_words(error: Exception) -> str:
    """One line on why a row is no entry."""
    if isinstance(error, ValidationError):
        return "; ".join(f"{'.'.join(map(str, one['loc']))}: {one['msg']}" for one in error.errors())
    return str(error)


def _to_sql(column: Column, value: Any) -> Any:
    if value is None:
        return None
    if column.kind in _LISTS:
        return ";".join(value)
    if column.kind == "yes_no":
        return int(value)
    if column.kind == "shape":
        return encoded(Shape.model_validate(value))
    return value


def _plain(kind: str, row: Sequence[Any]) -> dict[str, Any]:
    """Values by name, blanks left out, lists and yes/no as they were; shapes still as blobs."""
    body = {} if row[-1] is None else {"more": json.loads(row[-1])}
    for column, value in zip(columns_of(KINDS[kind]), row, strict=False):
        if value is None:
            continue
        if column.kind in _LISTS:
            body[column.name] = value.split(";")
        elif column.kind == "yes_no":
            body[column.name] = _yes_no(value)
        else:
            body[column.name] = value
    return body


def _yes_no(value: Any) -> bool:
    if value not in (0, 1):
        raise ValueError(f"{value!r} where 0 or 1 stands")
    return bool(value)
