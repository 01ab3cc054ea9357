"""The history as one JSON object, with the keys that scripts rely on (see the commands of the open folder)."""

from __future__ import annotations

from typing import Any

from bodymap.history.dates import read_dates
from bodymap.history.explain import Explanation
from bodymap.history.look_alikes import look_alikes
from bodymap.history.look_next import Look, best_looks, state_fact, vehicle_fact
from bodymap.history.read import History, read_history
from bodymap.history.sentences import alternative, sentences
from bodymap.history.witness_report import dates_json, look_alikes_json
from bodymap.history.words import why_look
from bodymap.model.record import Record

Json = dict[str, Any]


def history_json(record: Record, history: History | None = None) -> Json:
    """The history of a record for `bodymap history --json`.

    With relations that run in a circle, the keys that need an order are absent: order, cost, parts, taped, look_next;
    `circle_removals` is there instead. `history`: where it has been read already.
    """
    history = history or read_history(record)
    order = history.order
    report: Json = {} if order.order is None else {"order": list(order.order)}
    report |= {
        "unseen_coats": list(order.unseen),
        "unordered": [list(pair) for pair in order.unordered],
        "relations": [[relation.below, relation.above] for relation in order.relations],
        "contradictions": contradictions_json(history),
        "states": {coat: dict(zones) for coat, zones in history.found.states.items()},
    }
    if history.explanation:
        report |= _explained(record, history.explanation, history.looks)
    if order.circles:
        report["circle_removals"] = [list(gone) for gone in history.circle_removals]
    report["sentences"] = [sentence.text for sentence in sentences(record, history)]
    report["dates"] = dates_json(read_dates(record, history))
    report["look_alikes"] = look_alikes_json(record, look_alikes(record, history))
    return report


def contradictions_json(history: History) -> list[Json]:
    """Circles, then contradictions inside zones, then observations that nothing explains."""
    circles = [
        {
            "kind": "circle",
            "coats": list(circle.coats),
            "relations": [
                {"below": relation.below, "above": relation.above, "stacks": list(relation.stacks)}
                for relation in circle.relations
            ],
        }
        for circle in history.order.circles
    ]
    zones = [
        {"kind": "zone", "zone": found.zone, "coat": found.coat, "stacks": list(found.stacks), "said": dict(found.said)}
        for found in history.found.contradictions
    ]
    unexplained = [
        {"kind": "unexplained", "coat": one.coat, "zones": [one.zone], "stacks": list(one.stacks), "why": one.why}
        for one in history.unexplained
    ]
    return [*circles, *zones, *unexplained]


def _explained(record: Record, explanation: Explanation, looks: tuple[Look, ...]) -> Json:
    best = best_looks(looks)
    taped: dict[str, Json] = {coat: {} for coat in explanation.scene.coats}
    for (coat, zone), fact in explanation.taped.items():
        taped[coat][zone] = fact.grade
    return {
        "cost": explanation.cost,
        "parts": {
            coat: {part: _part(record, explanation, (coat, part), best) for part in parts}
            for coat, parts in explanation.scene.moving.items()
        },
        "taped": taped,
        "look_next": [
            {"zone": look.zone, "coat": look.coat, "settles": list(look.settles), "why": why_look(record, look)}
            for look in looks
        ],
    }


def _part(record: Record, explanation: Explanation, key: tuple[str, str], best: dict[str, Look]) -> Json:
    fact = explanation.parts[key]
    report: Json = {
        "values": list(fact.values),
        "grade": fact.grade,
        "on_vehicle": fact.on_vehicle,
        "on_vehicle_grade": fact.on_vehicle_grade,
        "evidence": list(fact.evidence),
    }
    if fact.grade != "proven":
        report["alternative"] = alternative(record, explanation, fact)
        look = best.get(state_fact(fact)) or best.get(vehicle_fact(fact))
        if look:
            report["look_at"] = look.zone
    return report
