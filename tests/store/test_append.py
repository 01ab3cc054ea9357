"""Changes are new entries, made whole or not at all, and nobody's work is overwritten unseen."""

from __future__ import annotations

import pytest

from bodymap.errors import ConflictError, Faults, RecordError
from bodymap.model import Area, Coat, Finding, MediaFile, Part, Reading, Record, Signoff, Source, Vehicle, Zone
from bodymap.model.journal import broken_links
from bodymap.store.record_file import Put, RecordFile, Withdraw, create
from tests.store.specimen import AT, LATER, made, specimen, square


@pytest.fixture
def file(tmp_path):
    return made(tmp_path)


def say(file, *changes, by="Ben", why="looked again", expect=None):
    return file.append(changes, by=by, why=why, at=LATER, expect=expect)


def reading(ident, um=10.0, **more):
    return Reading(reading_id=ident, zone_id="side", um=um, principle="magnetic", **more)


def test_a_change_is_one_entry_and_the_old_one_stays(file):
    before = file.journal()
    lid = file.record().part["lid"]
    (entry,) = say(file, Put(lid.model_copy(update={"name": "Cover"})))
    assert file.journal() == (*before, entry)
    assert (entry.seq, entry.by, entry.why, entry.at, entry.ident) == (len(before) + 1, "Ben", "looked again", LATER, "lid")
    assert file.record().part["lid"].name == "Cover"
    assert [part.part_id for part in file.record().parts] == ["box", "lid"]
    assert file.verify() == ()


def test_new_things_come_last_and_places_can_be_given(file):
    say(file, Put(reading("a")), Put(reading("b")))
    assert [one.reading_id for one in file.record().readings] == ["r1", "r2", "a", "b"]
    say(file, Put(reading("b"), place=1), Put(reading("first"), place=0))
    assert [one.reading_id for one in file.record().readings] == ["first", "r1", "b", "r2", "a"]


def test_what_is_withdrawn_is_gone_and_can_come_back_to_its_place(file):
    first = file.record().readings[0]
    (entry,) = say(file, Withdraw("reading", "r1"))
    assert (entry.act, entry.body, entry.place) == ("withdraw", {}, 1)
    assert [one.reading_id for one in file.record().readings] == ["r2"]
    say(file, Put(first))
    assert file.record() == specimen()
    assert file.verify() == ()


def test_a_put_that_changes_nothing_writes_nothing(file):
    head = file.head()
    assert say(file, *(Put(entry) for entry in specimen().entries() if entry.KEY)) == ()
    assert file.head() == head
    more = file.record().zone["side"]
    assert len(say(file, Put(more.model_copy(update={"more": more.more | {"depth": 2.0}})))) == 1  # 2 is not 2.0


def test_things_without_a_key_are_told_by_their_number(file):
    assert file.idents("signoff") == ("1", "2")
    new = Signoff(subject="top", what="keep", by="Di", on="2026-03-03")
    (entry,) = say(file, Put(new))
    assert entry.ident == "3"
    say(file, Withdraw("signoff", "3"), Withdraw("signoff", "2"))
    one, other = say(file, Put(new), Put(new))
    assert (one.ident, other.ident) == ("4", "5")  # a number is never given twice
    say(file, Put(new.model_copy(update={"by": "Ed"}), ident="1"))
    assert file.idents("signoff") == ("1", "4", "5")
    assert file.record().signoffs[0].by == "Ed"
    with pytest.raises(Faults, match="something that is in the record"):
        say(file, Put(new, ident="2"))
    assert file.verify() == ()


def test_the_same_thing_changed_since_is_a_conflict(file):
    seen = file.revision()
    say(file, Put(reading("r1", 11.0)), by="Ann")
    head = file.head()
    for change in (Put(reading("r1", 12.0)), Withdraw("reading", "r1")):
        with pytest.raises(ConflictError, match=r"reading r1 was changed since, in entry \d+ by Ann"):
            say(file, Put(reading("r9")), change, expect=seen)
    assert file.head() == head
    assert len(say(file, Put(reading("r1", 12.0)), expect=file.revision())) == 1


