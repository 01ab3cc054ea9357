"""What somebody changes in the file by other means is refused by the file itself, or found and named."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing

import pytest

from bodymap.errors import RecordError
from bodymap.model import KINDS, Reading
from bodymap.model.journal import FIRST_HASH, entry_hash
from bodymap.store.journal_read import read_journal
from bodymap.store.record_file import Put, RecordFile
from tests.store.specimen import LATER, forge, made

BY_TEXT = ("at", "by", "why", "ident", "before", "hash")


@pytest.fixture
def file(tmp_path):
    return made(tmp_path)


@pytest.mark.parametrize("table", ["journal", *(f"log_{kind}" for kind in KINDS)])
def test_logs_and_journal_refuse_update_and_delete(file, table):
    with closing(sqlite3.connect(file.path)) as connection:
        column = connection.execute(f"SELECT name FROM pragma_table_info('{table}')").fetchall()[-1][0]
        for statement in (f"UPDATE {table} SET {column} = {column}", f"DELETE FROM {table}"):
            with pytest.raises(sqlite3.IntegrityError, match="written once and stays"):
                connection.execute(statement)


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT OR REPLACE INTO journal SELECT * FROM journal WHERE seq = 3",
        (
            "INSERT INTO journal SELECT seq + 1000, at, by, why, act, kind, ident, place, before, hash FROM journal"
            " WHERE seq = 3"
        ),
        "INSERT INTO journal SELECT max(seq) + 1, at, by, why, act, kind, ident, place, before, hash FROM journal",
        "INSERT OR REPLACE INTO log_part SELECT * FROM log_part",
        "INSERT INTO log_part (seq, part_id, name, substrate, removable) VALUES (1, 'x', 'X', 'steel', 1)",
        "INSERT INTO log_part (seq, part_id, name, substrate, removable) SELECT max(seq), 'x', 'X', 'steel', 1 FROM journal",
    ],
)
def test_rows_cannot_be_slipped_in_or_replaced(file, statement):
    with closing(sqlite3.connect(file.path)) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute(statement)
    assert file.verify() == ()


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE log_zone SET face = 'back' WHERE zone_id = 'side'", r"entry \d+ \(zone side\).*content was changed"),
        ("UPDATE log_reading SET um = 42.00000000000001 WHERE um = 42", r"\(reading r1\).*changed"),
        ("UPDATE log_part SET removable = 1 WHERE part_id = 'box'", r"\(part box\).*changed"),
        ("UPDATE log_zone SET more = replace(more, '2,', '2.0,') WHERE zone_id = 'side'", r"\(zone side\).*changed"),
        ("UPDATE log_zone SET shape = (SELECT shape FROM log_area) WHERE zone_id = 'side'", r"\(zone side\).*changed"),
        ("UPDATE log_zone SET shape = x'00' WHERE zone_id = 'side'", r"\(zone side\).*no GeoPackage geometry"),
        ("UPDATE log_vehicle SET more = 'not JSON'", r"\(vehicle tricycle\).*cannot be read"),
        ("UPDATE journal SET by = 'Ben' WHERE seq = 5", r"entry 5 .*changed"),
        ("UPDATE journal SET at = '2020-01-01T00:00:00Z' WHERE seq = 5", r"entry 5 .*changed"),
        # Bytes where text stood: another storage class in the row's own header (sqlite.org/fileformat2.html, 2.1).
        *((f"UPDATE journal SET {name} = CAST({name} AS BLOB) WHERE seq = 5", "entry 5 .*changed") for name in BY_TEXT),
        ("UPDATE journal SET ident = 'shut' WHERE ident = 'lid'", r"of part shut, but what it says is of another"),
        (
            "UPDATE log_area SET shape = CAST(substr(shape, 1, 8) || zeroblob(32) || substr(shape, 41) AS BLOB)",
            r"the geometry of entry \d+ \(area keep\) has another header",
        ),
        ("DELETE FROM log_layer WHERE position = 2", r"\(layer s1/2\) has lost its content"),
        ("DELETE FROM journal WHERE seq = 7", r"row 7 of log_zone"),
        ("UPDATE journal SET seq = 1000 WHERE seq = 9", r"row 9 of"),
    ],
)
def test_a_change_behind_its_back_is_found_and_named(file, statement, words):
    forge(file.path, statement)
    wrong = file.verify()
    assert any(re.search(words, finding) for finding in wrong), wrong


def test_a_deleted_entry_breaks_the_chain(file):
    forge(file.path, "DELETE FROM log_part WHERE seq = 6", "DELETE FROM journal WHERE seq = 6")
    assert any("entry 7 follows entry 5" in finding for finding in file.verify())


def test_swapped_rows_are_found(file):
    forge(
        file.path,
        "UPDATE log_part SET seq = -1 WHERE seq = 5",
        "UPDATE log_part SET seq = 5 WHERE seq = 6",
        "UPDATE log_part SET seq = 6 WHERE seq = -1",
        "UPDATE journal SET ident = 'lid' WHERE seq = 5",
        "UPDATE journal SET ident = 'box' WHERE seq = 6",
    )
    wrong = file.verify()
    assert any("entry 5 (part lid)" in finding for finding in wrong)
    assert any("entry 6 (part box)" in finding for finding in wrong)


def test_a_history_written_anew_is_found_against_a_printed_head(file):
    printed = file.head().short
    with closing(sqlite3.connect(file.path)) as connection:
        entries = read_journal(connection)
    before, statements = FIRST_HASH, ["UPDATE journal SET by = 'Forger'"]
    for entry in entries:
        digest = entry_hash(before, entry.model_dump() | {"by": "Forger"})
        statements.append(f"UPDATE journal SET before = '{before}', hash = '{digest}' WHERE seq = {entry.seq}")
        before = digest
    forge(file.path, *statements)
    assert file.verify() == ()  # a chain without a head outside it shows no more
    assert any("written anew" in finding for finding in file.verify(head=printed))


def test_a_cut_tail_is_found_against_a_printed_head(file):
    file.append(
        [Put(Reading(reading_id="r3", zone_id="side", um=1.0, principle="magnetic"))],
        by="Ann",
        why="",
        at=LATER,
        expect=None,
    )
    printed, last = file.head().short, file.revision()
    assert file.verify(head=printed) == ()
    forge(file.path, f"DELETE FROM log_reading WHERE seq = {last}", f"DELETE FROM journal WHERE seq = {last}")
    assert file.verify() == ()
    assert file.verify(head=printed) == (f"the journal was cut: {last} entries were printed, {last - 1} are left",)


def test_an_older_head_still_holds_after_more_entries(file):
    printed = file.head().short
    file.append(
        [Put(Reading(reading_id="r3", zone_id="side", um=1.0, principle="magnetic"))],
        by="Ann",
        why="",
        at=LATER,
        expect=None,
    )
    assert file.verify(head=printed) == ()


@pytest.mark.parametrize("head", ["", "twelve", "12", "12·xyz", "·abcdef012345"])
def test_a_head_that_is_none_is_told(file, head):
    with pytest.raises(RecordError, match="head"):
        file.verify(head=head)


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("DROP TRIGGER journal_no_update", "trigger journal_no_update is gone"),
        ("DROP VIEW zones", "view zones is gone"),
        ("CREATE TRIGGER sly AFTER INSERT ON log_zone BEGIN DELETE FROM gpkg_extensions; END", "trigger sly on log_zone"),
        ("CREATE TRIGGER sly INSTEAD OF UPDATE ON zones BEGIN SELECT 1; END", "trigger sly on zones"),
        ("ALTER TABLE log_part ADD COLUMN price REAL", "table log_part has not the columns"),
        ("DELETE FROM gpkg_geometry_columns WHERE table_name = 'zones'", "layer zones is not registered"),
        ("DELETE FROM gpkg_contents WHERE table_name = 'parts'", "layer parts is not registered"),
        ("PRAGMA application_id = 0", "application_id is 0"),
        ("PRAGMA user_version = 7", "user_version is 7"),
    ],
)
def test_a_changed_schema_is_found(file, statement, words):
    with closing(sqlite3.connect(file.path)) as connection:
        connection.execute(statement)
        connection.commit()
    assert any(words in finding for finding in file.verify())


def test_a_view_made_anew_to_hide_things_is_found(file):
    with closing(sqlite3.connect(file.path)) as connection:
        (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'findings'").fetchone()
        connection.execute("DROP VIEW findings")
        connection.execute(sql + " WHERE l.kind <> 'dent'")
        connection.commit()
    assert file.verify() == ("view findings is not as it was made",)


def test_media_that_are_gone_or_changed_are_found(file):
    photo = file.media_path("yard.JPG")
    photo.write_bytes(b"another picture")
    assert [finding for finding in file.verify() if "yard.JPG is not what was recorded" in finding]
    photo.unlink()
    assert [finding for finding in file.verify() if "yard.JPG is missing" in finding]


def test_damaged_pages_are_found(file):
    size = file.path.stat().st_size
    with file.path.open("r+b") as raw:
        raw.seek(size // 2)
        raw.write(b"\xa5" * 8192)
    try:
        wrong = file.verify()
    except RecordError as error:
        wrong = (str(error),)
    assert any("damaged" in finding for finding in wrong)


def test_a_layer_added_by_another_program_is_no_fault(file):
    with closing(sqlite3.connect(file.path)) as connection:
        connection.execute("CREATE TABLE notes_of_mine (fid INTEGER PRIMARY KEY AUTOINCREMENT, note TEXT)")
        connection.commit()
    assert file.verify() == ()


@pytest.mark.parametrize("content", [b"", b"Dear sir,\n" * 300, b"SQLite format 3\x00" + bytes(4080)])
def test_a_file_that_is_no_record_is_refused_and_left_alone(tmp_path, content):
    path = tmp_path / "letter.gpkg"
    path.write_bytes(content)
    for use in (RecordFile(path).record, RecordFile(path).verify, RecordFile(path).head):
        with pytest.raises(RecordError, match=r"letter\.gpkg"):
            use()
    assert path.read_bytes() == content
    assert [item.name for item in tmp_path.iterdir()] == ["letter.gpkg"]


def test_another_database_a_folder_and_nothing_are_refused(tmp_path):
    with closing(sqlite3.connect(tmp_path / "other.gpkg")) as connection:
        connection.execute("CREATE TABLE t (x)")
    for name, words in (("other.gpkg", "no record of this program"), (".", "a folder"), ("none.gpkg", "no such file")):
        with pytest.raises(RecordError, match=words):
            RecordFile(tmp_path / name).record()
    assert not (tmp_path / "none.gpkg").exists()


def test_a_truncated_record_is_refused(file):
    with file.path.open("r+b") as raw:
        raw.truncate(20_000)
    with pytest.raises(RecordError, match="damaged"):
        file.record()
