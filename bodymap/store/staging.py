"""Making a record file all at once: it is built and checked out of sight, and then gets its name, or nothing is there."""

from __future__ import annotations

import glob
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.progress import cleared
from bodymap.store.media import folder_of, sync_folder

try:
    import fcntl
except ImportError:  # not a POSIX system
    fcntl = None  # type: ignore[assignment]

SUFFIX = ".gpkg"
_AT_WORK = "at-work"


@contextmanager
def staged(path: Path) -> Iterator[Path]:
    """A path to build a new record at, in a hidden folder beside `path`. At the end it moves to `path`, media first.

    Raises:
        RecordError: `path` exists, has another extension, or its folder cannot be written.
    """
    _check_target(path)
    prefix = f".{path.stem}.new-"
    try:
        _clear_away(path.parent, prefix)
        stage = Path(tempfile.mkdtemp(prefix=prefix, dir=path.parent))
    except OSError as error:
        raise RecordError(f"{path}: nothing can be made in {path.parent} ({error.strerror or error})") from error
    try:
        with _held(stage):
            built = stage / path.name
            yield built
            try:
                _settle(built, path)
            except OSError as error:
                why = error.strerror or error
                raise RecordError(f"{path}: it cannot be put there ({why}); nothing was written") from error
    finally:
        cleared(stage)


@contextmanager
def _held(stage: Path) -> Iterator[None]:
    """Shows others that somebody is at work in this folder: a lock that ends with the process, however that ends."""
    with ExitStack() as held:
        if fcntl is not None:
            with suppress(OSError):  # a file system without locks: nothing is cleared away there
                new = stage / f"{_AT_WORK}.new"
                fcntl.flock(held.enter_context(new.open("wb")), fcntl.LOCK_EX | fcntl.LOCK_NB)
                new.rename(stage / _AT_WORK)  # only once it is locked, so that nobody finds it open
        yield


def _clear_away(folder: Path, prefix: str) -> None:
    """Removes what makings of the same record left that were killed: folders in which nobody is at work any more."""
    if fcntl is None:
        return
    for stage in folder.glob(f"{glob.escape(prefix)}*"):
        with suppress(OSError), (stage / _AT_WORK).open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)  # fails where somebody is
            shutil.rmtree(stage, ignore_errors=True)


def _check_target(path: Path) -> None:
    if path.suffix != SUFFIX:
        raise RecordError(
            f"{path}: found the extension {path.suffix!r}; allowed: {SUFFIX}, because a GeoPackage with any "
            "other is not recognised by other programs"
        )
    if not path.parent.is_dir():
        raise RecordError(f"{path}: there is no folder {path.parent}")
    if os.path.lexists(path):
        raise RecordError(f"{path}: it is there already; nothing is written over")


def _settle(built: Path, path: Path) -> None:
    laid, here, new_folder = [], folder_of(path), not folder_of(path).exists()
    try:
        if folder_of(built).is_dir():
            here.mkdir(exist_ok=True)
            for file in sorted(folder_of(built).iterdir()):
                target = here / file.name
                if not target.exists():
                    laid.append(target)
                file.replace(target)  # a file of that name left from elsewhere has the same content, or should have
            sync_folder(here)
        _name(built, path)
    except BaseException:
        if _is_named(built, path):  # stopped in the moment in which it got its name: it is there, and whole
            raise
        for target in laid:
            target.unlink(missing_ok=True)
        if new_folder:
            with suppress(OSError):
                here.rmdir()
        raise
    sync_folder(path.parent)


def _is_named(built: Path, path: Path) -> bool:
    """Whether the file that was built is the one that has the name."""
    return path.is_file() and (not built.exists() or path.samefile(built))


def _name(built: Path, path: Path) -> None:
    """Gives the file its name, never over another: two who make the same record at once do not harm each other."""
    try:
        os.link(built, path)
    except FileExistsError as error:
        raise RecordError(f"{path}: it is there already; nothing is written over") from error
    except OSError:  # a file system without hard links (memory sticks)
        if os.path.lexists(path):
            raise RecordError(f"{path}: it is there already; nothing is written over") from None
        built.replace(path)
