"""The only place where a record file is opened, always the same way.

Rollback journal in DELETE mode (asserted at each open, because a GIS may have left another), synchronous EXTRA so that
a commit that was told survives a power cut, short connections, and BEGIN IMMEDIATE for every write.

The live file is never touched by anything but sqlite3: in one process, closing the same file through any other means
drops the locks that protect it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.store.schema import FORMAT, SCHEMA_VERSION

BUSY_S = 10.0
_EXTRA = 3  # https://www.sqlite.org/pragma.html#pragma_synchronous

_DAMAGED = "the file is damaged: use a backup, and keep the damaged file"
_WORDS = {
    sqlite3.SQLITE_BUSY: "another program is busy with it; nothing was written, try again",
    sqlite3.SQLITE_LOCKED: "another program is busy with it; nothing was written, try again",
    sqlite3.SQLITE_READONLY: "it cannot be written: the file or its folder is read-only",
    sqlite3.SQLITE_FULL: "the disk is full; nothing was written",
    sqlite3.SQLITE_IOERR: "the disk refuses to read or write it; nothing was written",
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_NOTADB: "this is no record file (no SQLite database)",
    sqlite3.SQLITE_CANTOPEN: "it cannot be opened: the file or its folder is read-only, or may not be entered",
    sqlite3.SQLITE_PERM: "access to it is refused",
    sqlite3.SQLITE_AUTH: "access to it is refused",
}


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turns what SQLite says into a `RecordError` that names the file and what can be done."""
    try:
        yield
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", None)
        words = _WORDS.get(code & 0xFF) if code is not None else _DAMAGED if "decode" in str(error) else None
        raise RecordError(f"{path}: {words or 'it cannot be used'} ({error})") from error
    except UnicodeDecodeError as error:  # what SQLite quotes from a damaged schema is no text
        raise RecordError(f"{path}: {_DAMAGED} ({error.object!r})") from error
    except OverflowError as error:
        raise RecordError(f"{path}: found a whole number of more than 63 bits; nothing was written") from error


def connected(path: Path) -> sqlite3.Connection:
    """A connection to a file that is there, with the pragmas of this program. Errors come as sqlite3's own."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=BUSY_S, isolation_level=None)
    try:
        (mode,) = connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA trusted_schema = OFF")
        (synchronous,), (foreign_keys,) = (
            connection.execute(f"PRAGMA {name}").fetchone() for name in ("synchronous", "foreign_keys")
        )
    except BaseException:
        connection.close()
        raise
    if mode != "delete":
        connection.close()
        raise RecordError(f"{path}: another program holds it open in journal mode {mode}; close it there first")
    if (synchronous, foreign_keys) != (_EXTRA, 1):
        connection.close()
        raise RecordError(f"{path}: this SQLite ({sqlite3.sqlite_version}) cannot keep it safe through a power cut")
    return connection


def require_file(path: Path) -> None:
    """That there is a file at all. Raises RecordError."""
    try:
        found = "" if path.is_file() else "a folder" if path.is_dir() else "no such file"
    except OSError as error:
        raise RecordError(f"{path}: it cannot be looked at ({error.strerror or error})") from error
    if found:
        raise RecordError(f"{path}: found {found}; allowed: a record file")


@contextmanager
def opened(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to a record of a version this program knows, closed at the end.

    Raises:
        RecordError: there is no such file, it is no record, damaged, busy, or made by a newer version.
    """
    require_file(path)
    with told(path), closing(connected(path)) as connection:
        version = version_of(connection, path)
        if version > SCHEMA_VERSION:
            raise RecordError(
                f"{path}: made by a newer version of this program (record version {version}; this one knows "
                f"up to {SCHEMA_VERSION}); use the newer one, nothing was changed"
            )
        if version < SCHEMA_VERSION:
            raise RecordError(
                f"{path}: made by an older version of this program (record version {version}; this one works on "
                f"{SCHEMA_VERSION}); bring it up with: bodymap bring-up {path} (a backup is made beside it first)"
            )
        yield connection


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that sees one moment of the record and writes nothing."""
    with opened(path) as connection:
        connection.execute("PRAGMA query_only = ON")
        connection.execute("BEGIN")
        yield connection


@contextmanager
def writing(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection inside a write transaction: all of it is committed at the end, or nothing."""
    with opened(path) as connection, transaction(connection):
        yield connection


@contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """BEGIN IMMEDIATE … COMMIT, or ROLLBACK when anything is raised."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):  # SQLite has rolled back by itself after some errors
            connection.execute("ROLLBACK")
        raise


def version_of(connection: sqlite3.Connection, path: Path) -> int:
    """The schema version of a record. Raises RecordError where the file is some other database."""
    there = connection.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'bodymap_migration'").fetchone()
    row = connection.execute("SELECT max(version), min(format) FROM bodymap_migration").fetchone() if there else None
    if not row or row[0] is None or row[1] != FORMAT:
        raise RecordError(f"{path}: a database, but no record of this program")
    return int(row[0])
