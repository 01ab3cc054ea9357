"""What can stand against stripping a zone: named codes, each blocker with what it is and what would cure it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Code = Literal[
    "no-stack-to-substrate",
    "faces-not-seen",
    "too-few-readings",
    "finding-without-geometry",
    "line-without-offsets",
    "no-photo-before",
    "hazards-not-tested",
    "keep-edge-without-kind",
    "keep-not-signed",
    "method-not-stated",
    "method-not-for-substrate",
    "margin-in-rougher-zone",
    "not-to-be-stripped",
    "two-signatures",
]
CODES: tuple[Code, ...] = get_args(Code)
# What each code says in a list.
CODE_WORDS: Mapping[Code, str] = {
    "no-stack-to-substrate": "no stack down to the substrate",
    "faces-not-seen": "other faces of the part not seen",
    "too-few-readings": "too few film readings",
    "finding-without-geometry": "a finding without a place",
    "line-without-offsets": "a painted line without offsets",
    "no-photo-before": "no photograph as found",
    "hazards-not-tested": "not tested for lead and other hazards",
    "keep-edge-without-kind": "a kept edge of no stated kind",
    "keep-not-signed": "a kept area nobody signed for",
    "method-not-stated": "strip method not stated near a kept area",
    "method-not-for-substrate": "a method the substrate does not bear",
    "margin-in-rougher-zone": "a kept area in reach of the method",
    "not-to-be-stripped": "not to be stripped at all",
    "two-signatures": "fewer than two signatures",
}
# What one word for everything must not sweep away: another person's signature, and the decision to keep.
BY_NAME_ONLY: frozenset[Code] = frozenset({"two-signatures", "not-to-be-stripped"})


@dataclass(frozen=True)
class Where:
    """Where a blocker is cured: a kind of entry, and the id it is about (of whatever kind)."""

    kind: str
    ident: str


@dataclass(frozen=True)
class Blocker:
    """One thing that stands against stripping a zone."""

    code: Code
    what: str
    cure: str
    where: Where


@dataclass(frozen=True)
class Overridden:
    """A blocker that somebody has overruled, by name and reason."""

    blocker: Blocker
    by: str
    on: str
    reason: str


def listed(names: tuple[str, ...], most: int = 6) -> str:
    """Names in a sentence, long lists cut short.

    >>> listed(("a", "b", "c"), most=2)
    'a, b and 1 more'
    """
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more
