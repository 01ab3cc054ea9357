"""A record brought on by the entries that have followed is the record that a whole reading gives."""

from __future__ import annotations

from contextlib import closing

import pytest
from hypothesis import HealthCheck, assume, given, settings

from bodymap.errors import Faults
from bodymap.model import Head, Reading
from bodymap.model.journal import FIRST_HASH, head_of, record_after
from bodymap.store.changes import planned, write
from bodymap.store.coming import Coming
from bodymap.store.journal_read import read_journal
from bodymap.store.record_file import Put, RecordFile, Withdraw
from bodymap.store.standing import Stored, read_standing, record_of
from tests.store.specimen import LATER, forge, made
from tests.store.test_changes_checked import cases, stored


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(cases())
def test_brought_on_is_the_same_as_read_whole(case):
    record, changes = case
    with closing(stored(record)) as connection:
        begun, journal = record_of(read_standing(connection)), read_journal(connection)
        # in two goes, so that what is brought on is brought on again
        for some in (changes[:1], changes[1:]):
            try:
                said = planned(Coming(Stored(connection)), some)
            except Faults:
                return
            write(connection, said, by="Ben", why="", at=LATER)
            assume(len(read_standing(connection)["vehicle"]) == 1)
            since = read_journal(connection, after=len(journal))
            begun, journal = record_after(begun, journal, since), (*journal, *since)
            assert begun == record_of(read_standing(connection))
            assert journal == read_journal(connection)


@pytest.fixture
def file(tmp_path):
    return made(tmp_path)


def taken(file, um):
    put = Put(Reading(reading_id="r1", zone_id="side", um=um, principle="magnetic"))
    return file.append([put, Withdraw("signoff", "1")] if um == 1.0 else [put], by="Ben", why="", at=LATER, expect=None)


def test_what_has_followed_a_head(file):
    record, journal = file.whole()
    assert (record, journal) == (file.record(), file.journal())
    assert file.since(head_of(journal)) == ()
    assert file.since(Head(count=0, hash=FIRST_HASH)) == journal
    written = (*taken(file, 1.0), *taken(file, 2.0))
    assert file.since(head_of(journal)) == written
    assert record_after(record, journal, written) == file.record()


def test_another_journal_follows_from_nothing(file, tmp_path):
    head = file.head()
    assert file.since(Head(count=head.count, hash="0" * 64)) is None
    assert file.since(Head(count=head.count + 1, hash=head.hash)) is None
    taken(file, 1.0)
    forge(file.path, f"UPDATE log_reading SET um = 9 WHERE seq = {head.count + 1}")
    assert file.since(head) is None
    assert RecordFile(file.path).verify()
