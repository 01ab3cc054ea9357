"""Long work beside the page: how far it is, one piece for all who wait for it, stopped by hand or where nobody waits."""

from __future__ import annotations

import threading
import time

import pytest
from streamlit.testing.v1 import AppTest

from bodymap.errors import BodymapError
from bodymap.progress import silent
from dashboard import jobs
from dashboard.loaders import once

from .running import words

_PATIENCE_S = 20
GO = threading.Event()
RUNS: list[str] = []


@once(4)
def slow(now, what, _step=silent):
    """Ends when it may go, and tells what it was asked each time that it was really run."""
    RUNS.append(what)
    if what == "broken":
        raise BodymapError("it *cannot* be made")
    share = 0.0
    while not GO.is_set():
        share = min(1.0, share + 0.01)
        _step("Counting <b>rivets</b>", share)
        time.sleep(0.01)
    return f"{what} of {now.record.vehicle.vehicle_id}"


def script(what):
    import streamlit as st

    from dashboard import loaders
    from dashboard.components import long_work
    from tests.dashboard.test_long_work import slow

    st.write(f"Made: {long_work.result(slow, loaders.opened(), what)}")


@pytest.fixture(autouse=True)
def afresh():
    slow.clear()
    RUNS.clear()
    GO.clear()
    yield
    GO.set()


def screen(what):
    return AppTest.from_function(script, args=(what,), default_timeout=_PATIENCE_S)


def later(act, after_s=0.7):
    timer = threading.Timer(after_s, act)
    timer.start()
    return timer


def stop_all():
    for key in list(jobs._JOBS):
        jobs.stop(key, for_all=True)


def test_what_is_ready_at_once_is_shown_without_a_bar(record_path):
    GO.set()
    at = screen("lid").run()
    assert "Made: lid of v1" in words(at)
    assert not [button.label for button in at.button]
    at.run()
    assert RUNS == ["lid"], "it is kept: nothing is done twice"


def test_what_takes_longer_is_waited_for_and_shown(record_path):
    later(GO.set)
    at = screen("door").run()
    assert "Made: door of v1" in words(at)
    assert not at.exception
    assert RUNS == ["door"]


def test_it_is_stopped_nothing_is_kept_and_it_can_be_begun_again(record_path):
    later(stop_all)
    at = screen("wing").run()
    assert [info.value for info in at.info] == ["Stopped; nothing was written."]
    assert "Made: None" in words(at)
    at.run()
    assert RUNS == ["wing"], "it stays stopped until it is asked for"
    GO.set()
    at.button(key="again_slow").click().run()
    assert "Made: wing of v1" in words(at)
    assert RUNS == ["wing", "wing"]
    assert not at.info


def test_what_it_raises_is_raised_where_it_is_waited_for(record_path):
    at = screen("broken").run()
    assert [error.message for error in at.exception] == ["it *cannot* be made"]


def test_two_who_ask_for_the_same_wait_for_one_piece_of_work():
    done = []

    def work(step):
        done.append("begun")
        GO.wait(_PATIENCE_S)
        step("Done", 1.0)
        return "made"

    first, second = jobs.begin("same", work), jobs.begin("same", work)
    other = jobs.begin("other", work)
    assert first is second
    assert other is not first
    GO.set()
    assert first.wait(_PATIENCE_S)
    assert other.wait(_PATIENCE_S)
    assert (first.result, done) == ("made", ["begun", "begun"])
    assert (first.words, first.share) == ("Done", 1.0)


def endless(step):
    for _ in range(_PATIENCE_S * 100):
        step("Going on", 0.5)
        time.sleep(0.01)


def test_work_that_nobody_waits_for_any_more_ends_by_itself(monkeypatch):
    job = jobs.begin("left alone", endless)
    assert not job.wait(0.05)
    monkeypatch.setattr(jobs, "PATIENCE_S", 0.0)
    assert job.done.wait(_PATIENCE_S)
    assert job.stopped


def test_stopped_work_is_begun_anew_though_it_has_not_ended_yet():
    first = jobs.begin("anew", lambda _: GO.wait(_PATIENCE_S))
    jobs.stop("anew")
    second = jobs.begin("anew", lambda _: "made")
    assert second is not first
    assert second.wait(_PATIENCE_S)
    assert second.result == "made"
    jobs.stop("nobody does this")


def test_one_window_does_not_stop_what_another_waits_for():
    asked = threading.Event()

    def work(step):
        while not GO.is_set():
            step("Counting", 0.5)
            asked.set()
            time.sleep(0.01)
        return "done"

    job = jobs.begin("key", work)
    assert asked.wait(_PATIENCE_S)
    # A page is drawn anew in a thread of its own before the one before has left off: who presses Stop still waits then.
    with jobs.waiting(job, "mine"):
        with jobs.waiting(job, "other"):
            jobs.stop("key", "mine")
            assert not job.wait(0.2), "the other window waits for it"
        jobs.stop("key", "mine")
        assert job.wait(_PATIENCE_S)
    assert job.stopped
