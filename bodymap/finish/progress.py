"""How far the repaint has come: steps done, with who, when, from which batch and in what air.

A step done is a fact told by somebody, so it is kept as a source of kind `statement` (see "Steps done" in the description
of the open folder): `date`, `by`, what it was done to in `about`, and a title of fixed form

    Step 32 done: coat; batch 24-117; air 21.5 °C; humidity 62 %; surface 18 °C; note: second gun from pass three

in which everything after `done: ACTION` may be left out. Its number is the step's at that time. Plans are reordered:
what was done is found again by action and target, the number only decides between equal ones.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import cast, get_args

from bodymap.errors import BodymapError
from bodymap.finish.climate import Air, AirVerdict, air_verdict
from bodymap.finish.materials import Span
from bodymap.history.as_found import LayersSeen
from bodymap.model.plan import Action, Step
from bodymap.model.record import Record
from bodymap.model.source import STEP_DONE, Source
from bodymap.settings import Settings

STATEMENT = "statement"
_TITLE = re.compile(rf"Step (\d{{1,9}}) done: ({'|'.join(get_args(Action))})(?:; (.*))?", re.DOTALL)
_NUMBER = r"(-?\d+(?:\.\d+)?)"
_AIR = {
    "air_c": re.compile(rf"air {_NUMBER} °C"),
    "humidity_pct": re.compile(rf"humidity {_NUMBER} %"),
    "surface_c": re.compile(rf"surface {_NUMBER} °C"),
}
_BATCH, _NOTE = "batch ", "note: "
_PART = "; "


@dataclass(frozen=True)
class Done:
    """One step done.

    Attributes:
        number: the step's number when it was done.
        action, target: what was done, to what.
        on: ISO 8601 date or date-time; None: not stated. `by`: who did it.
        batch: the mix the coat was sprayed from.
        source_id: the statement it was read from; empty: not saved yet.
    """

    number: int
    action: Action
    target: tuple[str, ...]
    on: str | None = None
    by: str | None = None
    batch: str | None = None
    air: Air = field(default_factory=Air)
    note: str | None = None
    source_id: str = ""


@dataclass(frozen=True)
class StepDone:
    """A step done with its place in the plan (None: the plan has no such step now) and the verdict on the air (coats)."""

    done: Done
    step: Step | None
    air: AirVerdict | None


@dataclass(frozen=True)
class Progress:
    """What is done, in the order of the record; `unread`: statements that begin like one and cannot be read, with why."""

    steps: tuple[StepDone, ...]
    unread: tuple[str, ...]

    @property
    def numbers(self) -> frozenset[int]:
        """Numbers of the steps of the plan that are done."""
        return frozenset(one.step.step for one in self.steps if one.step is not None)


def title_of(done: Done) -> str:
    """The title of the statement.

    Raises:
        BodymapError: a batch or note that could not be read back.
    """
    if done.batch is not None and (";" in done.batch or "\n" in done.batch or not done.batch.strip()):
        raise BodymapError(f"batch: found {done.batch!r}; allowed: text on one line without ;")
    said = [f"Step {done.number} done: {done.action}"]
    if done.batch is not None:
        said.append(f"{_BATCH}{done.batch}")
    for words, value in (
        ("air {} °C", done.air.air_c), ("humidity {} %", done.air.humidity_pct), ("surface {} °C", done.air.surface_c)
    ):  # fmt: skip
        if value is not None:
            said.append(words.format(_figure(value)))
    if done.note:
        said.append(f"{_NOTE}{done.note}")
    return _PART.join(said)


def statement_of(done: Done, source_id: str) -> Source:
    """The source that says so. Raises BodymapError, as `title_of`."""
    title = title_of(done)
    return Source(source_id=source_id, kind=STATEMENT, title=title, date=done.on, by=done.by, about=done.target)


def done_of(source: Source) -> Done | None:
    """What a source says to be done; None where it is no such statement.

    Raises:
        BodymapError: it begins like one and cannot be read.
    """
    if source.kind != STATEMENT or not STEP_DONE.match(source.title):
        return None
    found = _TITLE.fullmatch(source.title)
    if found is None:
        raise BodymapError(
            f"{source.source_id}: found {source.title[:80]!r}; allowed: Step NUMBER done: {' or '.join(get_args(Action))}"
        )
    number, action, rest = found.groups()
    batch, air, note = _parts(source.source_id, rest or "")
    return Done(
        int(number), cast("Action", action), source.about, source.date, source.by, batch, air, note, source.source_id
    )  # fmt: skip


def _parts(source_id: str, rest: str) -> tuple[str | None, Air, str | None]:
    """Batch, air and note out of what follows the action. The note comes last and takes all that is left."""
    head, mark, note = ("", _NOTE, rest[len(_NOTE) :]) if rest.startswith(_NOTE) else rest.partition(_PART + _NOTE)
    batch: str | None = None
    air: dict[str, float] = {}
    for part in filter(None, head.split(_PART)):
        if part.startswith(_BATCH) and batch is None:
            batch = part[len(_BATCH) :]
            continue
        read = {name: float(found[1]) for name, form in _AIR.items() if (found := form.fullmatch(part)) and name not in air}
        if not read:
            raise BodymapError(
                f"{source_id}: found {part[:80]!r}; allowed, each once: batch TEXT, air N °C, humidity N %, surface N °C, "
                "note: TEXT"
            )
        air |= read
    return batch, Air(**air), note if mark else None


def read_progress(record: Record, settings: Settings, steps: Iterable[Step] | None = None) -> Progress:
    """What is done of the record's plan (or of other steps)."""
    plan = sorted(record.steps if steps is None else steps, key=lambda step: step.step)
    told, unread = [], []
    for source in record.sources:
        try:
            done = done_of(source)
        except BodymapError as error:
            unread.append(str(error))
            continue
        told += [done] if done else []
    places = _places(told, plan)
    return Progress(tuple(StepDone(one, places[at], _judged(one, settings)) for at, one in enumerate(told)), tuple(unread))


def _places(told: Sequence[Done], plan: Sequence[Step]) -> list[Step | None]:
    """The step each statement speaks of: first those whose number still fits, then the others in their order."""
    left = {step.step: step for step in plan}
    places: list[Step | None] = [None] * len(told)
    for at, done in enumerate(told):
        step = left.get(done.number)
        if step is not None and _same(done, step):
            places[at] = left.pop(done.number)
    for at, done in enumerate(told):
        if places[at] is None:
            step = next((one for one in left.values() if _same(done, one)), None)
            places[at] = left.pop(step.step) if step else None
    return places


def _same(done: Done, step: Step) -> bool:
    return done.action == step.action and frozenset(done.target) == frozenset(step.target)


def _judged(done: Done, settings: Settings) -> AirVerdict | None:
    if done.action != "coat":
        return None
    try:
        return air_verdict(done.air, settings)
    except BodymapError as error:
        return AirVerdict("cannot tell", None, None, f"cannot tell: {error}")


def _figure(value: float) -> str:
    """A number in plain decimals that reads back the same."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def build_um(record: Record, stack: LayersSeen) -> Span | None:
    """Film of all coats of a stack together [µm], as planned: the stated film of each, else its usual one; mist is left out.

    None: of one of them neither is stated.
    """
    total = Span(0, 0)
    for coat_id, extent in stack:
        coat = record.coat[coat_id]
        if extent != "full":
            continue
        if coat.film_um is not None:
            total += Span(coat.film_um, coat.film_um)
        elif coat.um_low is not None and coat.um_high is not None:
            total += Span(coat.um_low, coat.um_high)
        else:
            return None
    return total
