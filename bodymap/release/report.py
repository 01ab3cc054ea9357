"""The release as one JSON object, with the keys that scripts rely on, and as lines to be read in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bodymap.model.record import Record
from bodymap.release.blockers import CODE_WORDS, CODES, Code, listed
from bodymap.release.checks import ZoneRelease

Json = dict[str, Any]


def release_json(releases: Mapping[str, ZoneRelease]) -> Json:
    """What `bodymap release --json` prints."""
    return {"zones": {zone: _zone(release) for zone, release in releases.items()}}


def _zone(release: ZoneRelease) -> Json:
    report: Json = {
        "release": release.release,
        "blockers": [
            {"code": one.code, "what": one.what, "cure": one.cure, "where": {"kind": one.where.kind, "id": one.where.ident}}
            for one in release.blockers
        ],
        "overridden": [
            {"code": one.blocker.code, "by": one.by, "on": one.on, "reason": one.reason, "what": one.blocker.what}
            for one in release.overridden
        ],
        "asked": release.asked,
        "signed_by": list(release.signed_by),
    }
    methods = [method for method in release.methods if method]
    if methods:
        report["methods"] = methods
    if release.notes:
        report["notes"] = list(release.notes)
    return report


@dataclass(frozen=True)
class CodeCount:
    """One code that stands against stripping, and the ids of the zones it stands against, in the order of the record."""

    code: Code
    words: str
    zones: tuple[str, ...]


def by_code(releases: Sequence[ZoneRelease]) -> tuple[CodeCount, ...]:
    """What stands against these zones by code, the commonest first."""
    counts = []
    for code in CODES:
        zones = tuple(one.zone_id for one in releases if any(blocker.code == code for blocker in one.blockers))
        if zones:
            counts.append(CodeCount(code, CODE_WORDS[code], zones))
    return tuple(sorted(counts, key=lambda count: -len(count.zones)))


def release_lines(record: Record, releases: Mapping[str, ZoneRelease]) -> Iterator[str]:
    """What `bodymap release` prints for a reader: a summary by code, then the zones asked, each blocker with its cure."""
    asked = [release for release in releases.values() if release.asked]
    yield from _summary(asked)
    for release in asked:
        if release.blockers or release.overridden or release.notes:
            yield ""
            yield f"{record.zone[release.zone_id].title} ({release.zone_id}): {release.state}"
        for blocker in release.blockers:
            yield f"  {blocker.code}: {blocker.what}"
            yield f"    cure: {blocker.cure}"
        for one in release.overridden:
            yield f"  overruled by {one.by}, {one.on}: {one.blocker.code} ({one.reason})"
        for note in release.notes:
            yield f"  note: {note}"
    others = len(releases) - len(asked)
    if others:
        yield ""
        yield f"{others} other zones are in no strip step; --json tells what stands against them"


def _summary(asked: list[ZoneRelease]) -> Iterator[str]:
    free = [release for release in asked if release.release]
    ready = [release for release in asked if not release.release and release.ready]
    yield f"{len(free)} of {len(asked)} zones to be stripped are free; {len(ready)} wait for signatures only"
    counts = by_code(asked)
    if counts:
        yield ""
        yield "What stands against them, by code (zones):"
    for count in counts:
        yield f"  {len(count.zones):4}  {count.code}: {count.words}, {listed(count.zones, most=3)}"
