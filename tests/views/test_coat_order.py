"""The coat order as a screen tells it: ranks, signs, grades, disagreements with spots, what is put together."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings

from bodymap.errors import BodymapError
from bodymap.exchange.open_folder import read_folder
from bodymap.history.order import coat_order
from bodymap.history.read import read_history
from bodymap.history.sentences import sentences
from bodymap.history.set_aside import set_aside
from bodymap.model import Coat
from bodymap.views.coat_chart import coat_chart, coat_ranks, telling_zones
from bodymap.views.coat_order import coat_order_view
from bodymap.views.fitted_table import fitted_table, local_coats
from demo import VEHICLE_FOLDER
from tests.history.cases import van, vans

# A door painted off the van, shut for grey; a wing that came with its own primer.
DOORS = {"parts": "shell!, door, wing@w", "zones": "side:shell, seat:shell, skin:door, flange:wing", "covers": "seat<door",
         "coats": "p c w g",
         "stacks": {"S1": "side* p c g", "S2": "seat* p c", "S3": "skin* p c g", "S4": "flange* w g"}}  # fmt: skip


@pytest.fixture(scope="module")
def demo():
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module")
def cleared(demo):
    return coat_order_view(demo, ("S12",))


def test_ranks_are_the_longest_chains_below():
    # p under c under g is a chain of three; w lies under g alone, so it can stand beside p.
    assert coat_ranks(coat_order(van(**DOORS))) == {"p": 0, "w": 0, "c": 1, "g": 2}


@given(vans())
def test_a_coat_stands_over_all_that_lies_under_it_and_no_higher_than_it_must(record):
    order = coat_order(record)
    ranks = coat_ranks(order)
    assert set(ranks) == set(order.seen)
    circle_of = {coat: circle.coats for circle in order.circles for coat in circle.coats}
    for relation in order.observed:
        same = relation.above in circle_of.get(relation.below, ())
        assert (ranks[relation.above] == ranks[relation.below]) if same else ranks[relation.above] > ranks[relation.below]
    for coat, rank in ranks.items():
        group = circle_of.get(coat, (coat,))
        below = {ranks[one.below] for one in order.observed if one.above in group and one.below not in group}
        assert max(below, default=-1) == rank - 1


def test_the_chart_shows_every_relation_with_its_stacks_and_states_with_theirs():
    record = van(**DOORS)
    chart = coat_chart(record, read_history(record), ["seat", "flange"])
    assert chart.ordered
    assert [(row.coat_id, row.rank) for row in chart.rows] == [("p", 0), ("w", 0), ("c", 1), ("g", 2)]
    assert {(link.below, link.above): link.stacks for link in chart.links} == {
        ("p", "c"): ("S1", "S2", "S3"), ("c", "g"): ("S1", "S3"), ("w", "g"): ("S4",),
    }  # fmt: skip
    seat, flange = chart.zones
    assert seat.states == {"p": "full", "c": "full", "w": "shielded", "g": "shielded"}
    assert seat.words["g"] == "looked for, not there (S2)"
    assert flange.states == {"p": "not made", "c": "not made", "w": "full", "g": "full"}


def test_zones_that_nobody_looked_at_and_stacks_that_disagree_have_signs_of_their_own():
    record = van(parts="shell!", zones="a:shell, b:shell", coats="p c", stacks={"S1": "a* p c", "S2": "a* p"})
    a, b = coat_chart(record, read_history(record), ["a", "b"]).zones
    assert (a.states["c"], a.words["c"]) == ("disagree", "stacks disagree (S1, S2)")
    assert set(b.states.values()) == {"unknown"}


def test_the_zones_shown_at_first_cover_all_that_was_seen_on_the_demo(demo):
    history = read_history(demo)
    zones = telling_zones(demo, history)
    seen = {coat for coat, states in history.found.states.items() if any(states[z] in ("full", "mist") for z in zones)}
    assert seen == set(history.order.seen)
    assert len(zones) <= 6


def test_signs_and_grades_of_the_table():
    record = van(**DOORS)
    table = fitted_table(record, read_history(record))
    cells = {key: (cell.sign, cell.on_vehicle, cell.grade) for key, cell in table.cells.items()}
    assert cells["door", "p"] == cells["door", "c"] == ("O", "no", "proven")
    # Fitted explains the bare seat at the cost of one change; off would take tape over it.
    assert cells["door", "g"] == ("F", "yes", "likely")
    assert ("wing", "p") not in cells
    # S2 speaks against off, S3 against away.
    assert table.cells["door", "g"].words == "on the vehicle (likely); S2, S3"


def test_off_or_away_may_be_less_sure_than_not_on_the_vehicle():
    # The seat in full says the door was not on it; whether it was painted elsewhere nobody has seen.
    record = van(
        parts="shell!, door", zones="seat:shell, skin:door", covers="seat<door", coats="p", stacks={"S1": "seat* p"}
    )
    cell = fitted_table(record, read_history(record)).cells["door", "p"]
    assert (cell.sign, cell.on_vehicle, cell.grade) == ("O?", "no", "proven")
    assert "not on the vehicle: proven" in cell.words


def test_with_a_circle_there_is_a_chart_and_no_table():
    record = van(**{**DOORS, "stacks": DOORS["stacks"] | {"S9": "side g c"}})
    view, chart = coat_order_view(record), coat_chart(record, read_history(record))
    assert (view.fitted, view.told, view.looks, view.ordered) == (None, (), (), False)
    assert {row.coat_id for row in chart.rows if row.in_circle} == {"c", "g"}
    assert {(link.below, link.above) for link in chart.links if link.in_circle} == {("c", "g"), ("g", "c")}
    (circle,) = view.disagreements
    assert [spot.stack_id for spot in circle.suspects] == ["S9"]
    assert [(spot.stack_id, spot.zone_id) for spot in circle.spots] == [("S1", "side"), ("S3", "skin")]


def test_as_if_a_stack_were_set_aside_is_the_history_without_it_and_the_disagreement_stays_told():
    record = van(**{**DOORS, "stacks": DOORS["stacks"] | {"S9": "side g c"}})
    asked, never = coat_order_view(record, ("S9",)), coat_order_view(van(**DOORS))
    assert len(asked.disagreements) == 1
    assert asked.left == ()
    assert (asked.fitted, asked.told, asked.looks) == (never.fitted, never.told, never.looks)
    assert len(record.stacks) == 5


def test_only_stacks_of_the_record_are_set_aside():
    with pytest.raises(BodymapError, match=r"found Z1; allowed: S1, S2, S3, S4"):
        set_aside(van(**DOORS), ("S1", "Z1"))


def test_every_kind_of_disagreement_has_its_spots():
    # Inside a zone: S1 and S2. Unexplained: a coat in full where a part that never comes off lies over it.
    record = van(parts="shell!, lid!", zones="a:shell, b:shell", covers="b<lid", coats="p c",
                 stacks={"S1": "a* p c", "S2": "a* p", "S3": "b* p"})  # fmt: skip
    zone, unexplained = coat_order_view(record).disagreements
    assert "disagree" in zone.words
    assert [spot.stack_id for spot in zone.spots] == ["S1", "S2"]
    assert "nothing explains" in unexplained.words
    assert [(spot.zone_id, spot.stack_id) for spot in unexplained.spots] == [("b", "S3")]


@settings(max_examples=40)
@given(vans())
def test_nothing_that_is_known_is_dropped_or_told_twice(record):
    history = read_history(record)
    view = coat_order_view(record)
    told = Counter((coat, one.parts, one.zones, one.grade) for one in view.told for coat in one.coats)
    known = Counter(
        (one.coat, one.parts, one.zones, one.grade) for one in sentences(record, history) if one.parts or one.grade
    )
    assert told == known
    assert len(view.disagreements) == len(history.order.circles) + len(history.found.contradictions) + len(
        history.unexplained
    )
    looked = {look.zone for look in history.looks}
    assert {look.spot.zone_id for look in view.looks} == looked
    assert sum(look.settles for look in view.looks) == sum(len(look.settles) for look in history.looks)


def test_the_same_of_several_coats_is_told_once():
    view = coat_order_view(van(**DOORS))
    (off,) = [one for one in view.told if one.parts == ("door",) and one.grade == "proven"]
    assert off.coats == ("p", "c")
    assert off.words.startswith("At coat p (p), coat c (c): the door was off")


def test_a_coat_of_one_part_is_local_and_what_it_says_of_others_is_quiet(demo, cleared):
    local = local_coats(read_history(set_aside(demo, ("S12",))))
    assert {"t1", "g1", "c10"} <= local
    assert not {"c1", "c2", "c3", "c5", "c6", "c7", "c8"} & local
    cells = cleared.fitted.cells
    assert cells["bonnet", "t1"].quiet
    assert not cells["wing_L", "t1"].quiet
    assert all(one.local for one in cleared.told if one.taped and set(one.coats) <= local)


def test_the_three_riddles_of_the_demo_are_told_at_first_sight(cleared):
    """The demo's own invented story; no outside source."""
    shown = [one.words for one in cleared.told if not one.local and one.grade in ("proven", None)]
    assert any("left front wing was not on the vehicle before black transit primer" in words for words in shown)
    assert any("silver lacquer, body (c6)" in words and "the left front wing was off" in words for words in shown)
    assert any("high roof cap was not on the vehicle before gelcoat" in words for words in shown)
    assert any("translucent blue, cap alone" in words and "the high roof cap was off" in words for words in shown)
    (circle,) = cleared.disagreements
    assert "S12 is the only single stack" in circle.words
    assert [spot.zone_id for spot in circle.suspects] == ["jambR_rear"]
    # The caption has the van blue in 1969; the invoice has the cap, which the blue lies over, in 1971.
    assert any("Q2" in words and "Q3" in words for words in cleared.conflicts)


def test_look_alikes_are_asked_about_and_never_merged():
    record = van(parts="shell!", zones="a:shell, b:shell", coats="p q", stacks={"S1": "a* p q"})
    coats = (
        Coat(coat_id="p", name="Silver", kind="colour", looks_like=("q",)),
        Coat(coat_id="q", name="Silver", kind="colour"),
    )
    view = coat_order_view(replace(record, coats=coats))
    (question,) = view.questions
    assert question.words == "Are silver (p) and silver (q) one coat?"
    assert question.evidence
    assert {row.coat_id for row in coat_chart(replace(record, coats=coats), read_history(record)).rows} == {"p", "q"}


def test_an_empty_record_says_nothing_and_breaks_nothing():
    view = coat_order_view(van())
    assert (view.disagreements, view.told, view.looks, view.fitted) == ((), (), (), None)
    assert coat_chart(van(), read_history(van())).rows == ()
