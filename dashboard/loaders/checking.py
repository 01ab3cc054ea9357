"""Whether a record is whole: all of it looked through now and then, beside the page where that takes long."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from functools import partial
from math import inf
from pathlib import Path
from time import monotonic, sleep

from bodymap.model import Head
from bodymap.model.journal import broken_links
from bodymap.progress import Step, silent
from bodymap.store.record_file import RecordFile
from dashboard import jobs
from dashboard.loaders import Opened, faults_of, file_apart, once

_LOG = logging.getLogger("bodymap.dashboard")
_WHOLE_AGAIN_S, _UNREAD_AGAIN_S = 1800.0, 30.0
# A record of more entries takes longer to look through than a page may wait; and how long its page is sent first.
_LONG, _PAGE_FIRST_S, _AT_ONCE_S = 5_000, 2.0, 0.25


@dataclass(frozen=True)
class Checked:
    """What is wrong with a record, and where its journal stood, and when [s], when all of it was last looked through.

    `file`: what tells the file from one that was put in its place. `unread`: why it could not be looked through.
    """

    faults: tuple[str, ...]
    whole: Head
    at_s: float
    file: tuple[int, ...] = ()
    unread: str = ""


def checked(now: Opened) -> Checked | None:
    """Whether the record is whole: all of it looked through now and then, and of what has followed the chain.

    What is added is checked as it is added; to look through twenty thousand entries after each would take a second. A long
    record is looked through beside the page, for which a quarter of a second is waited. None: it is not done yet.
    """
    if now.path.is_dir():  # its files are changed by hand, which no journal tells
        return Checked(faults_of(now), now.head, monotonic())
    last = _last_checked(now.path)
    known, file = last[0] if last else None, file_apart(now.path)
    if known and (not _follows(now, known.whole) or (known.faults and known.file != file)):
        known = None
    if known and monotonic() - known.at_s <= (_UNREAD_AGAIN_S if known.unread else _WHOLE_AGAIN_S):
        return known
    if len(now.journal) <= _LONG:
        return _look_through(now, last, file, silent)
    # One for each record, however often it is saved to meanwhile, and to its end, though nobody touches anything.
    job = jobs.begin(("looked through", str(now.path)), partial(_in_a_while, now, last, file), patience_s=inf)
    if known is None and job.wait(_AT_ONCE_S):
        return last[0]
    return known


def _in_a_while(now: Opened, last: list[Checked], file: tuple[int, ...], step: Step) -> None:
    """Looks through a long record when the page, which is sent by this program too, has come up."""
    for _ in range(10):
        step("", 0.0)
        sleep(_PAGE_FIRST_S / 10)
    _look_through(now, last, file, step)


def _look_through(now: Opened, last: list[Checked], file: tuple[int, ...], step: Step) -> Checked:
    unread = ""
    try:
        faults = tuple(RecordFile(now.path).verify(step=step))
    except jobs.Stopped:
        raise
    except Exception as error:  # a disk that is gone, say: told, and tried again; what was found before stands
        _LOG.exception("the record could not be looked through")
        faults, unread = last[0].faults if last else (), str(error) or type(error).__name__
    found = Checked(faults, now.head, monotonic(), file, unread)
    last[:] = [found]
    return found


@once(4)
def _last_checked(path: Path) -> list[Checked]:  # noqa: ARG001 - one for each path
    return []


def _follows(now: Opened, head: Head) -> bool:
    """Whether the journal stood at this head, and what has followed is chained to it."""
    journal = now.journal
    if len(journal) < head.count or (head.count and journal[head.count - 1].hash != head.hash):
        return False
    return next(broken_links(journal[head.count :], head), None) is None
