"""Entries of a journal in words: what each did, which are found, what changed between two."""

from __future__ import annotations

import pytest

from bodymap.model import KINDS, Area, Reading
from bodymap.model.journal import FIRST_HASH, body_of, chained
from bodymap.views.journal_words import KIND_WORDS, NOTHING, Asked, changes_between, found, journal_words, of_same_thing
from tests.views.template_specimen import rect

WITNESS = Area(area_id="K1", drawing_id="left", purpose="keep", name="Witness", margin=50, shape=rect(0, 0, 200, 100))


def journal(*acts):
    """A journal of (entry or (kind, ident), by, at, why)."""
    entries, before = [], FIRST_HASH
    for seq, (what, by, at, why) in enumerate(acts, 1):
        put = not isinstance(what, tuple)
        kind, ident = (what.KIND, what.ident) if put else what
        body = body_of(what) if put else {}
        act = "put" if put else "withdraw"
        entries.append(chained(before, seq=seq, at=at, by=by, why=why, act=act, kind=kind, ident=ident, place=1, body=body))
        before = entries[-1].hash
    return tuple(entries)


def amended(**said):
    return WITNESS.model_copy(update=said)


LIFE = journal(
    (WITNESS, "Ann", "2026-01-02T10:00:00.000Z", "full stack"),
    (amended(margin=80.0, reason="blasting near"), "Ben", "2026-01-03T10:00:00.000Z", "wider"),
    (("area", "K1"), "Ann", "2026-01-04T10:00:00.000Z", "wrong panel"),
    (WITNESS, "Ann", "2026-01-05T10:00:00.000Z", "Undoes entry 3"),
    (Reading(reading_id="r1", zone_id="z1", um=55, principle="magnetic"), "Ben", "2026-01-05T11:00:00.000Z", ""),
)


def test_a_life_is_told_from_entry_to_withdrawal_and_back():
    told = journal_words(LIFE)
    assert [one.did for one in told] == ["entered", "amended: reason, margin", "withdrawn", "entered again", "entered"]
    assert {one.thing for one in told[:4]} == {"area K1 “Witness”"}, "named even where the entry itself says nothing more"
    assert told[4].thing == "film reading r1 “55 µm”"


def test_every_kind_of_the_record_has_its_words():
    assert set(KIND_WORDS) == set(KINDS)
    assert len(set(KIND_WORDS.values())) == len(KINDS)


@pytest.mark.parametrize(
    ("asked", "numbers"),
    [
        (Asked(), [5, 4, 3, 2, 1]),
        (Asked(by="Ben"), [5, 2]),
        (Asked(kind="reading"), [5]),
        (Asked(about="WITNESS"), [4, 3, 2, 1]),
        (Asked(about="wrong pan"), [3]),
        (Asked(since="2026-01-04"), [5, 4, 3]),
        (Asked(by="Ann", since="2026-01-04", about="k1"), [4, 3]),
        (Asked(about="nobody"), []),
    ],
)
def test_entries_are_found_newest_first(asked, numbers):
    assert [one.entry.seq for one in found(journal_words(LIFE), asked)] == numbers


def test_what_changed_between_two_entries_is_told_field_by_field():
    changes = {one.field: (one.before, one.after) for one in changes_between(LIFE[0], LIFE[1])}
    assert changes == {"reason": (NOTHING, "blasting near"), "margin": ("50", "80")}
    assert changes_between(LIFE[0], LIFE[3]) == ()
    assert {one.after for one in changes_between(LIFE[1], LIFE[2])} == {"withdrawn"}
    assert {one.field for one in changes_between(None, LIFE[0])} == {
        "area id", "drawing id", "purpose", "name", "margin", "shape"
    }  # fmt: skip


def test_a_shape_is_told_by_its_size_and_place_and_a_hidden_difference_is_not_lost():
    wider = amended(shape=rect(0, 0, 300, 100))
    turned = amended(shape=type(WITNESS.shape).model_validate(
        {"type": "Polygon", "coordinates": [[[200, 0], [200, 100], [0, 100], [0, 0], [200, 0]]]}))  # fmt: skip
    first, second, third = journal(*((one, "Ann", "2026-01-02", "") for one in (WITNESS, wider, turned)))
    (change,) = changes_between(first, second)
    assert change.field == "shape"
    # 200 × 100 mm are 200 cm²
    assert "200.0 cm²" in change.before
    assert "300.0 cm²" in change.after
    assert "x 0.0 to 300.0" in change.after
    (change,) = changes_between(first, third)
    assert change.after == f"{change.before}; drawn otherwise"


def test_figures_that_differ_in_a_late_digit_are_told_apart():
    one, two = (amended(margin=value) for value in (0.3, 0.1 + 0.2))
    first, second = journal((one, "Ann", "2026-01-02", ""), (two, "Ann", "2026-01-02", ""))
    (change,) = changes_between(first, second)
    assert change.before != change.after


def test_unknown_columns_are_fields_like_any_other():
    first, second = journal((WITNESS, "Ann", "2026-01-02", ""), (amended(more={"lamp": "raking"}), "Ann", "2026-01-02", ""))
    assert [(one.field, one.before, one.after) for one in changes_between(first, second)] == [("lamp", NOTHING, "raking")]


def test_entries_of_two_things_are_not_compared():
    assert [one.seq for one in of_same_thing(LIFE, LIFE[2])] == [1, 2, 3, 4]
    with pytest.raises(ValueError, match="of area K1 and of reading r1"):
        changes_between(LIFE[0], LIFE[4])
