"""The coat order as a screen tells it: chart, fitted-or-off table, disagreements with their spots, where to look next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bodymap.history.explain import Grade
from bodymap.history.order import natural
from bodymap.history.read import History, read_history
from bodymap.history.sentences import Sentence, sentences
from bodymap.history.set_aside import set_aside
from bodymap.history.text import body, by_zone, disagrees
from bodymap.history.words import Names, listed, why_look
from bodymap.model.record import Record
from bodymap.views.coat_chart import CoatChart, coat_chart
from bodymap.views.fitted_table import FittedTable, fitted_table, local_coats, painted
from bodymap.views.look_alikes import LookAlike, look_alikes


@dataclass(frozen=True)
class Spot:
    """A place to go to. `stack_id`: empty where nobody has looked yet."""

    zone_id: str
    stack_id: str
    words: str


@dataclass(frozen=True)
class Disagreement:
    """What contradicts what, in words, with the spots; `suspects`: those without which it is cleared."""

    words: str
    suspects: tuple[Spot, ...]
    spots: tuple[Spot, ...]


@dataclass(frozen=True)
class LookNext:
    """A zone worth looking at: how many facts that settles, and why."""

    spot: Spot
    settles: int
    why: str


@dataclass(frozen=True)
class Told:
    """One thing that is known, of one coat or of several alike.

    `local`: it is a matter of a coat of other parts; `taped`: it says that zones were taped or not meant.
    """

    words: str
    coats: tuple[str, ...]
    parts: tuple[str, ...]
    zones: tuple[str, ...]
    grade: Grade | None
    local: bool
    taped: bool


@dataclass(frozen=True)
class CoatOrderView:
    """All that the screen shows.

    Attributes:
        aside: stacks set aside for the asking; the record still has them.
        removals: the smallest sets of stacks without which no relations run in a circle; empty where none do.
        disagreements: of the record as it stands.
        left: disagreements that stay when the stacks are set aside; the same where none are.
        fitted: None where there is no order to tell by.
        unseen: coats that no stack shows, in words.
        unordered: how many pairs of coats nothing puts in order.
    """

    aside: tuple[str, ...]
    removals: tuple[tuple[str, ...], ...]
    disagreements: tuple[Disagreement, ...]
    left: tuple[Disagreement, ...]
    chart: CoatChart
    fitted: FittedTable | None
    told: tuple[Told, ...]
    looks: tuple[LookNext, ...]
    look_alikes: tuple[LookAlike, ...]
    unseen: tuple[str, ...]
    unordered: int
    notes: tuple[str, ...]


def coat_order_view(record: Record, aside: Sequence[str] = (), zone_ids: Sequence[str] | None = None) -> CoatOrderView:
    """The view, as if some stacks were set aside. Raises BodymapError on a stack that is not in the record."""
    found = read_history(record)
    asked = set_aside(record, aside) if aside else record
    history = read_history(asked) if aside else found
    names = Names(record)
    against = _disagreements(record, found)
    return CoatOrderView(
        aside=tuple(aside),
        removals=found.circle_removals,
        disagreements=against,
        left=_disagreements(asked, history) if aside else against,
        chart=coat_chart(asked, history, zone_ids),
        fitted=fitted_table(asked, history),
        told=_told(asked, history),
        looks=_looks(asked, history),
        look_alikes=look_alikes(asked, history),
        unseen=tuple(names.coat(coat) for coat in history.order.unseen),
        unordered=len(history.order.unordered),
        notes=history.notes,
    )


# --- disagreements -----------------------------------------------------------------------------------------------------


def _disagreements(record: Record, history: History) -> tuple[Disagreement, ...]:
    notes = {f"{note}." for note in history.notes}
    words = [one.text for one in sentences(record, history) if disagrees(one) and one.text not in notes]
    circles, rest = words[: len(history.order.circles)], words[len(history.order.circles) :]
    removal = rest.pop(0) if history.circle_removals else ""
    clearing = {stack for gone in history.circle_removals for stack in gone}
    found = []
    for text, circle in zip(circles, history.order.circles, strict=True):
        stacks = {stack for relation in circle.relations for stack in relation.stacks}
        suspects = spots(record, stacks & clearing)
        found.append(Disagreement(f"{text} {removal}".strip(), suspects, spots(record, stacks - clearing)))
    places = [one.stacks for one in history.found.contradictions] + [one.stacks for one in history.unexplained]
    found += [Disagreement(text, (), spots(record, stacks)) for text, stacks in zip(rest, places, strict=True)]
    return tuple(found)


def spots(record: Record, stacks: Sequence[str] | set[str]) -> tuple[Spot, ...]:
    """The places of stacks."""
    zones = [(stack, record.zone[record.stack[stack].zone_id]) for stack in sorted(stacks, key=natural)]
    return tuple(Spot(zone.zone_id, stack, f"{stack} · {zone.title}") for stack, zone in zones)


# --- what is known -----------------------------------------------------------------------------------------------------


def _told(record: Record, history: History) -> tuple[Told, ...]:
    """Sentences, those that say the same of several coats put together, in the order of the first coat."""
    names, local = Names(record), local_coats(history)
    alike: dict[tuple[str, bool], list[Sentence]] = {}
    for sentence in sentences(record, history):
        if sentence.coat is not None and not disagrees(sentence):
            quiet = sentence.coat in local and not _of_this_coat(record, history, sentence)
            alike.setdefault((body(names, sentence), quiet), []).append(sentence)
    return tuple(_together(names, text, same, local=quiet) for (text, quiet), same in alike.items())


def _of_this_coat(record: Record, history: History, sentence: Sentence) -> bool:
    """Whether a sentence speaks of a part that was seen with its coat, or came with it."""
    explanation = history.explanation
    if explanation is None or sentence.coat is None or sentence.zones:
        return False
    facts = [explanation.parts[sentence.coat, part] for part in sentence.parts]
    return sentence.grade is None or any(painted(record, history, fact) for fact in facts)


def _together(names: Names, text: str, same: list[Sentence], *, local: bool) -> Told:
    coats = tuple(sentence.coat for sentence in same if sentence.coat is not None)
    at = listed([names.coat(coat) for coat in coats], ", ")
    first = same[0]
    words = text if first.grade is None else f"At {at}: {text[:1].lower()}{text[1:]}"
    return Told(words, coats, first.parts, first.zones, first.grade, local, bool(first.zones))


def _looks(record: Record, history: History) -> tuple[LookNext, ...]:
    found = []
    for zone, looks in by_zone(history.looks).items():
        others = [look.coat for look in looks[1:]]
        also = f" So at {listed(others, ', ')}." if others else ""
        spot = Spot(zone, "", record.zone[zone].title)
        found.append(LookNext(spot, sum(len(look.settles) for look in looks), f"{why_look(record, looks[0])}.{also}"))
    return tuple(found)
