"""What the campaigns share: processes that write and tell what was committed, and what a record must be afterwards."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from bodymap.errors import RecordError
from bodymap.store.record_file import RecordFile

AT = "2026-03-02T08:00:00.000Z"
Tell = Callable[..., None]


def context() -> Any:
    """Processes forked from a server that has the modules loaded already, so that a kill falls on work, not on imports."""
    found = multiprocessing.get_context("forkserver")
    found.set_forkserver_preload(["bodymap.store.record_file", "bodymap.store.migrations", "bodymap.exchange.open_folder"])
    return found


def teller(path: Path) -> Tell:
    """Writes one line to a file for each thing that was done: what was handed to the system survives a kill."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)

    def tell(*words: object) -> None:
        os.write(handle, (" ".join(map(str, words)) + "\n").encode())

    return tell


def told(path: Path) -> list[list[str]]:
    """The lines that were told, as words."""
    return [line.split() for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []


def not_whole(file: RecordFile) -> Iterator[str]:
    """What `verify` says of a record, also where it cannot be opened."""
    try:
        yield from (f"{file.path.name}: {finding}" for finding in file.verify())
    except RecordError as error:
        yield str(error)


def lost(file: RecordFile, acknowledged: list[list[str]]) -> Iterator[str]:
    """Entries told as (seq, hash) that the journal has not, or has twice."""
    by_seq: dict[int, list[str]] = {}
    for entry in file.journal():
        by_seq.setdefault(entry.seq, []).append(entry.hash)
    for seq, digest in acknowledged:
        if by_seq.get(int(seq)) != [digest]:
            yield f"{file.path.name}: entry {seq} was told and is not there once"
