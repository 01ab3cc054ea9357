"""Dates as a witness: no earlier than, no later than, carried along the order of coats, and sources that cannot both hold.

What a source can say of the date of a coat is settled by its kind and by what its `about` names, never by its title:

- `photo`, `sample`, `measurement`: made at the vehicle on their date. A coat they name was there by then: it is no later
  than the last day of the date.
- `document`: it too speaks of a coat as being there by its date (a bill, a report; an order for work still to be done must
  not name the coat). But where it names a part that came to the vehicle later (one with a first coat) beside coats laid on
  that part, it is read as the paper with which the part came: those coats are no earlier than the first day of its date.
  Of several such papers of one part only the earliest is; the later ones speak of what was there.
- `statement`, `drawing`: dated when it was said or drawn, which may be long after a coat or before it: no bound.
- What the work itself leaves (a step done, where a part lies) is no evidence of old coats and is passed over.
- A part by itself bounds no coat: that a paper speaks of it does not say when it came.

What was not used, and why, is told in `no_bound`. A coat under a dated one is no later than it, a coat over it no earlier.
Relations that run in a circle contradict each other and carry nothing. A coat that went on while a part was on the vehicle
is no earlier than that part came; where that is `likely` only, it bears witness in conflicts but sets no bound.
"""

from __future__ import annotations

import calendar
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import networkx as nx

from bodymap.history.order import CoatOrder, coat_order, is_layer, natural
from bodymap.history.read import History
from bodymap.history.words import Names, listed
from bodymap.model.record import Record
from bodymap.model.source import Source

_THERE_BY = ("photo", "sample", "measurement", "document")


@dataclass(frozen=True)
class Saying:
    """What one source says of one coat: `day` is the first or last day it allows (ISO 8601), `why` how it is read so.

    `sure`: False where it rests on a fact of the history that is likely only.
    """

    coat: str
    source: str
    day: str
    why: str
    sure: bool = True


@dataclass(frozen=True)
class DateBound:
    """The nearest bound of a coat: its day (ISO 8601), the source it comes from, and the chain of reasons.

    `against`: sources that contradict that source, so that the bound is in doubt until one of them is given up.
    """

    day: str
    source: str
    because: tuple[str, ...]
    against: tuple[str, ...] = ()


@dataclass(frozen=True)
class CoatDates:
    """Bounds of a coat; None where no source gives one."""

    not_before: DateBound | None
    there_by: DateBound | None


@dataclass(frozen=True)
class Way:
    """One way in which two sources contradict each other. `coats`: from the one dated later up to the one dated earlier."""

    coats: tuple[str, ...]
    because: tuple[str, ...]
    sure: bool


@dataclass(frozen=True)
class DateConflict:
    """Two sources that cannot both hold: by one a coat came after the day by which the other has it there."""

    not_before: str
    there_by: str
    ways: tuple[Way, ...]


@dataclass(frozen=True)
class NoBound:
    """A dated source that speaks of a coat, or of a part that came later, and bounds nothing, with the reason."""

    source: str
    why: str


@dataclass(frozen=True)
class Dates:
    """Bounds of every coat that has one, by coat_id; conflicts; sources that bound nothing."""

    bounds: Mapping[str, CoatDates]
    conflicts: tuple[DateConflict, ...]
    no_bound: tuple[NoBound, ...]


def days_of(date: str) -> tuple[str, str]:
    """First and last day of a date of a record, whole or in part, or of an interval; both as ISO 8601 days.

    >>> days_of("1969"), days_of("1972-02"), days_of("1969-07/1971-03-18")
    (('1969-01-01', '1969-12-31'), ('1972-02-01', '1972-02-29'), ('1969-07-01', '1971-03-18'))
    """
    first, _, last = date.partition("/")
    return _day(first, last=False), _day(last or first, last=True)


def read_dates(record: Record, history: History | None = None) -> Dates:
    """What the dated sources of a record say of its coats. `history`: adds which parts were on the vehicle at each coat."""
    order = history.order if history else coat_order(record)
    names, chains = Names(record), _Chains(record, order)
    reader = _Reader(record, names)
    lower = [*reader.not_before, *(_with_part(reader, history, names) if history else ())]
    ids = sorted(record.coat, key=natural)
    sure = [saying for saying in lower if saying.sure]
    found = {coat: CoatDates(chains.latest(coat, sure), chains.earliest(coat, reader.there_by)) for coat in ids}
    conflicts = _conflicts(chains, lower, reader.there_by)
    bounds = {
        coat: CoatDates(_doubted(dates.not_before, conflicts), _doubted(dates.there_by, conflicts))
        for coat, dates in found.items()
        if dates.not_before or dates.there_by
    }
    return Dates(bounds, conflicts, tuple(reader.no_bound))


