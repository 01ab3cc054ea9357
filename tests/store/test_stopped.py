"""Work on a record file that is stopped: nothing half made, no lock held, and it goes as if it had never been begun."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from contextlib import closing

import pytest

from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.model import Reading
from bodymap.progress import silent
from bodymap.store import staging
from bodymap.store.migrations import bring_up
from bodymap.store.record_file import Put, RecordFile, create
from demo import VEHICLE_FOLDER
from tests.hand_over_case import trailer_folder
from tests.store.old_versions import laid
from tests.store.specimen import AT, forge, made
from tests.test_progress import Stop, Watch, first_and_last, grows_to_one

_ENTRIES_A_TELLING = 100


@pytest.fixture(scope="module")
def content(tmp_path_factory):
    """An open folder with a journal, and pictures."""
    place = tmp_path_factory.mktemp("trailer")
    plain = read_folder(trailer_folder(place))
    path = place / "trailer.gpkg"
    create(path, plain.record, by="Ann", why="first survey", at=AT, media=plain.media)
    file = RecordFile(path)
    write_folder(place / "out", *file.whole(), file.media_paths())
    return read_folder(place / "out")


def all_in(folder):
    """Every file and folder, hidden ones as well, with what is in it."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
        for path in folder.rglob("*")
    }


def free(path):
    """Whether nobody holds a lock on a record file: another may have it all at once."""
    with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as connection:
        connection.execute("BEGIN EXCLUSIVE")
        connection.execute("ROLLBACK")
    return True


def taken_in(content, path, step, *, journal=True):
    record_file_of = {"by": "Ann", "why": "taken in", "at": AT, "media": content.media, "step": step}
    create(path, content.record, **record_file_of, journal=content.journal if journal else ())


@pytest.mark.parametrize("journal", [True, False])
def test_a_record_that_is_being_made_leaves_nothing_wherever_it_is_stopped(tmp_path, content, journal):
    place, watch = tmp_path / "here", Watch()
    place.mkdir()
    taken_in(content, place / "whole.gpkg", watch, journal=journal)
    assert grows_to_one(watch.shares)
    before = all_in(place)
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            taken_in(content, place / "stopped.gpkg", Watch(number), journal=journal)
        assert all_in(place) == before, watch.told[number]
    taken_in(content, place / "stopped.gpkg", silent, journal=journal)
    stopped, never = RecordFile(place / "stopped.gpkg"), RecordFile(place / "whole.gpkg")
    assert stopped.verify() == ()
    assert stopped.whole() == never.whole(), "after all the stops it is made as if there were none"


def test_a_folder_edited_by_hand_is_compared_with_its_journal_stoppably(tmp_path, content):
    watch = Watch()
    taken_in(content, tmp_path / "whole.gpkg", watch)
    (number,) = [n for n in first_and_last(watch.told) if watch.told[n][0] == "Comparing with the journal"][:1]
    before = all_in(tmp_path)
    with pytest.raises(Stop):
        taken_in(content, tmp_path / "stopped.gpkg", Watch(number + 1))
    assert all_in(tmp_path) == before


def test_a_copy_leaves_nothing_wherever_it_is_stopped_and_the_record_is_free(tmp_path):
    file, watch = made(tmp_path), Watch()
    file.backup(tmp_path / "copy.gpkg", watch)
    assert grows_to_one(watch.shares)
    before = all_in(tmp_path)
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            file.backup(tmp_path / "stopped.gpkg", Watch(number))
        assert all_in(tmp_path) == before, watch.told[number]
        assert free(file.path)
    file.backup(tmp_path / "stopped.gpkg")
    assert RecordFile(tmp_path / "stopped.gpkg").whole() == file.whole()


@pytest.mark.parametrize("work", [RecordFile.verify, RecordFile.whole])
def test_reading_and_checking_are_told_and_stopped_and_hold_nothing(tmp_path, work):
    file, watch = made(tmp_path), Watch()
    found = work(file, step=watch)
    assert grows_to_one(watch.shares)
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            work(file, step=Watch(number))
        assert free(file.path), watch.told[number]
    assert work(file) == found


