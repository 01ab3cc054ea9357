"""A record is brought up step by step, each with its note in one transaction and a backup first; never down."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing

import pytest

from bodymap.errors import RecordError
from bodymap.model import KINDS, columns_of
from bodymap.store import migrations
from bodymap.store.migrations import MIGRATIONS, Migration, bring_up
from bodymap.store.record_file import RecordFile
from bodymap.store.schema import SCHEMA_VERSION
from tests.store.specimen import AT, LATER, forge, made

# Columns of the logs of each schema version. A model that has other columns needs a new version and a migration to it.
COLUMNS_SHA256 = {
    1: "0fa2d4637ed0af24e8e41e5d7506b29117c351b04d4ece4dfcc24d47a66126b8",
    2: "cf0f048b3e0763c034957a57edefd6d45e40e6a91f2e4de1aca5d3888840728a",
}


def weigh(connection, by, at):
    connection.execute("CREATE TABLE weights (part_id TEXT, kg REAL)")
    connection.execute("INSERT INTO weights SELECT part_id, 1.5 FROM parts")


NEXT, LAST = SCHEMA_VERSION + 1, SCHEMA_VERSION + 2
TWO_STEPS = (
    *MIGRATIONS,
    Migration(NEXT, "weights of parts", weigh),
    Migration(LAST, "heavier", ("UPDATE weights SET kg = 2 * kg", "CREATE INDEX heavy ON weights (kg)")),
)


def asked(path, sql):
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(sql).fetchall()


@pytest.fixture
def file(tmp_path):
    return made(tmp_path)


def test_the_newest_version_is_the_one_that_is_made(file):
    assert [migration.version for migration in MIGRATIONS] == list(range(1, SCHEMA_VERSION + 1))
    assert asked(file.path, "SELECT version, at FROM bodymap_migration") == [
        (number, AT) for number in range(1, SCHEMA_VERSION + 1)
    ]
    assert bring_up(file.path, by="Ben", at=LATER) == ()


def test_the_columns_of_a_version_stay():
    columns = {
        kind: [(column.name, column.kind, column.required) for column in columns_of(model)] for kind, model in KINDS.items()
    }
    digest = hashlib.sha256(json.dumps(columns, sort_keys=True).encode()).hexdigest()
    assert digest == COLUMNS_SHA256[SCHEMA_VERSION], "the columns changed: a new schema version and a migration are needed"


def test_steps_are_taken_in_order_with_a_backup_before_each(file, tmp_path):
    journal, before = file.journal(), file.path.read_bytes()
    backups = bring_up(file.path, by="Ben", at=LATER, migrations=TWO_STEPS)
    assert [backup.name for backup in backups] == [
        f"tricycle.before-version-{NEXT}.gpkg",
        f"tricycle.before-version-{LAST}.gpkg",
    ]
    assert asked(file.path, "SELECT part_id, kg FROM weights ORDER BY part_id") == [("box", 3.0), ("lid", 3.0)]
    assert asked(file.path, f"SELECT version, name, at FROM bodymap_migration WHERE version >= {NEXT}") == [
        (NEXT, "weights of parts", LATER),
        (LAST, "heavier", LATER),
    ]
    assert asked(backups[1], "SELECT DISTINCT kg FROM weights") == [(1.5,)]
    assert RecordFile(backups[0]).journal() == journal
    assert RecordFile(backups[0]).verify() == ()
    assert before[:16] == backups[0].read_bytes()[:16]
    assert [item.name for item in tmp_path.glob(".*")] == []


@pytest.mark.parametrize(
    "steps",
    [
        ("CREATE TABLE half (x)", "INSERT INTO log_part (seq) VALUES (1)"),
        ("CREATE TABLE half (x)", "not SQL"),
        ("CREATE TABLE half (x)", "DELETE FROM journal"),
    ],
)
def test_a_step_that_fails_leaves_the_record_as_it_was(file, steps):
    journal = file.journal()
    with pytest.raises(RecordError, match=rf"version {LAST} \(broken\) failed, it is as it was before"):
        bring_up(file.path, by="Ben", at=LATER, migrations=(*TWO_STEPS[:-1], Migration(LAST, "broken", steps)))
    assert asked(file.path, "SELECT max(version) FROM bodymap_migration") == [(NEXT,)]  # the step before stays
    assert asked(file.path, "SELECT name FROM sqlite_master WHERE name = 'half'") == []
    with closing(sqlite3.connect(file.path)) as connection:
        assert connection.execute("SELECT count(*) FROM journal").fetchone() == (len(journal),)


def test_a_function_that_raises_leaves_the_record_as_it_was(file):
    def broken(connection, by, at):
        connection.execute("CREATE TABLE half (x)")
        raise ValueError("lost its way")

    with pytest.raises(ValueError, match="lost its way"):
        bring_up(file.path, by="Ben", at=LATER, migrations=(*MIGRATIONS, Migration(NEXT, "broken", broken)))
    assert asked(file.path, "SELECT name FROM sqlite_master WHERE name = 'half'") == []
    assert file.verify() == ()


def test_a_record_of_a_newer_version_is_refused_and_left_alone(file):
    bring_up(file.path, by="Ben", at=LATER, migrations=TWO_STEPS)
    before = file.path.read_bytes()
    for use in (file.record, file.journal, file.verify, file.head, lambda: bring_up(file.path, by="Ben", at=LATER)):
        with pytest.raises(RecordError, match="newer version of this program"):
            use()
    assert file.path.read_bytes() == before


def test_a_backup_that_is_there_already_stays_and_another_is_made(file, tmp_path):
    taken = tmp_path / f"tricycle.before-version-{NEXT}.gpkg"
    taken.write_text("something else")
    backups = bring_up(file.path, by="Ben", at=LATER, migrations=TWO_STEPS)
    assert [backup.name for backup in backups] == [
        f"tricycle.before-version-{NEXT}-2.gpkg",
        f"tricycle.before-version-{LAST}.gpkg",
    ]
    assert taken.read_text() == "something else"


def test_no_step_without_a_backup(file, monkeypatch):
    def full(*_said):
        raise RecordError("the disk is full")

    monkeypatch.setattr(migrations, "copied", full)
    with pytest.raises(RecordError, match="the disk is full"):
        bring_up(file.path, by="Ben", at=LATER, migrations=TWO_STEPS)
    assert asked(file.path, "SELECT max(version) FROM bodymap_migration") == [(SCHEMA_VERSION,)]
    assert file.verify() == ()


def test_a_damaged_record_is_not_brought_up(file):
    forge(file.path, "DELETE FROM journal WHERE seq = 3")
    with pytest.raises(RecordError, match="lost its row of journal"):
        bring_up(file.path, by="Ben", at=LATER, migrations=TWO_STEPS)
