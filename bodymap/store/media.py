"""Media files beside the record: a folder `<record>.media`, each file named by the SHA-256 of what is in it.

A file is laid there and brought to disk before the record says that it is there; it is never written over. While it is
written it bears a hidden name and a lock; what a killed writing left there is cleared away by the next.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.model.source import MediaFile

try:
    import fcntl
except ImportError:  # not a POSIX system
    fcntl = None  # type: ignore[assignment]

_UNFINISHED = ".new-"
_SUFFIX_MOST = 10
_BLOCK_BYTES = 1 << 20


def folder_of(record: Path) -> Path:
    """The media folder of a record file."""
    where = record.resolve()
    return where.with_name(f"{where.stem}.media")


def name_in_folder(item: MediaFile) -> str:
    """How the file is named in the folder: its hash, and the suffix of its own name where that is a plain one."""
    suffix = Path(item.name).suffix.lower()
    plain = 1 < len(suffix) <= _SUFFIX_MOST and suffix[1:].isascii() and suffix[1:].isalnum()
    return item.sha256 + (suffix if plain else "")


def described(name: str, path: Path) -> MediaFile:
    """The entry of a file: its name, hash and size. Raises RecordError where it cannot be read."""
    digest, size = hashlib.sha256(), 0
    try:
        with path.open("rb") as file:
            while block := file.read(_BLOCK_BYTES):
                digest.update(block)
                size += len(block)
    except OSError as error:
        raise RecordError(f"{path}: the media file {name} cannot be read ({error.strerror or error})") from error
    return MediaFile(name=name, sha256=digest.hexdigest(), size_bytes=size)


def lay(folder: Path, item: MediaFile, content: bytes | Path) -> Path:
    """Lays a file into the folder, whole and on disk when this returns. One of the same content stays as it is.

    Raises:
        RecordError: it cannot be written, or what was read is not what `item` says.
    """
    target = folder / name_in_folder(item)
    try:
        folder.mkdir(exist_ok=True)
        if target.is_file() and described(item.name, target) == item:
            return target
        _write_whole(target, content)
    except OSError as error:
        why = error.strerror or error
        raise RecordError(f"the media file {item.name} cannot be written beside the record ({why})") from error
    if described(item.name, target) != item:
        target.unlink()
        raise RecordError(f"{item.name} changed while it was read; nothing was written")
    return target


def fault_of(folder: Path, item: MediaFile) -> str | None:
    """What is wrong with the file of an entry; None: it is there and is what it was."""
    path = folder / name_in_folder(item)
    if not path.is_file():
        return f"media file {item.name} is missing: {folder.name}/{path.name} is not there"
    try:
        found = described(item.name, path)
    except RecordError as error:
        return str(error)
    if found != item:
        return f"media file {item.name} is not what was recorded: {folder.name}/{path.name} was changed"
    return None


def sync_folder(folder: Path) -> None:
    """Brings the names in a folder to disk, where the system can do that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _write_whole(target: Path, content: bytes | Path) -> None:
    _clear_away(target.parent)
    handle, new = _begun(target.parent)
    try:
        with os.fdopen(os.dup(handle), "wb") as file:
            if isinstance(content, Path):
                with content.open("rb") as source:
                    shutil.copyfileobj(source, file, _BLOCK_BYTES)
            else:
                file.write(content)
            file.flush()
            os.fsync(file.fileno())
        new.chmod(0o644)
        if fcntl is None:  # an open file cannot be renamed everywhere
            os.close(handle)
            handle = -1
        new.replace(target)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    finally:
        if handle >= 0:
            os.close(handle)  # the lock ends here, when the file has its name
    sync_folder(target.parent)


def _begun(folder: Path) -> tuple[int, Path]:
    """A new file under a hidden name, locked for as long as its handle is open where the system can do that."""
    while True:
        handle, name = tempfile.mkstemp(prefix=_UNFINISHED, dir=folder)
        if _held(handle):
            return handle, Path(name)
        os.close(handle)  # somebody cleared it away before it was locked: begin again


def _held(handle: int) -> bool:
    """Locks a file that was just made; False where somebody was about to clear it away, or has."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True  # a file system without locks: nothing is cleared away there
    return os.fstat(handle).st_nlink > 0


def _clear_away(folder: Path) -> None:
    """Removes what writings left that were killed: hidden files that nobody holds."""
    if fcntl is None:
        return
    for left in folder.glob(f"{_UNFINISHED}*"):
        with suppress(OSError), left.open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)  # fails where somebody is writing it
            left.unlink(missing_ok=True)
