"""A commit to the journal against bare sqlite3 at the same pragmas: `python -m tests.bench journal`.

Wanted: at most 1.5 times a bare program that keeps rows of the same size in a chain of hashes (DELETE journal, synchronous
EXTRA, BEGIN IMMEDIATE, a connection for each commit, as a record file has them), and less than 50 ms in a record of 20 000
entries. For comparison the same bare rows with the connection held open, and bare rows in a record file itself: what its
schema costs to read at each opening, and its triggers at each row.
"""

from __future__ import annotations

import hashlib
import json
import math
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from bodymap.model import Coat, Drawing, Layer, Part, Reading, Record, Stack, Vehicle, Zone
from bodymap.store.record_file import Put, RecordFile, create
from tests.bench.measure import WALL, Row, least

AT = "2026-03-01T10:15:00.000Z"
LOG = (
    "reading_id",
    "zone_id",
    "x",
    "y",
    "um",
    "principle",
    "spot",
    "taken",
    "phase",
    "instrument",
    "by",
    "invalid",
    "targeted",
)
_JOURNAL = "INSERT INTO journal (seq, at, by, why, act, kind, ident, place, before, hash) VALUES (?,?,?,?,?,?,?,?,?,?)"
_LOG = f"INSERT INTO log_reading (seq, {', '.join(LOG)}) VALUES ({', '.join('?' * (len(LOG) + 1))})"


def ring(x: float, y: float, points: int = 100) -> dict[str, object]:
    """A round zone of 80 mm with so many points."""
    turns = [2 * math.pi * number / points for number in range(points)]
    edge = [[round(x + 80 * math.cos(turn), 4), round(y + 80 * math.sin(turn), 4)] for turn in turns]
    return {"type": "Polygon", "coordinates": [[*edge, edge[0]]]}


def surveyed(zones: int = 300, readings: int = 5000, stacks: int = 1000, layers: int = 10) -> Record:
    """A record of so many zones, readings and stacks."""
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="large"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=tuple(Part(part_id=f"p{n}", name=f"Part {n}", substrate="steel", removable=True) for n in range(60)),
        zones=tuple(
            Zone(zone_id=f"z{n}", drawing_id="d", part_id=f"p{n % 60}", face="outer", shape=ring(200 * (n % 20), 10 * n))
            for n in range(zones)
        ),
        coats=tuple(Coat(coat_id=f"c{n}", name=f"Coat {n}", kind="colour") for n in range(15)),
        stacks=tuple(
            Stack(stack_id=f"S{n}", zone_id=f"z{n % zones}", method="section", reaches_substrate=True) for n in range(stacks)
        ),
        layers=tuple(
            Layer(stack_id=f"S{n}", position=k + 1, coat_id=f"c{k}", extent="full")
            for n in range(stacks)
            for k in range(layers)
        ),
        readings=tuple(reading(f"r{n}", zones) for n in range(readings)),
    )


def reading(ident: str, zones: int = 300, um: float = 100.0) -> Reading:
    """A reading as a gauge gives it."""
    return Reading(
        reading_id=ident, zone_id=f"z{int(ident[1:]) % zones}", x=1.5, y=2.5, um=um, principle="magnetic", spot="7", by="Ann"
    )


def made(folder: Path, name: str, record: Record, entries: int = 0) -> RecordFile:
    """A record file; the readings are taken again until it has so many entries."""
    create(folder / name, record, by="Ann", why="first survey", at=AT)
    file = RecordFile(folder / name)
    left = entries - file.revision()
    for begun in range(0, left, 2500):
        again = [record.readings[n % len(record.readings)] for n in range(begun, min(begun + 2500, left))]
        puts = [Put(one.model_copy(update={"um": one.um + 1 + begun})) for one in again]
        file.append(puts, by="Ben", why="taken again", at=AT, expect=None)
    return file


