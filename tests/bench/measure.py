"""How a bound is measured: one and the other in turn, the least time of each, so that a busy machine falls on both alike."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One line of the table.

    `theirs_s` None: the bound is a time and not a ratio. `most`: the greatest ratio, or seconds, that is wanted; None:
    measured for comparison only.
    """

    what: str
    ours_s: float
    theirs_s: float | None
    against: str
    most: float | None

    @property
    def figure(self) -> float:
        return self.ours_s if self.theirs_s is None else self.ours_s / self.theirs_s

    @property
    def kept(self) -> bool:
        return self.most is None or self.figure <= self.most

    def __str__(self) -> str:
        unit = " s" if self.theirs_s is None else "×"
        bound = "" if self.most is None else f"≤ {self.most:g}{unit}"
        theirs = "" if self.theirs_s is None else f"{1000 * self.theirs_s:.1f}"
        said = "" if self.most is None else "kept" if self.kept else "MISSED"
        figure = f"{self.figure:.{3 if self.theirs_s is None else 2}f}{unit}"
        return f"{self.what:58} {1000 * self.ours_s:10.1f} {theirs:>10} {figure:>8} {bound:>10} {said:6}  {self.against}"


HEADER = f"{'':58} {'ours ms':>10} {'theirs ms':>10} {'':>8} {'wanted':>10} {'':6}  against"


Clock = Callable[[], float]
PROCESSOR: Clock = time.process_time  # of all threads; other programs disturb it less
WALL: Clock = time.perf_counter  # where what is waited for counts as well


def least(runs: Mapping[str, Callable[[], object]], rounds: int, clock: Clock = PROCESSOR) -> dict[str, float]:
    """The least time [s] of each run, taken in turn so many times; the first turn only warms up."""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, run in runs.items():
            begun = clock()
            run()
            times[name].append(clock() - begun)
    return {name: min(found[1:]) for name, found in times.items()}


def first(run: str, rounds: int = 3) -> tuple[float, float]:
    """The least time [s] of the first run of `module:function` in a process of its own, imports left out: wall, processor.

    The function makes ready what is given and returns what is measured: a print set a second time comes from a cache.
    """
    module, name = run.split(":")
    code = (
        f"import time; from {module} import {name}; run = {name}(); wall, own = time.perf_counter(), time.process_time(); "
        "run(); print(time.perf_counter() - wall, time.process_time() - own)"
    )
    told = [subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True) for _ in range(rounds)]
    walls, owns = zip(*(map(float, one.stdout.split()[-2:]) for one in told), strict=True)
    return min(walls), min(owns)