def _doubted(bound: DateBound | None, conflicts: tuple[DateConflict, ...]) -> DateBound | None:
    """A bound with the sources that contradict the one it comes from."""
    if bound is None:
        return None
    pairs = [{conflict.not_before, conflict.there_by} for conflict in conflicts]
    against = set().union(*(pair for pair in pairs if bound.source in pair)) - {bound.source}
    return replace(bound, against=tuple(sorted(against, key=natural)))


def _day(moment: str, *, last: bool) -> str:
    year, month, day = [*moment[:10].split("-"), "", ""][:3]
    month = month or ("12" if last else "01")
    if not day:
        day = f"{calendar.monthrange(int(year), int(month))[1]:02}" if last else "01"
    return f"{year}-{month}-{day}"


class _Reader:
    """Sorts the dated sources into sayings and such as bound nothing."""

    def __init__(self, record: Record, names: Names) -> None:
        self.record, self.names = record, names
        self.not_before: list[Saying] = []
        self.there_by: list[Saying] = []
        self.no_bound: list[NoBound] = []
        self.came: dict[str, list[Source]] = self._papers_of_parts()
        for source in sorted(record.sources, key=lambda source: natural(source.source_id)):
            if source.date and not source.tells_of_work:
                self._read(source, source.date)

    def _read(self, source: Source, date: str) -> None:
        coats = self._coats(source)
        first, last = days_of(date)
        late = [part for part in source.about if part in self.record.part and self.record.part[part].first_coat]
        if not coats and not late:
            return
        title = f"{source.source_id} ({source.kind}, {date}: {source.title})"
        why = self._why_none(source, coats, backwards=first > last)
        if why:
            self.no_bound.append(NoBound(source.source_id, f"{title} {why}"))
            return
        with_part = {coat: part for part in late if source in self.came[part] for coat in coats if self._on(part, coat)}
        for coat in coats:
            if coat in with_part:
                part = self.names.part(with_part[coat])
                said = f"{title} is the paper with which {part} came, on which {self.names.coat(coat)} was laid"
                self.not_before.append(Saying(coat, source.source_id, first, said))
            else:
                said = f"{title} speaks of {self.names.coat(coat)}, which was there by then"
                self.there_by.append(Saying(coat, source.source_id, last, said))

    def _why_none(self, source: Source, coats: list[str], *, backwards: bool) -> str:
        if backwards:
            return "bounds nothing: its date ends before it begins"
        if source.kind not in _THERE_BY:
            return "bounds nothing: it is dated when it was made, not when the coat was there"
        if not coats:
            return "bounds nothing: it names a part that came later, but no coat laid on it"
        return ""

    def _coats(self, source: Source) -> list[str]:
        return sorted((one for one in source.about if one in self.record.coat), key=natural)

    def _papers_of_parts(self) -> dict[str, list[Source]]:
        """The earliest documents of each part that came later which name coats laid on it."""
        papers: dict[str, list[Source]] = {part.part_id: [] for part in self.record.parts}
        for source in self.record.sources:
            if source.kind == "document" and source.date and days_of(source.date)[0] <= days_of(source.date)[1]:
                for part in source.about:
                    if part in papers and any(self._on(part, coat) for coat in self._coats(source)):
                        papers[part].append(source)
        dated = {part: [(days_of(source.date or "")[0], source) for source in found] for part, found in papers.items()}
        return {part: [one for day, one in found if day == min(found, key=_first)[0]] for part, found in dated.items()}

    def _on(self, part: str, coat: str) -> bool:
        """Whether a coat was seen on a part that came later, or is the first one of it."""
        first = self.record.part[part].first_coat
        return first is not None and (coat == first or coat in self._seen_on(part))

    def _seen_on(self, part: str) -> set[str]:
        zones = self.record.zones_of_part.get(part, ())
        stacks = [stack for zone in zones for stack in self.record.stacks_of.get(zone.zone_id, ())]
        layers = [layer for stack in stacks for layer in self.record.layers_of.get(stack.stack_id, ())]
        return {layer.coat_id for layer in layers if is_layer(layer)}


