"""The coat order as a screen tells it: chart, fitted-or-off table, disagreements with their spots, where to look next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bodymap.history.dates import DateBound, Dates, read_dates
from bodymap.history.explain import Grade
from bodymap.history.look_alikes import look_alikes
from bodymap.history.order import natural
from bodymap.history.read import History, read_history
from bodymap.history.sentences import Sentence, sentences
from bodymap.history.set_aside import set_aside
from bodymap.history.text import body, by_zone, disagrees
from bodymap.history.witness_report import changes
from bodymap.history.words import Names, listed, why_look
from bodymap.model.record import Record
from bodymap.views.fitted_table import FittedTable, fitted_table, local_coats, painted


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
class DatedCoat:
    """Days (ISO 8601) between which a coat went on, each with its source; empty where no source bounds it."""

    coat: str
    not_before: str
    there_by: str


@dataclass(frozen=True)
class Question:
    """Two coats that look alike: one coat, or two? `evidence`: lines that each begin with what they speak for."""

    words: str
    evidence: tuple[str, ...]


@dataclass(frozen=True)
class CoatOrderView:
    """All that the screen shows beside the ladder chart.

    Attributes:
        aside: stacks set aside for the asking; the record still has them.
        disagreements: of the record as it stands.
        left: disagreements that stay when the stacks are set aside; the same where none are.
        ordered: whether there is an order to tell by; `fitted` is None where there is none.
        dated: bounds of the coats that have some, in their order; `conflicts`: sources that cannot both hold, in words;
            `undated`: dated sources that bound nothing, with the reason.
        unseen: coats that no stack shows, in words.
        unordered: how many pairs of coats nothing puts in order.
    """

    aside: tuple[str, ...]
    disagreements: tuple[Disagreement, ...]
    left: tuple[Disagreement, ...]
    ordered: bool
    fitted: FittedTable | None
    told: tuple[Told, ...]
    looks: tuple[LookNext, ...]
    dated: tuple[DatedCoat, ...]
    conflicts: tuple[str, ...]
    undated: tuple[str, ...]
    questions: tuple[Question, ...]
    unseen: tuple[str, ...]
    unordered: int
    notes: tuple[str, ...]


def coat_order_view(record: Record, aside: Sequence[str] = ()) -> CoatOrderView:
    """The view, as if some stacks were set aside. Raises BodymapError on a stack that is not in the record."""
    found = read_history(record)
    asked = set_aside(record, aside) if aside else record
    history = read_history(asked) if aside else found
    names, dates = Names(record), read_dates(asked, history)
    against = _disagreements(record, found)
    return CoatOrderView(
        aside=tuple(aside),
        disagreements=against,
        left=_disagreements(asked, history) if aside else against,
        ordered=history.order.order is not None,
        fitted=fitted_table(asked, history),
        told=_told(asked, history),
        looks=_looks(asked, history),
        dated=tuple(_dated(names, history, dates)),
        conflicts=tuple(_conflicts(dates)),
        undated=tuple(one.why for one in dates.no_bound),
        questions=tuple(_questions(asked, history)),
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


# --- dates and look-alikes ---------------------------------------------------------------------------------------------


def date_lines(record: Record, history: History) -> tuple[str, ...]:
    """Dates as a witness, in words: sources that cannot both hold first, then the bounds of each coat."""
    dates = read_dates(record, history)
    bounds = (
        f"{one.coat}: "
        + "; ".join(
            words
            for words in (
                f"no earlier than {one.not_before}" if one.not_before else "",
                f"no later than {one.there_by}" if one.there_by else "",
            )
            if words
        )
        for one in _dated(Names(record), history, dates)
    )
    return (*_conflicts(dates), *bounds)


def question_lines(record: Record, history: History) -> tuple[str, ...]:
    """Look-alikes as questions, each with its evidence."""
    return tuple(" ".join((one.words, *one.evidence)) for one in _questions(record, history))


def _dated(names: Names, history: History, dates: Dates) -> Iterator[DatedCoat]:
    for coat in (*history.order.coats, *history.order.unseen):
        if coat in dates.bounds:
            found = dates.bounds[coat]
            yield DatedCoat(names.coat(coat), *(_bound(bound) for bound in (found.not_before, found.there_by)))


def _bound(bound: DateBound | None) -> str:
    if bound is None:
        return ""
    against = f", against {listed(bound.against, ', ')}" if bound.against else ""
    return f"{bound.day} ({bound.source}{against})"


def _conflicts(dates: Dates) -> Iterator[str]:
    for one in dates.conflicts:
        way = one.ways[0]
        sure = "cannot both hold" if way.sure else "can hardly both hold (it rests on what is likely only)"
        yield f"{one.not_before} and {one.there_by} {sure}: {'; '.join(way.because)}."


def _questions(record: Record, history: History) -> Iterator[Question]:
    for one in look_alikes(record, history):
        said = [f"For one coat: {text}" for text in one.evidence.for_one]
        said += [f"For two coats: {text}" for text in one.evidence.for_two]
        said += [f"Seen: {text}" for text in one.evidence.seen]
        said += [f"If they were one: {text}" for text in changes(record, one)]
        yield Question(one.question, tuple(said))
