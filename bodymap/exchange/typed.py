"""Figures as somebody types them with gloves on: several in one field, told apart by blanks.

A comma between two digits is refused, because it may part two figures or be a decimal sign; nothing is guessed.
"""

from __future__ import annotations

import math
import re

from bodymap.errors import BodymapError

_FIGURE = re.compile(r"[-−+]?\d+(?:\.\d+)?")
_BETWEEN = re.compile(r"[\s;]+")
_ALLOWED = "figures with blanks between, a point for decimals, such as 212 214.5 210"
_PAIR = 2


def figures_in(text: str, what: str = "figures") -> tuple[float, ...]:
    """The figures of one field, in their order; empty where nothing is typed.

    Raises:
        BodymapError: something is no figure; all of it at once.

    >>> figures_in("212 214.5; 210,")
    (212.0, 214.5, 210.0)
    """
    figures, wrong = _read(text)
    if wrong:
        raise BodymapError(f"{what}: found {', '.join(map(repr, wrong))}; allowed: {_ALLOWED}")
    return figures


def pairs_in(text: str, what: str = "pairs") -> tuple[tuple[float, float], ...]:
    r"""Two figures a line, such as station and offset; blank lines are passed over.

    Raises:
        BodymapError: a line that holds anything but two figures; all such lines at once.

    >>> pairs_in("0 41.5\n\n200 42")
    ((0.0, 41.5), (200.0, 42.0))
    """
    pairs: list[tuple[float, float]] = []
    faults = []
    for number, line in enumerate(text.splitlines(), start=1):
        figures, wrong = _read(line)
        if wrong or (figures and len(figures) != _PAIR):
            faults.append(f"line {number}: found {line.strip()!r}; allowed: two figures with a blank between")
        elif figures:
            pairs.append((figures[0], figures[1]))
    if faults:
        raise BodymapError(f"{what}: " + "; ".join(faults))
    return tuple(pairs)


def _read(text: str) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """The figures, and what is none."""
    words = [word for part in _BETWEEN.split(text) if (word := part.rstrip(","))]
    right = [word for word in words if _FIGURE.fullmatch(word) and math.isfinite(float(word.replace("−", "-")))]
    wrong = tuple(word for word in words if word not in right)
    return tuple(float(word.replace("−", "-")) for word in right), wrong
