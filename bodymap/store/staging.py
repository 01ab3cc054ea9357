"""Making a record file all at once: it is built and checked out of sight, and then gets its name, or nothing is there."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.store.media import folder_of, sync_folder

SUFFIX = ".gpkg"


@contextmanager
def staged(path: Path) -> Iterator[Path]:
    """A path to build a new record at, in a hidden folder beside `path`. At the end it moves to `path`, media first.

    Raises:
        RecordError: `path` exists, has another extension, or its folder cannot be written.
    """
    _check_target(path)
    try:
        stage = Path(tempfile.mkdtemp(prefix=f".{path.stem}.new-", dir=path.parent))
    except OSError as error:
        raise RecordError(f"{path}: nothing can be made in {path.parent} ({error.strerror or error})") from error
    try:
        built = stage / path.name
        yield built
        try:
            _settle(built, path)
        except OSError as error:
            raise RecordError(f"{path}: it cannot be put there ({error.strerror or error}); nothing was written") from error
    finally:
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
        for target in laid:
            target.unlink(missing_ok=True)
        if new_folder:
            with suppress(OSError):
                here.rmdir()
        raise
    sync_folder(path.parent)


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
