"""What the commands share: exit codes, reading a record, telling, writing a file whole or not at all."""

from __future__ import annotations

import getpass
import json
import os
import sys
import tempfile
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from bodymap.errors import BodymapError
from bodymap.model import Head, Record
from bodymap.model.journal import head_of, out_of_step

OK, LOOK, BAD = 0, 1, 2
_OURS = b"bodymap"
_LOOKED_AT_BYTES = 4096


def load(path: Path) -> tuple[Record, Head]:
    """The record in a record file or an open folder, and where its journal stands (count 0: it has none that fits)."""
    if path.is_dir():
        from bodymap.exchange.open_folder import read_folder

        content = read_folder(path)
        tell(content.notes)
        head = head_of(content.journal)
        if next(out_of_step(content.journal, content.record), None):
            tell(["the files were changed since the journal was written: they bear no issue of it (see bodymap verify)"])
            head = head_of(())
        return content.record, head
    from bodymap.store.record_file import RecordFile

    file = RecordFile(path)
    return file.record(), file.head()


def media_bytes(path: Path, names: Iterable[str]) -> dict[str, bytes]:
    """Media files of a record file or an open folder by name; those that are not there are left out."""
    if path.is_dir():
        places = {name: path / "media" / name for name in names}
    else:
        from bodymap.store.record_file import RecordFile

        held = RecordFile(path).media_paths()
        places = {name: held[name] for name in names if name in held}
    return {name: place.read_bytes() for name, place in places.items() if place.is_file()}


def require_pdf(out: Path) -> None:
    """Raises BodymapError where the name of a print does not end in .pdf."""
    if out.suffix.lower() != ".pdf":
        raise BodymapError(f"the print is a PDF: found {out.name!r}; allowed: a name ending in .pdf")


def require_zones(record: Record, zones: Iterable[str]) -> None:
    """Raises BodymapError with every one that is no zone of the record."""
    unknown = [zone for zone in zones if zone not in record.zone]
    if unknown:
        raise BodymapError(f"--zone: found {', '.join(unknown)}; allowed: zones of the record")


def now() -> str:
    """Now in UTC, as journal and prints write it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def who() -> str:
    """The name one is logged in with."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "not stated"


def tell(notes: Sequence[str]) -> None:
    """Notes to the user, beside what was asked for."""
    for note in notes:
        print(f"note: {note}", file=sys.stderr)


def print_json(value: Any) -> None:
    """One JSON object on standard output; numbers are not rounded."""
    print(json.dumps(value, ensure_ascii=False, allow_nan=False))


def write_print(path: Path, data: bytes) -> None:
    """Write a print whole or not at all. An older print of this program is replaced, for it can be made again; nothing else.

    A print is known by the word `bodymap` near its beginning or its end.

    Raises:
        BodymapError: another file has that name, or its folder is not there.
    """
    if os.path.lexists(path) and not _is_print(path):
        raise BodymapError(
            f"{path}: found something that is no print of this program; allowed: a name that is free, or such a print, "
            "which is replaced"
        )
    write_whole(path, data)


def _is_print(path: Path) -> bool:
    if path.is_symlink() or not path.is_file():
        return False
    with path.open("rb") as file:
        beginning = file.read(_LOOKED_AT_BYTES)
        file.seek(max(0, path.stat().st_size - _LOOKED_AT_BYTES))
        return _OURS in beginning or _OURS in file.read()


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all.

    Raises:
        BodymapError: its folder is not there, or the disk refuses.
    """
    if not path.parent.is_dir():
        raise BodymapError(f"{path}: found no folder {path.parent}; allowed: a folder that is there")
    try:
        _write_and_name(path, data)
    except OSError as error:
        raise BodymapError(f"{path}: it cannot be written ({error.strerror or error}); nothing was written") from error


def _write_and_name(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
