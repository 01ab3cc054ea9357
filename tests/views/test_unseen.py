"""What was not seen: no face is forgotten, a blank is never taken as none, and what settles most comes first."""

from __future__ import annotations

from bodymap.geometry.areas import areas_of
from bodymap.history.look_next import Look
from bodymap.model import Reading, Source, Stack
from bodymap.views.unseen import unseen_faces
from tests.dashboard.small import small_record


def faces(record, looks=()):
    return unseen_faces(record, areas_of(record), looks)


def lacks(record) -> dict[str, set[str]]:
    return {face.zone_id: set(face.lacks) for face in faces(record)}


def test_each_face_says_what_it_lacks_and_one_that_lacks_nothing_is_left_out():
    # side_out has a stack to the steel, a photo and usable readings; the others have nothing.
    assert lacks(small_record()) == {zone: {"look", "photo", "reading"} for zone in ("door_out", "side_low", "flange")}


def test_a_stack_that_stops_short_a_refused_reading_and_a_paper_are_not_enough():
    record = small_record()
    record = record.with_kind(
        "stack", [*record.stacks, Stack(stack_id="s2", zone_id="side_low", method="chip", reaches_substrate=False)]
    )
    eddy = Reading(reading_id="r9", zone_id="side_low", um=60, principle="eddy")
    record = record.with_kind("reading", [*record.readings, eddy])
    paper = Source(source_id="p9", kind="document", title="An invoice", about=("side_low",))
    record = record.with_kind("source", [*record.sources, paper])
    assert lacks(record)["side_low"] == {"substrate", "photo", "reading"}


def test_what_settles_most_comes_first_then_the_hidden_then_the_great():
    record = small_record()
    assert [face.zone_id for face in faces(record)] == ["flange", "door_out", "side_low"]
    looks = [
        Look("side_low", "c1", ("door off at c1", "door on the vehicle at c1"), ()),
        Look("side_low", "c2", ("door off at c1", "door off at c2"), ()),
        Look("door_out", "c1", ("door off at c1",), ()),
    ]
    found = faces(record, looks)
    assert [(face.zone_id, face.settles) for face in found] == [("side_low", 3), ("door_out", 1), ("flange", 0)]
    assert [face.hidden for face in found] == [False, False, True]
