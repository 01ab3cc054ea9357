"""Several processes at one record for a while; afterwards every entry that was told is there once and the chain holds.

python -m tests.campaigns.many_hands --seconds 60 --processes 4 --browsers 2 [--seed N]

Each process adds readings and photographs of its own, renames zones that the others rename too (it is told where another
was first, and looks again), reads the record, and now and then makes a backup. With `--browsers` a dashboard runs on the
record too, and so many browsers enter what somebody said; that needs Chromium.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bodymap.errors import ConflictError
from bodymap.model import Reading, Source
from bodymap.model.journal import broken_links
from bodymap.store.record_file import Put, RecordFile
from tests.campaigns.browsers import browse, wrong_with
from tests.campaigns.workers import AT, Tell, context, lost, not_whole, teller, told
from tests.store.specimen import made

_PATIENCE_S, _BROWSE_S = 600, 60
_ZONES = ("side", "top")


@dataclass(frozen=True)
class Outcome:
    """What came of it. `figures`: how often what was done; `wrong`: everything that is not as it should be."""

    figures: Counter[str]
    wrong: tuple[str, ...]


def run(
    processes: int, *, seconds: float | None = None, changes: int | None = None, seed: int = 1, browsers: int = 0
) -> Outcome:
    """Lets so many processes and browsers write, for a time or until each has made so many changes; looks at the record."""
    server = context()
    with tempfile.TemporaryDirectory(prefix="bodymap-hands-") as place, ExitStack() as held:
        folder = Path(place)
        file = made(folder)
        before = file.revision()
        hands = [
            server.Process(target=_write, args=(str(folder), f"w{number}", seed + number, seconds, changes))
            for number in range(processes)
        ]
        people = [f"b{number}" for number in range(browsers)]
        if people:
            url = held.enter_context(_served(file.path))
            hands += [server.Process(target=browse, args=(str(folder), url, name, seconds or _BROWSE_S)) for name in people]
        for hand in hands:
            hand.start()
        for hand in hands:
            hand.join(_PATIENCE_S)
        wrong = [f"process {number} ended with {hand.exitcode}" for number, hand in enumerate(hands) if hand.exitcode]
        figures, entries = Counter[str](), []
        for number in range(processes):
            for what, *entry in told(folder / f"w{number}.txt"):
                figures[what] += 1
                if entry:
                    entries.append(entry)
        held.close()
        for name in people:
            said = told(folder / f"{name}.txt")
            figures.update(what for what, *_ in said)
            wrong += wrong_with(file, name, [rest for what, *rest in said if what == "browser-saved"])
        wrong += [*not_whole(file), *lost(file, entries)]
        journal = file.journal()
        wrong += [words for _, words in broken_links(journal)]
        by_hand = sum(entry.by in people for entry in journal)
        if len(journal) - by_hand != before + len(entries):
            wrong.append(f"{len(journal)} entries, of which {before} were there and {len(entries)} were told")
        wrong += [finding for copy in sorted(folder.glob("copy*.gpkg")) for finding in not_whole(RecordFile(copy))]
        return Outcome(figures | Counter({"entries told": len(entries)}), tuple(wrong))


def _served(path: Path) -> AbstractContextManager[str]:
    """A dashboard on the record; its address."""
    from tests.browser.conftest import served

    @contextmanager
    def running() -> Iterator[str]:
        with served(path) as shop:
            yield shop.url

    return running()


def _write(place: str, name: str, seed: int, seconds: float | None, changes: int | None) -> None:
    folder, chance = Path(place), random.Random(seed)
    hand = _Hand(RecordFile(folder / "tricycle.gpkg"), name, teller(folder / f"{name}.txt"), chance)
    until = None if seconds is None else time.monotonic() + seconds
    number = 0
    while (until is None or time.monotonic() < until) and (changes is None or number < changes):
        act = chance.choices((hand.reading, hand.photograph, hand.rename, hand.copy), (60, 12, 25, 3))[0]
        act(number)
        number += 1


class _Hand:
    """One who works on the record beside others."""

    def __init__(self, file: RecordFile, name: str, tell: Tell, chance: random.Random) -> None:
        self.file, self.name, self.tell, self.chance = file, name, tell, chance

    def reading(self, number: int) -> None:
        ident, um = f"{self.name}-{number}", self.chance.uniform(10, 300)
        reading = Reading(reading_id=ident, zone_id="side", um=um, principle="magnetic")
        self._append("reading", [Put(reading)], self.file.revision())

    def photograph(self, number: int) -> None:
        item = self.file.add_media(f"{self.name}-{number}.jpg", self.chance.randbytes(50_000))
        source = Source(source_id=f"{self.name}-{number}", kind="photo", title="Photograph", file=item.name)
        self._append("photograph", [Put(item), Put(source)], None)

    def rename(self, number: int) -> None:
        seen = self.file.revision()
        zone = self.file.record().zone[self.chance.choice(_ZONES)]
        named = zone.model_copy(update={"name": f"as {self.name} says, {number}"})
        try:
            self._append("zone renamed", [Put(named)], seen)
        except ConflictError:
            self.tell("another-was-first")

    def copy(self, number: int) -> None:
        self.file.backup(self.file.path.with_name(f"copy-{self.name}-{number}.gpkg"))
        self.tell("backup")

    def _append(self, what: str, puts: list[Any], expect: int | None) -> None:
        for entry in self.file.append(puts, by=self.name, why=what, at=AT, expect=expect):
            self.tell(what.replace(" ", "-"), entry.seq, entry.hash)


def main() -> int:
    """Run the campaign; exit code 1 where anything was wrong."""
    parser = argparse.ArgumentParser(description="several processes at one record")
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--processes", type=int, default=4)
    parser.add_argument("--browsers", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    outcome = run(asked.processes, seconds=asked.seconds, seed=asked.seed, browsers=asked.browsers)
    lines = [*(f"{name}: {count}" for name, count in sorted(outcome.figures.items())), f"wrong: {len(outcome.wrong)}"]
    sys.stdout.write("\n".join([*lines, *outcome.wrong]) + "\n")
    return 1 if outcome.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
