"""What goes into a record file comes out the same: entries, shapes, unknown columns, and the journal with its hashes."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bodymap.errors import Faults
from bodymap.model import Head, Part, Reading, Record, Shape, Step, Vehicle
from bodymap.model.journal import body_of, broken_links, chained, head_of
from bodymap.store.blobs import decoded, encoded
from bodymap.store.record_file import Put, RecordFile, create
from bodymap.store.rows import body_from, row_of, storable
from tests.store.specimen import AT, LATER, PHOTO, made, specimen
from tests.strategies import ANY_SHAPES, FINITE, JSON_VALUES, kept_records

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


def test_the_specimen_comes_back_as_it_was(tmp_path):
    file = made(tmp_path)
    record = file.record()
    assert record == specimen()
    assert repr(record.foreign) == repr(specimen().foreign)
    assert repr(record.zone["side"].more) == repr(specimen().zone["side"].more)  # 2 and 2.0 and True stay apart
    assert record.vehicle.notes == ""
    assert record.vehicle.maker is None
    assert file.media_path("yard.JPG").read_bytes() == PHOTO
    assert file.media_path("yard.JPG").parent == tmp_path / "tricycle.media"
    assert file.verify() == ()


def test_the_journal_says_every_entry_in_order(tmp_path):
    file = made(tmp_path)
    journal, record = file.journal(), specimen()
    assert [entry.body for entry in journal] == [body_of(entry) for entry in record.entries()]
    assert [entry.seq for entry in journal] == list(range(1, len(journal) + 1))
    assert {(entry.by, entry.why, entry.at, entry.act) for entry in journal} == {("Ann", "first survey", AT, "put")}
    assert [entry.ident for entry in journal if entry.kind == "signoff"] == ["1", "2"]
    assert list(broken_links(journal)) == []
    assert file.head() == head_of(journal)
    assert file.revision() == len(journal)


@given(kept=kept_records())
@SLOW
def test_any_record_comes_back_the_same(kept):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "in").mkdir()
        media = {}
        for number, (media_name, data) in enumerate(kept.media.items()):
            media[media_name] = folder / "in" / str(number)
            media[media_name].write_bytes(data)
        path = folder / "r.gpkg"
        create(path, kept.record, by="Ann", why="", at=AT, media=media)
        file = RecordFile(path)
        assert file.record() == kept.record
        assert file.record().foreign == kept.record.foreign
        assert {item: file.media_path(item).read_bytes() for item in media} == kept.media
        journal = file.journal()
        assert [entry.body for entry in journal] == [storable(entry) for entry in kept.record.entries()]
        assert list(broken_links(journal)) == []
        assert file.verify(head=file.head().short) == ()
        again = folder / "again.gpkg"
        create(again, file.record(), by="Ben", why="", at=LATER, media=media, journal=journal)
        assert RecordFile(again).journal() == journal


@given(ANY_SHAPES)
def test_a_shape_comes_back_to_the_last_bit(shape):
    assert repr(decoded(encoded(shape))) == repr(shape)


@given(FINITE, st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), JSON_VALUES, max_size=2))
def test_numbers_and_unknown_columns_come_back_exactly(um, more):
    body = storable(Reading(reading_id="r", zone_id="z", um=um, principle="eddy", more=more))
    assert repr(body_from("reading", row_of("reading", body))) == repr(body)


@pytest.mark.parametrize(
    "blob", [b"", b"GP", b"XX\x00\x03" + bytes(40), b"GP\x00\x0b" + bytes(60), b"GP\x00\x03" + bytes(36) + b"\x01\x03"]
)
def test_bytes_that_are_no_geometry_are_refused(blob):
    with pytest.raises(ValueError, match="geometry"):
        decoded(blob)


def test_coordinates_that_are_no_numbers_are_refused():
    shape = Shape(type="LineString", coordinates=((0.0, 0.0), (1.0, 1.0)))
    blob = encoded(shape)
    with pytest.raises(ValueError, match="no numbers"):
        decoded(blob[:-8] + b"\x00\x00\x00\x00\x00\x00\xf8\x7f")


def test_a_negative_nought_is_nought_and_the_chain_holds(tmp_path):
    file = made(tmp_path)
    file.append(
        [Put(Reading(reading_id="r9", zone_id="side", um=-0.0, principle="magnetic"))], by="Ann", why="", at=AT, expect=None
    )
    (last,) = [entry for entry in file.journal() if entry.ident == "r9"]
    assert math.copysign(1, last.body["um"]) == 1
    assert file.verify() == ()


def test_what_no_file_can_hold_is_told_all_at_once(tmp_path):
    record = Record.of([Vehicle(vehicle_id="v", name="V", more={"x": float("nan")}), Step(step=2**63, action="coat")])
    with pytest.raises(Faults) as told:
        create(tmp_path / "r.gpkg", record, by="Ann", why="", at=AT)
    text = str(told.value)
    assert "9223372036854775808" in text
    assert "JSON" in text
    assert "target" in text
    assert list(tmp_path.iterdir()) == []


# --- a journal restored from an open folder ----------------------------------------------------------------------------


def test_a_restored_journal_is_the_same_and_nothing_is_added(tmp_path):
    file = made(tmp_path)
    cover = file.record().part["lid"].model_copy(update={"name": "Cover"})
    file.append([Put(cover)], by="Ben", why="", at=LATER, expect=None)
    again = made(
        tmp_path,
        file.record(),
        "again.gpkg",
        journal=file.journal(),
        by="Cy",
        at=LATER,
        media={"yard.JPG": file.media_path("yard.JPG")},
    )
    assert again.journal() == file.journal()
    assert again.head() == file.head()
    assert again.verify() == ()


def test_what_was_changed_in_the_open_folder_becomes_new_entries(tmp_path):
    file = made(tmp_path)
    record = file.record()
    signoffs, more = record.signoffs, record.signoffs[0].model_copy(update={"by": "Di"})
    edited = record.with_kind("signoff", (more, signoffs[1])).with_kind("finding", record.findings[1:])
    edited = edited.with_kind("coat", (*record.coats[::-1], record.coats[0].model_copy(update={"coat_id": "clear"})))
    again = made(
        tmp_path,
        edited,
        "again.gpkg",
        journal=file.journal(),
        by="Cy",
        at=LATER,
        media={"yard.JPG": file.media_path("yard.JPG")},
    )
    assert again.record() == edited
    count = file.revision()
    assert again.journal()[:count] == file.journal()
    added = again.journal()[count:]
    assert {(entry.by, entry.why, entry.at) for entry in added} == {("Cy", "changed in the open folder", LATER)}
    assert [(entry.act, entry.kind, entry.ident) for entry in added] == [
        ("put", "coat", "primer"),
        ("put", "coat", "clear"),
        ("withdraw", "finding", "dent"),
        ("put", "signoff", "1"),
    ]
    assert again.verify() == ()


def test_things_without_a_key_are_matched_by_what_they_say(tmp_path):
    file = made(tmp_path)
    one, two = file.record().signoffs
    new = one.model_copy(update={"by": "New"})
    for wanted, said in (
        ((new, one, two), [("put", "3"), ("put", "1"), ("put", "2")]),
        ((one, two, new), [("put", "3")]),
        ((two,), [("withdraw", "1")]),
        ((two, one), None),
    ):
        record = file.record().with_kind("signoff", wanted)
        path = tmp_path / "again.gpkg"
        again = made(tmp_path, record, path.name, journal=file.journal(), media={"yard.JPG": file.media_path("yard.JPG")})
        added = again.journal()[file.revision() :]
        assert again.record() == record
        if said is not None:
            assert [(entry.act, entry.ident) for entry in added] == said
        path.unlink()


def test_a_journal_that_does_not_hold_is_refused(tmp_path):
    file = made(tmp_path)
    journal = list(file.journal())
    for forged in ([*journal[:3], *journal[4:]], [journal[0].model_copy(update={"by": "Nobody"}), *journal[1:]]):
        with pytest.raises(Faults, match="journal"):
            made(tmp_path, file.record(), "again.gpkg", journal=forged, media={"yard.JPG": file.media_path("yard.JPG")})
    assert not (tmp_path / "again.gpkg").exists()
    assert not (tmp_path / "again.media").exists()


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"kind": "wheelbase"}, "wheelbase"),
        ({"body": {"part_id": "box", "name": "Box"}}, "no part"),
        ({"body": {"part_id": "box", "name": "Box", "substrate": "steel", "removable": 0}}, "another form"),
        ({"body": {"part_id": "lid", "name": "Box", "substrate": "steel", "removable": False}}, "another form"),
        ({"act": "withdraw"}, "withdrawal"),
        ({"by": " "}, "blank"),
        ({"at": "2026"}, "'2026'"),
        (
            {"kind": "signoff", "ident": "one", "body": {"subject": "vehicle", "what": "keep", "by": "A", "on": "2026"}},
            "form",
        ),
    ],
)
def test_a_journal_that_holds_and_says_what_this_program_does_not_is_refused(tmp_path, said, words):
    part = Part(part_id="box", name="Box", substrate="steel", removable=False)
    whole = {
        "seq": 1,
        "at": AT,
        "by": "Ann",
        "why": "",
        "act": "put",
        "kind": "part",
        "ident": "box",
        "place": 1,
        "body": body_of(part),
    }
    with pytest.raises(Faults, match=words):
        made(tmp_path, Record.of([Vehicle(vehicle_id="v", name="V"), part]), journal=[chained("0" * 64, **whole | said)])
    assert list(tmp_path.iterdir()) == []


def test_an_empty_record_has_a_head_of_its_one_entry(tmp_path):
    file = made(tmp_path, Record.of([Vehicle(vehicle_id="v", name="V")]))
    assert file.head() == Head(count=1, hash=file.journal()[0].hash)
