"""Who has signed: the release of a zone, and blockers overruled by name and reason.

A zone is released when two people have signed `release to strip` on it.

An override is a sign-off `override` on the zone whose note says what is overruled and why, as `CODES: REASON`; codes with
commas between, or `all` (which leaves out another person's signature and the decision to keep: those are overruled by
their own names only). Without a code or without a reason it does not count.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from bodymap.model.record import Record
from bodymap.model.signoff import Signoff
from bodymap.release.blockers import BY_NAME_ONLY, CODES, Blocker, Overridden

RELEASE, OVERRIDE = "release to strip", "override"
SIGNERS = 2
ALL = "all"
_NOTE = re.compile(r"\s*(?P<codes>[A-Za-z-]+(?:[\s,;]+[A-Za-z-]+)*)\s*:\s*(?P<reason>.*\S)\s*", re.DOTALL)


def signers(record: Record, zone_id: str) -> tuple[Signoff, ...]:
    """The release signatures on a zone by different people, in the order of their dates; each name once."""
    signed = sorted((one for one in record.signoffs if _releases(one, zone_id)), key=lambda one: one.on)
    first: dict[str, Signoff] = {}
    for one in signed:
        first.setdefault(name_key(one.by), one)
    return tuple(first.values())


def released_on(record: Record, zone_id: str) -> str | None:
    """The date of the second signature; None where the zone is not released."""
    signed = signers(record, zone_id)
    return signed[SIGNERS - 1].on if len(signed) >= SIGNERS else None


def is_after(date: str | None, day: str) -> bool:
    """Whether a date lies wholly after the day of another one; a blank, or a date too coarse to tell, does not.

    >>> is_after("2026-03-02", "2026-03-01"), is_after("2026-03", "2026-03-01"), is_after("2026-03-01T18:00", "2026-03-01")
    (True, False, False)
    """
    if not date:
        return False
    begin, end = date.split("/", 1)[0][:10], day.split("/", 1)[-1][:10]
    return begin[: len(end)] > end[: len(begin)]


def overruled(
    record: Record, zone_id: str, blockers: Iterable[Blocker]
) -> tuple[list[Blocker], list[Overridden], list[str]]:
    """Blockers that still stand, those overruled, and why some overrides do not count."""
    overrides, notes = [], []
    for one in record.signoffs:
        if one.what == OVERRIDE and one.subject == zone_id:
            found = override_of(one.note)
            if isinstance(found, str):
                notes.append(f"the override by {one.by} of {one.on} does not count: {found}")
            else:
                overrides.append((one, *found))
    standing, gone = [], []
    for blocker in blockers:
        match = next(((one, why) for one, codes, why in overrides if blocker.code in codes), None)
        if match is None:
            standing.append(blocker)
        else:
            gone.append(Overridden(blocker, match[0].by, match[0].on, match[1]))
    return standing, gone, notes


def override_of(note: str | None) -> tuple[frozenset[str], str] | str:
    """Codes and reason of an override's note, or why it does not count.

    >>> override_of("no-photo-before: the photographs were lost in the fire")
    (frozenset({'no-photo-before'}), 'the photographs were lost in the fire')
    >>> override_of("the owner agrees")
    'its note does not say CODES: REASON'
    """
    match = _NOTE.fullmatch(note or "")
    if match is None:
        return "its note does not say CODES: REASON"
    named = re.split(r"[\s,;]+", match["codes"].lower())
    unknown = [name for name in named if name != ALL and name not in CODES]
    if unknown:
        return f"{', '.join(unknown)} is no code; codes are {', '.join(CODES)}, or {ALL}"
    every = set(CODES) - BY_NAME_ONLY if ALL in named else set()
    return frozenset(every | (set(named) - {ALL})), match["reason"]


def _releases(one: Signoff, zone_id: str) -> bool:
    return one.what == RELEASE and one.subject == zone_id


def name_key(text: str) -> str:
    """A name as it is compared: capitals and spaces make no other person."""
    return " ".join(text.split()).casefold()