def _first(dated: tuple[str, Source]) -> str:
    return dated[0]


def _with_part(reader: _Reader, history: History, names: Names) -> Iterator[Saying]:
    """Coats that went on while a part was on the vehicle are no earlier than the part came."""
    if history.explanation is None:
        return
    for (coat, part), fact in history.explanation.parts.items():
        if fact.on_vehicle != "yes" or not fact.evidence:
            continue
        for source in reader.came[part]:
            on = f"{names.part(part)} {names.was(part)} on the vehicle at {names.coat(coat)}"
            seen = f"{fact.on_vehicle_grade}: {listed(fact.evidence, ', ')}"
            came = f"{source.source_id} ({source.kind}, {source.date}: {source.title}) is the paper with which it came"
            day = days_of(source.date or "")[0]
            yield Saying(coat, source.source_id, day, f"{on} ({seen}), and {came}", fact.on_vehicle_grade == "proven")


class _Chains:
    """Chains of relations from coat to coat that lie over one another, circles left out."""

    def __init__(self, record: Record, order: CoatOrder) -> None:
        circle_of = {coat: circle for circle in order.circles for coat in circle.coats}
        self.names = Names(record)
        self.stacks = {
            (relation.below, relation.above): relation.stacks
            for relation in order.observed
            if relation.below not in circle_of or circle_of[relation.below] is not circle_of.get(relation.above)
        }
        graph: nx.DiGraph = nx.DiGraph()
        graph.add_nodes_from(sorted(record.coat, key=natural))
        graph.add_edges_from(sorted(self.stacks, key=lambda pair: (natural(pair[0]), natural(pair[1]))))
        self.paths: dict[str, dict[str, list[str]]] = dict(nx.all_pairs_shortest_path(graph))

    def path(self, below: str, above: str) -> tuple[str, ...] | None:
        """A shortest chain from a coat up to another, both included; None where there is none."""
        found = self.paths[below].get(above)
        return None if found is None else tuple(found)

    def steps(self, path: tuple[str, ...]) -> tuple[str, ...]:
        """The relations of a chain in words."""
        return tuple(
            f"{self.names.coat(above)} lies over {self.names.coat(below)} ({listed(self.stacks[below, above], ', ')})"
            for below, above in pairwise(path)
        )

    def latest(self, coat: str, sayings: Iterable[Saying]) -> DateBound | None:
        """The latest day before which a coat cannot be, from coats under it."""
        return self._nearest([(saying, self.path(saying.coat, coat)) for saying in sayings], latest=True)

    def earliest(self, coat: str, sayings: Iterable[Saying]) -> DateBound | None:
        """The earliest day by which a coat was there, from coats over it."""
        return self._nearest([(saying, self.path(coat, saying.coat)) for saying in sayings], latest=False)

    def _nearest(self, reached: list[tuple[Saying, tuple[str, ...] | None]], *, latest: bool) -> DateBound | None:
        there = [(saying, path) for saying, path in reached if path is not None]
        if not there:
            return None
        day = (max if latest else min)(saying.day for saying, _ in there)
        of_day = [(saying, path) for saying, path in there if saying.day == day]
        saying, path = min(of_day, key=lambda one: (len(one[1]), natural(one[0].source), natural(one[0].coat)))
        return DateBound(day, saying.source, (saying.why, *self.steps(path)))


def _conflicts(chains: _Chains, lower: list[Saying], upper: list[Saying]) -> tuple[DateConflict, ...]:
    ways: dict[tuple[str, str], list[Way]] = defaultdict(list)
    for late in lower:
        for early in upper:
            path = chains.path(late.coat, early.coat)
            if path is not None and late.day > early.day:
                way = Way(path, (late.why, *chains.steps(path), early.why), late.sure)
                ways[late.source, early.source].append(way)
    pairs = sorted(ways, key=lambda pair: (natural(pair[0]), natural(pair[1])))
    return tuple(
        DateConflict(*pair, tuple(sorted(ways[pair], key=lambda way: (not way.sure, len(way.coats), way.because))))
        for pair in pairs
    )
