"""A record file: read it, add to its journal, keep its media, verify it, copy it.

Connections are short: each call opens the file and closes it again, so that several windows and programs can work on
one record. There is no clock here: who writes says when.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

from pydantic import ValidationError

from bodymap.errors import Fault, Faults, RecordError
from bodymap.model.journal import Head, JournalEntry, broken_links
from bodymap.model.record import Record
from bodymap.model.source import MediaFile
from bodymap.progress import Step, silent, stretch
from bodymap.store import media
from bodymap.store.changes import Put, Withdraw, check_conflicts, check_signature, planned, write
from bodymap.store.checks import check_change
from bodymap.store.coming import Coming
from bodymap.store.copying import copied
from bodymap.store.file_open import reading, writing
from bodymap.store.journal_read import read_journal
from bodymap.store.making import create
from bodymap.store.rows import in_words
from bodymap.store.standing import Stored, had, head_at, idents_of, read_media, read_standing, record_of
from bodymap.store.verify import faults_in

__all__ = ["Put", "RecordFile", "Withdraw", "create"]


class RecordFile:
    """The record file at `path`. Every method raises `RecordError` where the file cannot be used as it is."""

    def __init__(self, path: Path) -> None:
        self.path = Path(path)

    def record(self) -> Record:
        """The record as it stands."""
        with reading(self.path) as connection:
            return record_of(read_standing(connection))

    def head(self) -> Head:
        """Where the journal stands: count and last hash."""
        with reading(self.path) as connection:
            return head_at(connection)

    def revision(self) -> int:
        """How many entries the journal has: it grows with every change and never shrinks."""
        return self.head().count

    def journal(self) -> tuple[JournalEntry, ...]:
        """Every entry there is, in order, each with all it says."""
        with reading(self.path) as connection:
            return read_journal(connection)

    def whole(self, step: Step = silent) -> tuple[Record, tuple[JournalEntry, ...]]:
        """The record and its journal, both of one moment. `step` is told how far it is, and may stop it."""
        with reading(self.path) as connection:
            record = record_of(read_standing(connection, stretch(step, 0.0, 0.4)))
            return record, read_journal(connection, step=stretch(step, 0.4, 1.0))

    def since(self, head: Head) -> tuple[JournalEntry, ...] | None:
        """The entries that have followed since the journal stood at `head`, their chain checked from there.

        None: they do not follow from it, or the journal never stood there: it is to be read whole.
        """
        with reading(self.path) as connection:
            entries = read_journal(connection, after=head.count) if had(connection, head) else None
        if entries is None or next(broken_links(entries, head), None):
            return None
        return entries

    def idents(self, kind: str) -> tuple[str, ...]:
        """Idents of the things of a kind, in the order in which the record has them.

        Things without a key of their own (outline, signoff) are told by a number they got when they were first put.
        """
        with reading(self.path) as connection:
            return idents_of(connection, kind)

    def append(
        self, changes: Sequence[Put | Withdraw], *, by: str, why: str, at: str, expect: int | None
    ) -> tuple[JournalEntry, ...]:
        """Adds changes to the journal, all of them or none; returns their entries. What changes nothing has none.

        Args:
            changes: what is put and withdrawn, in order.
            by: who makes the change.
            why: why, in words.
            at: when, ISO 8601 in UTC.
            expect: the revision the writer saw; None: the writer has not looked.

        Raises:
            ConflictError: one of the same things was changed since that revision.
            Faults: the record would not hold together, or the change says nobody or no time.
            RecordError: the file cannot be written.
        """
        check_signature(by, why, at)
        with writing(self.path) as connection:
            check_conflicts(connection, changes, expect)
            coming = Coming(Stored(connection))
            said = planned(coming, changes)
            if not said:
                return ()
            changed = [one.entry for one in said if one.entry is not None]
            self._check_media(changed)
            check_change(coming, changed)
            return write(connection, said, by=by, why=why, at=at)

    def media_path(self, name: str) -> Path:
        """Where the media file of that name lies. Raises RecordError where the record has none of that name."""
        paths = self.media_paths()
        if name not in paths:
            raise RecordError(f"{self.path}: found no media file {name!r}; allowed: a file that the record has")
        return paths[name]

    def media_paths(self) -> dict[str, Path]:
        """Where the media files lie, by name, all in one reading."""
        folder = media.folder_of(self.path)
        with reading(self.path) as connection:
            return {item.name: folder / media.name_in_folder(item) for item in read_media(connection)}

    def place_of(self, item: MediaFile) -> Path:
        """Where a file of the record lies, or should lie; the record itself is not read for it."""
        return media.folder_of(self.path) / media.name_in_folder(item)

    def add_media(self, name: str, data: bytes) -> MediaFile:
        """Lays a file beside the record, and returns the entry to be put (with the source that names it).

        Until that is appended the file is there and the record does not speak of it.

        Raises:
            Faults: a name that is none.
            RecordError: the file cannot be written.
        """
        with reading(self.path):  # that it is a record, before anything is laid beside it
            pass
        try:
            item = MediaFile(name=name, sha256=hashlib.sha256(data).hexdigest(), size_bytes=len(data))
        except ValidationError as error:
            raise Faults("media files", [Fault("media", found=repr(name), allowed=in_words(error))]) from error
        media.lay(media.folder_of(self.path), item, data)
        return item

    def verify(self, head: str | None = None, step: Step = silent) -> tuple[str, ...]:
        """What is wrong with the file, each in words; nothing: it is whole. `head`: count·hash as printed on a brief.

        `step` is told how far it is, and may stop it.
        """
        return faults_in(self.path, head, step)

    def backup(self, copy: Path, step: Step = silent) -> None:
        """A consistent, checked copy of record and media at `copy` (.gpkg, not there yet), while others may write.

        `step` is told how far it is; what it raises stops the work, and nothing is left of the copy.
        """
        copied(self.path, copy, step=step)

    def _check_media(self, changed: Sequence[object]) -> None:
        items = [item for item in changed if isinstance(item, MediaFile)]
        folder = media.folder_of(self.path) if items else self.path
        wrong = [(item.name, media.fault_of(folder, item)) for item in items]
        faults = [
            Fault(MediaFile.KIND, found=found, allowed="the file itself", subject=name) for name, found in wrong if found
        ]
        if faults:
            raise Faults("media files", faults)
