"""The survey as it is being entered: a ladder not saved yet, spots and their readings, and what others wrote meanwhile."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from bodymap.film.fitness import refusal
from bodymap.model import Coat, JournalEntry, Layer, Record, Stack
from bodymap.model.reading import Principle
from bodymap.model.source import STEP_DONE
from bodymap.views.ladder import LadderView, ladder
from bodymap.views.picks import middle_of

# Only what somebody entered is told to others; media come with their source.
_TOLD_KINDS = ("stack", "layer", "reading", "finding", "line", "source", "coat", "area", "zone", "part", "cover", "drawing")
_NAMED_MOST = 4


@dataclass(frozen=True)
class Others:
    """What one person wrote since: `words`, such as "stack S27, 3 readings"; `last`: moment of the last, ISO 8601 UTC."""

    by: str
    entries: int
    words: str
    last: str


def draft_ladder(record: Record, stack: Stack, layers: Sequence[Layer]) -> LadderView:
    """The ladder of a stack that is not saved. One of the same id in the record is not shown in its place."""
    others = [one for one in record.stacks if one.stack_id != stack.stack_id]
    standing = [one for one in record.layers if one.stack_id != stack.stack_id]
    with_stack = record.with_kind(Stack.KIND, [*others, stack]).with_kind(Layer.KIND, [*standing, *layers])
    return ladder(with_stack, stack.stack_id)


def survey_coats(record: Record, order: Sequence[str]) -> tuple[tuple[Coat, ...], tuple[Coat, ...]]:
    """The coats to build ladders of, in `order`; and apart those that were only planned so far and that no stack shows."""
    seen = {layer.coat_id for layer in record.layers}
    planned = {goal.coat_id for goal in record.goals}
    planned |= {ident for step in record.steps if step.action == "coat" for ident in step.target}
    coats = [record.coat[ident] for ident in order]
    apart = [coat for coat in coats if coat.coat_id in planned - seen]
    return tuple(coat for coat in coats if coat not in apart), tuple(apart)


def middle(record: Record, zone_id: str) -> tuple[float, float]:
    """The middle of a zone [drawing mm], as far from its edge as can be."""
    x, y, _ = middle_of(record.zone[zone_id].shape)
    return round(x, 1), round(y, 1)


def refused(record: Record, zone_id: str, principle: Principle) -> str | None:
    """Why a gauge of this principle cannot read in a zone; None where it can."""
    return refusal(principle, record.part[record.zone[zone_id].part_id].substrate)


def spot_zones(record: Record, spot: str) -> tuple[str, ...]:
    """The zones in which readings of a spot lie; of a number stuck on once there is one at most."""
    return tuple(dict.fromkeys(one.zone_id for one in record.readings if one.spot == spot))


def written_since(journal: Sequence[JournalEntry], revision: int, own: Collection[int]) -> tuple[Others, ...]:
    """What others wrote after a revision, by name in the order in which they wrote. `own`: entries of one's own."""
    found: dict[str, list[JournalEntry]] = {}
    for entry in journal[revision:]:
        if entry.seq not in own and entry.kind in _TOLD_KINDS:
            found.setdefault(entry.by, []).append(entry)
    return tuple(Others(by, len(entries), _named(entries), entries[-1].at) for by, entries in found.items())


def _thing(entry: JournalEntry) -> tuple[str, str]:
    """Kind and name; a layer goes with its stack, and a step told done is no new source of evidence."""
    if entry.kind == "layer":
        return "stack", entry.ident.split("/")[0]
    told = STEP_DONE.match(str(entry.body.get("title", ""))) if entry.kind == "source" else None
    return ("step", told[0].split()[1] + " done") if told else (entry.kind, entry.ident)


def _named(entries: Iterable[JournalEntry]) -> str:
    """The things by name, few of a kind; many of a kind by count."""
    by_kind: dict[str, list[str]] = {}
    withdrawn = []
    for entry in entries:
        if entry.act == "withdraw":
            withdrawn.append(entry.ident)
            continue
        kind, ident = _thing(entry)
        by_kind.setdefault(kind, []).append(ident)
    words = []
    for kind, idents in by_kind.items():
        names = list(dict.fromkeys(idents))
        many = len(names) > _NAMED_MOST
        words.append(f"{len(names)} {kind}s" if many else f"{kind} {', '.join(names)}")
    if withdrawn:
        words.append(f"withdrawn: {', '.join(withdrawn[:_NAMED_MOST])}")
    return "; ".join(words)
