"""What the screen Keep and strip writes: intents, margins, methods, signatures; each save is all or nothing."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from bodymap.errors import BodymapError
from bodymap.finish.strip_plan import with_method
from bodymap.model import JournalEntry, Signoff, Step
from bodymap.model.plan import StripMethod
from bodymap.model.signoff import Decision
from bodymap.model.zone import Intent
from bodymap.release.blockers import CODES
from bodymap.release.signing import OVERRIDE, RELEASE, SIGNERS, name_key, override_of, signers
from bodymap.store.record_file import Put, Withdraw
from dashboard import actions
from dashboard.loaders import Opened, moment

# Intents that decide that the old finish stays: the decision bears a name of its own.
_STAYS: tuple[Intent, ...] = ("keep", "clean")


def save_intent(
    now: Opened, zones: Sequence[str], intent: Intent, *, by: str, why: str, seen: int
) -> tuple[JournalEntry, ...]:
    """Put the finish intent of zones; to keep or clean is signed for as well. Raises ConflictError, BodymapError."""
    changes: list[Put | Withdraw] = []
    for zone_id in zones:
        zone = now.record.zone[zone_id]
        if zone.intent != intent:
            changes.append(Put(zone.model_copy(update={"intent": intent})))
        if intent in _STAYS and not _signed(now, zone_id, "keep", by):
            changes.append(Put(_signoff(zone_id, "keep", by, why)))
    return actions.save(now, changes, by=by, why=why, seen=seen)


def save_margin(
    now: Opened, area_id: str, margin_mm: float | None, *, by: str, why: str, seen: int
) -> tuple[JournalEntry, ...]:
    """Put the margin of a kept area. Raises ConflictError, BodymapError."""
    area = now.record.area[area_id].model_copy(update={"margin": margin_mm})
    return actions.save(now, [Put(area)], by=by, why=why, seen=seen)


def save_method(
    now: Opened, zones: Sequence[str], method: StripMethod, *, by: str, why: str, seen: int
) -> tuple[JournalEntry, ...]:
    """Put the strip method of zones: the plan told anew. Raises ConflictError, BodymapError."""
    planned = with_method(now.record, zones, method)
    numbers = {step.ident for step in planned}
    standing = {step.ident: step for step in now.record.steps}
    changes: list[Put | Withdraw] = [Withdraw(Step.KIND, number) for number in standing if number not in numbers]
    changes += [Put(step) for step in planned if standing.get(step.ident) != step]
    return actions.save(now, changes, by=by, why=why, seen=seen)


def sign(now: Opened, subjects: Sequence[str], what: Decision, *, by: str, note: str, seen: int) -> tuple[JournalEntry, ...]:
    """Sign a decision on each of these subjects. Raises ConflictError, BodymapError (where nothing is left to sign)."""
    left = [subject for subject in subjects if not _signed(now, subject, what, by)]
    if not left:
        raise BodymapError(f"{by} has signed {what} already: another name is needed, or nothing")
    changes = [Put(_signoff(subject, what, by, note)) for subject in left]
    return actions.save(now, changes, by=by, why=note or what, seen=seen)


def sign_release(now: Opened, zones: Sequence[str], *, by: str, note: str, seen: int) -> tuple[JournalEntry, ...]:
    """Sign the release of zones to strip, as one of the two people it takes.

    Raises:
        BodymapError: this name has signed all of them already, or they have both names.
        ConflictError: somebody changed the same meanwhile.
    """
    open_ = [zone for zone in zones if len(signers(now.record, zone)) < SIGNERS]
    return sign(now, open_, RELEASE, by=by, note=note, seen=seen)


def save_override(
    now: Opened, zones: Sequence[str], codes: Collection[str], *, by: str, reason: str, seen: int
) -> tuple[JournalEntry, ...]:
    """Overrule what stands against zones, by name and reason.

    Raises:
        BodymapError: no code, no reason, or one that would not count.
    """
    note = f"{', '.join(code for code in CODES if code in codes)}: {reason}"
    told = override_of(note)
    if isinstance(told, str):
        raise BodymapError(f"the override would not count: {told}")
    changes = [Put(_signoff(zone, OVERRIDE, by, note)) for zone in zones]
    return actions.save(now, changes, by=by, why=note, seen=seen)


def _signed(now: Opened, subject: str, what: Decision, by: str) -> bool:
    return any(
        one.subject == subject and one.what == what and name_key(one.by) == name_key(by) for one in now.record.signoffs
    )


def _signoff(subject: str, what: Decision, by: str, note: str) -> Signoff:
    return Signoff(subject=subject, what=what, by=by, on=moment()[:10], note=note or None)
