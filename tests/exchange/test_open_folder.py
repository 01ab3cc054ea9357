"""The open folder loses nothing, either way, and is whole or not there."""

from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.model import Coat, Record, Vehicle, columns_of
from bodymap.model.journal import body_of, entry_hash
from demo import VEHICLE_FOLDER
from tests.folders import BARE, tank, write_case
from tests.strategies import journals, kept_records

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def media_in(folder, media):
    """Media written as plain files, by name."""
    for name, data in media.items():
        (folder / name).write_bytes(data)
    return {name: folder / name for name in media}


def exactly(record):
    """Everything a record holds, to the last bit: the hash over an entry tells 1 from 1.0 and 0.0 from -0.0."""
    assert Record.of(record.entries(), record.foreign) == record
    return [(entry.KIND, entry, entry_hash("", body_of(entry))) for entry in record.entries()], repr(record.foreign)


@SLOW
@given(st.data())
def test_record_to_folder_to_record_gives_the_same(data):
    kept = data.draw(kept_records())
    journal = data.draw(journals(kept.record) | st.just(()))
    with tempfile.TemporaryDirectory() as place:
        media = media_in(Path(place), kept.media)
        write_folder(Path(place) / "out", kept.record, journal, media)
        back = read_folder(Path(place) / "out")
        assert exactly(back.record) == exactly(kept.record)
        assert back.journal == journal
        assert {name: file.read_bytes() for name, file in back.media.items()} == kept.media


@SLOW
@given(kept_records())
def test_a_second_writing_gives_the_same_bytes(kept):
    with tempfile.TemporaryDirectory() as place:
        media = media_in(Path(place), kept.media)
        write_folder(Path(place) / "one", kept.record, (), media)
        back = read_folder(Path(place) / "one")
        write_folder(Path(place) / "two", back.record, (), back.media)
        assert bytes_of(Path(place) / "one") == bytes_of(Path(place) / "two")


def bytes_of(folder):
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def test_a_folder_written_by_hand_comes_back_with_all_it_said(tmp_path):
    content = read_folder(write_case(tmp_path / "tank", tank()))
    write_folder(tmp_path / "out", content.record, content.journal, content.media)
    again = read_folder(tmp_path / "out")
    assert exactly(again.record) == exactly(content.record)
    assert content.notes == ()
    record = content.record
    assert record.zone["shell_left"].ratio == 1.1
    assert [layer.interface for layer in record.layers_of["s1"]] == [(), ("dirt", "scratch")]
    assert record.findings[1].shape is None
    assert record.steps[3].parts_only
    assert record.steps[3].parts_beside == ("lid",)
    assert record.part["shell"].removable is False
    # an empty cell is not stated; it is never "no" and never a default
    assert record.drawing["right"].scale is None
    assert record.layers_of["s1"][0].cut_back is None


def test_the_demo_vehicle_comes_back_the_same(tmp_path):
    content = read_folder(VEHICLE_FOLDER)
    write_folder(tmp_path / "out", content.record, content.journal, content.media)
    again = read_folder(tmp_path / "out")
    assert exactly(again.record) == exactly(content.record)
    assert bytes_of(tmp_path / "out" / "media") == bytes_of(VEHICLE_FOLDER / "media")


def test_only_the_files_that_are_needed_are_written(tmp_path):
    write_folder(tmp_path / "out", read_folder(write_case(tmp_path / "in", BARE)).record)
    assert [file.name for file in (tmp_path / "out").iterdir()] == ["vehicle.csv"]


def test_lines_end_with_cr_lf_as_rfc_4180_section_2_1_says(tmp_path):
    write_folder(tmp_path / "out", read_folder(write_case(tmp_path / "in", BARE)).record)
    data = (tmp_path / "out" / "vehicle.csv").read_bytes()
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n") == 2
    assert not data.startswith(b"\xef\xbb\xbf")


def test_a_byte_order_mark_changes_nothing(tmp_path):
    plain = read_folder(write_case(tmp_path / "plain", tank()))
    marked = {name: (tmp_path / "plain" / name).read_bytes() for name in tank()}
    marked = {name: data if name.startswith("media") else b"\xef\xbb\xbf" + data for name, data in marked.items()}
    assert exactly(read_folder(write_case(tmp_path / "marked", marked)).record) == exactly(plain.record)


def test_unknown_columns_come_back_in_their_order_even_where_the_rows_do_not_tell_it(tmp_path):
    text = "zz,coat_id,name,aa,kind,empty\n,c1,one,7,clear,\n=2+3,c2,two,,etch,\n"
    content = read_folder(write_case(tmp_path / "in", BARE | {"coats.csv": text}))
    assert [coat.more for coat in content.record.coats] == [{"aa": "7"}, {"zz": "=2+3"}]
    write_folder(tmp_path / "out", content.record)
    header, *rows = (tmp_path / "out" / "coats.csv").read_text(encoding="utf-8").splitlines()
    assert header.split(",")[-3:] == ["zz", "aa", "empty"]
    assert [row.split(",")[-3:] for row in rows] == [["", "7", ""], ["=2+3", "", ""]]
    assert exactly(read_folder(tmp_path / "out").record) == exactly(content.record)
    assert [note for note in content.notes if "'zz'" in note and "kept" in note]


