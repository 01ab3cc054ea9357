"""Every answer against a slow twin that tries every explanation (see `twin`)."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings

from bodymap.history.look_next import state_fact, vehicle_fact
from bodymap.history.read import read_history
from bodymap.history.report import history_json
from tests.history.cases import vans
from tests.history.twin import told_apart, twin

PLAIN = ("grade", "on_vehicle", "on_vehicle_grade")


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vans())
def test_every_key_is_what_trying_everything_gives(record):
    report, expected = history_json(record), twin(record)
    assert report["unseen_coats"] == expected["unseen_coats"]
    assert report.get("order") == expected.get("order")
    assert {frozenset(pair) for pair in report["unordered"]} == expected["unordered"]
    assert {tuple(pair) for pair in report["relations"]} == expected["relations"]
    assert report["states"] == expected["states"]
    _contradictions(report, expected)
    if "order" not in report:
        assert {frozenset(gone) for gone in report["circle_removals"]} == expected["circle_removals"]
        assert not {"cost", "parts", "taped", "look_next"} & set(report)
        return
    assert report["cost"] == expected["cost"]
    assert report["taped"] == expected["taped"]
    for coat, parts in expected["parts"].items():
        assert set(report["parts"][coat]) == set(parts)
        for part, fact in parts.items():
            told = report["parts"][coat][part]
            assert set(told["values"]) == fact["values"]
            assert {key: told[key] for key in PLAIN} == {key: fact[key] for key in PLAIN}


def _contradictions(report, expected):
    kinds = {"circle": [], "zone": [], "unexplained": []}
    for one in report["contradictions"]:
        kinds[one["kind"]].append(one)
    assert {frozenset(one["coats"]) for one in kinds["circle"]} == expected["circles"]
    assert {(one["zone"], one["coat"]): frozenset(one["stacks"]) for one in kinds["zone"]} == expected["zone_contradictions"]
    unexplained = {(one["coat"], zone) for one in kinds["unexplained"] for zone in one["zones"]}
    assert unexplained == expected.get("unexplained", set())


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vans(circles=False))
def test_a_look_settles_what_it_tells_apart(record):
    history = read_history(record)
    expected = twin(record)
    looks = {(look.zone, look.coat): look for look in history.looks}
    for coat in expected["order"]:
        made = set(expected["parts"][coat]) | {part.part_id for part in record.parts if not part.removable}
        for zone in record.zones:
            unseen = expected["states"][coat][zone.zone_id] == "unknown"
            unseen &= (zone.zone_id, coat) not in expected["zone_contradictions"]
            told = set()
            if unseen and zone.part_id in made and _there(record, zone.part_id, coat, expected["order"]):
                told = told_apart(record, expected["order"], expected, zone, coat)
            names = {"state": state_fact, "on vehicle": vehicle_fact}
            facts = {names[what](history.explanation.parts[coat, part]) for part, what in told}
            look = looks.get((zone.zone_id, coat))
            settles = {fact for fact in look.settles if " taped " not in fact} if look else set()
            assert settles == facts


def _there(record, part, coat, order):
    first = record.part[part].first_coat
    return first not in order or order.index(first) <= order.index(coat)
