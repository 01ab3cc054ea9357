"""A process of its own that adds readings to a record, one entry at a time, and tells each one that was committed.

python -m tests.store.writer RECORD NAME COUNT
"""

from __future__ import annotations

import sys
from pathlib import Path

from bodymap.model import Reading
from bodymap.store.record_file import Put, RecordFile
from tests.store.specimen import LATER


def main(path: str, name: str, count: str) -> None:
    file = RecordFile(Path(path))
    for number in range(int(count)):
        reading = Reading(reading_id=f"{name}-{number}", zone_id="side", um=float(number), principle="magnetic")
        (entry,) = file.append([Put(reading)], by=name, why=f"number {number}", at=LATER, expect=file.revision())
        sys.stdout.write(f"{entry.seq} {entry.hash} {reading.reading_id}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
