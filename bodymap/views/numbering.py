"""The number to offer for the next thing: the one after the greatest of its kind, written as the record writes them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable

_NUMBERED = re.compile(r"([A-Za-z_-]*?)(\d+)(?![0-9])")


def next_like(same_kind: Iterable[str], used: Collection[str], first: str) -> str:
    """The id after the greatest of `same_kind`, with the letters most of them begin with and as many digits.

    Args:
        same_kind: ids of the kind, whatever they look like.
        used: ids that may not be given again, of whatever kind, withdrawn ones too.
        first: where none is numbered yet, such as S01.

    >>> next_like(["S01", "S02", "S10R", "flange"], {"S11"}, "S01")
    'S12'
    """
    ids = [*same_kind]
    told = [match for ident in ids if (match := _NUMBERED.match(ident))]
    letters = Counter(match[1] for match in told).most_common(1)
    start = _NUMBERED.match(first)
    if not start:
        raise ValueError(f"found {first!r}; allowed: letters and a number")
    prefix = letters[0][0] if letters else start[1]
    own = [match[2] for match in told if match[1] == prefix]
    digits = min((len(number) for number in own), default=len(start[2]))
    number = max((int(number) for number in own), default=int(start[2]) - 1) + 1
    while (ident := f"{prefix}{number:0{digits}d}") in used:
        number += 1
    return ident