def test_other_peoples_other_changes_are_no_conflict(file):
    seen = file.revision()
    say(file, Put(reading("r1", 11.0)), by="Ann")
    say(file, Put(reading("r2", 12.0)), expect=seen)
    assert [one.um for one in file.record().readings] == [11.0, 12.0]


def test_two_who_make_the_same_new_thing_meet(file):
    seen = file.revision()
    say(file, Put(reading("new", 11.0)), expect=seen)
    with pytest.raises(ConflictError):
        say(file, Put(reading("new", 12.0)), expect=seen)


def test_a_record_older_than_what_was_seen_is_told(file):
    with pytest.raises(ConflictError, match="older copy"):
        say(file, Put(reading("x")), expect=10_000)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ((Put(Reading(reading_id="x", zone_id="nowhere", um=1.0, principle="eddy")),), "nowhere"),
        ((Put(Reading(reading_id="x", zone_id="side", um=1.0, principle="eddy", phase="no_coat")),), "no_coat"),
        ((Withdraw("zone", "side"),), "side"),
        ((Withdraw("coat", "primer"),), "primer"),
        ((Withdraw("media", "yard.JPG"),), "yard.JPG"),
        ((Withdraw("vehicle", "tricycle"),), "none"),
        ((Put(Vehicle(vehicle_id="second", name="Second")),), "second"),
        ((Withdraw("zone", "none"),), "none"),
        ((Withdraw("wheelbase", "x"),), "wheelbase"),
        ((Put(Coat(coat_id="primer", name="P", kind="primer", um_low=9.0, um_high=1.0)),), "um_low"),
        (
            (
                Put(
                    Zone(
                        zone_id="x",
                        drawing_id="left",
                        part_id="box",
                        face="outer",
                        shape={"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, 0], [0, 1], [0, 0]]]},
                    )
                ),
            ),
            "cross",
        ),
        (
            (
                Put(
                    Zone(
                        zone_id="x",
                        drawing_id="left",
                        part_id="box",
                        face="outer",
                        shape={"type": "Point", "coordinates": [0, 0]},
                    )
                ),
            ),
            "a Point",
        ),
        ((Put(Source(source_id="x", kind="photo", title="X", file="gone.jpg")),), "gone.jpg"),
        ((Put(MediaFile(name="gone.jpg", sha256="0" * 64, size_bytes=1)),), "gone.jpg"),
    ],
)
def test_what_would_not_hold_together_is_refused_whole(file, changes, words):
    head, record = file.head(), file.record()
    with pytest.raises(Faults, match=words) as told:
        say(file, Put(reading("good")), *changes)
    assert all(fault.allowed for fault in told.value.faults)
    assert file.head() == head
    assert file.record() == record


def test_all_that_is_wrong_is_told_at_once(file):
    with pytest.raises(Faults) as told:
        say(
            file,
            Put(reading("x", spot="1").model_copy(update={"zone_id": "no1"})),
            Put(Finding(finding_id="y", drawing_id="no2", kind="dent")),
        )
    assert {"no1", "no2"} <= {fault.found.strip("'") for fault in told.value.faults}


def test_a_thing_and_what_refers_to_it_can_go_and_come_together(file):
    say(
        file,
        Put(Reading(reading_id="x", zone_id="new", um=1.0, principle="eddy")),
        Put(Zone(zone_id="new", drawing_id="left", part_id="new", face="outer", shape=square(50, 50, 5))),
        Put(Part(part_id="new", name="New", substrate="steel", removable=True)),
    )
    say(file, Withdraw("part", "new"), Withdraw("zone", "new"), Withdraw("reading", "x"))
    assert file.record() == specimen()


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"by": " \t"}, "by"),
        ({"at": "yesterday"}, "at"),
        ({"at": "2026-03-01T10:15:00+01:00"}, "at"),
        ({"at": "2026-02-30T10:15:00.000Z"}, "at"),
        ({"at": "2026-03-01T10:15:00.123456Z"}, "at"),
        ({"by": "a\x00"}, "by"),
        ({"why": "\ud800"}, "why"),
    ],
)
def test_a_change_says_who_and_when(file, said, words):
    with pytest.raises(Faults, match=f"journal, {words}"):
        file.append([Put(reading("x"))], **{"by": "Ann", "why": "", "at": LATER, "expect": None} | said)
    assert file.revision() == len(file.journal())


