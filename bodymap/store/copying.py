"""A consistent copy of a record file while others write to it, and of its media files."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.progress import Step, each, silent, stretch
from bodymap.store.file_open import connected, require_file, told
from bodymap.store.media import folder_of, lay, name_in_folder
from bodymap.store.staging import staged
from bodymap.store.standing import read_media
from bodymap.store.verify import faults_in

_OF_THE_COPY = (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN)


# Of the time that a copy takes: until its pictures lie there. The rest is the check.
_LAID = 0.6


def _whole_faults(path: Path, step: Step) -> tuple[str, ...]:
    return faults_in(path, step=step)


def copied(
    path: Path, copy: Path, faults: Callable[[Path, Step], tuple[str, ...]] = _whole_faults, step: Step = silent
) -> None:
    """Copies a record file and its media to a new place; the copy is checked before it gets its name.

    `faults` says what is wrong with the copy (a record of an older version cannot be held against the newest schema).
    `step` is told how far it is; what it raises stops the work, and nothing is left of the copy.

    Raises:
        RecordError: `copy` is there already, has another extension or cannot be written; or the record is not whole.
    """
    require_file(path)
    with staged(Path(copy)) as built:
        step("Copying the record", 0.0)
        with told(path), closing(connected(path)) as live, closing(sqlite3.connect(built, isolation_level=None)) as new:
            _whole(live, new, copy)
        with told(copy), closing(connected(built)) as connection:
            items = read_media(connection)
        for item in each(items, "Copying the pictures", stretch(step, 0.02, _LAID)):
            lay(folder_of(built), item, folder_of(path) / name_in_folder(item))
        wrong = faults(built, stretch(step, _LAID, 1.0))
        if wrong:
            raise RecordError(f"{path}: no copy was made, because the record is not whole: {'; '.join(wrong)}")


def _whole(live: sqlite3.Connection, new: sqlite3.Connection, copy: Path) -> None:
    """One step of SQLite's own backup: in more steps, each commit of another program would make it begin again."""
    try:
        live.backup(new, pages=-1)
    except sqlite3.Error as error:
        if error.sqlite_errorcode & 0xFF in _OF_THE_COPY:
            with told(copy):
                raise
        raise
