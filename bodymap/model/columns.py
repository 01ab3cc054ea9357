"""The kinds of value a column holds, each with the sentence that tells a user what is allowed there.

The open folder (text) and the record file (typed columns) are both derived from these; a field of a model says its
kind once, by its annotation.
"""

from __future__ import annotations

import math
import re
import types
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import AfterValidator, BaseModel, Field

from bodymap.model.shapes import Shape

ColumnKind = Literal["id", "ids", "text", "number", "whole", "yes_no", "choice", "choices", "date", "colour", "shape"]


@dataclass(frozen=True)
class Allowed:
    """Annotation of a field: the kind of its column and what may stand in it, in words."""

    kind: ColumnKind
    words: str


@dataclass(frozen=True)
class Column:
    """One column or property of a file: its name, kind, whether a row needs it, and what may stand there."""

    name: str
    kind: ColumnKind
    required: bool
    words: str
    choices: tuple[str, ...] = ()


_ID = re.compile(r"[A-Za-z0-9_-]{1,64}")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_DAY = r"\d{4}(-\d{2}(-\d{2})?)?"
_TIME = r"T\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?(Z|[+-]\d{2}:\d{2})?"
_MOMENT = re.compile(f"{_DAY}|" + r"\d{4}-\d{2}-\d{2}" + _TIME)
ID_WORDS = "1–64 of A-Z a-z 0-9 _ -"
DATE_WORDS = "an ISO 8601 date: YYYY, YYYY-MM, YYYY-MM-DD, YYYY-MM-DDThh:mm[:ss][Z or ±hh:mm], or two of them with / between"


def _check_id(value: str) -> str:
    if not _ID.fullmatch(value):
        raise ValueError(ID_WORDS)
    return value


def _check_ids(values: tuple[str, ...]) -> tuple[str, ...]:
    for value in values:
        _check_id(value)
    if len(set(values)) != len(values):
        raise ValueError("each id once")
    return values


def _check_date(value: str) -> str:
    for moment in value.split("/", 1):
        if not _MOMENT.fullmatch(moment):
            raise ValueError(DATE_WORDS)
        try:
            if "T" in moment:
                datetime.fromisoformat(moment)
            else:
                date.fromisoformat(moment + "-01-01"[: 10 - len(moment)] if len(moment) == 4 else (moment + "-01")[:10])
        except ValueError as error:
            raise ValueError(f"a day that exists ({DATE_WORDS})") from error
    return value


def _check_colour(value: str) -> str:
    if not _COLOUR.fullmatch(value):
        raise ValueError("#rrggbb")
    return value.lower()


def _check_number(value: float) -> float:
    if not math.isfinite(value):
        raise ValueError("a finite number")
    return value


def _check_text(value: str) -> str:
    if "\x00" in value:
        raise ValueError("text without NUL characters")
    return value


Id = Annotated[str, AfterValidator(_check_id), Allowed("id", ID_WORDS)]
Ids = Annotated[tuple[str, ...], AfterValidator(_check_ids), Allowed("ids", "ids with ; between, each once")]
Text = Annotated[str, AfterValidator(_check_text), Allowed("text", "text")]
Number = Annotated[float, AfterValidator(_check_number), Allowed("number", "a number with a decimal point")]
Positive = Annotated[float, AfterValidator(_check_number), Field(gt=0), Allowed("number", "a number greater than 0")]
NotNegative = Annotated[float, AfterValidator(_check_number), Field(ge=0), Allowed("number", "a number, 0 or greater")]
SolidsPct = Annotated[
    float, AfterValidator(_check_number), Field(gt=0, le=100), Allowed("number", "a percentage above 0 and up to 100")
]
# Cellulose is thinned by more than its own volume at times; five times as much is a slip.
ThinningPct = Annotated[
    float, AfterValidator(_check_number), Field(ge=0, le=500), Allowed("number", "a percentage from 0 to 500")
]
# Ten metres is wider than any margin beside a kept area; the sums of areas need some end.
MARGIN_MOST_MM = 10_000.0
MarginMm = Annotated[
    float, AfterValidator(_check_number), Field(ge=0, le=MARGIN_MOST_MM), Allowed("number", "a number of mm from 0 to 10000")
]
Whole = Annotated[int, Field(ge=1), Allowed("whole", "a whole number, 1 or greater")]
YesNo = Annotated[bool, Allowed("yes_no", "yes or no")]
Date = Annotated[str, AfterValidator(_check_date), Allowed("date", DATE_WORDS)]
Colour = Annotated[str, AfterValidator(_check_colour), Allowed("colour", "#rrggbb")]
SurfaceShape = Annotated[Shape, Allowed("shape", "a Polygon or MultiPolygon")]
LineShape = Annotated[Shape, Allowed("shape", "a LineString or MultiLineString")]
DatumShape = Annotated[Shape, Allowed("shape", "a Point or LineString")]
AnyShape = Annotated[Shape, Allowed("shape", "any GeoJSON geometry")]


@cache
def columns_of(model: type[BaseModel]) -> tuple[Column, ...]:
    """The columns of a model in the order of its fields."""
    hints = get_type_hints(model, include_extras=True)
    return tuple(
        _column(name, hints[name], required=field.is_required())
        for name, field in model.model_fields.items()
        if name != "more"
    )


def _column(name: str, hint: Any, *, required: bool) -> Column:
    hint = _not_none(hint)
    marks = [mark for mark in getattr(hint, "__metadata__", ()) if isinstance(mark, Allowed)]
    if marks:
        return Column(name, marks[0].kind, required, marks[0].words)
    if get_origin(hint) is Literal:
        choices = get_args(hint)
        return Column(name, "choice", required, " or ".join(choices), choices)
    if get_origin(hint) is tuple and get_origin(get_args(hint)[0]) is Literal:
        choices = get_args(get_args(hint)[0])
        return Column(name, "choices", required, f"any of {', '.join(choices)}, with ; between", choices)
    raise TypeError(f"field {name} has no column kind: {hint!r}")


def _not_none(hint: Any) -> Any:
    if get_origin(hint) in (Union, types.UnionType):
        inner = [part for part in get_args(hint) if part is not type(None)]
        return inner[0] if len(inner) == 1 else hint
    return hint