def test_nobody_who_writes_waits_for_pictures_to_be_copied_or_checked(tmp_path):
    file, written = made(tmp_path), []

    def step(words, share):
        if "pictures (" in words:
            assert free(file.path)
            reading = Reading(reading_id=f"n{len(written)}", zone_id="side", um=1.0, principle="magnetic")
            written.extend(file.append([Put(reading)], by="Ben", why="meanwhile", at=AT, expect=None))

    before = file.whole()
    assert file.verify(step=step) == ()
    file.backup(tmp_path / "copy.gpkg", step)
    assert len(written) >= 2
    kept, journal = RecordFile(tmp_path / "copy.gpkg").whole()
    assert journal == file.journal()[: len(journal)]
    assert len(before[1]) < len(journal) < len(file.journal()), "the copy is of one moment: what came later is not in it"
    assert len(kept.readings) == len(before[0].readings) + len(journal) - len(before[1])


def test_the_check_of_a_damaged_file_is_told_as_well(tmp_path):
    file = made(tmp_path)
    forge(file.path, "DELETE FROM journal WHERE seq = 3")  # its row of the log has lost its parent
    watch = Watch()
    assert any("lost its row of journal" in words for words in file.verify(step=watch))
    assert grows_to_one(watch.shares)
    assert any("damaged file" in words for words, _ in watch.told)
    with pytest.raises(Stop):
        file.verify(step=Watch(len(watch.told) - 1))
    assert free(file.path)


def test_bringing_up_is_stopped_at_a_whole_version(tmp_path):
    watch = Watch()
    (tmp_path / "one").mkdir()
    bring_up(laid(1, tmp_path / "one").path, by="Ann", at=AT, step=watch)
    assert grows_to_one(watch.shares)
    place = tmp_path / "other"
    place.mkdir()
    file = laid(1, place)
    before = all_in(place)
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            bring_up(file.path, by="Ann", at=AT, step=Watch(number))
        assert all_in(place) == before, watch.told[number]
        assert free(file.path)
    bring_up(file.path, by="Ann", at=AT)
    assert file.verify() == ()


def interrupted(act):
    """Does it, and then the keyboard interrupts (Ctrl-C) before anything else is done."""

    def then(*given):
        act(*given)
        raise KeyboardInterrupt

    return then


def test_stopped_in_the_moment_it_gets_its_name_a_record_is_there_with_all_its_pictures(tmp_path, content, monkeypatch):
    with monkeypatch.context() as now:
        now.setattr(staging.os, "link", interrupted(os.link))
        with pytest.raises(KeyboardInterrupt):
            taken_in(content, tmp_path / "trailer.gpkg", silent)
    assert {path.name for path in tmp_path.iterdir()} == {"trailer.gpkg", "trailer.media"}
    assert RecordFile(tmp_path / "trailer.gpkg").verify() == ()


def test_stopped_just_before_it_gets_its_name_nothing_is_there(tmp_path, content, monkeypatch):
    with monkeypatch.context() as now:
        now.setattr(staging, "sync_folder", interrupted(staging.sync_folder))  # its pictures lie there already
        with pytest.raises(KeyboardInterrupt):
            taken_in(content, tmp_path / "trailer.gpkg", silent)
    assert list(tmp_path.iterdir()) == []


def test_it_is_told_often_enough_however_large_the_record_is(tmp_path):
    """Three times a second where a hundred entries, or one picture, take less than a third of it: before each."""
    van, watch = read_folder(VEHICLE_FOLDER, reading := Watch()), Watch()
    create(tmp_path / "van.gpkg", van.record, by="Ann", why="taken in", at=AT, media=van.media, step=watch)
    entries = sum(1 for _ in van.record.entries())
    assert entries > 10 * _ENTRIES_A_TELLING
    of_entries = ("Checking what stands", "Writing the entries", "Reading the entries", "Checking the chain")
    for stage in ("Copying the pictures", "Checking the pictures", *of_entries):
        told = [words for words, _ in watch.told if words.partition(" (")[0] == stage]
        assert len(told) > (len(van.media) if "pictures" in stage else entries / _ENTRIES_A_TELLING), stage
    assert grows_to_one(reading.shares)
    assert sum("Reading the pictures" in words for words, _ in reading.told) == len(van.media) + 1
    assert {"Reading zones.geojson", "Checking what refers to what"} <= {words for words, _ in reading.told}


def test_an_open_folder_is_read_stoppably(tmp_path, content):
    write_folder(tmp_path / "out", content.record, content.journal, content.media)
    before, watch = all_in(tmp_path), Watch()
    assert read_folder(tmp_path / "out", watch) == read_folder(tmp_path / "out")
    assert grows_to_one(watch.shares)
    for number in first_and_last(watch.told):
        with pytest.raises(Stop):
            read_folder(tmp_path / "out", Watch(number))
    assert all_in(tmp_path) == before
