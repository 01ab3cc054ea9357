"""Dates and look-alikes as they stand in the JSON of a history: `dates` and `look_alikes`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from bodymap.history.dates import DateBound, Dates
from bodymap.history.look_alikes import FactChange, Joined, LookAlike
from bodymap.history.order import Relation
from bodymap.history.words import Names, listed, states_words
from bodymap.model.record import Record

Json = dict[str, Any]


def dates_json(dates: Dates) -> Json:
    """`{"bounds": {coat: {"not_before", "there_by"}}, "conflicts": [...], "no_bound": [{"source", "why"}]}`.

    A bound is `{"day", "source", "because", "against"}`; one that no source gives is absent.
    """
    return {
        "bounds": {
            coat: {
                name: _bound(bound)
                for name, bound in (("not_before", found.not_before), ("there_by", found.there_by))
                if bound
            }
            for coat, found in dates.bounds.items()
        },
        "conflicts": [
            {
                "not_before": conflict.not_before,
                "there_by": conflict.there_by,
                "ways": [
                    {"coats": list(way.coats), "because": list(way.because), "sure": way.sure} for way in conflict.ways
                ],
            }
            for conflict in dates.conflicts
        ],
        "no_bound": [{"source": one.source, "why": one.why} for one in dates.no_bound],
    }


def look_alikes_json(record: Record, found: tuple[LookAlike, ...]) -> list[Json]:
    """One object a pair: the question, evidence in words, and what taking them for one would change."""
    return [
        {
            "coats": list(one.coats),
            "question": one.question,
            "for_one": list(one.evidence.for_one),
            "for_two": list(one.evidence.for_two),
            "seen": list(one.evidence.seen),
            "taken_for_one": _joined(one.joined),
            "changes": list(changes(record, one)),
        }
        for one in found
    ]


def changes(record: Record, asked: LookAlike) -> Iterator[str]:
    """What taking two coats for one would change, in sentences."""
    joined, names = asked.joined, Names(record)
    for circle in joined.circles:
        told = "; ".join(f"{one.below} under {one.above} ({listed(one.stacks, ', ')})" for one in circle.relations)
        yield f"Relations would run in a circle: {told}."
    for zone in joined.zones:
        yield f"Stacks of {names.zone(zone.zone)} would disagree on {zone.coat}: {listed(zone.stacks, ', ')}."
    for one in joined.unexplained:
        yield f"Nothing would explain {one.coat} on {names.zone(one.zone)}: {one.why}."
    if joined.ordered:
        pairs = listed([f"{below} before {above}" for below, above in joined.ordered], ", ")
        yield f"It would be told which came first of pairs that are unordered today: {pairs}."
    if joined.facts is None:
        yield "While relations run in a circle, today or then, nothing tells which facts about parts would change."
    for fact in joined.facts or ():
        yield _change(names, fact)
    if joined.facts == () and not (joined.contradicts or joined.ordered or joined.added or joined.dropped):
        yield "Nothing else would change."


def _change(names: Names, fact: FactChange) -> str:
    today = [f"{states_words(values)} ({grade}, {coat})" for coat, values, grade in fact.before]
    then = f"{states_words(fact.after[0])} ({fact.after[1]})"
    return f"At {fact.coat}: {names.part(fact.part)} would be read as {then}, today as {' and '.join(today) or 'not there'}."


def _bound(bound: DateBound) -> Json:
    told = {"day": bound.day, "source": bound.source, "because": list(bound.because)}
    return told | ({"against": list(bound.against)} if bound.against else {})


def _joined(joined: Joined) -> Json:
    told: Json = {
        "relations": [[one.below, one.above] for one in joined.relations],
        "added": [list(pair) for pair in joined.added],
        "dropped": [list(pair) for pair in joined.dropped],
        "ordered": [list(pair) for pair in joined.ordered],
        "circles": [
            {"coats": list(circle.coats), "relations": [_relation(one) for one in circle.relations]}
            for circle in joined.circles
        ],
        "zones": [{"zone": one.zone, "coat": one.coat, "stacks": list(one.stacks)} for one in joined.zones],
        "unexplained": [
            {"zone": one.zone, "coat": one.coat, "stacks": list(one.stacks), "why": one.why} for one in joined.unexplained
        ],
    }
    if joined.facts is not None:
        told["facts"] = [
            {
                "coat": fact.coat,
                "part": fact.part,
                "today": [{"coat": coat, "values": list(values), "grade": grade} for coat, values, grade in fact.before],
                "then": {"values": list(fact.after[0]), "grade": fact.after[1]},
            }
            for fact in joined.facts
        ]
    return told


def _relation(one: Relation) -> Json:
    return {"below": one.below, "above": one.above, "stacks": list(one.stacks)}
