"""A backup put in the place of a record that was harmed is that record, and work goes on in it."""

from __future__ import annotations

import shutil

import pytest

from bodymap.errors import RecordError
from bodymap.store.record_file import Put, RecordFile

from .specimen import LATER, made


def test_a_backup_in_the_place_of_a_harmed_record_goes_on_as_that_record(tmp_path):
    file = made(tmp_path)
    (tmp_path / "kept").mkdir()
    file.backup(tmp_path / "kept" / "tricycle.gpkg")
    before, head = file.record(), file.head()
    file.path.write_bytes(file.path.read_bytes()[:3000])
    shutil.rmtree(tmp_path / "tricycle.media")
    with pytest.raises(RecordError):
        file.record()
    # What the README says: the copy and its pictures are put in the record's place.
    shutil.copyfile(tmp_path / "kept" / "tricycle.gpkg", file.path)
    shutil.copytree(tmp_path / "kept" / "tricycle.media", tmp_path / "tricycle.media")
    again = RecordFile(file.path)
    assert again.verify(f"{head.count}·{head.hash}") == ()
    assert (again.record(), again.head()) == (before, head)
    (entry,) = again.append(
        [Put(before.part["lid"].model_copy(update={"name": "Cover"}))], by="Ben", why="named", at=LATER, expect=head.count
    )
    assert entry.seq == head.count + 1
    assert again.verify(f"{head.count}·{head.hash}") == ()
    # The copy itself is a record as well, as it stands.
    assert RecordFile(tmp_path / "kept" / "tricycle.gpkg").verify() == ()
