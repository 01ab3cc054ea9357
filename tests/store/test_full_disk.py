"""A disk that takes no more at any point, and files and folders that are read-only: told, and nothing half-written.

The limit is on the size of a file (RLIMIT_FSIZE), which the system refuses as it does a full disk. Root is not held by file
modes, so what is read-only is tried by another user (tests/store/test_many_hands.py, and below).
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path

import pytest

from bodymap.cli.common import write_print
from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.model import Reading, Source
from bodymap.store.record_file import Put, RecordFile, create
from tests.store.specimen import LATER, ROOT, made

resource = pytest.importorskip("resource", reason="file size limits are a POSIX thing")
PICTURE = bytes(range(256)) * 200
LIMITS = [0, 1, 100, 1000, 4096, 20_000, 50_000, 100_000, 150_000, 180_000]


@contextmanager
def at_most(size_bytes):
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.fixture
def place(tmp_path):
    """A record with its source folder beside it."""
    file = made(tmp_path)
    write_folder(tmp_path / "source", file.record(), file.journal(), file.media_paths())
    return tmp_path


def photograph(place):
    file = RecordFile(place / "tricycle.gpkg")
    item = file.add_media("p.jpg", PICTURE)
    file.append([Put(item), Put(Source(source_id="p", kind="photo", title="P", file="p.jpg"))], **SAID)


def many_readings(place):
    readings = [Reading(reading_id=f"x{n}", zone_id="side", um=1.0, principle="eddy", by="y" * 500) for n in range(300)]
    RecordFile(place / "tricycle.gpkg").append([Put(reading) for reading in readings], **SAID)


def take_in(place):
    content = read_folder(place / "source")
    create(place / "new.gpkg", content.record, by="Ann", why="", at=LATER, media=content.media, journal=content.journal)


def backup(place):
    RecordFile(place / "tricycle.gpkg").backup(place / "copy.gpkg")


def write_out(place):
    file = RecordFile(place / "tricycle.gpkg")
    write_folder(place / "out", file.record(), file.journal(), file.media_paths())


def print_(place):
    write_print(place / "brief.pdf", b"%PDF-1.7 bodymap" + bytes(190_000))


SAID = {"by": "Ann", "why": "", "at": LATER, "expect": None}
ACTS = [photograph, many_readings, take_in, backup, write_out, print_]


def state(place):
    """Every file by its content; the record by its journal, and that it is whole."""
    file = RecordFile(place / "tricycle.gpkg")
    assert file.verify() == ()
    files = {str(item.relative_to(place)): item.read_bytes() for item in place.rglob("*") if item.is_file()}
    files.pop("tricycle.gpkg")
    return files, file.journal()


@pytest.mark.parametrize("act", ACTS)
def test_a_disk_that_takes_no_more_is_told_and_leaves_all_as_it_was(place, act):
    before, refused = state(place), 0
    for limit in LIMITS:
        with at_most(limit):
            try:
                act(place)
            except (BodymapError, OSError) as error:
                said = error
            else:
                break
        refused += 1
        assert "File too large" in str(said) or "disk" in str(said), said
        after = state(place)
        if act is photograph:  # the picture may lie there already; the record does not speak of it
            after = {name: content for name, content in after[0].items() if content != PICTURE}, after[1]
        assert after == before
    assert refused >= 3
    if refused == len(LIMITS):
        act(place)
    assert state(place) != before


AS_NOBODY = """
import os, sys
from pathlib import Path
from tests.store import test_full_disk
place = Path(sys.argv[1])
if os.geteuid() == 0:
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
for act in test_full_disk.ACTS:
    try:
        act(place)
    except (test_full_disk.BodymapError, OSError) as error:
        print(act.__name__, error)
    else:
        print(act.__name__, "WRITTEN")
"""


def test_a_folder_that_is_read_only_is_told_and_stays_as_it_was():
    with tempfile.TemporaryDirectory() as name:  # pytest's own folders are closed to other users
        place = Path(name)
        file = made(place)
        write_folder(place / "source", file.record(), file.journal(), file.media_paths())
        before = state(place)
        folders = [place, *(item for item in place.rglob("*") if item.is_dir())]
        for folder in folders:
            folder.chmod(0o555)
        for item in place.rglob("*"):
            if item.is_file():
                item.chmod(0o444)
        run = subprocess.run([sys.executable, "-c", AS_NOBODY, name], capture_output=True, text=True, check=False, cwd=ROOT)
        for folder in folders:
            folder.chmod(0o755)
        assert run.returncode == 0, run.stderr
        told = dict(line.split(" ", 1) for line in run.stdout.splitlines() if " " in line)
        assert set(told) >= {act.__name__ for act in ACTS}
        assert "WRITTEN" not in told.values()
        assert all(name in told[act.__name__] or "beside the record" in told[act.__name__] for act in ACTS), told
        assert state(place) == before
