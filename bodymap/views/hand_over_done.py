"""What was told of the work while it was done: steps with hand, day, batch and air, and where the parts lay."""

from __future__ import annotations

from collections.abc import Iterator

from bodymap.finish.progress import StepDone, read_progress
from bodymap.model import Record
from bodymap.settings import Settings
from bodymap.views.hand_over_parts import NONE, NOT_STATED, Banner, Block, Column, Row, Table, listed, stated, table
from bodymap.views.parts import place_in, statements_of_place
from bodymap.views.plan_words import step_words


def done_blocks(record: Record, settings: Settings) -> Iterator[Block]:
    """Steps told done, those sprayed too near the dew point first in a banner; and each move of a part."""
    progress = read_progress(record, settings)
    near = [f"step {_number(one)}: {one.air.found}" for one in progress.steps if one.air and one.air.warns]
    more = f"; and {len(near) - 6} more" if len(near) > 6 else ""
    if near:
        yield Banner(f"Sprayed too near the dew point: {'; '.join(near[:6])}{more}.")
    left = len(record.steps) - len(progress.numbers)
    columns = (
        Column("Step", 0.5, right=True), Column("What", 3), Column("On", 0.9), Column("By", 1.1), Column("Batch", 1),
        Column("Air, surface", 1.5), Column("Above dew point", 1.1), Column("Note", 1.8),
    )  # fmt: skip
    note = f"{left} of {len(record.steps)} steps of the plan are not told done." if progress.steps and left else ""
    yield table("Steps told done", columns, [_row(record, one) for one in progress.steps], "No step is told done.", note)
    if progress.unread:
        yield Banner(f"Statements that cannot be read: {listed(progress.unread, 4)}.")
    yield from _moves(record)


def _number(one: StepDone) -> int:
    return one.step.step if one.step else one.done.number


def _row(record: Record, one: StepDone) -> Row:
    done, air, coat = one.done, one.done.air, one.done.action == "coat"
    blank = NOT_STATED if coat else NONE
    figures = (("", air.air_c, "°C"), ("", air.humidity_pct, "%"), ("surface ", air.surface_c, "°C"))
    told = ", ".join(f"{name}{value:g} {unit}" for name, value, unit in figures if value is not None)
    dew = NONE
    if one.air:
        dew = one.air.verdict if one.air.margin_c is None else f"{one.air.margin_c:.1f} °C, {one.air.verdict}"
    what = step_words(record, one.step, short=True) if one.step else f"{done.action} {listed(done.target, 6)}"
    gone = "" if one.step else " (the plan has no such step now)"
    return Row(
        (
            str(_number(one)), what + gone, stated(done.on), stated(done.by), done.batch or blank, told or blank, dew,
            done.note or NONE,
        )
    )  # fmt: skip


def _moves(record: Record) -> Iterator[Table]:
    rows = [
        Row((part.name, place_in(said), stated(said.by), stated(said.date)))
        for part in record.parts
        for said in statements_of_place(record, part.part_id)
    ]
    if rows:
        columns = (Column("Part", 2), Column("Lay", 3), Column("By", 1.2), Column("On", 1))
        yield table("Where the parts lay", columns, rows, "")
