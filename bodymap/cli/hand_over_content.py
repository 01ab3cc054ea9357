"""What is handed over, as it was kept: from a record file, or from an open folder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from bodymap.exchange.open_folder import read_folder
from bodymap.model import Head, JournalEntry, Record
from bodymap.model.journal import head_of, out_of_step
from bodymap.progress import Step, silent
from bodymap.store.record_file import RecordFile


@dataclass(frozen=True)
class Content:
    """A record as it was kept.

    Attributes:
        head: where its journal stands; count 0: it has none that fits the record.
        media: where the file of each `record.media` lies, by name.
        name: what the source is called, for the journal.
    """

    record: Record
    journal: tuple[JournalEntry, ...]
    head: Head
    media: Mapping[str, Path]
    notes: tuple[str, ...]
    name: str


def content_of(source: Path, step: Step = silent) -> Content:
    """The record at `source`. Raises BodymapError where it cannot be read. `step` is told how far it is, and may stop it."""
    if not source.is_dir():
        file = RecordFile(source)
        record, journal = file.whole(step)
        return Content(record, journal, head_of(journal), file.media_paths(), (), f"the record {source.name}")
    folder = read_folder(source, step)
    head, notes = head_of(folder.journal), list(folder.notes)
    if next(out_of_step(folder.journal, folder.record), None):
        notes.append("the files were changed since the journal was written: the journal of the hand-over says so")
        head = head_of(())
    return Content(
        folder.record, folder.journal, head, folder.media, tuple(notes), f"the open folder {source.resolve().name}"
    )