class Appends:
    """Puts one new reading after another."""

    def __init__(self, file: RecordFile) -> None:
        self.file, self.number, self.seen = file, 1_000_000, file.revision()

    def __call__(self) -> None:
        self.number += 1
        put = Put(reading(f"r{self.number}", 40))
        self.seen = self.file.append([put], by="Ann", why="spot 7", at=AT, expect=self.seen)[-1].seq


class Bare:
    """The same rows by sqlite3 alone: the head is read in the transaction, a row is chained to it by SHA-256."""

    def __init__(self, path: Path, *, held: bool = False) -> None:
        self.path, self.number = path, 2_000_000
        self.connection = self._opened() if held else None

    def __call__(self) -> None:
        if self.connection:
            self._commit(self.connection)
            return
        with closing(self._opened()) as connection:
            self._commit(connection)

    def _opened(self) -> sqlite3.Connection:
        connection = sqlite3.connect(self.path, timeout=10, isolation_level=None)
        connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("PRAGMA foreign_keys = ON")
        return connection

    def _commit(self, connection: sqlite3.Connection) -> None:
        self.number += 1
        ident = f"r{self.number}"
        row = (ident, "z7", 1.5, 2.5, 100.0, "magnetic", "7", None, None, None, "Ann", None, None)
        connection.execute("BEGIN IMMEDIATE")
        seq, before = connection.execute("SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1").fetchone()
        said = (seq + 1, AT, "Ann", "spot 7", "put", "reading", ident, self.number)
        digest = hashlib.sha256(json.dumps([before, said, row]).encode()).hexdigest()
        connection.execute(_JOURNAL, (*said, before, digest))
        connection.execute(_LOG, (seq + 1, *row))
        connection.execute("COMMIT")


def bare_copy(path: Path, record: Path) -> Path:
    """A database of two plain tables with the rows of a record's journal and readings."""
    with closing(sqlite3.connect(path)) as connection:
        columns = ", ".join(f"{name} {'REAL' if name in ('x', 'y', 'um') else 'TEXT'}" for name in LOG)
        connection.execute(f"CREATE TABLE log_reading (seq INTEGER PRIMARY KEY, {columns})")
        connection.execute(
            "CREATE TABLE journal (seq INTEGER PRIMARY KEY, at TEXT, by TEXT, why TEXT, act TEXT, kind TEXT, ident TEXT, "
            "place INTEGER, before TEXT, hash TEXT)"
        )
        connection.execute("CREATE INDEX journal_of_one ON journal (kind, ident, seq)")
        connection.execute("ATTACH ? AS whole", (str(record),))
        connection.execute("INSERT INTO journal SELECT * FROM whole.journal")
        connection.execute(f"INSERT INTO log_reading SELECT seq, {', '.join(LOG)} FROM whole.log_reading")
        connection.commit()
    return path


def rows(rounds: int = 60) -> Iterator[Row]:
    """What is measured."""
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as where:  # on the disk, where syncs cost what they cost
        folder = Path(where)
        file = made(folder, "small.gpkg", surveyed(100, 150, 40, 6))
        shutil.copy(file.path, folder / "same.gpkg")
        found = least(
            {
                "ours": Appends(file),
                "bare": Bare(bare_copy(folder / "bare.db", folder / "same.gpkg")),
                "held": Bare(bare_copy(folder / "held.db", folder / "same.gpkg"), held=True),
                "same": Bare(folder / "same.gpkg"),
            },
            rounds,
            WALL,
        )
        many = made(folder, "large.gpkg", surveyed(), 20_000)
        large = least({"ours": Appends(many)}, rounds // 2, WALL)["ours"]
    ours = found["ours"]
    yield Row("one reading appended, 600 entries", ours, found["bare"], "bare sqlite3, opened for each commit", 1.5)
    yield Row("  the same", ours, found["same"], "bare rows in a record file, opened for each commit", None)
    yield Row("  the same", ours, found["held"], "bare sqlite3, connection held open", None)
    yield Row("one reading appended, 20 000 entries", large, None, "", 0.05)
    yield Row("  the same", large, ours, "the same with 600 entries", None)
