"""Records that older versions made: they are opened by one command, and nothing of them is lost."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from bodymap.cli import main
from bodymap.errors import RecordError
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.model import Reading
from bodymap.store.migrations import bring_up
from bodymap.store.record_file import Put, RecordFile, create
from bodymap.store.schema import SCHEMA_VERSION
from tests.store.old_versions import laid
from tests.store.specimen import AT, LATER, ROOT, forge, specimen

OLD = list(range(1, SCHEMA_VERSION))
# Head of the version 1 fixture, as the program that made it said.
HEADS = {1: "31·24960ff2489e"}
BESIDE = {"zones.geojson": {"plane": {"unit": "mm"}, "one": 1, "one_point_nought": 1.0}}


@pytest.mark.parametrize("version", OLD)
def test_an_older_record_names_the_command_that_brings_it_up(version, tmp_path, capsys):
    file = laid(version, tmp_path)
    before = file.path.read_bytes()
    for use in (file.record, file.journal, file.verify, file.head):
        with pytest.raises(RecordError, match=rf"older version .*bodymap bring-up {file.path}"):
            use()
    assert main(["areas", str(file.path)]) == 2
    assert f"bodymap bring-up {file.path}" in capsys.readouterr().err
    assert file.path.read_bytes() == before


@pytest.mark.parametrize("version", OLD)
def test_the_command_brings_it_up_with_a_backup_beside_it(version, tmp_path, capsys):
    file = laid(version, tmp_path)
    before = file.path.read_bytes()
    assert main(["bring-up", str(file.path), "--by", "Ben"]) == 0
    said = capsys.readouterr().out
    backup = tmp_path / f"tricycle.before-version-{version + 1}.gpkg"
    assert str(backup) in said
    assert file.verify(head=HEADS[version]) == ()  # what was printed before still holds
    record = file.record()
    assert record.foreign == BESIDE
    assert repr(record.foreign) == repr(BESIDE)  # 1 and 1.0 stay apart
    assert {reading.reading_id for reading in record.readings} == {"r1", "r2", "r3"}
    assert "dent" not in {finding.finding_id for finding in record.findings}
    assert file.journal()[-1].by == "Ben"
    # the backup is the record as it was: it can be put in its place, and be brought up again
    assert main(["bring-up", str(backup)]) == 0
    assert RecordFile(backup).record() == record
    assert main(["bring-up", str(file.path)]) == 0
    assert "nothing to do" in capsys.readouterr().out
    assert before[:16] == file.path.read_bytes()[:16]


def test_what_comes_after_goes_on_from_there(tmp_path):
    file = laid(1, tmp_path)
    bring_up(file.path, by="Ben", at=LATER)
    put = Put(Reading(reading_id="r4", zone_id="side", um=1.0, principle="magnetic"))
    file.append([put], by="Ann", why="", at=LATER, expect=file.revision())
    assert file.verify() == ()
    write_folder(tmp_path / "out", file.record(), file.journal(), file.media_paths())
    content = read_folder(tmp_path / "out")
    again = tmp_path / "again.gpkg"
    create(again, content.record, by="x", why="x", at=LATER, media=content.media, journal=content.journal)
    entries = RecordFile(again).journal()
    assert entries[: file.revision()] == file.journal()
    # a note of no characters is a blank in a folder; nothing else was said anew
    assert [entry.kind for entry in entries[file.revision() :]] == ["vehicle"]


def test_a_brought_up_record_is_made_as_a_new_one_is(tmp_path):
    """Down to each column of each registered layer; only the moment of the change is its own."""
    file = laid(1, tmp_path)
    bring_up(file.path, by="Ben", at=AT)
    (tmp_path / "new").mkdir()
    (media,) = file.media_paths().values()
    create(tmp_path / "new" / "new.gpkg", specimen(), by="x", why="x", at=AT, media={"yard.JPG": media})
    told = []
    for path in (file.path, tmp_path / "new" / "new.gpkg"):
        with closing(sqlite3.connect(path)) as connection:
            told.append(
                [
                    sorted(connection.execute("SELECT type, name, tbl_name, sql FROM sqlite_master"), key=repr),
                    sorted(connection.execute("SELECT * FROM gpkg_contents"), key=repr),
                    connection.execute("SELECT version, format, name, at FROM bodymap_migration").fetchall(),
                ]
            )
    assert told[0] == told[1]


def test_a_record_that_cannot_be_brought_up_stays_as_it_was(tmp_path):
    file = laid(1, tmp_path)
    forge(file.path, "UPDATE bodymap_foreign SET members = 'not JSON'")
    before = file.path.read_bytes()
    with pytest.raises(RecordError, match=r"zones\.geojson .* cannot be read"):
        bring_up(file.path, by="Ben", at=LATER)
    assert file.path.read_bytes() == before


def test_one_that_is_not_whole_is_brought_up_and_that_is_told(tmp_path, capsys):
    file = laid(1, tmp_path)
    forge(file.path, "UPDATE log_part SET name = 'Another box' WHERE part_id = 'box'")
    assert main(["bring-up", str(file.path)]) == 1
    assert "(part box)" in capsys.readouterr().out


def test_an_open_folder_and_nothing_are_refused(tmp_path, capsys):
    for path in (tmp_path, tmp_path / "none.gpkg"):
        assert main(["bring-up", str(path)]) == 2
        assert str(path) in capsys.readouterr().err


LIMITED = """
import resource, sys
from pathlib import Path
from bodymap.errors import RecordError
from bodymap.store.migrations import bring_up
path = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
try:
    bring_up(path, by="Ben", at="2026-03-02T08:00:00.000Z")
except RecordError as error:
    print(error)
else:
    print("DONE")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="file size limits are a POSIX thing")
@pytest.mark.parametrize("share", [0.02, 0.5, 1.0])
def test_a_disk_that_takes_no_more_leaves_the_old_record(share, tmp_path):
    """At 2 % and at a half the backup does not fit; at its own size the record cannot grow."""
    file = laid(1, tmp_path)
    before = file.path.read_bytes()
    limit = str(int(len(before) * share))
    run = subprocess.run(
        [sys.executable, "-c", LIMITED, str(file.path), limit], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert run.returncode == 0, run.stderr
    assert str(tmp_path) in run.stdout
    assert file.path.read_bytes() == before
    assert not list(tmp_path.glob("*-journal"))
    assert json.dumps(sorted(item.name for item in tmp_path.iterdir() if item.suffix == ".gpkg")) in (
        '["tricycle.gpkg"]',
        '["tricycle.before-version-2.gpkg", "tricycle.gpkg"]',
    )
