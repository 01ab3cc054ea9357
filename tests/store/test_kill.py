"""Short runs of the campaigns: writers killed at random moments, several hands at one record, what they leave behind."""

from __future__ import annotations

import pytest

from bodymap.store import media
from tests.campaigns import kill, many_hands
from tests.store.specimen import made

fcntl = pytest.importorskip("fcntl", reason="SIGKILL and locks are POSIX things")


def test_killed_writers_leave_whole_records_and_all_they_told():
    kills = len(kill.JOBS)
    figures, wrong = kill.run(kills, seed=20260301)
    assert wrong == []
    assert sum(count for name, count in figures.items() if name.endswith(": kills")) == kills
    assert all(figures[f"{name}: told"] for name in kill.JOBS)  # none was killed before it had done anything


def test_four_hands_lose_nothing_and_keep_one_chain():
    outcome = many_hands.run(4, changes=20)
    assert outcome.wrong == ()
    assert outcome.figures["entries told"] > 60
    assert outcome.figures["reading"]
    assert outcome.figures["photograph"]
    assert outcome.figures["zone-renamed"]


def left_over(folder, name):
    stage = folder / name
    stage.mkdir()
    (stage / "half.gpkg").write_bytes(b"half a record")
    return stage


def test_what_a_killed_making_left_is_cleared_away_by_the_next(tmp_path):
    dead, at_work = left_over(tmp_path, ".tricycle.new-dead"), left_over(tmp_path, ".tricycle.new-live")
    begun, other = left_over(tmp_path, ".tricycle.new-begun"), left_over(tmp_path, ".van.new-dead")
    for stage in (dead, at_work, other):
        (stage / "at-work").touch()
    with (at_work / "at-work").open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        made(tmp_path)
        assert not dead.exists()
        # somebody is at work in one, has just begun another, and the third is of another record
        assert [(stage / "half.gpkg").exists() for stage in (at_work, begun, other)] == [True, True, True]
    made(tmp_path, name="tricycle-2.gpkg")
    assert at_work.exists()
    (tmp_path / "tricycle.gpkg").unlink()
    made(tmp_path)
    assert not at_work.exists()
    assert not list(tmp_path.glob(".*.new-*/at-work.new"))


def test_what_a_killed_upload_left_is_cleared_away_by_the_next_picture(tmp_path):
    file = made(tmp_path)
    folder = tmp_path / "tricycle.media"
    folder.mkdir(exist_ok=True)
    dead, live = folder / ".new-dead", folder / ".new-live"
    dead.write_bytes(b"half a picture")
    live.write_bytes(b"somebody is writing this one")
    with live.open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        item = file.add_media("one.jpg", b"a picture")
        assert [path.exists() for path in (dead, live)] == [False, True]
    assert media.name_in_folder(item) in {path.name for path in folder.iterdir()}
    file.add_media("two.jpg", b"another")
    assert not list(folder.glob(".*"))
