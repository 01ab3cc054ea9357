"""Each change is one more entry; undo is one more still, and never runs over somebody else's work."""

from __future__ import annotations

import pytest

from bodymap.errors import BodymapError, ConflictError
from bodymap.model import Area
from bodymap.store.record_file import Put, RecordFile
from dashboard import actions, loaders

from .small import rectangle, small_record


def area(area_id: str = "K2", name: str = "Chalk mark") -> Area:
    return Area(
        area_id=area_id,
        drawing_id="left",
        purpose="keep",
        name=name,
        reason="stage cue",
        edge="hard",
        origin="original",
        shape=rectangle(100, 100, 200, 200),
    )


def save(one: Area, by: str = "Ann", seen: int | None = None):
    now = loaders.opened()
    return actions.save_area(now, one, by=by, why=one.reason, seen=now.revision if seen is None else seen)


def test_a_saved_area_is_one_entry_with_who_and_why(record_path):
    before = RecordFile(record_path).head().count
    entry = save(area())
    assert (entry.seq, entry.by, entry.why, entry.act, entry.ident) == (before + 1, "Ann", "stage cue", "put", "K2")
    assert RecordFile(record_path).record().area["K2"].shape == area().shape
    assert RecordFile(record_path).verify() == ()


def test_saving_what_stands_already_is_told(record_path):
    save(area())
    with pytest.raises(BodymapError, match="nothing was changed"):
        save(area())


def test_two_windows_marking_the_same_new_id_conflict(record_path):
    seen = loaders.opened().revision
    save(area(name="mine"), seen=seen)
    with pytest.raises(ConflictError, match="Ann"):
        save(area(name="theirs"), by="Ben", seen=seen)
    assert RecordFile(record_path).record().area["K2"].name == "mine"


def test_two_windows_marking_different_areas_do_not_conflict(record_path):
    seen = loaders.opened().revision
    save(area("K2"), seen=seen)
    save(area("K3"), by="Ben", seen=seen)
    assert {"K2", "K3"} <= set(RecordFile(record_path).record().area)


def test_undo_of_a_new_area_takes_it_away_and_keeps_every_entry(record_path):
    saved = save(area())
    now = loaders.opened()
    undone = actions.undo(now, actions.last_own_change(now.journal, "Ann", {"area"}), by="Ann")
    assert [entry.seq for entry in undone] == [saved.seq + 1]
    assert "K2" not in RecordFile(record_path).record().area
    assert [entry.seq for entry in RecordFile(record_path).journal()] == list(range(1, undone[-1].seq + 1))


def test_undo_of_an_amendment_puts_the_former_state_back(record_path):
    former = RecordFile(record_path).record().area["K1"]
    save(former.model_copy(update={"reason": "another"}))
    now = loaders.opened()
    actions.undo(now, actions.last_own_change(now.journal, "Ann", {"area"}), by="Ann")
    assert RecordFile(record_path).record().area["K1"] == former


def test_undo_of_a_withdrawal_brings_it_back(record_path):
    former = RecordFile(record_path).record().area["K1"]
    now = loaders.opened()
    actions.withdraw_area(now, "K1", by="Ann", why="wrong place", seen=now.revision)
    assert not RecordFile(record_path).record().areas
    now = loaders.opened()
    actions.undo(now, actions.last_own_change(now.journal, "Ann", {"area"}), by="Ann")
    assert RecordFile(record_path).record().areas == (former,)


def test_undo_goes_back_step_by_step_and_then_stops(record_path):
    before = RecordFile(record_path).record().areas
    save(area(name="one"))
    save(area(name="two"))
    names = []
    while change := actions.last_own_change((now := loaders.opened()).journal, "Ann", {"area"}):
        actions.undo(now, change, by="Ann")
        held = RecordFile(record_path).record().area.get("K2")
        names.append(held.name if held else None)
    assert names == ["one", None]
    assert RecordFile(record_path).record().areas == before


def test_a_save_of_many_things_is_undone_whole(record_path):
    now = loaders.opened()
    stack = now.record.stacks[0].model_copy(update={"note": "seen again"})
    actions.save(now, [Put(stack), Put(area()), Put(area("K3"))], by="Ann", why="a round", seen=now.revision)
    now = loaders.opened()
    kinds = {"area", "stack"}
    assert actions.last_own_change(now.journal, "Ann", {"area"}) == ()  # it is not of areas alone
    changes = actions.last_own_change(now.journal, "Ann", kinds)
    assert [entry.ident for entry in changes] == [stack.stack_id, "K2", "K3"]
    actions.undo(now, changes, by="Ann")
    after = loaders.opened()
    assert (after.record.areas, after.record.stacks) == (small_record().areas, small_record().stacks)
    assert actions.last_own_change(after.journal, "Ann", kinds) == ()


def test_undo_never_touches_what_somebody_else_did(record_path):
    save(area(name="mine"))
    save(area(name="theirs"), by="Ben")
    now = loaders.opened()
    with pytest.raises(BodymapError, match="by Ben"):
        actions.undo(now, actions.last_own_change(now.journal, "Ann", {"area"}), by="Ann")
    assert RecordFile(record_path).record().area["K2"].name == "theirs"


def test_an_id_that_was_withdrawn_is_not_given_again(record_path):
    save(area())
    now = loaders.opened()
    actions.withdraw_area(now, "K2", by="Ann", why="twice", seen=now.revision)
    assert actions.new_area_id(loaders.opened(), "keep") == "K3"
    assert actions.new_area_id(loaders.opened(), "mask") == "M1"


def test_a_folder_is_shown_and_not_changed(tmp_path, monkeypatch):
    import sys

    from bodymap.exchange.open_folder import write_folder

    from .small import small_record

    write_folder(tmp_path / "van", small_record(), (), {})
    monkeypatch.setattr(sys, "argv", ["app.py", str(tmp_path / "van")])
    now = loaders.opened()
    assert now.record == small_record()
    with pytest.raises(BodymapError, match="shown and not changed"):
        actions.save_area(now, area(), by="Ann", why="x", seen=now.revision)
