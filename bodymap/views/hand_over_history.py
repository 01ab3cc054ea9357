"""The history of the finish in a hand-over file: what the stacks say, how sure that is, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterator

from bodymap.film.stories import film_stories
from bodymap.history.read import History, read_history
from bodymap.history.set_aside import set_aside
from bodymap.history.words import Names
from bodymap.model import Record, Stack
from bodymap.settings import Settings
from bodymap.views.coat_order import CoatOrderView, coat_order_view
from bodymap.views.film_witness import film_witness
from bodymap.views.hand_over_parts import NONE, NOT_STATED, Banner, Block, Column, Heading, Row, Words, listed, table

GRADES = (
    "Proven: it holds in every explanation that the stacks allow",
    "Likely: it holds in every simplest explanation, but another one is allowed",
    "Open: the simplest explanations disagree",
)


def history_blocks(record: Record, settings: Settings) -> Iterator[Block]:
    """The chapter on the history: order, disagreements, coat by coat, dates, questions, what was seen where."""
    history = read_history(record)
    aside = _to_ask_without(history)
    view = coat_order_view(record, aside)
    yield Words(tuple(f"{grade}." for grade in GRADES), points=True)
    if view.disagreements:
        yield Heading("What disagrees")
        yield Words(tuple(one.words for one in view.disagreements), points=True)
    if aside:
        yield Banner(
            f"What follows is told as if {' and '.join(aside)} were set aside, because the stacks "
            "disagree. It stays on record."
        )
    yield _order(record, read_history(set_aside(record, aside)) if aside else history, view)
    yield _told(view)
    yield from _film(record, settings, history)
    yield from _dates(view)
    yield from _questions(view)
    yield _stacks(record)


def _to_ask_without(history: History) -> tuple[str, ...]:
    """The one smallest set of stacks without which nothing runs in a circle; empty: none, or more than one."""
    removals = history.circle_removals
    return removals[0] if len(removals) == 1 else ()


def _order(record: Record, history: History, view: CoatOrderView) -> Block:
    names, order = Names(record), history.order
    under: dict[str, list[str]] = {}
    for relation in order.relations:
        under.setdefault(relation.above, []).append(f"{relation.below} ({listed(relation.stacks, 4)})")
    rows = [
        Row(
            (
                str(place),
                names.coat(coat),
                record.coat[coat].kind,
                record.coat[coat].era or NOT_STATED,
                ", ".join(under.get(coat, [])) or NONE,
            ),
            colour=record.coat[coat].colour,
        )
        for place, coat in enumerate(order.order or (), start=1)
    ]
    columns = (
        Column("No.", 0.4, right=True), Column("Coat", 2.6), Column("Kind", 0.8), Column("Era", 1.3),
        Column("Seen directly over (stacks)", 3),
    )  # fmt: skip
    notes = []
    if view.unordered:
        notes.append(f"{view.unordered} pairs of coats are put in order by nothing; there the order of coats.csv stands in.")
    if view.unseen:
        notes.append(f"Seen in no stack: {', '.join(view.unseen)}.")
    empty = "Nothing tells an order." if not order.circles else "The relations run in a circle: there is no one order."
    return table("Order of the coats, from the substrate outward", columns, rows, empty, " ".join(notes))


def _told(view: CoatOrderView) -> Block:
    rows = [Row((listed(one.coats, 20), _without_coats(one.words), one.grade or "noted")) for one in view.told]
    columns = (Column("At coat", 1.2), Column("What was fitted, off, away or taped", 6), Column("How sure", 0.8))
    return table("What was on the vehicle at each coat", columns, rows, "The stacks tell nothing of it yet.")


def _without_coats(words: str) -> str:
    """A sentence without the coats it begins with: they stand beside it."""
    if not words.startswith("At ") or ": " not in words:
        return words
    text = words.split(": ", 1)[1]
    return text[:1].upper() + text[1:]


def _film(record: Record, settings: Settings, history: History) -> Iterator[Block]:
    witness = film_witness(record, film_stories(record, settings, history))
    for title, lines in (
        ("Film speaks against a coat laid once", witness.speaks),
        ("Film bears out that a coat was laid once", witness.once),
        ("Film cannot separate these", witness.cannot),
    ):
        if lines:
            yield Heading(title)
            yield Words(lines, points=True)


def _dates(view: CoatOrderView) -> Iterator[Block]:
    rows = [Row((one.coat, one.not_before or NOT_STATED, one.there_by or NOT_STATED)) for one in view.dated]
    columns = (Column("Coat", 2), Column("Not before (source)", 2), Column("There by (source)", 2))
    yield table("Dates that sources give", columns, rows, "No dated source bounds a coat.")
    if view.conflicts:
        yield Heading("Sources that cannot both hold")
        yield Words(view.conflicts, points=True)
    if view.undated:
        yield Heading("Sources that bound nothing, and why")
        yield Words(view.undated, points=True)


def _questions(view: CoatOrderView) -> Iterator[Block]:
    if view.questions:
        yield Heading("One coat, or two?")
        for question in view.questions:
            yield Words((question.words,))
            yield Words(question.evidence, points=True)


def _stacks(record: Record) -> Block:
    rows = [
        Row(
            (
                stack.stack_id,
                record.zone[stack.zone_id].title,
                f"{stack.method}; {'to the substrate' if stack.reaches_substrate else 'not to the substrate'}",
                layers_words(record, stack),
                ", ".join(filter(None, (stack.by, stack.date))) or NOT_STATED,
                stack.note or NONE,
            )
        )
        for stack in record.stacks
    ]
    columns = (
        Column("Stack", 0.6), Column("Zone", 1.5), Column("How", 1.2), Column("Layers, from the substrate outward", 2.4),
        Column("By, on", 1.1), Column("Note", 1.8),
    )  # fmt: skip
    return table("Every place where the layers were looked at", columns, rows, "Nobody has looked at a stack.")


def layers_words(record: Record, stack: Stack) -> str:
    """The layers of a stack in one line, with what lay between them; layers looked for and absent are said to be absent."""
    said = []
    for layer in record.layers_of.get(stack.stack_id, ()):
        before = f"[{', '.join(layer.interface)}] " if layer.interface else ""
        before += "[cut back] " if layer.cut_back else ""
        extent = {"full": "", "mist": " mist", "none": " absent"}[layer.extent]
        said.append(before + layer.coat_id + extent + (f" {layer.um:g} µm" if layer.um is not None else ""))
    return ", ".join(said) or "no layer seen"
