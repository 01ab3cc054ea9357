"""Making a new record file: the whole record in one transaction, out of sight until it is whole and checked."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from pathlib import Path

from pydantic import ValidationError

from bodymap.errors import Fault, Faults, RecordError
from bodymap.model.entry import Entry
from bodymap.model.journal import JournalEntry, broken_links
from bodymap.model.record import KINDS, Record
from bodymap.model.source import MediaFile
from bodymap.progress import Step, counted, each, silent, stretch
from bodymap.store.changes import check_signature, is_moment, write, write_entry
from bodymap.store.checks import whole_faults
from bodymap.store.differences import differences, first_entries
from bodymap.store.file_open import connected, told, transaction
from bodymap.store.media import described, folder_of, lay
from bodymap.store.migrations import MIGRATIONS, note_version
from bodymap.store.rows import exactly, in_words, storable
from bodymap.store.schema import APPLICATION_ID, USER_VERSION, registrations, statements
from bodymap.store.staging import staged
from bodymap.store.standing import read_standing
from bodymap.store.verify import faults_in

CHANGED_OUTSIDE = "changed in the open folder"
_JOURNAL = "journal.csv"
# Of the time that making a large record takes, at which share each part of it begins.
_CHECKS, _WRITING, _LOOKED_THROUGH = 0.35, 0.55, 0.75
_NUMBER = re.compile(r"[1-9][0-9]{0,17}")


def create(
    path: Path,
    record: Record | Iterable[Entry],
    *,
    by: str,
    why: str,
    at: str,
    media: Mapping[str, Path] | None = None,
    journal: Sequence[JournalEntry] = (),
    step: Step = silent,
) -> None:
    """Makes a new record file at `path` (.gpkg), whole or not at all.

    Args:
        path: where; nothing may be there yet.
        record: what it holds from the start.
        by: who makes it.
        why: said of every entry that is new.
        at: when, ISO 8601 in UTC.
        media: the files that sources name, by name; copied into the media folder beside the record.
        journal: entries of an older record (`journal.csv`), restored exactly as they are. Where the record says something
            else than they do, that is added as new entries ("changed in the open folder").
        step: is told how far it is; what it raises stops the work, and nothing is left of the record.

    Raises:
        Faults: everything that is wrong with record, media or journal.
        RecordError: the file cannot be made there.
    """
    path = Path(path)
    check_signature(by, why, at)
    whole = record if isinstance(record, Record) else _record_of(record)
    with staged(path) as built:
        whole, faults = _with_media(whole, media or {}, folder_of(built), stretch(step, 0.0, _CHECKS))
        faults += whole_faults(whole, stretch(step, _CHECKS, 0.4))
        faults += journal_faults(journal, stretch(step, 0.4, _WRITING))
        if faults:
            raise Faults(str(path), faults)
        with told(path), closing(sqlite3.connect(built)) as empty:
            _identify(empty)
        with told(path), closing(connected(built)) as connection, transaction(connection):
            _lay_out(connection, at)
            _fill(connection, whole, journal, stretch(step, _WRITING, _LOOKED_THROUGH), by=by, why=why, at=at)
        wrong = faults_in(built, step=stretch(step, _LOOKED_THROUGH, 1.0))
        if wrong:
            raise RecordError(f"{path}: what was written is not what was given, so nothing was made: {'; '.join(wrong)}")


def journal_faults(journal: Sequence[JournalEntry], step: Step = silent) -> Iterator[Fault]:
    """Why entries cannot be restored: a broken chain, or something that this program would not have written like that."""
    chain = counted(journal, len(journal), "Checking the chain", stretch(step, 0.0, 0.4))
    for entry, words in broken_links(chain):
        yield Fault(_JOURNAL, entry.seq + 1, found=words, allowed="the entries as they were written")
    for entry in counted(journal, len(journal), "Checking the entries", stretch(step, 0.4, 1.0)):
        for words, allowed in _unlike(entry):
            yield Fault(_JOURNAL, entry.seq + 1, found=words, allowed=allowed, subject=entry.ident)


def _unlike(entry: JournalEntry) -> Iterator[tuple[str, str]]:
    if entry.kind not in KINDS:
        yield f"the kind {entry.kind!r}", " or ".join(KINDS)
        return
    if not entry.by.strip():
        yield "a blank in by", "who made the change"
    if not is_moment(entry.at):
        yield f"the time {entry.at!r}", "the entries as they were written"
    if entry.act == "withdraw":
        if entry.body:
            yield "a withdrawal with content", "none"
        return
    try:
        model = KINDS[entry.kind].model_validate(entry.body)
        same = exactly(storable(model)) == exactly(entry.body)
    except (ValidationError, ValueError, TypeError) as error:
        yield f"content that is no {entry.kind}: {in_words(error)}", f"the content of a {entry.kind}"
        return
    if not same or (model.ident != entry.ident if model.KEY else not _NUMBER.fullmatch(entry.ident)):
        yield "content in another form than it is kept in", "the entries as they were written"


def _record_of(entries: Iterable[Entry]) -> Record:
    try:
        return Record.of(entries)
    except ValueError as error:
        raise Faults("the record", [Fault("vehicle", found=str(error), allowed="one vehicle")]) from error


def _with_media(record: Record, media: Mapping[str, Path], folder: Path, step: Step) -> tuple[Record, list[Fault]]:
    """Lays the files into the folder of the record that is built, and says of each that it is there."""
    entries, faults = {item.name: item for item in record.media}, list[Fault]()
    for name, path in each(tuple(media.items()), "Copying the pictures", step):
        try:
            item = described(name, path)
        except ValidationError as error:
            faults.append(Fault("media", found=repr(name), allowed=in_words(error), subject=name))
            continue
        except RecordError as error:
            faults.append(Fault("media", found=str(error), allowed="the file itself", subject=name))
            continue
        if entries.setdefault(name, item).sha256 == item.sha256:
            lay(folder, item, path)
        else:
            found = f"{path}, with another content than recorded"
            faults.append(Fault("media", found=found, allowed="the file itself", subject=name))
    faults += [
        Fault("media", found=f"no file for {name}", allowed="the file itself", subject=name)
        for name in entries
        if name not in media
    ]
    return record.with_kind(MediaFile.KIND, entries.values()), faults


def _identify(connection: sqlite3.Connection) -> None:
    """What no transaction holds: set while the file is empty."""
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {USER_VERSION}")
    connection.commit()


def _lay_out(connection: sqlite3.Connection, at: str) -> None:
    for statement in statements():
        connection.execute(statement)
    for statement, values in registrations(_with_milliseconds(at)):
        connection.execute(statement, values)
    for migration in MIGRATIONS:
        note_version(connection, migration, at)


def _fill(
    connection: sqlite3.Connection,
    record: Record,
    journal: Sequence[JournalEntry],
    step: Step,
    *,
    by: str,
    why: str,
    at: str,
) -> None:
    words = "Writing the entries"
    if not journal:
        many = sum(1 for _ in record.entries())
        write(connection, counted(first_entries(record), many, words, step), by=by, why=why, at=at)
        return
    used: dict[str, int] = {}
    for entry in counted(journal, len(journal), words, stretch(step, 0.0, 0.8)):
        write_entry(connection, entry)
        numbers = [entry.place] if KINDS[entry.kind].KEY else [entry.place, int(entry.ident)]
        used[entry.kind] = max(used.get(entry.kind, 0), *numbers)
    standing = read_standing(connection, stretch(step, 0.8, 0.9))
    changed = differences(standing, record, used, stretch(step, 0.9, 1.0))
    write(connection, changed, by=by, why=CHANGED_OUTSIDE, at=at)


def _with_milliseconds(at: str) -> str:
    """`last_change` of a layer wants three digits of a second."""
    return at if "." in at else at.replace("Z", ".000Z")
