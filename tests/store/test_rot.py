"""One changed byte in an entry or a picture, a row lost or moved, a tail cut off: found, and the thing is named."""

from __future__ import annotations

import shutil

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from bodymap.store.record_file import RecordFile
from tests.campaigns import rot
from tests.store.specimen import forge, made

MASKS = st.integers(1, 255)
few = settings(max_examples=25)


class Whole:
    """A whole record to be harmed, each time in a fresh copy."""

    def __init__(self, folder):
        self.file = made(folder)
        self.data = self.file.path.read_bytes()
        self.content = rot.content_of(self.file.path)
        self.places = rot.places_of_entries(self.data)

    def copy(self, data=None):
        path = self.file.path.with_name("copy.gpkg")
        shutil.copytree(self.file.path.with_suffix(".media"), path.with_suffix(".media"), dirs_exist_ok=True)
        path.write_bytes(self.data if data is None else data)
        return path


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    return Whole(tmp_path_factory.mktemp("rot"))


@settings(max_examples=60)
@given(share=st.floats(0, 1, exclude_max=True), mask=MASKS)
def test_a_changed_byte_where_rows_lie_is_found_and_its_entry_named(whole, share, mask):
    place = whole.places[int(share * len(whole.places))]
    found = rot.asked(whole.copy(rot.changed(whole.data, place, mask)), whole.content)
    assert found.verdict not in ("missed", "not named"), (place, found)


@settings(max_examples=60)
@given(share=st.floats(0, 1, exclude_max=True), mask=MASKS)
@example(share=0.0, mask=1)  # the file is no database any more
def test_a_changed_byte_anywhere_harms_no_entry_unseen(whole, share, mask):
    place = int(share * len(whole.data))
    found = rot.asked(whole.copy(rot.changed(whole.data, place, mask)), whole.content)
    assert found.verdict not in ("missed", "not named"), (place, found)


def test_the_places_hold_every_entry(whole):
    """Else the property above would be about too little: each hash of the journal lies at one of them."""
    places = set(whole.places)
    for entry in whole.file.journal():
        assert whole.data.find(entry.hash.encode()) in places
    assert 5_000 < len(places) < len(whole.data)


@few
@given(where=st.integers(0), mask=MASKS)
def test_a_changed_byte_of_a_picture_is_found_and_named(whole, where, mask):
    path = whole.copy()
    (lies_at,) = RecordFile(path).media_paths().values()
    content = lies_at.read_bytes()
    lies_at.write_bytes(rot.changed(content, where % len(content), mask))
    assert [finding for finding in RecordFile(path).verify() if "yard.JPG" in finding]


@few
@given(data=st.data())
def test_a_row_that_is_deleted_is_missed(whole, data):
    journal = whole.file.journal()
    entry = data.draw(st.sampled_from(journal))
    table = data.draw(st.sampled_from(["journal", f"log_{entry.kind}"]))
    path = whole.copy()
    forge(path, f"DELETE FROM {table} WHERE seq = {entry.seq}")
    assert rot.Found(frozenset({entry.seq}), RecordFile(path).verify(), opened=True).verdict == "entry named"


@few
@given(data=st.data())
def test_entries_that_change_places_are_named(whole, data):
    """Journal rows exchange all they say but their number; their contents go with them where they are of one kind."""
    journal = whole.file.journal()
    one, other = sorted(data.draw(st.lists(st.sampled_from(range(len(journal))), min_size=2, max_size=2, unique=True)))
    first, second = journal[one], journal[other]
    path = whole.copy()
    tables = ["journal", *([f"log_{first.kind}"] if first.kind == second.kind else [])]
    forge(
        path,
        *(
            f"UPDATE {table} SET seq = {new} WHERE seq = {old}"
            for table in tables
            for old, new in ((first.seq, 10_000), (second.seq, first.seq), (10_000, second.seq))
        ),
    )
    text = "\n".join(RecordFile(path).verify())
    for entry in (first, second):
        assert f"entry {entry.seq} " in text


@few
@given(left=st.integers(0, 28))
def test_a_cut_tail_is_found_against_the_head_that_was_printed(whole, left):
    journal, printed = whole.file.journal(), whole.file.head().short
    assume(left < len(journal))
    path = whole.copy()
    logs = {f"log_{entry.kind}" for entry in journal}
    forge(path, *(f"DELETE FROM {table} WHERE seq > {left}" for table in (*logs, "journal")))
    assert any(
        f"the journal was cut: {len(journal)} entries were printed, {left} are left" in finding
        for finding in RecordFile(path).verify(head=printed)
    )


def test_what_stands_beside_the_rows_of_a_file_is_part_of_the_chain(whole):
    path = whole.copy()
    forge(path, "UPDATE log_beside SET more = replace(more, '1.0', '1')")
    (finding,) = RecordFile(path).verify()
    assert "(beside zones.geojson) is not what was written" in finding


def test_the_plane_of_the_drawings_is_part_of_what_is_checked(whole):
    path = whole.copy()
    forge(path, "UPDATE gpkg_spatial_ref_sys SET definition = replace(definition, '0.001', '0.01') WHERE srs_id = 100001")
    assert RecordFile(path).verify() == (
        "the plane of the drawings is not described as it was: other programs may read another unit",
    )
