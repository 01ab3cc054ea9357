"""The open folder, in and out: a vehicle record as plain files, with nothing lost either way.

Reading finds every fault of every file before it raises; writing makes the whole folder beside its place and then
renames it there, so a folder is either whole or not there.
"""

from __future__ import annotations

import hashlib
import os
import stat
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from pydantic import ValidationError

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.exchange.features import read_features, write_features
from bodymap.exchange.journal_file import JOURNAL_FILE, read_journal, write_journal
from bodymap.exchange.oddities import oddities
from bodymap.exchange.plain_text import TEXT_MOST_BYTES
from bodymap.exchange.rows import FileContent
from bodymap.exchange.tables import read_table, write_table
from bodymap.model import KINDS, Entry, JournalEntry, MediaFile, Record, Vehicle
from bodymap.model.check import Unread, reference_faults
from bodymap.progress import Step, cleared, counted, each, silent, stretch

MEDIA = "media"
_FILES = {model.FILE: model for model in KINDS.values() if model.FILE}
_ORDER = {name: place for place, name in enumerate([*_FILES, MEDIA, JOURNAL_FILE])}
_CHUNK_BYTES = 1 << 20
# Of the time that writing takes, where there are pictures as well; and of the texts, where there is a journal as well.
_TEXTS_SHARE, _TABLES_SHARE = 0.5, 0.4
# Of the time that reading takes, at which share each part of it begins, where there is a long journal.
_MEDIA_READ, _JOURNAL_READ, _CHECKED, _LOOKED_OVER = 0.25, 0.3, 0.85, 0.95


@dataclass(frozen=True)
class FolderContent:
    """What an open folder holds: the record, its history, where its media lie (by name), and what is odd in it."""

    record: Record
    journal: tuple[JournalEntry, ...] = ()
    media: Mapping[str, Path] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def read_folder(path: Path, step: Step = silent) -> FolderContent:
    """Read an open folder. `step` is told how far it is, and may stop it.

    Raises:
        Faults: everything wrong in any of its files, in file and row order.
    """
    reading = _Reading(path, step)
    reading.run()
    if reading.faults:
        faults = sorted(reading.faults, key=lambda fault: (_ORDER.get(fault.file, _ORDER[MEDIA]), fault.row))
        raise Faults(str(path), faults)
    step("Looking for what is odd", _LOOKED_OVER)
    notes = (*reading.notes, *oddities(reading.record))
    step("Looking for what is odd", 1.0)
    return FolderContent(reading.record, reading.journal, reading.media, notes)


