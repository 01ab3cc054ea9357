"""Bringing an older record up to the schema of this program: each step and its note in one transaction, a backup first.

A later version adds a `Migration` here; `schema.py` always says the newest. A migration is plain SQL statements, or a
function in a module of its own, that lead from the version before to its own. It may add columns and tables, make views
and triggers again, and add entries to the journal; what the journal and the logs hold is never touched.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from itertools import chain, count
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.progress import Step, silent, stretch
from bodymap.store.changes import check_signature
from bodymap.store.copying import copied
from bodymap.store.file_open import connected, require_file, told, transaction, version_of
from bodymap.store.schema import FORMAT
from bodymap.store.verify import database_faults
from bodymap.store.version_2 import to_version_2


@dataclass(frozen=True)
class Migration:
    """One step up.

    `steps`: SQL statements, or a function that makes the change inside the transaction it is given; it is told who brings
    the record up, and when.
    """

    version: int
    name: str
    steps: tuple[str, ...] | Callable[[sqlite3.Connection, str, str], None] = ()


MIGRATIONS: tuple[Migration, ...] = (
    Migration(1, "as first made"),
    Migration(2, "what stands in a file beside its rows in the journal", to_version_2),
)


def bring_up(
    path: Path, *, by: str, at: str, migrations: Sequence[Migration] = MIGRATIONS, step: Step = silent
) -> tuple[Path, ...]:
    """Brings the record at `path` up to the newest version; returns the backups made on the way, beside it.

    Args:
        path: the record file.
        by: who brings it up.
        at: when, ISO 8601 in UTC.
        migrations: all steps there are, in order.
        step: is told how far it is; what it raises stops the work, and the record is whole, as it was before that step.

    Raises:
        RecordError: no record, one of a newer version, or a step that failed: the record is then as it was before that step.
    """
    path = Path(path)
    check_signature(by, "", at)
    require_file(path)
    backups = []
    with told(path), closing(connected(path)) as connection:
        version, newest = version_of(connection, path), migrations[-1].version
        if version > newest:
            raise RecordError(
                f"{path}: made by a newer version of this program (record version {version}; this one knows "
                f"up to {newest}); use the newer one, nothing was changed"
            )
        wanted = migrations[version:]
        for number, migration in enumerate(wanted):
            backup = _free(path, migration.version)
            copied(path, backup, _damage, stretch(step, number / len(wanted), (number + 1) / len(wanted)))
            backups.append(backup)
            _carry_out(connection, path, migration, by, at)
    return tuple(backups)


def note_version(connection: sqlite3.Connection, migration: Migration, at: str) -> None:
    """Notes in the record that it has come up to a version."""
    connection.execute("INSERT INTO bodymap_migration VALUES (?, ?, ?, ?)", (migration.version, FORMAT, migration.name, at))


def _free(path: Path, version: int) -> Path:
    """A name for the backup that nothing has: one made before a step that was broken off stays as it is."""
    endings = chain([""], (f"-{number}" for number in count(2)))
    places = (path.with_name(f"{path.stem}.before-version-{version}{ending}{path.suffix}") for ending in endings)
    return next(place for place in places if not os.path.lexists(place))


def _damage(path: Path, step: Step) -> tuple[str, ...]:
    """What is wrong with the database itself."""
    step("Checking the database", 0.0)
    with told(path), closing(connected(path)) as connection:
        wrong = tuple(database_faults(connection))
    step("Checking the database", 1.0)
    return wrong


def _carry_out(connection: sqlite3.Connection, path: Path, migration: Migration, by: str, at: str) -> None:
    try:
        with transaction(connection):
            if version_of(connection, path) != migration.version - 1:
                raise RecordError(f"{path}: another program is bringing it up at this moment; try again")
            if callable(migration.steps):
                migration.steps(connection, by, at)
            else:
                for statement in migration.steps:
                    connection.execute(statement)
            note_version(connection, migration, at)
    except sqlite3.Error as error:
        raise RecordError(
            f"{path}: bringing it up to version {migration.version} ({migration.name}) failed, "
            f"it is as it was before: {error}"
        ) from error
