"""How long work tells how far it is, and how it is stopped.

Work that may take long has a last argument `step`. It is called in order, with what is being done and the share of the whole
that is done; the caller shows it, or raises from it to stop the work. Whoever writes does so beside the place and renames at
the end, so that nothing half made is left by a stop.
"""

from __future__ import annotations

import os
import shutil
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import TypeVar

Step = Callable[[str, float], None]
_AT_ONCE_MOST = 8
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
        step(words, begin + (end - begin) * share)

    return inner


def each(things: Sequence[_T], words: str, step: Step) -> Iterator[_T]:
    """The things one by one, telling before each, and when all are done."""
    for number, thing in enumerate(things):
        step(f"{words} ({number + 1} of {len(things)})", number / len(things))
        yield thing
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