def test_rows_with_different_unknown_columns_are_written_under_their_union(tmp_path):
    coats = [
        Coat(coat_id="a", name="a", kind="etch", more={"maker": "x"}),
        Coat(coat_id="b", name="b", kind="etch", more={"batch": "9", "maker": "y"}),
    ]
    record = Record.of([Vehicle(vehicle_id="v", name="v"), *coats])
    write_folder(tmp_path / "out", record)
    header = (tmp_path / "out" / "coats.csv").read_text().splitlines()[0].split(",")
    assert header == [column.name for column in columns_of(Coat)] + ["maker", "batch"]


# --- whole or not there --------------------------------------------------------------------------------------------------


def test_a_folder_that_is_not_empty_is_never_touched(tmp_path):
    record = read_folder(write_case(tmp_path / "in", BARE)).record
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "mine.txt").write_text("mine")
    with pytest.raises(BodymapError, match="not empty"):
        write_folder(taken, record)
    assert bytes_of(taken) == {"mine.txt": b"mine"}
    with pytest.raises(BodymapError, match="is a file"):
        write_folder(taken / "mine.txt", record)
    with pytest.raises(BodymapError, match="No such file"):
        write_folder(tmp_path / "not" / "there", record)


def test_an_empty_folder_is_taken(tmp_path):
    record = read_folder(write_case(tmp_path / "in", BARE)).record
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", record)
    assert read_folder(tmp_path / "out").record == record


@pytest.mark.parametrize("nth", [1, 5, 20])
def test_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch, nth):
    content = read_folder(write_case(tmp_path / "in", tank()))
    calls = []

    def full(handle):
        calls.append(handle)
        if len(calls) == nth:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BodymapError, match="No space left"):
        write_folder(tmp_path / "out", content.record, (), content.media)
    assert [item.name for item in tmp_path.iterdir()] == ["in"]


def test_a_media_file_that_was_changed_since_is_not_passed_on_as_the_recorded_one(tmp_path):
    content = read_folder(write_case(tmp_path / "in", tank()))
    content.media["left.jpg"].write_bytes(b"another picture")
    with pytest.raises(BodymapError, match=r"left\.jpg is not the one that was recorded"):
        write_folder(tmp_path / "out", content.record, (), content.media)
    with pytest.raises(BodymapError, match=r"left\.jpg"):
        write_folder(tmp_path / "out", content.record, (), {})
    assert [item.name for item in tmp_path.iterdir()] == ["in"]


def test_a_written_folder_has_the_rights_of_any_new_folder(tmp_path):
    (tmp_path / "other").mkdir()
    write_folder(tmp_path / "out", read_folder(write_case(tmp_path / "in", BARE)).record)
    assert (tmp_path / "out").stat().st_mode == (tmp_path / "other").stat().st_mode


# --- the journal ---------------------------------------------------------------------------------------------------------


def with_journal(tmp_path, data):
    content = read_folder(write_case(tmp_path / "in", tank()))
    journal = data.draw(journals(content.record))
    write_folder(tmp_path / "out", content.record, journal, content.media)
    return tmp_path / "out", journal


@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_changed_journal_is_refused_with_the_way_out(tmp_path_factory, data):
    folder, journal = with_journal(tmp_path_factory.mktemp("j"), data)
    text = (folder / "journal.csv").read_bytes()
    (folder / "journal.csv").write_bytes(text.replace(b"Red oxide", b"Red oxyde"))
    with pytest.raises(Faults) as caught:
        read_folder(folder)
    (fault,) = caught.value.faults
    changed = next(entry.seq for entry in journal if entry.body.get("name") == "Red oxide")
    assert (fault.file, fault.row) == ("journal.csv", changed + 1)
    assert "content was changed" in fault.found
    assert "removing journal.csv starts a new history" in fault.allowed
    (folder / "journal.csv").unlink()
    assert read_folder(folder).journal == ()


@pytest.mark.parametrize(
    ("wrong", "row", "column"),
    [
        ("seq,at\r\n1,2\r\n", 1, ""),
        ("{header}\r\nx,a,b,w,put,zone,z,1,{{}},0,0\r\n", 2, "seq"),
        ("{header}\r\n1,a,b,w,erase,zone,z,1,{{}},0,0\r\n", 2, "act"),
        ("{header}\r\n1,a,b,w,put,zone,z,1,[1],0,0\r\n", 2, "body"),
        ('{header}\r\n1,a,b,w,put,zone,z,1,"{{""a"":1,""a"":2}}",0,0\r\n', 2, "body"),
        ("{header}\r\n1,a,b,w,put,zone,z,1,{{,0,0\r\n", 2, "body"),
        ("{header}\r\n1,a,b\r\n", 2, ""),
    ],
)
def test_a_journal_that_cannot_be_read(tmp_path, wrong, row, column):
    header = "seq,at,by,why,act,kind,ident,place,body,before,hash"
    folder = write_case(tmp_path / "in", BARE | {"journal.csv": wrong.format(header=header)})
    with pytest.raises(Faults) as caught:
        read_folder(folder)
    assert [(fault.file, fault.row, fault.column) for fault in caught.value.faults] == [("journal.csv", row, column)]


def test_the_same_entries_with_foreign_members_are_the_same(tmp_path):
    record = read_folder(write_case(tmp_path / "in", tank())).record
    named = Record.of(record.entries(), {"zones.geojson": {"note": [1, 1.0, None]}})
    write_folder(tmp_path / "out", named, (), {"left.jpg": tmp_path / "in" / "media" / "left.jpg"})
    assert repr(read_folder(tmp_path / "out").record.foreign) == repr(named.foreign)
