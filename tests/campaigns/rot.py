"""Changes one byte of a record file, or of a picture beside it, and asks `verify`.

python -m tests.campaigns.rot --flips 3000 [--seed N]

A byte may change what no entry says (free space, an index, the text of a view): that need not be found. Where any row of the
journal or of a log is not what it was, it must be, and one of the changed entries must be named. A row that SQLite can no
longer read counts as changed. Where the file cannot be opened at all any more, the file is named.
"""

from __future__ import annotations

import argparse
import random
import re
import shutil
import sqlite3
import struct
import sys
import tempfile
from collections import Counter
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from bodymap.errors import RecordError
from bodymap.model import KINDS
from bodymap.store.record_file import RecordFile
from tests.store.specimen import made

_TABLES = ("journal", *(f"log_{kind}" for kind in KINDS))
_LEAF_OF_TABLE, _LEAF_OF_INDEX = 13, 10  # database file format, https://www.sqlite.org/fileformat.html (b-tree pages)
Content = Mapping[tuple[str, int], object]


@dataclass(frozen=True)
class Found:
    """What a changed byte came to. `seqs`: entries that are not what they were; `said`: what verify said."""

    seqs: frozenset[int]
    said: tuple[str, ...]
    opened: bool

    @property
    def named(self) -> bool:
        """Whether one of the changed entries is named, or the file where it cannot be opened."""
        text = "\n".join(self.said)
        return not self.opened or any(re.search(rf"\b(entry|row) {seq}\b", text) for seq in self.seqs)

    @property
    def verdict(self) -> str:
        """One of a few words; `missed` and `not named` must not be."""
        if not self.seqs:
            return "no entry changed, told" if self.said else "no entry changed"
        if not self.said:
            return "missed"
        return "file cannot be opened, told" if not self.opened else "entry named" if self.named else "not named"


def content_of(path: Path) -> Content:
    """Every row of journal and logs by table and number, as bytes; what cannot be read is not in it."""
    rows: dict[tuple[str, int], object] = {}
    try:
        with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
            connection.text_factory = bytes
            for table in _TABLES:
                _read(connection, table, rows)
    except (sqlite3.Error, UnicodeDecodeError):
        return {}
    return rows


def _read(connection: sqlite3.Connection, table: str, rows: dict[tuple[str, int], object]) -> None:
    try:
        for row in connection.execute(f"SELECT * FROM {table} NOT INDEXED"):
            rows[table, row[0]] = row
    except (sqlite3.Error, UnicodeDecodeError):
        return


def asked(path: Path, before: Content) -> Found:
    """What verify says of a file in which a byte was changed."""
    now = content_of(path)
    seqs = frozenset(seq for table, seq in before.keys() | now.keys() if before.get((table, seq)) != now.get((table, seq)))
    try:
        return Found(seqs, RecordFile(path).verify(), opened=True)
    except RecordError as error:  # where it cannot be opened, the file is named
        return Found(seqs, (str(error),), opened=str(path) not in str(error))


def places_of_entries(data: bytes) -> list[int]:
    """Offsets of the bytes of b-tree leaves that hold rows, the schema's own left out."""
    size = struct.unpack(">H", data[16:18])[0]
    places: list[int] = []
    for start in range(size, len(data), size):
        page = data[start : start + size]
        if page[0] in (_LEAF_OF_TABLE, _LEAF_OF_INDEX) and b"CREATE " not in page:
            places += range(start + struct.unpack(">H", page[5:7])[0], start + size)
            places += range(start, start + 8 + 2 * struct.unpack(">H", page[3:5])[0])
    return places


def changed(data: bytes, place: int, mask: int) -> bytes:
    """The bytes with the bits of `mask` turned over in the one at `place`."""
    return data[:place] + bytes([data[place] ^ mask]) + data[place + 1 :]


def run(flips: int, seed: int = 1) -> Counter[str]:
    """Verdicts on so many changed bytes: a half anywhere in the file, a half where rows lie; then each byte of a picture."""
    chance, verdicts = random.Random(seed), Counter[str]()
    with tempfile.TemporaryDirectory(prefix="bodymap-rot-") as place:
        file = made(Path(place))
        data, before = file.path.read_bytes(), content_of(file.path)
        rows, copy = places_of_entries(data), file.path.with_name("copy.gpkg")
        shutil.copytree(file.path.with_suffix(".media"), copy.with_suffix(".media"))
        for number in range(flips):
            where = chance.choice(rows) if number % 2 else chance.randrange(len(data))
            copy.write_bytes(changed(data, where, chance.randrange(1, 256)))
            verdicts[asked(copy, before).verdict] += 1
        copy.write_bytes(data)
        (picture,) = RecordFile(copy).media_paths().items()
        name, lies_at = picture
        content = lies_at.read_bytes()
        for where in range(len(content)):
            lies_at.write_bytes(changed(content, where, chance.randrange(1, 256)))
            named = any(name in finding for finding in RecordFile(copy).verify())
            verdicts["picture named" if named else "missed"] += 1
    return verdicts


def main() -> int:
    """Run the campaign; exit code 1 where anything was missed or not named."""
    parser = argparse.ArgumentParser(description="change single bytes and ask verify")
    parser.add_argument("--flips", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    verdicts = run(given.flips, given.seed)
    sys.stdout.write("\n".join(f"{verdict}: {count}" for verdict, count in sorted(verdicts.items())) + "\n")
    return 1 if verdicts["missed"] or verdicts["not named"] else 0


if __name__ == "__main__":
    sys.exit(main())
