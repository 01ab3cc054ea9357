"""Long work, done beside the page that waits for it, so that the page can tell how far it is and stop it.

A piece of work is known by a key: two windows that ask for the same wait for the same piece. It ends by itself where nobody
has waited for it for a while: its window was closed, or shows another screen.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Event, Lock, Thread
from typing import Any

from bodymap.progress import Step

# A page that waits asks several times a second; a machine that is busy may keep it from that for some seconds.
PATIENCE_S = 120.0
_LOCK = Lock()


class Stopped(Exception):
    """The work was stopped."""


@dataclass
class Job:
    """A piece of work: what it does now, the share of it that is done, and in the end what came of it."""

    words: str = ""
    share: float = 0.0
    done: Event = field(default_factory=Event)
    result: Any = None
    error: BaseException | None = None
    asked_to_stop: bool = False
    patience_s: float | None = None
    waited_for: float = field(default_factory=time.monotonic)
    waiting: list[Hashable] = field(default_factory=list)

    @property
    def stopped(self) -> bool:
        """Whether it ended because it was stopped."""
        return isinstance(self.error, Stopped)

    def wait(self, for_s: float) -> bool:
        """Whether it has ended, at the latest after so many seconds."""
        self.waited_for = time.monotonic()
        return self.done.wait(for_s)

    def step(self, words: str, share: float) -> None:
        """Called by the work itself, often."""
        if self.asked_to_stop or time.monotonic() - self.waited_for > (self.patience_s or PATIENCE_S):
            raise Stopped
        self.words, self.share = words, min(1.0, max(0.0, share))


_JOBS: dict[Hashable, Job] = {}


def begin(key: Hashable, work: Callable[[Step], Any], patience_s: float | None = None) -> Job:
    """The piece of work of that key: the one that is being done, or else it is begun.

    `patience_s`: how long it goes on while nobody waits for it; None: as all others do.
    """
    with _LOCK:
        job = _JOBS.get(key)
        if job is None or job.asked_to_stop:
            job = _JOBS[key] = Job(patience_s=patience_s)
            Thread(target=_do, args=(key, job, work), name="bodymap-work", daemon=True).start()
        job.waited_for = time.monotonic()
        return job


@contextmanager
def waiting(job: Job, window: Hashable) -> Iterator[None]:
    """A window waits for the work: it is not stopped by another."""
    with _LOCK:
        job.waiting.append(window)
    try:
        yield
    finally:
        with _LOCK:
            job.waiting.remove(window)


def stop(key: Hashable, window: Hashable = None, *, for_all: bool = False) -> None:
    """Stops the work of that key at its next step, where it is being done and no other window waits for it, or `for_all`.

    The window that asks may still seem to wait: its page is drawn anew before it has left off with the one before.
    """
    with _LOCK:
        if key in _JOBS and (for_all or set(_JOBS[key].waiting) <= {window}):
            _JOBS[key].asked_to_stop = True


def _do(key: Hashable, job: Job, work: Callable[[Step], Any]) -> None:
    try:
        job.result = work(job.step)
    except BaseException as error:  # told, or raised again, where it is waited for
        job.error = error
    finally:
        with _LOCK:
            if _JOBS.get(key) is job:
                del _JOBS[key]
        job.done.set()