def test_a_place_no_file_can_hold_is_told(file):
    with pytest.raises(RecordError, match="63 bits"):
        say(file, Put(reading("x"), place=2**70))


def test_media_are_laid_beside_the_record_and_put(file, tmp_path):
    item = file.add_media("dent near lid.PNG", b"picture")
    with pytest.raises(RecordError, match="dent near lid"):
        file.media_path("dent near lid.PNG")
    say(file, Put(item), Put(Source(source_id="dent", kind="photo", title="Dent", file=item.name, sha256=item.sha256)))
    assert file.media_path("dent near lid.PNG").read_bytes() == b"picture"
    assert file.media_path("dent near lid.PNG").name == f"{item.sha256}.png"
    assert file.verify() == ()
    with pytest.raises(Faults, match="plain file name"):
        file.add_media("../up.png", b"x")
    assert not (tmp_path / "up.png").exists()


def test_the_chain_holds_over_many_changes(file):
    for number in range(20):
        say(file, Put(reading("r1", float(number + 1))), Put(reading(f"n{number}")))
        say(file, Withdraw("reading", f"n{number}"))
    assert list(broken_links(file.journal())) == []
    assert file.verify(head=file.head().short) == ()


@pytest.mark.parametrize(("name", "words"), [("r.sqlite", r"\.gpkg"), ("r", r"\.gpkg"), ("no/r.gpkg", "no folder")])
def test_a_record_is_made_only_where_it_belongs(tmp_path, name, words):
    with pytest.raises(RecordError, match=words):
        create(tmp_path / name, specimen(), by="Ann", why="", at=AT)
    assert list(tmp_path.iterdir()) == []


def test_a_record_is_never_made_over_another(file):
    before = file.path.read_bytes()
    with pytest.raises(RecordError, match="there already"):
        create(file.path, [Vehicle(vehicle_id="v", name="V")], by="Ann", why="", at=AT)
    assert file.path.read_bytes() == before


def test_a_record_that_does_not_hold_together_is_not_made(tmp_path):
    with pytest.raises(Faults) as told:
        create(tmp_path / "r.gpkg", specimen().with_kind("coat", ()), by="Ann", why="", at=AT)
    assert {"primer", "yard.JPG"} <= {
        word for fault in told.value.faults for word in ("primer", "yard.JPG") if word in str(fault)
    }
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(Faults, match="one vehicle"):
        create(
            tmp_path / "r.gpkg",
            [Area(area_id="a", drawing_id="d", purpose="keep", shape=square(0, 0, 1))],
            by="Ann",
            why="",
            at=AT,
        )


def test_a_media_file_that_is_another_than_recorded_is_not_taken(tmp_path):
    other = tmp_path / "other"
    other.write_bytes(b"other")
    with pytest.raises(Faults, match="another content"):
        create(tmp_path / "r.gpkg", specimen(), by="Ann", why="", at=AT, media={"yard.JPG": other})
    assert list(tmp_path.iterdir()) == [other]


def test_names_with_signs_that_mean_something_to_sqlite_work(tmp_path):
    record = Record.of([Vehicle(vehicle_id="v", name="V")])
    for name in ("50% done?.gpkg", "a#b.gpkg", "file:memory.gpkg", "ö ä.gpkg"):
        create(tmp_path / name, record, by="Ann", why="", at=AT)
        assert RecordFile(tmp_path / name).record() == record
