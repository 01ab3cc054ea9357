"""From version 1 of the record file to version 2: what stands in a file beside its rows becomes part of the journal.

Version 1 kept it in a table of its own, `bodymap_foreign`, which no entry spoke of, so that nobody could see that it was
changed. Written out in full here: a step stays as it is when the models go on.
"""

from __future__ import annotations

import json
import sqlite3

from bodymap.errors import RecordError
from bodymap.model.journal import FIRST_HASH, chained

_WHY = "brought up to record version 2: what stands in a file beside its rows belongs to the journal from here on"
_MADE = (
    """CREATE TABLE log_beside (
  seq INTEGER NOT NULL PRIMARY KEY REFERENCES journal(seq),
  "file" TEXT NOT NULL CHECK (typeof("file") = 'text'),
  "more" TEXT CHECK (typeof("more") IN ('text', 'null'))
)""",
    """CREATE TRIGGER log_beside_no_update BEFORE UPDATE ON log_beside
BEGIN SELECT RAISE(ABORT, 'an entry of the record is written once and stays'); END""",
    """CREATE TRIGGER log_beside_no_delete BEFORE DELETE ON log_beside
BEGIN SELECT RAISE(ABORT, 'an entry of the record is written once and stays'); END""",
    """CREATE TRIGGER log_beside_follows BEFORE INSERT ON log_beside
WHEN NEW.seq IS NOT (SELECT max(seq) FROM journal)
  OR NOT EXISTS (SELECT 1 FROM journal WHERE seq = NEW.seq AND kind = 'beside' AND act = 'put')
  OR EXISTS (SELECT 1 FROM log_beside WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an entry of the record belongs to the last entry of the journal'); END""",
    """CREATE VIEW "beside" AS SELECT l.seq AS seq, j.place AS place, l."file" AS "file", l."more" AS "more"
FROM log_beside l JOIN journal j ON j.seq = l.seq
JOIN (SELECT max(seq) AS seq FROM journal WHERE kind = 'beside' GROUP BY ident) c ON c.seq = l.seq""",
)
_LAYER = """INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change, srs_id)
VALUES ('beside', 'attributes', 'beside', 'What stands in a file of the open folder beside its rows', ?, NULL)"""


def to_version_2(connection: sqlite3.Connection, by: str, at: str) -> None:
    """Makes the change, inside the transaction of the caller. Raises RecordError on a row that is no JSON object."""
    for statement in _MADE:
        connection.execute(statement)
    connection.execute(_LAYER, (at if "." in at else at.replace("Z", ".000Z"),))
    rows = connection.execute("SELECT file, members FROM bodymap_foreign ORDER BY rowid").fetchall()
    last = connection.execute("SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
    seq, before = last or (0, FIRST_HASH)
    for place, (file, members) in enumerate(rows, 1):
        body = {"file": file, "more": _members(file, members)}
        seq += 1
        entry = chained(
            before, seq=seq, at=at, by=by, why=_WHY, act="put", kind="beside", ident=file, place=place, body=body
        )
        said = entry.model_dump(exclude={"body"})
        connection.execute(
            "INSERT INTO journal (seq, at, by, why, act, kind, ident, place, before, hash) "
            "VALUES (:seq, :at, :by, :why, :act, :kind, :ident, :place, :before, :hash)",
            said,
        )
        said_more = json.dumps(body["more"])
        connection.execute('INSERT INTO log_beside (seq, "file", "more") VALUES (?, ?, ?)', (seq, file, said_more))
        before = entry.hash
    connection.execute("DROP TABLE bodymap_foreign")


def _members(file: str, text: str) -> dict[str, object]:
    try:
        members = json.loads(text)
    except ValueError as error:
        raise RecordError(f"what stands in {file} beside its rows cannot be read ({error}); nothing was changed") from error
    if not isinstance(members, dict) or not members:
        raise RecordError(f"what stands in {file} beside its rows is no JSON object; nothing was changed")
    if "bbox" in members:
        members["bbox"] = []  # written anew from the shapes whenever the file is
    return members
