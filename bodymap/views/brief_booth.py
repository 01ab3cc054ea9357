"""What a painter must be able to read from two metres: when the mask is on, for which coats, what else to mind."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bodymap.model import Area
from bodymap.views.brief_plan import CoatRow, MaskPlan
from bodymap.views.edge_words import EdgeWords

_NAME_MOST = 40
_LEFT_ALONE = {"keep": "it: wear and dirt stay.", "mask": "the line."}


@dataclass(frozen=True)
class BoothLine:
    """One line of large print. `loud`: it stops the work where it is overlooked."""

    label: str
    words: str
    loud: bool = False


def booth_lines(area: Area, words: EdgeWords, plan: MaskPlan) -> tuple[BoothLine, ...]:
    """The lines of one area, the most pressing ones first. A coat goes by its step and its name up to the first comma."""
    return (
        *_when(plan),
        *_coats(plan),
        *_strips(area, plan),
        BoothLine("Not stated:", f"{', '.join((*words.to_be_stated, 'gun side'))}."),
        BoothLine("Do NOT improve", _LEFT_ALONE[area.purpose]),
    )


def _when(plan: MaskPlan) -> Iterable[BoothLine]:
    if not plan.planned:
        yield BoothLine(plan.words, "")
        return
    spans = [f"{on} to {'the end (no step takes it off)' if off is None else off}" for on, off in plan.spans]
    yield BoothLine("Mask ON", f"from step {', '.join(spans)}.", loud=True)


def _coats(plan: MaskPlan) -> Iterable[BoothLine]:
    on, under, off, harmed = ([row for row in plan.coats if test(row)] for test in (_is_on, _is_under, _is_off, _harms))
    if harmed:
        yield BoothLine("KEPT SURFACE HIT by", f"{_listed(harmed)}: stop and ask.", loud=True)
    if on and len(on) == len(plan.coats) and plan.planned:
        yield BoothLine("ON for every coat", f"({_steps(on)}).")
    elif on and plan.planned:
        yield BoothLine("ON for", f"{_listed(on)}.")
    if under:
        masks = ", ".join(dict.fromkeys(mask for row in under for mask in row.by))
        yield BoothLine(f"Under {masks} for", f"{_listed(under)}.")
    if off:
        yield BoothLine("OFF for", f"{_listed(off)}.", loud=True)


def _strips(area: Area, plan: MaskPlan) -> Iterable[BoothLine]:
    steps = plan.stripped_in if area.purpose == "keep" else plan.stripped_while_on
    if steps:
        yield BoothLine("Stripped round it", f"at step {', '.join(map(str, steps))}: protect it first.", loud=True)


def _is_on(row: CoatRow) -> bool:
    return row.mask == "on" and not row.by


def _is_under(row: CoatRow) -> bool:
    return row.mask == "on" and bool(row.by)


def _is_off(row: CoatRow) -> bool:
    return row.mask == "off" and not row.harms


def _harms(row: CoatRow) -> bool:
    return row.harms


def _steps(rows: Iterable[CoatRow]) -> str:
    numbers = list(dict.fromkeys(str(row.step) for row in rows))
    return f"step {numbers[0]}" if len(numbers) == 1 else f"steps {', '.join(numbers)}"


def _listed(rows: list[CoatRow], most: int = 6) -> str:
    more = f" and {len(rows) - most} more, see the back" if len(rows) > most else ""
    return ", ".join(f"{row.step} {row.coat.split(',')[0][:_NAME_MOST]}" for row in rows[:most]) + more
