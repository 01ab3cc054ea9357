"""The history on cases worked out on paper, and what must hold whatever was seen."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from bodymap.history import explain
from bodymap.history.circles import circle_removals
from bodymap.history.read import read_history
from bodymap.history.report import history_json
from bodymap.history.states import states_of
from bodymap.model import Layer, Stack
from tests.history.cases import COATS, van, vans
from tests.history.twin import twin

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
DOOR = {"parts": "shell!, door", "zones": "seat:shell, skin:door", "covers": "seat<door", "coats": "a b"}


def door_at(coat, stacks, **more):
    return history_json(van(**{**DOOR, "stacks": stacks, **more}))["parts"][coat]["door"]


# --- states ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("stack", "expected"), [
    ("seat* a b", {"a": "full", "b": "full"}),
    ("seat* b", {"a": "shielded", "b": "full"}),
    ("seat b", {"a": "unknown", "b": "full"}),
    ("seat a:none b", {"a": "shielded", "b": "full"}),
    ("seat a", {"a": "full", "b": "shielded"}),
    ("seat* a:mist", {"a": "mist", "b": "shielded"}),
    ("seat* b!", {"a": "cut back", "b": "full"}),
    ("seat* a!", {"a": "full", "b": "shielded"}),
    ("seat", {"a": "unknown", "b": "unknown"}),
    ("seat*", {"a": "shielded", "b": "shielded"}),
])  # fmt: skip
def test_state_of_a_zone_by_one_stack(stack, expected):
    record = van(**{**DOOR, "stacks": {"S1": stack, "S2": "skin a b"}})
    assert {coat: zones["seat"] for coat, zones in states_of(record).items()} == expected


def test_a_part_that_came_midway_has_no_state_before_and_hides_nothing():
    report = history_json(van(**{**DOOR, "parts": "shell!, door@b", "stacks": {"S1": "seat* a", "S2": "skin* b"}}))
    assert report["states"]["a"]["skin"] == "not made"
    assert report["parts"]["a"] == {}
    assert report["parts"]["b"]["door"]["values"] == ["fitted"]
    assert report["cost"] == 0  # it came fitted: no change of state, nothing taped


def test_a_coat_on_a_part_that_came_later_is_not_explained():
    report = history_json(van(**{**DOOR, "parts": "shell!, door@b", "stacks": {"S1": "skin* a b"}}))
    (found,) = report["contradictions"]
    assert (found["kind"], found["coat"], found["zones"], found["stacks"]) == ("unexplained", "a", ["skin"], ["S1"])


def test_a_first_coat_that_no_stack_shows_is_told_and_counts_for_nothing():
    history = read_history(van(**{**DOOR, "parts": "shell!, door@b", "stacks": {"S1": "skin* a"}}))
    assert history.order.unseen == ("b",)
    assert history.explanation.scene.moving == {"a": ("door",)}
    assert "door" in history.notes[0]


def test_stacks_of_one_zone_that_disagree_are_a_contradiction_and_the_state_is_unknown():
    report = history_json(van(**{**DOOR, "stacks": {"S1": "seat* a b", "S2": "seat* b", "S3": "seat b"}}))
    (found,) = report["contradictions"]
    assert (found["kind"], found["zone"], found["coat"], found["stacks"]) == ("zone", "seat", "a", ["S1", "S2"])
    assert report["states"]["a"]["seat"] == "unknown"
    assert report["states"]["b"]["seat"] == "full"


@pytest.mark.parametrize("other", ["seat b", "seat* b!", "seat"])
def test_a_stack_that_says_nothing_of_a_coat_contradicts_nobody(other):
    """Not looked at, or cut back since: both leave it open whether the coat was there."""
    report = history_json(van(**{**DOOR, "stacks": {"S1": "seat* a b", "S2": other}}))
    assert report["contradictions"] == []
    assert report["states"]["a"]["seat"] == "full"


# --- explanation, worked out by the costs 4 taped, 3 away, 1 change ----------------------------------------------------


def test_a_full_seat_proves_the_part_not_on_the_vehicle():
    fact = door_at("a", {"S1": "seat* a"})
    assert (fact["values"], fact["grade"]) == (["off"], "likely")
    assert (fact["on_vehicle"], fact["on_vehicle_grade"]) == ("no", "proven")


def test_a_full_seat_and_a_full_skin_prove_it_off():
    fact = door_at("a", {"S1": "seat* a", "S2": "skin* a"})
    assert (fact["values"], fact["grade"], fact["evidence"]) == (["off"], "proven", ["S1", "S2"])


def test_a_bare_seat_makes_the_part_likely_on_the_vehicle_and_names_what_else():
    record = van(**{**DOOR, "stacks": {"S1": "seat*", "S2": "skin* a"}})
    report = history_json(record)
    fact = report["parts"]["a"]["door"]
    assert (fact["values"], fact["grade"], fact["on_vehicle_grade"]) == (["fitted"], "likely", "likely")
    assert fact["alternative"] == "off, painted apart with tape over seat"
    assert report["cost"] == 0
    assert any("the door was on the vehicle (likely: S1 on seat; S2 on skin)" in text for text in report["sentences"])


def test_a_part_taken_off_for_one_coat_costs_its_changes():
    report = history_json(van(**{**DOOR, "coats": "a b c", "stacks": {"S1": "seat* b", "S2": "skin* a b c"}}))
    assert [report["parts"][coat]["door"]["values"] for coat in "abc"] == [["fitted"], ["off"], ["fitted"]]
    assert report["cost"] == 2


def test_a_bare_part_was_away_or_its_zone_taped_by_which_is_cheaper():
    """One bare zone: away costs 3, tape 4. With a change before and after, away costs 5, and tape is cheaper."""
    alone = history_json(van(parts="door", zones="skin:door", coats="a", stacks={"S1": "skin*"}))
    assert alone["cost"] == 0  # no coat was seen at all
    once = van(parts="shell!, door", zones="skin:door, body:shell", coats="a", stacks={"S1": "skin*", "S2": "body* a"})
    assert history_json(once)["parts"]["a"]["door"]["values"] == ["away"]
    assert history_json(once)["cost"] == 3
    between = van(parts="shell!, door", zones="skin:door, body:shell", coats="a b c",
                  stacks={"S1": "skin* a c", "S2": "body* a b c"})  # fmt: skip
    report = history_json(between)
    assert report["cost"] == 4
    assert report["taped"] == {"a": {}, "b": {"skin": "likely"}, "c": {}}
    assert report["parts"]["b"]["door"]["values"] == ["fitted", "off"]
    assert "At coat b (b): skin was taped (likely: S1); else the door was away, not painted." in report["sentences"]


def test_mist_comes_through_a_gap_or_under_tape():
    shut = van(**{**DOOR, "stacks": {"S1": "seat* a:mist", "S2": "skin a"}})
    assert history_json(shut)["taped"]["a"] == {"seat": "proven"}
    gap = van(**{**DOOR, "covers": "seat<door~", "stacks": {"S1": "seat* a:mist", "S2": "skin a"}})
    report = history_json(gap)
    assert report["taped"]["a"] == {}
    assert report["parts"]["a"]["door"]["values"] == ["fitted"]
    assert report["cost"] == 0


def test_bare_body_that_nothing_hides_was_taped():
    report = history_json(van(zones="x:shell, y:shell", coats="a", stacks={"S1": "x*", "S2": "y* a"}))
    assert (report["cost"], report["taped"]) == (4, {"a": {"x": "proven"}})


def test_what_is_always_hidden_cannot_have_been_painted_in_full():
    body = {"parts": "shell!, floor!", "zones": "x:shell, y:shell", "covers": "x<floor"}
    record = van(**body, coats="a", stacks={"S1": "x* a", "S2": "y"})
    report = history_json(record)
    (found,) = report["contradictions"]
    assert (found["kind"], found["coat"], found["zones"], found["stacks"]) == ("unexplained", "a", ["x"], ["S1"])
    assert report["cost"] == 0
    assert any("always hidden by floor" in text for text in report["sentences"])


def test_a_look_at_the_unseen_seat_would_settle_whether_the_part_was_on():
    report = history_json(van(**{**DOOR, "zones": "seat:shell, skin:door", "coats": "a", "stacks": {"S1": "skin* a"}}))
    (look,) = report["look_next"]
    assert (look["zone"], look["coat"]) == ("seat", "a")
    assert look["settles"] == ["door on the vehicle at a", "door fitted or off at a"]
    assert look["why"] == (
        "Seat at coat a (a) tells of the door (seen in full: off, painted apart; not there: on the vehicle), "
        "unless it was taped"
    )
    assert report["parts"]["a"]["door"]["look_at"] == "seat"


# --- circles -----------------------------------------------------------------------------------------------------------

CIRCLE = {"S1": "x* a b c", "S2": "x a c", "S3": "y c a", "S4": "y* a b c"}


def test_a_circle_is_told_with_its_stacks_and_what_needs_the_order_is_left_out():
    record = van(zones="x:shell, y:shell, z:shell", coats="a b c", stacks=CIRCLE)
    report = history_json(record)
    (circle,) = report["contradictions"]
    assert circle["coats"] == ["a", "b", "c"]
    assert {"below": "c", "above": "a", "stacks": ["S3"]} in circle["relations"]
    assert not {"order", "cost", "parts", "taped", "look_next"} & set(report)
    assert report["states"]["a"] == {"x": "full", "y": "full", "z": "unknown"}
    assert report["circle_removals"] == [["S3"]]
    assert any(text.startswith("S3 is the only single stack") for text in report["sentences"])


def test_without_an_order_absence_is_told_only_where_no_order_could_change_it():
    record = van(zones="x:shell, y:shell, z:shell", coats="a b c d", stacks={**CIRCLE, "S5": "z* b d", "S6": "y c d"})
    found = states_of(record)
    assert found["a"]["z"] == "shielded"  # seen down to the substrate
    assert found["d"]["x"] == "shielded"
    flagged = van(zones="x:shell, y:shell, z:shell", coats="a b c d", stacks={**CIRCLE, "S5": "z* b! d", "S6": "y c d"})
    assert states_of(flagged)["a"]["z"] == "unknown"  # cut back before b, if a is earlier


def test_two_circles_need_two_stacks():
    stacks = {"S1": "x a b", "S2": "x b a", "S3": "x c d", "S4": "x d c", "S5": "x c d"}
    assert circle_removals(van(zones="x:shell", coats="a b c d", stacks=stacks)) == (("S1", "S4"), ("S2", "S4"))


def test_more_suspects_than_can_be_tried_are_not_listed():
    stacks = {f"S{n}": "x a b" if n % 2 else "x b a" for n in range(20)}
    assert circle_removals(van(zones="x:shell", coats="a b", stacks=stacks)) == ()
    assert len(circle_removals(van(zones="x:shell", coats="a b", stacks=stacks), most=10)) == 2


def test_a_coat_over_itself_is_a_circle_of_one():
    report = history_json(van(zones="x:shell", coats="a", stacks={"S1": "x a a"}))
    assert report["contradictions"][0]["coats"] == ["a"]


# --- little to go by ---------------------------------------------------------------------------------------------------


def test_a_record_without_stacks_says_nothing():
    report = history_json(van(**DOOR))
    assert report == {
        "order": [], "unseen_coats": ["a", "b"], "unordered": [], "relations": [], "contradictions": [], "states": {},
        "cost": 0, "parts": {}, "taped": {}, "look_next": [], "sentences": [],
        "dates": {"bounds": {}, "conflicts": [], "no_bound": []}, "look_alikes": [],
    }  # fmt: skip


def test_look_alikes_are_two_coats_and_stay_unordered():
    record = van(zones="x:shell, y:shell", coats="a b", stacks={"S1": "x* a", "S2": "y* b"})
    alike = replace(record, coats=tuple(coat.model_copy(update={"looks_like": other}) for coat, other in
                                        zip(record.coats, (("b",), ("a",)), strict=True)))  # fmt: skip
    told = history_json(alike)
    assert [one["coats"] for one in told.pop("look_alikes")] == [["a", "b"]]  # a question, and nothing else is different
    assert history_json(record) == told | {"look_alikes": []}
    assert told["unordered"] == [["a", "b"]]


# --- whatever was seen -------------------------------------------------------------------------------------------------


@SLOW
@given(vans(), st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing(record, chance):
    def mixed(rows):
        return tuple(chance.sample(rows, len(rows)))

    other = replace(record, parts=mixed(record.parts), zones=mixed(record.zones), covers=mixed(record.covers),
                    stacks=mixed(record.stacks), layers=mixed(record.layers))  # fmt: skip
    assert history_json(other) == history_json(record)


@SLOW
@given(vans(circles=False))
def test_the_order_of_the_coats_only_breaks_ties(record):
    turned = replace(record, coats=record.coats[::-1])
    report, other = history_json(record), history_json(turned)
    assert {frozenset(pair) for pair in report["unordered"]} == {frozenset(pair) for pair in other["unordered"]}
    if not report["unordered"]:
        assert other["order"] == report["order"]
        assert other["parts"] == report["parts"]


@SLOW
@given(vans())
def test_a_zone_nobody_looked_at_is_never_bare_and_bears_on_nothing(record):
    seen = {stack.zone_id for stack in record.stacks}
    report = history_json(record)
    for zones in report["states"].values():
        assert all(zones[zone.zone_id] in ("unknown", "not made") for zone in record.zones if zone.zone_id not in seen)
    fewer = history_json(replace(record, zones=tuple(zone for zone in record.zones if zone.zone_id in seen)))
    assert fewer.get("cost") == report.get("cost")
    for coat, parts in report.get("parts", {}).items():
        for part, fact in parts.items():
            assert {key: fact[key] for key in ("values", "grade", "on_vehicle_grade")} == {
                key: fewer["parts"][coat][part][key] for key in ("values", "grade", "on_vehicle_grade")
            }


@st.composite
def vans_and_one_more_stack(draw):
    record = draw(vans(circles=False, stacks_most=4))
    zone = draw(st.sampled_from(record.zones)).zone_id
    seen = sorted(draw(st.lists(st.sampled_from(COATS[: len(record.coats)]), unique=True, max_size=3)))
    stack = Stack(stack_id="X", zone_id=zone, method="window", reaches_substrate=draw(st.booleans()))
    layers = tuple(
        Layer(stack_id="X", position=place, coat_id=coat, extent=draw(st.sampled_from(["full", "mist"])))
        for place, coat in enumerate(seen, 1)
    )
    return record, replace(record, stacks=(*record.stacks, stack), layers=(*record.layers, *layers))


@SLOW
@given(vans_and_one_more_stack())
def test_a_stack_that_agrees_never_makes_a_proven_fact_doubtful(records):
    before, after = map(history_json, records)
    assume(before["order"] == after["order"] and before["contradictions"] == after["contradictions"])
    for coat, parts in before["parts"].items():
        for part, fact in parts.items():
            if fact["grade"] == "proven":
                assert after["parts"][coat][part]["values"] == fact["values"]
                assert after["parts"][coat][part]["grade"] == "proven"
            if fact["on_vehicle_grade"] == "proven":
                assert after["parts"][coat][part]["on_vehicle"] == fact["on_vehicle"]
                assert after["parts"][coat][part]["on_vehicle_grade"] == "proven"


@SLOW
@given(vans(circles=False))
def test_zones_under_many_parts_are_explained_the_same_way(record):
    """A zone hidden by many parts is put together cover by cover; with none in one table, all zones are."""
    expected = twin(record)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(explain, "_COVERS_MOST", 0)
        report = history_json(record)
    assert report["cost"] == expected["cost"]
    assert report["taped"] == expected["taped"]
    for coat, parts in expected["parts"].items():
        for part, fact in parts.items():
            assert set(report["parts"][coat][part]["values"]) == fact["values"]


@SLOW
@given(vans())
def test_the_report_is_plain_json(record):
    report = history_json(record)
    assert json.loads(json.dumps(report, allow_nan=False)) == report
