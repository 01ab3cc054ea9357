"""Several processes at one record, a writer killed, a folder that cannot be written, a disk that is full."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

import pytest

from bodymap.errors import RecordError
from bodymap.model import Reading
from bodymap.model.journal import broken_links
from bodymap.store import file_open, record_file
from bodymap.store.record_file import Put, RecordFile
from tests.store.specimen import LATER, ROOT, made


def start(path, name, count):
    return subprocess.Popen(
        [sys.executable, "-m", "tests.store.writer", str(path), name, str(count)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def put(file, ident="x"):
    return file.append(
        [Put(Reading(reading_id=ident, zone_id="side", um=1.0, principle="magnetic"))],
        by="Ann",
        why="",
        at=LATER,
        expect=None,
    )


def test_two_processes_lose_nothing_and_keep_one_chain(tmp_path):
    file = made(tmp_path)
    before = file.revision()
    writers = [start(file.path, name, 100) for name in ("ann", "ben")]
    told = [writer.communicate(timeout=120) for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0], told
    journal = file.journal()
    assert len(journal) == before + 200
    assert list(broken_links(journal)) == []
    by_seq = {entry.seq: entry for entry in journal}
    for out, _ in told:
        for line in out.splitlines():
            seq, digest, ident = line.split()
            assert (by_seq[int(seq)].hash, by_seq[int(seq)].ident) == (digest, ident)
    assert len(file.record().readings) == 2 + 200
    assert file.verify() == ()


def test_a_killed_writer_loses_nothing_it_told_and_leaves_no_half_entry(tmp_path):
    file = made(tmp_path)
    acknowledged = {}
    for number in range(6):
        writer = start(file.path, f"w{number}", 100_000)
        assert writer.stdout is not None
        lines = [writer.stdout.readline() for _ in range(3 + 5 * number)]
        writer.kill()
        lines += writer.communicate(timeout=60)[0].splitlines()
        acknowledged |= {int(seq): digest for seq, digest, _ in (line.split() for line in lines if line.count(" ") == 2)}
        assert file.verify() == ()
    hashes = {entry.seq: entry.hash for entry in file.journal()}
    assert len(acknowledged) >= sum(3 + 5 * number for number in range(6))
    assert {seq: hashes.get(seq) for seq in acknowledged} == acknowledged


def test_a_copy_is_whole_while_another_writes(tmp_path):
    file = made(tmp_path)
    writer = start(file.path, "ann", 150)
    assert writer.stdout is not None
    writer.stdout.readline()
    heads = []
    for number in range(4):
        file.backup(tmp_path / f"copy{number}.gpkg")
        copy = RecordFile(tmp_path / f"copy{number}.gpkg")
        assert copy.verify() == ()
        heads.append(copy.head())
    out, errors = writer.communicate(timeout=120)
    assert writer.returncode == 0, errors
    assert file.verify() == ()
    journal = file.journal()
    for head in heads:  # each copy is one moment of the record
        assert journal[head.count - 1].hash == head.hash
    assert len(out.splitlines()) == 149


def test_a_copy_is_the_same_and_stands_alone(tmp_path):
    file = made(tmp_path / "here")
    (tmp_path / "there").mkdir()
    file.backup(tmp_path / "there" / "spare.gpkg")
    journal, record = file.journal(), file.record()
    shutil.rmtree(tmp_path / "here")
    copy = RecordFile(tmp_path / "there" / "spare.gpkg")
    assert (copy.journal(), copy.record(), copy.verify()) == (journal, record, ())
    assert sorted(item.name for item in (tmp_path / "there").iterdir()) == ["spare.gpkg", "spare.media"]
    put(copy)


def test_no_copy_over_another_file_and_none_of_a_broken_record(tmp_path):
    file = made(tmp_path)
    with pytest.raises(RecordError, match="there already"):
        file.backup(file.path)
    with pytest.raises(RecordError, match=r"\.gpkg"):
        file.backup(tmp_path / "copy.db")
    file.media_path("yard.JPG").unlink()
    with pytest.raises(RecordError, match=r"yard\.JPG"):
        file.backup(tmp_path / "copy.gpkg")
    there = sorted(item.name for item in tmp_path.iterdir())
    assert there == ["photo-from-elsewhere.jpg", "tricycle.gpkg", "tricycle.media"]


def test_a_writer_waits_for_another_and_is_told_when_that_takes_too_long(tmp_path, monkeypatch):
    file = made(tmp_path)
    monkeypatch.setattr(file_open, "BUSY_S", 0.1)
    with closing(sqlite3.connect(file.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(RecordError, match="another program is busy"):
            put(file)
        assert file.head().count == file.revision()  # reading goes on
    assert len(put(file)) == 1


def test_a_journal_mode_left_by_another_program_is_put_right(tmp_path, monkeypatch):
    file = made(tmp_path)
    with closing(sqlite3.connect(file.path)) as other:
        assert other.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
    put(file)
    with closing(sqlite3.connect(file.path)) as other:
        assert other.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("SELECT count(*) FROM journal").fetchone()
        monkeypatch.setattr(file_open, "BUSY_S", 0.1)
        with pytest.raises(RecordError, match="another program"):
            put(file)
    assert file.verify() == ()


def test_every_connection_is_durable(tmp_path):
    with closing(file_open.connected(made(tmp_path).path)) as connection:
        told = [connection.execute(f"PRAGMA {name}").fetchone() for name in ("journal_mode", "synchronous", "foreign_keys")]
    assert told == [("delete",), (3,), (1,)]  # 3 is EXTRA, https://www.sqlite.org/pragma.html#pragma_synchronous


def test_an_sqlite_that_does_not_do_as_told_is_refused(tmp_path, monkeypatch):
    """An older one takes `synchronous = EXTRA` without a word and leaves it as it was."""
    path = made(tmp_path).path
    connect = sqlite3.connect

    class Older(sqlite3.Connection):
        def execute(self, statement, *values):
            return super().execute(statement.replace("EXTRA", "FULL"), *values)

    monkeypatch.setattr(sqlite3, "connect", lambda *said, **more: connect(*said, **more, factory=Older))
    with pytest.raises(RecordError, match="power cut"):
        RecordFile(path).record()


def test_every_change_takes_the_write_lock_before_it_reads(tmp_path, monkeypatch):
    """What is read before the lock is had may be out of date when it is written (https://www.sqlite.org/lang_transaction.html)."""
    file = made(tmp_path)
    statements, connected = [], file_open.connected

    def listened(path):
        connection = connected(path)
        connection.set_trace_callback(statements.append)
        return connection

    monkeypatch.setattr(file_open, "connected", listened)
    put(file)
    begun = statements.index("BEGIN IMMEDIATE")
    read = [number for number, said in enumerate(statements) if "FROM journal" in said]
    assert read
    assert begun < min(read)
    assert statements[-1] == "COMMIT"


AS_NOBODY = """
import os, sys
from pathlib import Path
from bodymap.errors import RecordError
from bodymap.model import Reading
from bodymap.store.record_file import Put, RecordFile
file = RecordFile(Path(sys.argv[1]))
file.record()
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
print(len(file.record().readings), len(file.verify()))
for change in (lambda: file.append([Put(Reading(reading_id="x", zone_id="side", um=1.0, principle="magnetic"))], by="Ann",
                                   why="", at="2026-03-02T08:00:00.000Z", expect=None),
               lambda: file.add_media("x.png", b"x"), lambda: file.backup(file.path.with_name("copy.gpkg"))):
    try:
        change()
    except RecordError as error:
        print(error)
    else:
        print("WRITTEN")
"""


@pytest.fixture
def open_place():
    """A folder that every user may enter, which pytest's own are not."""
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)
        for item in (Path(name), *Path(name).rglob("*.media")):
            item.chmod(0o755)


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are a POSIX thing")
@pytest.mark.parametrize("what", ["folder", "file and folder"])
def test_a_record_that_cannot_be_written_can_be_read(open_place, what):
    """Root is not held by file modes: a process that runs as root becomes a user without rights first."""
    folder = open_place
    file = made(folder)
    before = file.path.read_bytes()
    for item in (folder / "tricycle.media", folder):
        item.chmod(0o555)
    file.path.chmod(0o444 if what == "file and folder" else 0o666)
    run = subprocess.run(
        [sys.executable, "-c", AS_NOBODY, str(file.path)], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert run.returncode == 0, run.stderr
    read, *told = run.stdout.splitlines()
    assert read == "2 0"
    assert len(told) == 3
    assert "read-only" in told[0]
    assert "cannot be written" in told[1]
    assert "nothing can be made" in told[2]
    assert file.path.read_bytes() == before
    assert sorted(item.name for item in folder.iterdir()) == ["photo-from-elsewhere.jpg", "tricycle.gpkg", "tricycle.media"]


FULL = """
import resource, sys
from pathlib import Path
from bodymap.errors import RecordError
from bodymap.model import Reading
from bodymap.store.record_file import Put, RecordFile
path = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (path.stat().st_size, resource.RLIM_INFINITY))
many = [Put(Reading(reading_id=f"x{n}", zone_id="side", um=1.0, principle="eddy", by="y" * 500)) for n in range(2000)]
try:
    RecordFile(path).append(many, by="Ann", why="", at="2026-03-02T08:00:00.000Z", expect=None)
except RecordError as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file size limits are a POSIX thing")
def test_a_disk_that_takes_no_more_leaves_the_record_as_it_was(tmp_path):
    file = made(tmp_path)
    journal = file.journal()
    run = subprocess.run([sys.executable, "-c", FULL, str(file.path)], capture_output=True, text=True, check=False, cwd=ROOT)
    assert run.returncode == 0, run.stderr
    assert "nothing was written" in run.stdout
    assert file.journal() == journal
    assert file.verify() == ()


def test_a_full_database_is_told(tmp_path, monkeypatch):
    file = made(tmp_path)
    head, connected = file.head(), file_open.connected

    def small(path):
        connection = connected(path)
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    monkeypatch.setattr(file_open, "connected", small)
    with pytest.raises(RecordError, match="disk is full; nothing was written"):
        file.append(
            [
                Put(Reading(reading_id=f"x{n}", zone_id="side", um=1.0, principle="magnetic", invalid="y" * 500))
                for n in range(500)
            ],
            by="Ann",
            why="",
            at=LATER,
            expect=None,
        )
    monkeypatch.undo()
    assert file.head() == head
    assert file.verify() == ()


@pytest.mark.parametrize(
    "step", ["media.os.fsync", "staging._name", "staging.sync_folder", "making.write", "making._lay_out"]
)
def test_a_making_that_fails_half_way_leaves_nothing(tmp_path, monkeypatch, step):
    def broken(*_args, **_said):
        if step.startswith("making"):
            raise sqlite3.OperationalError("No space")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(f"bodymap.store.{step}", broken)
    with pytest.raises(RecordError, match="No space"):
        made(tmp_path)
    assert sorted(item.name for item in tmp_path.iterdir()) == ["photo-from-elsewhere.jpg"]


def test_a_record_is_made_where_there_are_no_hard_links(tmp_path, monkeypatch):
    def none(*_args, **_said):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("bodymap.store.staging.os.link", none)
    file = made(tmp_path)
    assert file.verify() == ()
    with pytest.raises(RecordError, match="there already"):
        made(tmp_path)


def test_the_public_names():
    assert set(record_file.__all__) == {"Put", "RecordFile", "Withdraw", "create"}
