"""What a damaged database still says of the entries it held: each one that is lost or changed is named.

Where the rows of the journal cannot be read, its index often can, which knows kind and ident of every entry.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import suppress

from bodymap.errors import BodymapError
from bodymap.model.journal import JournalEntry, entry_hash
from bodymap.model.record import KINDS
from bodymap.progress import Step, counted, silent
from bodymap.store.journal_read import SAID
from bodymap.store.rows import body_from, names_of
from bodymap.store.schema import log_of

_BROKEN = (sqlite3.Error, ValueError, TypeError, AttributeError, OverflowError, BodymapError)


def any_text(raw: bytes) -> str:
    """Text as it stands, also where a byte of it was changed: then it is not what was written, and that is found."""
    return raw.decode("utf-8", "surrogateescape")


def harmed_entries(connection: sqlite3.Connection, step: Step = silent) -> Iterator[str]:
    """The entries that cannot be read or are not what was written, one by one, each in words."""
    known = _known(connection)
    for seq, name in counted(known, len(known), "Reading each entry of the damaged file", step):
        try:
            whole = _is_whole(connection, seq)
        except _BROKEN as error:
            yield f"entry {seq}{name} cannot be read any more: {error or type(error).__name__}"
            continue
        if not whole:
            yield f"entry {seq}{name} is not what was written: its content was changed"


def _known(connection: sqlite3.Connection) -> list[tuple[int, str]]:
    """Every entry there was, as far as table, index and logs tell: its number, and its name where that is known."""
    names: dict[int, str] = {}
    for kind in KINDS:
        with suppress(sqlite3.Error):
            names |= {seq: f" ({kind})" for (seq,) in connection.execute(f"SELECT seq FROM {log_of(kind)}")}  # noqa: S608
    for where in ("NOT INDEXED", "INDEXED BY journal_of_one"):
        with suppress(sqlite3.Error):
            for seq, kind, ident in connection.execute(f"SELECT seq, kind, ident FROM journal {where}"):  # noqa: S608
                names[seq] = f" ({kind} {ident})"
    whole = [seq for seq in names if isinstance(seq, int) and seq > 0]
    return [(seq, names[seq]) for seq in sorted(whole)]


def _is_whole(connection: sqlite3.Connection, seq: int) -> bool:
    row = connection.execute(f"SELECT {', '.join(SAID)} FROM journal WHERE seq = ?", (seq,)).fetchone()  # noqa: S608
    if row is None:
        raise ValueError("its row of the journal is gone")
    said = dict(zip(SAID, row, strict=True))
    kind, body = said["kind"], dict[str, object]()
    if said["act"] == "put":
        if kind not in KINDS:
            return False
        columns = ", ".join(f'"{name}"' for name in names_of(kind))
        content = connection.execute(f"SELECT {columns} FROM {log_of(kind)} WHERE seq = ?", (seq,)).fetchone()  # noqa: S608
        if content is None:
            raise ValueError(f"its row of {log_of(kind)} is gone")
        body = body_from(kind, content)
    entry = JournalEntry.model_construct(**said, body=body)
    return entry_hash(entry.before, entry.model_dump(warnings=False)) == entry.hash
