"""The release as one JSON object, with the keys that scripts rely on, and as lines to be read in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bodymap.model.record import Record
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


def release_lines(record: Record, releases: Mapping[str, ZoneRelease]) -> Iterator[str]:
    """What `bodymap release` prints for a reader: the zones that are asked, each blocker with its cure."""
    asked = [release for release in releases.values() if release.asked]
    free = [release for release in asked if release.release]
    ready = [release for release in asked if not release.release and release.ready]
    yield f"{len(free)} of {len(asked)} zones to be stripped are free; {len(ready)} wait for signatures only"
    for release in asked:
        if release.blockers or release.overridden or release.notes:
            yield f"{record.zone[release.zone_id].title} ({release.zone_id}){'' if release.blockers else ': free'}"
        for blocker in release.blockers:
            yield f"  {blocker.code}: {blocker.what}"
            yield f"    cure: {blocker.cure}"
        for one in release.overridden:
            yield f"  overruled by {one.by}, {one.on}: {one.blocker.code} ({one.reason})"
        for note in release.notes:
            yield f"  note: {note}"
    others = len(releases) - len(asked)
    if others:
        yield f"{others} other zones are in no strip step; --json tells what stands against them"
