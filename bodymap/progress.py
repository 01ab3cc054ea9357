"""How long work tells how far it is, and how it is stopped.

Work that may take long has a last argument `step`. It is called in order, with what is being done and the share of the whole
that is done; the caller shows it, or raises from it to stop the work. Whoever writes does so beside the place and renames at
the end, so that nothing half made is left by a stop.
"""

from __future__ import annotations

import os
import shutil
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from itertools import islice
from pathlib import Path
from typing import TypeVar

Step = Callable[[str, float], None]
_AT_ONCE_MOST = 8
# So many entries of a record are read, checked or written in some hundredths of a second.
_COUNTED_BY = 100
_T = TypeVar("_T")
_R = TypeVar("_R")


def silent(words: str, share: float) -> None:
    """Nobody looks on."""


def stretch(step: Step, begin: float, end: float) -> Step:
    """The step of a piece of work that goes from the share `begin` of the whole to `end`.

    >>> stretch(lambda words, share: print(words, share), 0.5, 1.0)("half of the second half", 0.5)
    half of the second half 0.75
    """

    def inner(words: str, share: float) -> None:
        step(words, min(end, begin + (end - begin) * share))  # what is rounded may not go beyond, and then back

    return inner


def each(things: Sequence[_T], words: str, step: Step) -> Iterator[_T]:
    """The things one by one, telling before each, and when all are done."""
    for number, thing in enumerate(things):
        step(f"{words} ({number + 1} of {len(things)})", number / len(things))
        yield thing
    step(words, 1.0)


def counted(things: Iterable[_T], many: int, words: str, step: Step) -> Iterator[_T]:
    """Things that are too many to tell of each, one by one: told now and then, and when all are done.

    `many`: about how many there are; the share stays at the whole where there are more. Nought: nobody knows, and it is told
    without a share.
    """
    left, done = iter(things), 0
    while some := tuple(islice(left, _COUNTED_BY)):
        step(words, min(1.0, done / many) if many else 0.0)
        yield from some
        done += len(some)
    step(words, 1.0)


def cleared(folder: Path) -> None:
    """Removes what was being made, and once more where the removing itself is interrupted."""
    try:
        shutil.rmtree(folder, ignore_errors=True)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise


def spread(work: Callable[[_T], _R], things: Sequence[_T], words: str, step: Step) -> Iterator[tuple[_T, _R]]:
    """Each thing with what the work made of it, in order, several at once where there are several processors.

    For work that spends its time in a library which lets go of the interpreter (decoding a picture, say). No more results
    wait at a time than the processors need: there may be more of them than fit in memory.
    """
    processors = min(_AT_ONCE_MOST, os.cpu_count() or 1)
    with ThreadPoolExecutor(processors) as pool:
        begun: deque[Future[_R]] = deque()
        try:
            for number, thing in enumerate(things):
                step(f"{words} ({number + 1} of {len(things)})", number / len(things))
                begun.extend(pool.submit(work, one) for one in things[number + len(begun) : number + 2 * processors])
                yield thing, begun.popleft().result()
        finally:
            pool.shutdown(cancel_futures=True)
    step(words, 1.0)
