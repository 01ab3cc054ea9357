"""Release to strip: what stands against stripping each zone, each with what would cure it, and what was overruled.

Every zone is asked, because a release comes before any strip; `asked` tells those that a strip step names (where no step
strips anything yet: those whose intent is not to keep or clean). A zone is released by two signatures, but may be stripped
only while nothing else stands against it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from bodymap.model.plan import StripMethod
from bodymap.model.record import Record
from bodymap.model.zone import Zone
from bodymap.release.blockers import Blocker, Overridden, Where
from bodymap.release.evidence import evidence_blockers, spots_asked
from bodymap.release.keeps import Share, Strip, keep_blockers, kept_shares, strips_of
from bodymap.release.signing import SIGNERS, overruled, signers
from bodymap.settings import Settings

State = Literal["released", "signed but blocked", "ready to sign", "blocked"]


@dataclass(frozen=True)
class ZoneRelease:
    """Whether a zone may be stripped.

    Attributes:
        asked: the plan strips it (or there is no strip in the plan, and it is not to be kept or cleaned only).
        methods: of the strip steps that name it, in order; None: not stated.
        blockers: what stands against it.
        overridden: what stood against it and was overruled by name and reason.
        signed_by: the people who have signed its release, each once.
        notes: what is no blocker and should be known.
    """

    zone_id: str
    asked: bool
    methods: tuple[StripMethod | None, ...]
    blockers: tuple[Blocker, ...]
    overridden: tuple[Overridden, ...]
    signed_by: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def release(self) -> bool:
        """Nothing stands against stripping it."""
        return not self.blockers

    @property
    def ready(self) -> bool:
        """Nothing but a signature is missing."""
        return all(blocker.code == "two-signatures" for blocker in self.blockers)

    @property
    def signed(self) -> bool:
        """Two people have signed, so that its as-found evidence is closed, whatever else stands against it."""
        return len(self.signed_by) >= SIGNERS

    @property
    def state(self) -> State:
        """How far it has come: only what is `released` may be stripped."""
        if self.signed:
            return "released" if self.release else "signed but blocked"
        return "ready to sign" if self.ready else "blocked"


@dataclass(frozen=True)
class _Asked:
    """What is the same for every zone: the strip steps by zone, and the kept areas as they lie on each part."""

    record: Record
    settings: Settings
    strips: Mapping[str, tuple[Strip, ...]]
    kept: tuple[Share, ...]


def release_of(record: Record, settings: Settings, of: Collection[str] | None = None) -> dict[str, ZoneRelease]:
    """The release of every zone, or of those asked for, by zone_id in the order of the record."""
    asked = _Asked(record, settings, strips_of(record), kept_shares(record))
    return {zone.zone_id: _zone(asked, zone) for zone in record.zones if of is None or zone.zone_id in of}


def _zone(asked: _Asked, zone: Zone) -> ZoneRelease:
    record, settings = asked.record, asked.settings
    strips = asked.strips.get(zone.zone_id, ())
    found = [
        *evidence_blockers(record, settings, zone),
        *keep_blockers(record, settings, zone, strips, asked.kept),
        *_signatures(record, zone),
    ]
    standing, gone, notes = overruled(record, zone.zone_id, found)
    return ZoneRelease(
        zone_id=zone.zone_id,
        asked=bool(strips) if asked.strips else zone.intent not in ("keep", "clean"),
        methods=tuple(strip.method for strip in strips),
        blockers=tuple(standing),
        overridden=tuple(gone),
        signed_by=tuple(one.by for one in signers(record, zone.zone_id)),
        notes=(*notes, *_notes(asked, zone)),
    )


def _signatures(record: Record, zone: Zone) -> Iterator[Blocker]:
    signed = signers(record, zone.zone_id)
    if len(signed) < SIGNERS:
        by = f"signed by {signed[0].by} alone" if signed else "signed by nobody"
        yield Blocker(
            "two-signatures",
            f"the release of {zone.title} is {by}",
            "have `release to strip` signed by two different people",
            Where("signoff", zone.zone_id),
        )


def _notes(asked: _Asked, zone: Zone) -> Iterator[str]:
    if zone.face == "outer" and not spots_asked(asked.record, asked.settings, zone):
        yield f"no readings are asked: no place is {asked.settings.value('probe_edge_mm'):g} mm from edges and trim"
    if all(share.part_id != zone.part_id for share in asked.kept):
        yield f"nothing of {asked.record.part[zone.part_id].name} is kept: no witness of its layers stays"
