"""How a command tells how far it is, and what it says when it is stopped by the keyboard (Ctrl-C)."""

from __future__ import annotations

import sys
import time
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from glob import escape
from pathlib import Path

from bodymap.progress import Step, silent

# As the usual shells tell a program that was ended by SIGINT: 128 and the signal's number, 2.
STOPPED = 130
_AGAIN_S = 0.1
_WIDE = 78
_CLEAR = "\r" + " " * _WIDE + "\r"
# What the commands write, by the name of the argument that says where; and those that write a record.
_MADE = ("out", "folder", "copy")
_OF_RECORD = ("start", "take-in", "demo", "bring-up")


@contextmanager
def progress() -> Iterator[Step]:
    """Gives a step that says on one line of standard error how far the work is; where that is no terminal, nothing."""
    if not sys.stderr.isatty():
        yield silent
        return
    told, kind = 0.0, ""

    def step(words: str, share: float) -> None:
        nonlocal told, kind
        same = words.partition(" (")[0] == kind  # but for the count in brackets
        if same and time.monotonic() - told < _AGAIN_S:
            return
        told, kind = time.monotonic(), words.partition(" (")[0]
        print(f"\r{f'{words} … {share:.0%}':{_WIDE}.{_WIDE}}", end="", file=sys.stderr, flush=True)

    try:
        yield step
    finally:
        print(_CLEAR, end="", file=sys.stderr, flush=True)


def standing(arguments: Namespace) -> dict[Path, tuple[int, int] | None]:
    """Which of the files and folders a command makes are there, each with what tells it from another in its place."""
    makes = (*_MADE, "record") if arguments.command in _OF_RECORD else _MADE
    named = [value for name in makes if isinstance(value := getattr(arguments, name, None), Path)]
    return {path: _told_apart(path) for one in named for path in (one, *_backups(one))}


def stopped_words(before: dict[Path, tuple[int, int] | None]) -> str:
    """What was written until the command was stopped, in a sentence: each thing is written whole or not at all."""
    places = dict.fromkeys(path for one in before for path in (one, *_backups(one)))
    written = [str(path) for path in places if _told_apart(path) != before.get(path)]
    return f"Stopped. Written, and whole: {', '.join(written)}." if written else "Stopped. Nothing was written."


def _backups(path: Path) -> Iterator[Path]:
    """What is made of a record before it is brought up."""
    return path.parent.glob(f"{escape(path.stem)}.before-version-*{escape(path.suffix)}")


def _told_apart(path: Path) -> tuple[int, int] | None:
    try:
        told = path.lstat()
    except OSError:
        return None
    return told.st_ino, told.st_mtime_ns if not path.is_dir() else 0
