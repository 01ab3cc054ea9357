"""The history as text to read: order, disagreements, coat by coat what is known, where to look next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from bodymap.history.look_next import Look
from bodymap.history.order import CoatOrder
from bodymap.history.read import History
from bodymap.history.sentences import Sentence, sentences
from bodymap.history.words import Names, listed, why_look
from bodymap.model.record import Record

_LOOKS_MOST = 10


def history_lines(record: Record, history: History, aside: Collection[str] = ()) -> tuple[str, ...]:
    """Lines for a terminal. `aside`: stacks that are missing from `record` because they were set aside."""
    names, told = Names(record), sentences(record, history)
    lines = [f"As if {' and '.join(aside)} were set aside; nothing is changed in the record.", ""] if aside else []
    lines += _order(names, history.order)
    notes = [f"{note}." for note in history.notes]
    against = [sentence.text for sentence in told if disagrees(sentence) and sentence.text not in notes]
    if history.contradicted:
        lines += ["", "The stacks disagree:", *_items(against)]
    if history.order.circles:
        lines += ["", "While the order runs in a circle nothing that needs it is told. To ask what if: --set-aside STACK."]
    for coat in history.order.coats:
        of_coat = [sentence for sentence in told if sentence.coat == coat and not disagrees(sentence)]
        if of_coat:
            last = sorted(of_coat, key=lambda sentence: bool(sentence.zones))
            lines += ["", f"At {names.coat(coat)}:", *_items(body(names, sentence) for sentence in last)]
    lines += _looks(record, history)
    return (*lines, *(["", "Noted:", *_items(notes)] if notes else []))


def disagrees(sentence: Sentence) -> bool:
    """Whether a sentence tells of a contradiction, or is a note: it tells of no part and has no grade."""
    return not sentence.parts and sentence.grade is None


def body(names: Names, sentence: Sentence) -> str:
    """A sentence without the coat it begins with."""
    if sentence.coat is None:
        return sentence.text
    text = sentence.text.removeprefix(f"At {names.coat(sentence.coat)}: ")
    return text[:1].upper() + text[1:]


def _order(names: Names, order: CoatOrder) -> Iterator[str]:
    if not order.seen:
        yield "No stack shows a coat yet: nothing tells an order."
    elif order.order is None:
        yield f"The {len(order.seen)} coats that were seen have no order: their relations run in a circle."
    else:
        yield "Order of coats, from the substrate outward:"
        yield from (f"  {number:2}  {names.coat(coat)}" for number, coat in enumerate(order.order, 1))
    if order.unordered:
        pairs = listed([f"{a} and {b}" for a, b in order.unordered], ", ")
        yield f"Nothing tells which came first of {pairs}; the row order of the coats stands in."
    if order.unseen:
        yield f"Seen in no stack: {', '.join(names.coat(coat) for coat in order.unseen)}."


def _items(texts: Iterable[str]) -> Iterator[str]:
    return (f"  - {text}" for text in texts)


def by_zone(looks: Iterable[Look]) -> dict[str, tuple[Look, ...]]:
    """Looks by zone, the zone with the best look first: whoever goes to a spot sees all its layers at once."""
    found: dict[str, list[Look]] = {}
    for look in looks:
        found.setdefault(look.zone, []).append(look)
    return {zone: tuple(of_zone) for zone, of_zone in found.items()}


def _looks(record: Record, history: History) -> Iterator[str]:
    zones = by_zone(history.looks)
    if not zones:
        return
    yield ""
    yield "Where to look next, the best first:"
    for number, looks in enumerate([*zones.values()][:_LOOKS_MOST], 1):
        settled = sum(len(look.settles) for look in looks)
        also = f" So at {listed([look.coat for look in looks[1:]], ', ')}." if looks[1:] else ""
        yield f"  {number:2}  {why_look(record, looks[0])}.{also} It would settle {settled} facts."
    if len(zones) > _LOOKS_MOST:
        yield f"  and {len(zones) - _LOOKS_MOST} zones more (--json lists every look)"
