"""A tinted coat shows where it was begun again: the plan is asked whether all zones of one get it in one go, of one mix.

Two steps are in one go only where they give the coat to the same zones (then they are passes of one coat on all of them).
Who wants it so all the same signs an `override` for the coat.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bodymap.finish.worked import worked
from bodymap.model.coat import Coat
from bodymap.model.plan import Step
from bodymap.model.record import Record
from bodymap.settings import Settings

_NAMED_MOST = 4


@dataclass(frozen=True)
class TintWarning:
    """One tinted coat planned in more than one go.

    `zones`: by step, the zones that get the coat in full. `batches`: by step; None where none is stated. `accepted`: who
    signed for it and why; None where nobody did.
    """

    coat_id: str
    steps: tuple[int, ...]
    zones: tuple[tuple[str, ...], ...]
    batches: tuple[str | None, ...]
    words: str
    accepted: str | None


def tint_warnings(record: Record, settings: Settings, steps: Iterable[Step] | None = None) -> tuple[TintWarning, ...]:
    """Every tinted coat that the plan (the record's, or other steps) gives to its zones in more than one go or batch."""
    planned = {step.step: step for step in (record.steps if steps is None else tuple(steps))}
    got: dict[str, dict[int, list[str]]] = defaultdict(lambda: defaultdict(list))
    for one in worked(record, settings, planned.values()).coated:
        if one.extent == "full":
            got[one.coat_id][one.step].append(one.zone_id)
    warnings = []
    for coat in record.coats:
        if coat.kind == "tinted" and len(got[coat.coat_id]) > 1:
            warning = _warning(record, coat, got[coat.coat_id], planned)
            warnings += [warning] if warning else []
    return tuple(warnings)


def _warning(record: Record, coat: Coat, got: dict[int, list[str]], planned: dict[int, Step]) -> TintWarning | None:
    numbers = tuple(sorted(got))
    batches = tuple(planned[number].batch for number in numbers)
    apart, mixed = len({frozenset(zones) for zones in got.values()}) > 1, len(set(batches)) > 1
    if not apart and not mixed:
        return None
    reasons = []
    if apart:
        reasons.append("its zones get it in different steps: " + _where(record, got, numbers))
    if mixed:
        told = (f"step {number} {batch or 'not stated'}" for number, batch in zip(numbers, batches, strict=True))
        reasons.append("its steps are of different batches: " + ", ".join(told))
    words = (
        f"{coat.name} ({coat.coat_id}) is planned in steps {_listed(numbers)}. {_capital('; '.join(reasons))}. "
        "A tinted coat shows where it was begun again: one step, one batch, or sign for it."
    )
    zones = tuple(tuple(got[number]) for number in numbers)
    return TintWarning(coat.coat_id, numbers, zones, batches, words, _accepted(record, coat))


def _where(record: Record, got: dict[int, list[str]], numbers: Sequence[int]) -> str:
    common = set.intersection(*(set(zones) for zones in got.values()))
    said = []
    for number in numbers:
        own = [zone for zone in got[number] if zone not in common]
        names = ", ".join(record.zone[zone].title for zone in own[:_NAMED_MOST]) or "nothing else"
        more = f" and {len(own) - _NAMED_MOST} more" if len(own) > _NAMED_MOST else ""
        said.append(f"step {number} {names}{more}")
    return "; ".join(said)


def _accepted(record: Record, coat: Coat) -> str | None:
    signed = [one for one in record.signoffs if one.what == "override" and one.subject == coat.coat_id]
    return f"{signed[-1].by}, {signed[-1].on}: {signed[-1].note or 'no reason stated'}" if signed else None


def _listed(numbers: Sequence[int]) -> str:
    return f"{', '.join(map(str, numbers[:-1]))} and {numbers[-1]}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