def write_folder(
    path: Path,
    record: Record,
    journal: Sequence[JournalEntry] = (),
    media: Mapping[str, Path] | None = None,
    step: Step = silent,
) -> None:
    """Write a record as an open folder at `path`, which is not there yet or an empty folder.

    Args:
        path: where the folder is to be.
        record: the record.
        journal: its history; none: no journal.csv.
        media: where the file of each `record.media` lies, by name.
        step: is told how far it is; what it raises stops the work, and nothing is written.

    Raises:
        BodymapError: the place is taken, a media file is missing or not the one that was recorded, or the disk refuses.
    """
    target = path.resolve()
    _refuse_taken(target)
    files = media or {}
    wrong = {item.name for item in record.media} ^ set(files)
    if wrong:
        raise BodymapError(f"media files that are not both in the record and at hand: {', '.join(sorted(wrong))}")
    try:
        work = Path(tempfile.mkdtemp(prefix=f".{target.name}.", dir=target.parent))
        try:
            made = work / target.name
            made.mkdir()
            _write_all(made, record, journal, files, step)
            if target.exists():
                target.rmdir()  # refuses if it is no longer empty
            made.rename(target)
            _sync_folder(target.parent)
        finally:
            cleared(work)
    except (OSError, UnicodeError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BodymapError(f"{path} could not be written: {why}; nothing was written") from error


class _Reading:
    """One reading of a folder: what each file gave, gathered."""

    def __init__(self, path: Path, step: Step) -> None:
        self.path = path
        self.step = step
        self.faults: list[Fault] = []
        self.notes: list[str] = []
        self.contents: list[FileContent] = []
        self.unread: list[Unread] = []
        self.media: dict[str, Path] = {}
        self.media_files: list[MediaFile] = []
        self.journal: tuple[JournalEntry, ...] = ()
        self.record: Record

    def run(self) -> None:
        if not self.path.is_dir():
            found = "a file" if self.path.exists() else "no such folder"
            raise Faults(str(self.path), [Fault(self.path.name or str(self.path), 0, "", found, "an open folder")])
        there = self._names()
        for number, (name, model) in enumerate(_FILES.items()):
            if name in there:
                self.step(f"Reading {name}", _MEDIA_READ * number / len(_FILES))
                self._read(name, model)
        if MEDIA in there:
            self._read_media(stretch(self.step, _MEDIA_READ, _JOURNAL_READ))
        if JOURNAL_FILE in there:
            self._read_journal(stretch(self.step, _JOURNAL_READ, _CHECKED))
        self._check_vehicle(present=Vehicle.FILE in there)
        self._check_references()

    def _names(self) -> set[str]:
        names = set()
        for item in sorted(self.path.iterdir()):
            if item.name in (*_FILES, JOURNAL_FILE, MEDIA):
                names.add(item.name)
            elif not item.name.startswith("."):
                self.notes.append(f"{_printable(item.name)}: none of the files of a record; it was not taken in")
        return names

    def _read(self, name: str, model: type[Entry]) -> None:
        data = self._bytes(name)
        if data is None:
            self.unread.append(Unread(model.KIND, "", name, 0))
            return
        read = read_features if name.endswith(".geojson") else read_table
        content = read(model, data)
        self.contents.append(content)
        self.faults += content.faults
        self.unread += content.unread
        self.notes += content.notes

    def _bytes(self, name: str) -> bytes | None:
        """The bytes of a plain file; None, and a fault, where it is none or is too large."""
        file = self.path / name
        try:
            told = file.lstat()
            wrong = _not_plain(told.st_mode)
            if wrong is None and told.st_size > TEXT_MOST_BYTES:
                wrong = f"{told.st_size} bytes", f"at most {TEXT_MOST_BYTES} bytes of text"
            if wrong is None:
                return file.read_bytes()
        except OSError as error:
            wrong = error.strerror or str(error), "a file that can be read"
        self.faults.append(Fault(name, found=wrong[0], allowed=wrong[1]))
        return None

    def _read_journal(self, step: Step) -> None:
        data = self._bytes(JOURNAL_FILE)
        try:
            self.journal = read_journal(data, step) if data is not None else ()
        except Faults as error:
            self.faults += error.faults

    def _read_media(self, step: Step) -> None:
        folder = self.path / MEDIA
        if folder.is_symlink() or not folder.is_dir():
            self.faults.append(Fault(MEDIA, found="no folder of its own", allowed="a folder of the files that sources name"))
            self.unread.append(Unread(MediaFile.KIND, "", MEDIA, 0))
            return
        for file in each(sorted(folder.iterdir()), "Reading the pictures", step):
            if file.name.startswith("."):
                self.notes.append(f"{MEDIA}/{_printable(file.name)}: its name begins with a dot; it was not taken in")
                continue
            try:
                wrong = _not_plain(file.lstat().st_mode)
                if wrong is None:
                    self.media_files.append(_told(file))
                    self.media[file.name] = file
                    continue
            except (OSError, ValidationError) as error:
                wrong = _refusal(file, error)
            name = _printable(file.name)
            self.faults.append(Fault(f"{MEDIA}/{name}", found=wrong[0], allowed=wrong[1]))
            self.unread.append(Unread(MediaFile.KIND, name, MEDIA, 0))

    def _check_vehicle(self, *, present: bool) -> None:
        """One row, no more and no less; where there is none to use, everything else is checked all the same."""
        rows = [row for content in self.contents if content.model is Vehicle for row, _ in content.entries]
        lost = [row.row for row in self.unread if row.kind == Vehicle.KIND]
        if not present:
            self.faults.append(Fault(Vehicle.FILE, found="no such file", allowed="vehicle.csv with the vehicle in one row"))
        elif not rows and not lost:
            self.faults.append(Fault(Vehicle.FILE, found="no row", allowed="the vehicle in one row"))
        for row in sorted({*rows, *lost} - {0})[1:]:
            self.faults.append(Fault(Vehicle.FILE, row, found="another vehicle", allowed="the vehicle in one row"))

    def _check_references(self) -> None:
        places = {id(entry): (content.model.FILE, row) for content in self.contents for row, entry in content.entries}
        entries = [entry for content in self.contents for _, entry in content.entries]
        vehicles = [entry for entry in entries if isinstance(entry, Vehicle)]
        if len(vehicles) != 1:
            self.unread.append(Unread(Vehicle.KIND, "", Vehicle.FILE, 0))
            vehicles = [Vehicle(vehicle_id="unread", name="unread")]
        entries = [*vehicles[:1], *(entry for entry in entries if not isinstance(entry, Vehicle)), *self.media_files]
        foreign = {content.model.FILE: content.members for content in self.contents if content.members}
        self.record = Record.of(entries, foreign)
        self.faults += reference_faults(
            self.record,
            lambda entry: places.get(id(entry), (entry.FILE or MEDIA, 0)),
            self.unread,
            stretch(self.step, _CHECKED, _LOOKED_OVER),
        )


def _not_plain(mode: int) -> tuple[str, str] | None:
    """What is wrong with something that should be a plain file: (found, allowed)."""
    if stat.S_ISREG(mode):
        return None
    kind = "a link" if stat.S_ISLNK(mode) else "a folder" if stat.S_ISDIR(mode) else "no plain file"
    return kind, "a plain file in this folder"


def _refusal(file: Path, error: OSError | ValidationError) -> tuple[str, str]:
    if isinstance(error, OSError):
        return error.strerror or str(error), "a file that can be read"
    return f"the name {_printable(file.name)!r}", error.errors(include_url=False)[0]["msg"].removeprefix("Value error, ")


def _told(file: Path) -> MediaFile:
    with file.open("rb") as stream:
        digest = hashlib.file_digest(stream, "sha256").hexdigest()
        size = os.fstat(stream.fileno()).st_size
    return MediaFile(name=file.name, sha256=digest, size_bytes=size)


def _printable(name: str) -> str:
    """A file name as it can be printed, whatever bytes it has."""
    return "".join(char if char.isprintable() else ascii(char)[1:-1] for char in name)


def _refuse_taken(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir():
        raise BodymapError(f"{target} is a file; allowed: a folder that is not there yet, or an empty one")
    if any(target.iterdir()):
        raise BodymapError(f"{target} is not empty; allowed: a folder that is not there yet, or an empty one")


def _write_all(folder: Path, record: Record, journal: Sequence[JournalEntry], media: Mapping[str, Path], step: Step) -> None:
    texts = stretch(step, 0.0, _TEXTS_SHARE if media else 1.0)
    tables = _tables(record)
    for number, (name, write) in enumerate(tables):
        texts(f"Writing {name}", (_TABLES_SHARE if journal else 1.0) * number / len(tables))
        _write(folder / name, [write()])
    if journal:
        entries = counted(journal, len(journal), f"Writing {JOURNAL_FILE}", stretch(texts, _TABLES_SHARE, 1.0))
        _write(folder / JOURNAL_FILE, [write_journal(entries)])
    texts("Writing the tables", 1.0)
    if media:
        (folder / MEDIA).mkdir()
        for item in each(record.media, "Copying the pictures", stretch(step, _TEXTS_SHARE, 1.0)):
            _copy(media[item.name], folder / MEDIA / item.name, item.sha256)
        _sync_folder(folder / MEDIA)
    _sync_folder(folder)


def _tables(record: Record) -> list[tuple[str, Callable[[], bytes]]]:
    """Name of every text file the record needs beside its journal, and what writes it."""
    files: list[tuple[str, Callable[[], bytes]]] = []
    for kind, model in KINDS.items():
        entries = record.of_kind(kind)
        members = record.foreign.get(model.FILE)
        if model.FILE and (entries or members):
            write = write_features if model.FILE.endswith(".geojson") else write_table
            files.append((model.FILE, partial(write, model, entries, members)))
    return files


def _copy(source: Path, target: Path, sha256: str) -> None:
    """Copy a media file and see on the way that it is the one that was recorded."""
    digest = hashlib.sha256()

    def chunks() -> Iterator[bytes]:
        with source.open("rb") as stream:
            while chunk := stream.read(_CHUNK_BYTES):
                digest.update(chunk)
                yield chunk

    _write(target, chunks())
    if digest.hexdigest() != sha256:
        raise BodymapError(
            f"media file {target.name} is not the one that was recorded: found SHA-256 {digest.hexdigest()}, "
            f"recorded {sha256}; nothing was written"
        )


def _write(file: Path, chunks: Iterable[bytes]) -> None:
    with file.open("xb") as stream:
        for chunk in chunks:
            stream.write(chunk)
        stream.flush()
        os.fsync(stream.fileno())


def _sync_folder(folder: Path) -> None:
    """Put a folder's list of names on the disk, on systems where a folder can be opened for that."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
