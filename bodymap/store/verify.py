"""Whether a record file is whole: the database, its schema, the chain over what its entries say, its media files.

Everything found is one sentence that names the thing. What a chain cannot show, a tail cut off, is found against a head
(count and first digits of the hash) as printed on a brief.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path

from bodymap.errors import BodymapError, RecordError
from bodymap.model.journal import JournalEntry, against_head, broken_links
from bodymap.model.record import KINDS
from bodymap.model.source import MediaFile
from bodymap.progress import Step, counted, each, silent, stretch
from bodymap.store.blobs import SRS_ID, decoded, encoded
from bodymap.store.damage import any_text, harmed_entries
from bodymap.store.file_open import reading
from bodymap.store.journal_read import read_entries
from bodymap.store.media import fault_of, folder_of
from bodymap.store.schema import (
    APPLICATION_ID,
    HISTORY,
    USER_VERSION,
    log_of,
    registrations,
    shape_column,
    statements,
    view_of,
)
from bodymap.store.standing import read_media, read_standing, record_of

_LISTED_MOST = 20
# Of the time that a check takes, at which share each part of it begins, where there are many entries.
_ENTRIES, _GEOMETRIES, _STATE, _PICTURES = 0.05, 0.7, 0.75, 0.9
_Part = tuple[str, str]  # what it is, and its name


def faults_in(path: Path, head: str | None = None, step: Step = silent) -> tuple[str, ...]:
    """What is wrong with the record file at `path`, in words; nothing: it is whole.

    `step` is told how far it is; what it raises stops the check. The pictures are read when the file is closed again: to
    read many takes long, and nobody who writes into the record has to wait for that.

    Raises:
        RecordError: it cannot be read at all, or `head` is no head.
    """
    with reading(path) as connection:
        connection.text_factory = any_text
        step("Checking the database", 0.0)
        wrong = list(database_faults(connection))
        if wrong:
            return (*wrong, *harmed_entries(connection, stretch(step, _ENTRIES, 1.0)))
        wrong += _schema(connection)
        wrong += _registered(connection)
        wrong += _entries(connection, head, stretch(step, _ENTRIES, _GEOMETRIES))
        wrong += _geometries(connection, stretch(step, _GEOMETRIES, _STATE))
        wrong += _state(connection, stretch(step, _STATE, _PICTURES))
        items = _media(connection)
    folder, pictures = folder_of(path), each(items, "Checking the pictures", stretch(step, _PICTURES, 1.0))
    wrong += filter(None, (fault_of(folder, item) for item in pictures))
    return tuple(wrong)


def database_faults(connection: sqlite3.Connection) -> Iterator[str]:
    """Damage to the database itself, whatever it holds."""
    try:
        found = [text for (text,) in connection.execute(f"PRAGMA integrity_check({_LISTED_MOST})")]
        if found != ["ok"]:
            yield from (f"the database is damaged: {text}" for text in found)
        for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check").fetchmany(_LISTED_MOST):
            yield f"row {row} of {table} has lost its row of {parent}"
    except sqlite3.DatabaseError as error:
        yield f"the database is damaged: {error}"


def _schema(connection: sqlite3.Connection) -> Iterator[str]:
    """Against a schema made afresh: views, triggers and indexes word by word, tables column by column."""
    for pragma, wanted in (("application_id", APPLICATION_ID), ("user_version", USER_VERSION)):
        (found,) = connection.execute(f"PRAGMA {pragma}").fetchone()
        if found != wanted:
            yield f"{pragma} is {found}, not {wanted}: other programs do not know the file as a GeoPackage"
    with closing(sqlite3.connect(":memory:")) as fresh:
        for statement in statements():
            fresh.execute(statement)
        wanted_parts = _parts(fresh)
        yield from _changed_parts(wanted_parts, _parts(connection))
        for kind, name in wanted_parts:
            if kind == "table" and _columns(fresh, name) != _columns(connection, name):
                yield f"table {name} has not the columns it was made with"
    own = {name for kind, name in wanted_parts if kind in ("table", "view")}
    for name, table in connection.execute("SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'"):
        if table in own and not table.startswith("gpkg_") and ("trigger", name) not in wanted_parts:
            yield f"trigger {name} on {table} is not of this program"


def _changed_parts(made: Mapping[_Part, str], found: Mapping[_Part, str]) -> Iterator[str]:
    for (kind, name), sql in made.items():
        if (kind, name) not in found:
            yield f"{kind} {name} is gone"
        elif kind != "table" and found[kind, name] != sql:
            yield f"{kind} {name} is not as it was made"


def _parts(connection: sqlite3.Connection) -> dict[_Part, str]:
    rows = connection.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {(kind, name): sql for kind, name, sql in rows}


def _columns(connection: sqlite3.Connection, table: str) -> set[tuple[object, ...]]:
    rows = connection.execute(f"PRAGMA table_info({table})")
    return {(name, sql_type, not_null, key) for _, name, sql_type, not_null, _, key in rows}


def _registered(connection: sqlite3.Connection) -> Iterator[str]:
    contents = {name: said for name, *said in connection.execute("SELECT table_name, data_type, srs_id FROM gpkg_contents")}
    shapes = {name: said for name, *said in connection.execute("SELECT * FROM gpkg_geometry_columns")}
    wanted = {view_of(kind): shape_column(model) for kind, model in KINDS.items()} | {HISTORY: None}
    for name, shape in wanted.items():
        layer, columns = (["features", SRS_ID], [shape, "GEOMETRY", SRS_ID, 0, 0]) if shape else (["attributes", None], None)
        if contents.get(name) != layer or shapes.get(name) != columns:
            yield f"layer {name} is not registered as it was: other programs do not show it, or show it otherwise"
    plane = connection.execute("SELECT * FROM gpkg_spatial_ref_sys WHERE srs_id = ?", (SRS_ID,)).fetchone()
    if plane != next(values for _, values in registrations("") if SRS_ID in values):
        yield "the plane of the drawings is not described as it was: other programs may read another unit"


def _entries(connection: sqlite3.Connection, head: str | None, step: Step) -> Iterator[str]:
    entries = []
    for read in read_entries(connection, step=stretch(step, 0.0, 0.6)):
        entries.append(read.entry)
        if read.wrong:
            yield read.wrong
        elif read.entry.act == "put" and not _named_as_said(read.entry):
            yield f"entry {read.entry.seq} is of {read.entry.kind} {read.entry.ident}, but what it says is of another"
    chain = counted(entries, len(entries), "Checking the chain", stretch(step, 0.6, 1.0))
    yield from (words for _, words in broken_links(chain))
    for kind in KINDS:
        rows = connection.execute(
            f"SELECT seq FROM {log_of(kind)} WHERE seq NOT IN (SELECT seq FROM journal WHERE kind = ? AND act = 'put')",  # noqa: S608
            (kind,),
        )
        yield from (f"row {seq} of {log_of(kind)} belongs to no entry of the journal" for (seq,) in rows)
    if head is not None:
        yield from against_head(head, entries)


def _named_as_said(entry: JournalEntry) -> bool:
    key = KINDS[entry.kind].KEY
    return not key or "/".join(str(entry.body.get(name)) for name in key) == entry.ident


def _geometries(connection: sqlite3.Connection, step: Step) -> Iterator[str]:
    """Other programs go by the header of a geometry (its plane, its envelope), which no entry says: it must fit."""
    shapes = [(kind, column) for kind, model in KINDS.items() if (column := shape_column(model))]
    for number, (kind, column) in enumerate(shapes):
        rows = connection.execute(
            f"SELECT l.seq, j.ident, l.{column} FROM {log_of(kind)} l LEFT JOIN journal j ON j.seq = l.seq "  # noqa: S608
            f"WHERE l.{column} IS NOT NULL"
        )
        inner = stretch(step, number / len(shapes), (number + 1) / len(shapes))
        for seq, ident, blob in counted(rows, 0, "Checking the geometries", inner):
            try:
                fits = encoded(decoded(blob)) == blob
            except (ValueError, BodymapError):
                continue  # told where the entries are read
            if not fits:
                yield f"the geometry of entry {seq} ({kind} {ident}) has another header than it was written with"


def _media(connection: sqlite3.Connection) -> tuple[MediaFile, ...]:
    try:
        return read_media(connection)
    except (RecordError, sqlite3.DatabaseError):
        return ()  # told where the record is read as it stands


def _state(connection: sqlite3.Connection, step: Step) -> Iterator[str]:
    try:
        record_of(read_standing(connection, step))
    except (RecordError, ValueError, sqlite3.DatabaseError) as error:
        yield f"the record cannot be read: {error}"
