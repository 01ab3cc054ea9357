"""What the repaint rehearsal writes: a plan, steps done, coats accepted, readings, paint figures."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bodymap.finish.plan_edit import Plan
from bodymap.finish.progress import Done, statement_of
from bodymap.model import JournalEntry, Reading, Signoff, Step
from bodymap.store.record_file import Put, Withdraw
from dashboard.actions import save
from dashboard.loaders import Opened, moment

ACCEPTED = "coat accepted"
# What the number of a spot begins with that was read after a coat and is none of the survey's.
AFTER = "after-"


def save_plan(now: Opened, plan: Plan, *, by: str, why: str, seen: int) -> tuple[JournalEntry, ...]:
    """Put a plan in place of the record's own, with its masks and goals. Raises ConflictError, BodymapError."""
    numbers = {step.step for step in plan.steps}
    changes: list[Put | Withdraw] = [Put(entry) for entry in (*plan.areas, *plan.goals, *plan.steps)]
    changes += [Withdraw(Step.KIND, step.ident) for step in now.record.steps if step.step not in numbers]
    return save(now, changes, by=by, why=why, seen=seen)


def save_done(now: Opened, done: Done, *, accepted: bool, seen: int) -> tuple[JournalEntry, ...]:
    """Put the statement that a step is done, and where it is `accepted` the signature for its coat.

    Raises:
        ConflictError, BodymapError: as `save`; a batch that could not be read back.
        ValidationError: no date.
    """
    changes: list[Put | Withdraw] = [Put(statement_of(done, _free(now, "D", 1)))]
    if accepted:
        changes.append(
            Put(
                Signoff(
                    subject=done.target[0], what=ACCEPTED, by=done.by or "", on=done.on or "",
                    note=f"step {done.number}",
                )
            )
        )  # fmt: skip
    return save(now, changes, by=done.by or "", why=f"Step {done.number} is done", seen=seen)


def save_readings(
    now: Opened, zone_id: str, coat_id: str, values_um: Sequence[float], principle: str, *, instrument: str | None, by: str,
    seen: int,
) -> tuple[JournalEntry, ...]:  # fmt: skip
    """Put readings of one spot, taken after a coat. Raises ConflictError, BodymapError, ValueError."""
    first = int(_free(now, "R", 4)[1:])
    changes = [
        Put(
            Reading(
                reading_id=f"R{first + place:04d}", zone_id=zone_id, um=um, principle=principle, spot=f"{AFTER}{first:04d}",
                taken=moment(), phase=coat_id, instrument=instrument, by=by,
            )
        )
        for place, um in enumerate(values_um)
    ]  # fmt: skip
    return save(now, changes, by=by, why=f"Film read after {coat_id}", seen=seen)


def _free(now: Opened, letter: str, digits: int) -> str:
    """The first id of a letter and a number above all that were ever used like that."""
    form = re.compile(rf"{letter}(\d+)")
    used = (
        found for ident in {*now.record.ids, *(entry.ident for entry in now.journal)} if (found := form.fullmatch(ident))
    )
    return f"{letter}{max((int(found[1]) for found in used), default=0) + 1:0{digits}d}"
