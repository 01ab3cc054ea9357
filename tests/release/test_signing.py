"""Signatures, overrides by name and reason, and what was entered after the release."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.model import Finding, Layer, Line, Reading, Stack
from bodymap.model.journal import FIRST_HASH, body_of, chained
from bodymap.release.blockers import BY_NAME_ONLY, CODES
from bodymap.release.checks import release_of
from bodymap.release.late import after_release
from bodymap.release.signing import is_after, override_of, released_on
from tests.release.survey import SETTINGS, cart, codes, rect, signed

# --- two signatures -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("names", "released"),
    [
        ((), False),
        (("Ann",), False),
        (("Ann", "Ann"), False),
        (("Ann", " ann "), False),
        (("Ann  Lee", "ann lee"), False),
        (("Ann", "Ben"), True),
        (("Ann", "ANN", "Ben"), True),
    ],
)
def test_a_release_needs_two_different_people(names, released):
    record = cart(*(signed("side", "release to strip", name) for name in names), without=("release to strip",))
    assert (released_on(record, "side") is not None) is released
    assert ("two-signatures" in codes(record)) is not released


def test_a_signature_counts_for_its_own_zone_only():
    for subject in ("flange", "body", "vehicle"):
        record = cart(signed(subject, "release to strip", "Ann"), signed("side", "release to strip", "Ben"),
                      without=("release to strip",))  # fmt: skip
        assert released_on(record, "side") is None


def test_a_zone_is_released_on_the_day_of_the_second_name():
    days = [("Ann", "2026-03-05"), ("ann", "2026-03-01"), ("Ben", "2026-03-09"), ("Cid", "2026-03-07")]
    record = cart(*(signed("side", "release to strip", name, on) for name, on in days), without=("release to strip",))
    assert released_on(record, "side") == "2026-03-07"
    assert released_on(record, "flange") is None


# --- overrides ----------------------------------------------------------------------------------------------------------


def test_an_override_by_code_and_reason_takes_the_blocker_away_and_stays_on_record():
    record = cart(signed("side", "override", "Eve", note="no-photo-before: lost in the fire"), without=("photo",))
    release = release_of(record, SETTINGS)["side"]
    assert release.release
    (gone,) = release.overridden
    assert (gone.blocker.code, gone.by, gone.on, gone.reason) == ("no-photo-before", "Eve", "2026-03-01", "lost in the fire")


@pytest.mark.parametrize(
    ("note", "why"),
    [
        (None, "CODES: REASON"),
        ("", "CODES: REASON"),
        ("the owner agrees", "CODES: REASON"),
        ("no-photo-before", "CODES: REASON"),
        ("no-photo-before:  ", "CODES: REASON"),
        ("photo: lost", "photo is no code"),
        ("no-photo-before, photos: lost", "photos is no code"),
    ],
)
def test_an_override_without_code_or_reason_does_not_count_and_says_why(note, why):
    release = release_of(cart(signed("side", "override", "Eve", note=note), without=("photo",)), SETTINGS)["side"]
    assert [blocker.code for blocker in release.blockers] == ["no-photo-before"]
    assert any("Eve" in told and why in told for told in release.notes)


def test_an_override_of_another_zone_or_code_does_not_count():
    other_zone = signed("flange", "override", "Eve", note="all: it is so")
    other_code = signed("side", "override", "Eve", note="faces-not-seen: it is so")
    assert codes(cart(other_zone, other_code, without=("photo",))) == ["no-photo-before"]


def test_one_note_may_name_several_codes():
    note = "No-Photo-Before, too-few-readings; line-without-offsets : surveyed by the former owner: see his book"
    record = cart(signed("side", "override", "Eve", note=note), without=("photo", "side4", "offsets"))
    release = release_of(record, SETTINGS)["side"]
    assert release.release
    assert {gone.reason for gone in release.overridden} == {"surveyed by the former owner: see his book"}


def test_all_leaves_out_the_second_signature_and_the_decision_to_keep():
    everything = signed("side", "override", "Eve", note="all: it is my cart")
    record = cart(everything, without=("photo", "s1", "s1/1", "release to strip"))
    assert codes(record) == ["two-signatures"]
    alone = signed("side", "override", "Eve", note="two-signatures: I work alone")
    assert codes(cart(everything, alone, without=("photo", "release to strip"))) == []
    assert override_of("all: why not") == (frozenset(CODES) - BY_NAME_ONLY, "why not")


@given(st.sets(st.sampled_from(CODES), min_size=1), st.sampled_from([",", ";", " ", ", ", "\n"]), st.text(min_size=1))
def test_whatever_codes_and_reason_are_given_are_read_back(named, between, reason):
    found = override_of(f"{between.join(sorted(named))}: {reason}")
    if reason.strip():
        assert found == (frozenset(named), reason.strip())
    else:
        assert isinstance(found, str)


# --- after the release --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("date", "day", "after"),
    [
        ("2026-03-03", "2026-03-02", True),
        ("2026-03-02", "2026-03-02", False),
        ("2026-03-02T23:59", "2026-03-02", False),
        ("2026-03-03T00:00Z", "2026-03-02", True),
        ("2026-04", "2026-03-02", True),
        ("2026-03", "2026-03-02", False),  # cannot tell
        ("2026", "2026-03-02", False),
        ("2027", "2026-03-02", True),
        ("2026-01-01/2026-05-01", "2026-03-02", False),  # begun before
        ("2026-03-05/2026-03-06", "2026-03-02", True),
        ("2026-04-01", "2026-03", True),
        (None, "2026-03-02", False),
    ],
)
def test_after_is_only_what_lies_wholly_after(date, day, after):
    assert is_after(date, day) is after


LATE_STACK = Stack(stack_id="s9", zone_id="side", method="window", reaches_substrate=True, date="2026-03-03")
LATE_LAYER = Layer(stack_id="s9", position=1, coat_id="red", extent="full")
LATE_READING = Reading(reading_id="r9", zone_id="side", um=90, principle="magnetic", taken="2026-03-03T09:00")


def ids(found):
    return {(one.kind, one.ident) for one in found}


def test_as_found_entries_dated_after_the_release_are_marked():
    late = after_release(cart(LATE_STACK, LATE_LAYER, LATE_READING))
    assert ids(late) == {("stack", "s9"), ("layer", "s9/1"), ("reading", "r9")}
    assert {one.zone_id for one in late} == {"side"}


def test_nothing_is_late_where_nothing_is_released():
    assert after_release(cart(LATE_STACK, LATE_LAYER, LATE_READING, without=("release to strip",))) == ()


def test_readings_of_later_phases_belong_there():
    later = [LATE_READING.model_copy(update={"reading_id": name, "phase": name}) for name in ("after strip", "red")]
    assert after_release(cart(*later)) == ()
    as_found = LATE_READING.model_copy(update={"phase": "as found"})
    assert ids(after_release(cart(as_found))) == {("reading", "r9")}


def test_a_zone_that_is_not_released_stays_open():
    elsewhere = [LATE_STACK.model_copy(update={"zone_id": "flange"}), LATE_LAYER]
    assert after_release(cart(*elsewhere)) == ()


def journal_of(entries):
    before, written = FIRST_HASH, []
    for seq, entry in enumerate(entries, 1):
        written.append(chained(before, seq=seq, at=f"2026-03-{seq % 28 + 1:02d}T08:00:00.000Z", by="x", why="y", act="put",
                               kind=entry.KIND, ident=entry.ident or str(seq), place=seq, body=body_of(entry)))  # fmt: skip
        before = written[-1].hash
    return tuple(written)


def test_the_journal_tells_what_was_written_later_under_an_earlier_date():
    backdated = LATE_STACK.model_copy(update={"date": "2026-01-01"})
    finding = Finding(finding_id="F", drawing_id="left", kind="dent", shape=rect(10, 10, 20, 20))
    aside = Finding(finding_id="G", drawing_id="left", kind="dent", shape=rect(1100, 10, 1120, 20))
    line = Line(line_id="L2", drawing_id="left", shape={"type": "LineString", "coordinates": [[5, 5], [900, 5]]})
    record = cart(backdated, LATE_LAYER, finding, aside, line)
    written = [*cart().entries(), backdated, LATE_LAYER, finding, aside, line]
    assert after_release(record) == ()
    late = after_release(record, journal_of(written))
    assert ids(late) == {("stack", "s9"), ("layer", "s9/1"), ("finding", "F"), ("line", "L2")}
    assert after_release(record, journal_of(list(record.entries()))) == ()  # all of it stood before the signatures


def test_an_old_entry_changed_after_the_release_is_marked_and_one_of_before_is_not():
    record = cart()
    changed = record.stacks[0]
    late = after_release(record, journal_of([*record.entries(), changed]))
    assert ids(late) == {("stack", "s1")}


def test_a_signature_withdrawn_since_does_not_close_the_zone():
    record = cart(without=("release to strip",))
    late = after_release(record, journal_of([*cart().entries(), record.stacks[0]]))
    assert late == ()
