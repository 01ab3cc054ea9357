"""JSON (RFC 8259) read strictly: what other readers would take differently, or silently change, is named.

A key twice in one object, NaN and Infinity, a number too large for a double, half of a surrogate pair, lists nested
without end: RFC 8259 leaves each of these to the reader, so each is refused here.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator
from typing import Any

from bodymap.errors import Fault, Faults

# A MultiPolygon in a feature is nested seven deep; properties of any other program stay far below this.
DEPTH_MOST = 32
_DIGITS_MOST = 400

Trouble = tuple[str, str]  # what was found, what is allowed


class _Twice(dict[str, Any]):
    """An object that has a key more than once."""

    keys_twice: tuple[str, ...] = ()


def parse_json(name: str, text: str) -> Any:
    """The JSON value in a text; `troubles` then finds what is wrong inside it.

    Raises:
        Faults: no JSON, with line and column; nested too deep to be read at all.
    """
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_int)
    except json.JSONDecodeError as error:
        found = f"{error.msg} at line {error.lineno}, column {error.colno}"
        raise Faults(name, [Fault(name, found=found, allowed="JSON as in RFC 8259")]) from error
    except RecursionError as error:
        raise Faults(name, [Fault(name, found="lists nested without end", allowed=_DEPTH_WORDS)]) from error


def troubles(value: Any) -> Iterator[Trouble]:
    """What is wrong inside a JSON value, each once."""
    found: dict[Trouble, None] = {}
    waiting = [(value, 1)]
    while waiting:
        item, depth = waiting.pop()
        for trouble in _of_one(item, depth):
            found[trouble] = None
        if depth <= DEPTH_MOST:
            inner = item.values() if isinstance(item, dict) else item if isinstance(item, list) else ()
            waiting += [(one, depth + 1) for one in inner]
    yield from found


def _of_one(item: Any, depth: int) -> Iterator[Trouble]:
    if depth > DEPTH_MOST:
        yield "values nested too deep", _DEPTH_WORDS
    if isinstance(item, _Twice):
        for key in item.keys_twice:
            yield f"{key!r} twice in one object", "each key of an object once"
    if isinstance(item, float) and not math.isfinite(item):
        yield "NaN, Infinity or a number too large", "finite numbers (RFC 8259 has no other)"
    texts = item if isinstance(item, dict) else (item,) if isinstance(item, str) else ()
    if any("\ud800" <= char <= "\udfff" or char == "\x00" for text in texts for char in text):
        yield "text with half of a surrogate pair or a NUL character", "whole Unicode characters"


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    twice = _Twice(made)
    twice.keys_twice = tuple(key for key, count in Counter(key for key, _ in pairs).items() if count > 1)
    return twice


def _int(digits: str) -> int | float:
    return int(digits) if len(digits) <= _DIGITS_MOST else math.inf


_DEPTH_WORDS = f"at most {DEPTH_MOST} lists and objects inside one another"
