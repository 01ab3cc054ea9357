"""Kills writers with SIGKILL at random moments, and looks at what they leave.

python -m tests.campaigns.kill --kills 300 [--seed N]

Work that is broken off: survey writing (one entry, and many at once), taking in, adding photographs, backup, bringing a
record of an older version up. Afterwards every record that is there must be whole, every entry that was told must be in it,
and what was half made must not be there under its name. POSIX only. This says nothing of a power cut: for that the pragmas
are asserted (tests/store/test_many_hands.py).
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bodymap.errors import BodymapError, RecordError
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.model import Reading, Source
from bodymap.model.journal import out_of_step
from bodymap.store.migrations import bring_up
from bodymap.store.record_file import Put, RecordFile, Withdraw, create
from tests.campaigns.workers import AT, Tell, context, lost, not_whole, teller, told
from tests.store.old_versions import laid
from tests.store.specimen import made

TOLD = "told.txt"
_MANY = 150
_PHOTOS, _PHOTO_BYTES = 12, 200_000
_OLD_RECORDS = 6
_PATIENCE_S = 120


def _reading(name: str, um: float) -> Put:
    return Put(Reading(reading_id=name, zone_id="side", um=um, principle="magnetic"))


def _survey(folder: Path, tell: Tell) -> None:
    file = RecordFile(folder / "tricycle.gpkg")
    for number in range(10_000):
        gone = [Withdraw("reading", f"n{number - 2}")] if number > 1 else []
        one = [_reading(f"n{number}", 1.0), *gone]
        many = [_reading(f"m{number}-{spot}", 2.0 + spot) for spot in range(_MANY)]
        for entry in file.append(one if number % 3 else [*one, *many], by="Ann", why="survey", at=AT, expect=None):
            tell(entry.seq, entry.hash)


def _take_in(folder: Path, tell: Tell) -> None:
    for number in range(10_000):
        content = read_folder(folder / "source")
        path = folder / f"new{number}.gpkg"
        create(path, content.record, by="Ann", why="taken in", at=AT, media=content.media, journal=content.journal)
        tell(path.name)


def _photographs(folder: Path, tell: Tell) -> None:
    file = RecordFile(folder / "tricycle.gpkg")
    for number in range(10_000):
        item = file.add_media(f"p{number}.jpg", random.Random(number).randbytes(_PHOTO_BYTES))
        source = Source(source_id=f"p{number}", kind="photo", title="Photograph", file=item.name)
        for entry in file.append([Put(item), Put(source)], by="Ann", why="photograph", at=AT, expect=None):
            tell(entry.seq, entry.hash)


def _backup(folder: Path, tell: Tell) -> None:
    file = RecordFile(folder / "tricycle.gpkg")
    for number in range(10_000):
        (entry,) = file.append([_reading(f"n{number}", 1.0)], by="Ann", why="survey", at=AT, expect=None)
        copy = folder / f"copy{number}.gpkg"
        file.backup(copy)
        tell(copy.name, entry.seq, entry.hash)


def _bring_up(folder: Path, tell: Tell) -> None:
    for number in range(_OLD_RECORDS):
        path = folder / f"old{number}.gpkg"
        bring_up(path, by="Ben", at=AT)
        tell(path.name)


def _with_photographs(folder: Path) -> None:
    made(folder)
    file = RecordFile(folder / "tricycle.gpkg")
    items = [file.add_media(f"q{n}.jpg", random.Random(-n).randbytes(_PHOTO_BYTES)) for n in range(_PHOTOS)]
    file.append([Put(item) for item in items], by="Ann", why="photographs", at=AT, expect=None)


def _with_source(folder: Path) -> None:
    _with_photographs(folder)
    file = RecordFile(folder / "tricycle.gpkg")
    write_folder(folder / "source", file.record(), file.journal(), file.media_paths())


def _with_old_records(folder: Path) -> None:
    for number in range(_OLD_RECORDS):
        laid(1, folder, f"old{number}.gpkg")


def _after_writing(folder: Path, said: list[list[str]]) -> Iterator[str]:
    file = RecordFile(folder / "tricycle.gpkg")
    yield from not_whole(file)
    yield from lost(file, said)


def _after_taking_in(folder: Path, said: list[list[str]]) -> Iterator[str]:
    wanted = read_folder(folder / "source").record
    yield from _there(folder, "new*.gpkg", {name for (name,) in said})
    for path in folder.glob("new*.gpkg"):
        file = RecordFile(path)
        yield from not_whole(file)
        yield from (f"{path.name}: {finding}" for finding in out_of_step(file.journal(), wanted))


def _after_backup(folder: Path, said: list[list[str]]) -> Iterator[str]:
    yield from _after_writing(folder, [[seq, digest] for _, seq, digest in said])
    yield from _there(folder, "copy*.gpkg", {name for name, _, _ in said})
    for path in folder.glob("copy*.gpkg"):
        yield from not_whole(RecordFile(path))
    for name, seq, digest in said:
        yield from lost(RecordFile(folder / name), [[seq, digest]])


def _after_bringing_up(folder: Path, said: list[list[str]]) -> Iterator[str]:
    up = {name for (name,) in said}
    for path in sorted(folder.glob("old*.gpkg")):
        if path.name in up:
            yield from not_whole(RecordFile(path))
        else:  # it is one or the other, and goes on from there; so does each backup
            bring_up(path, by="Ben", at=AT)
            yield from not_whole(RecordFile(path))
        if len(RecordFile(path).record().readings) != 3 or not RecordFile(path).record().foreign:
            yield f"{path.name}: lost what it had"


def _there(folder: Path, pattern: str, names: set[str]) -> Iterator[str]:
    yield from (f"{name} was told and is not there" for name in names - {path.name for path in folder.glob(pattern)})


@dataclass(frozen=True)
class Job:
    """Work that is broken off: what is laid out before, what is done over and over, what must be afterwards."""

    prepare: Callable[[Path], object]
    work: Callable[[Path, Tell], None]
    check: Callable[[Path, list[list[str]]], Iterator[str]]


JOBS = {
    "survey": Job(made, _survey, _after_writing),
    "take-in": Job(_with_source, _take_in, _after_taking_in),
    "photograph": Job(made, _photographs, _after_writing),
    "backup": Job(_with_photographs, _backup, _after_backup),
    "bring-up": Job(_with_old_records, _bring_up, _after_bringing_up),
}


def run(kills: int, seed: int = 1, say: Callable[[str], object] = str) -> tuple[Counter[str], list[str]]:
    """Kills so many writers, each kind of work in turn; returns figures by kind of work, and everything that was wrong."""
    chance, figures, wrong = random.Random(seed), Counter[str](), list[str]()
    writers = _Writers(chance)
    for number in range(kills):
        name = list(JOBS)[number % len(JOBS)]
        with tempfile.TemporaryDirectory(prefix="bodymap-kill-") as place:
            folder = Path(place)
            JOBS[name].prepare(folder)
            writers.one_killed(name, folder)
            said = told(folder / TOLD)
            figures[f"{name}: kills"] += 1
            figures[f"{name}: told"] += len(said)
            figures[f"{name}: rollback journal left"] += bool(list(folder.rglob("*.gpkg-journal")))
            figures[f"{name}: unfinished, out of sight"] += bool([*folder.glob(".*"), *folder.glob("*.media/.*")])
            found = _looked_at(JOBS[name], folder, said)
            wrong += [f"kill {number} ({name}, seed {seed}): {fault}" for fault in found]
        say(f"{number + 1} of {kills}: {name}, {len(said)} told, {len(found)} wrong")
    return figures, wrong


def _looked_at(job: Job, folder: Path, said: list[list[str]]) -> list[str]:
    try:
        return list(job.check(folder, said))
    except (BodymapError, OSError) as error:
        return [str(error)]


class _Writers:
    """Starts writers and kills each: after some work was told, somewhere in the time that the next takes."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.server = context()
        self.once_s: dict[str, float] = {}

    def one_killed(self, name: str, folder: Path) -> None:
        here, there = self.server.Pipe(duplex=False)
        process = self.server.Process(target=_begin, args=(name, str(folder), there))
        process.start()
        there.close()
        if not here.poll(_PATIENCE_S):
            raise RecordError("the writer did not begin")
        here.recv()
        begun = time.monotonic()
        if name not in self.once_s:  # the first of a kind tells how long it takes; it is killed in the next
            self._wait(folder, 1)
            self.once_s[name] = time.monotonic() - begun
        else:
            self._wait(folder, self.chance.randrange(3))
        time.sleep(self.chance.uniform(0, self.once_s[name]))
        process.kill()
        process.join()
        here.close()

    def _wait(self, folder: Path, lines: int) -> None:
        until = time.monotonic() + _PATIENCE_S
        while lines and len(told(folder / TOLD)) < lines:
            if time.monotonic() > until:
                raise RecordError("the writer told nothing")
            time.sleep(0.002)


def _begin(name: str, place: str, ready: Any) -> None:
    folder = Path(place)
    tell = teller(folder / TOLD)
    ready.send("ready")
    JOBS[name].work(folder, tell)
    time.sleep(_PATIENCE_S)  # done before the kill: it comes all the same


def main() -> int:
    """Run the campaign; exit code 1 where anything was wrong."""
    parser = argparse.ArgumentParser(description="kill writers at random moments and look at what they leave")
    parser.add_argument("--kills", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    figures, wrong = run(asked.kills, asked.seed, say=lambda text: sys.stderr.write(text + "\n"))
    lines = [*(f"{name}: {count}" for name, count in figures.items()), f"wrong: {len(wrong)}", *wrong]
    sys.stdout.write("\n".join(lines) + "\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
