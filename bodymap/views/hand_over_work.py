"""The work in a hand-over file: steps, materials and quantities, deviations, decisions with names to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bodymap.finish.materials import Span
from bodymap.finish.quantities import Quantities, quantities
from bodymap.finish.replay import replay
from bodymap.finish.replay_report import area_words, stack_words
from bodymap.geometry.validity import shape_fault
from bodymap.model import Record
from bodymap.release.checks import release_of
from bodymap.release.late import Late
from bodymap.settings import DEFAULTS, Settings
from bodymap.units import mm2_to_m2
from bodymap.views.hand_over_done import done_blocks
from bodymap.views.hand_over_parts import (
    NONE,
    NOT_STATED,
    Banner,
    Block,
    Column,
    Row,
    Table,
    Words,
    listed,
    stated,
    table,
)
from bodymap.views.mask_materials import mask_materials

# Below this an area would be rounded to nothing by two decimals.
_SMALL_M2 = 0.1


def materials_blocks(record: Record, settings: Settings) -> Iterator[Block]:
    """The chapter on materials: steps planned and told done, paint, strip, tape and film, the record's own figures."""
    if not record.steps:
        yield Banner("No step is planned in this record, so nothing can be reckoned.")
    yield _steps(record)
    yield from done_blocks(record, settings)
    yield from _quantities(record, settings)
    yield from _tape(record, settings)
    yield _own_figures(record)


def _steps(record: Record) -> Table:
    rows = [
        Row(
            (
                str(step.step),
                step.action,
                listed(tuple(_named(record, ident) for ident in step.target), 6),
                ", ".join(step.parts) or NONE,
                "; ".join(filter(None, (step.method, step.batch and f"batch {step.batch}", step.note))) or NONE,
            )
        )
        for step in sorted(record.steps, key=lambda step: step.step)
    ]
    columns: tuple[Column, ...] = (
        Column("Step", 0.5, right=True), Column("Action", 0.8), Column("What", 3), Column("Parts beside", 1.2),
        Column("How, batch, note", 2.6),
    )  # fmt: skip
    return table("The steps of the repaint", columns, rows, "No step is planned.")


def _named(record: Record, ident: str) -> str:
    """Name of a coat, part or area; zones by their names too."""
    for held in (record.coat, record.part):
        if ident in held:
            return f"{held[ident].name} ({ident})"
    for titled in (record.area, record.zone):
        if ident in titled:
            return titled[ident].title
    return ident


def _quantities(record: Record, settings: Settings) -> Iterator[Block]:
    taken = quantities(record, settings)
    yield _paint_table(record, taken)
    yield _strip_table(record, taken)


def _paint_table(record: Record, taken: Quantities) -> Block:
    rows = [
        Row(
            (
                str(one.step),
                f"{one.name} ({one.coat_id})",
                ("≈ " if one.estimate else "") + f"{mm2_to_m2(one.surface_mm2):.2f}",
                _span(one.paint_l, 2),
                _span(one.thinner_l, 2),
                _span(one.wet_um, 0),
                NOT_STATED if one.passes is None else _ends(str(one.passes[0]), str(one.passes[1])),
                "; ".join(one.missing) or NONE,
            ),
            "again",
            colour=record.coat[one.coat_id].colour,
        )
        for one in taken.coats
    ]
    columns: tuple[Column, ...] = (
        Column("Step", 0.5, right=True), Column("Coat", 2), Column("True m²", 0.8, right=True),
        Column("Paint L", 0.9, right=True), Column("Thinner L", 0.9, right=True),
        Column("Wet film µm, all passes", 0.9, right=True),
        Column("Passes", 0.7, right=True), Column("Not stated", 2.4),
    )  # fmt: skip
    return table(
        "Paint, by step",
        columns,
        rows,
        "No step lays a coat.",
        "Reckoned from the plan: what was really used was not weighed. Surface with mist only is not counted here.",
    )


def _strip_table(record: Record, taken: Quantities) -> Block:
    strips = [
        Row(
            (
                str(one.step),
                one.method or NOT_STATED,
                ("≈ " if one.estimate else "") + f"{mm2_to_m2(one.surface_mm2):.2f}",
                f"{mm2_to_m2(one.margin_surface_mm2):.3f}",
                listed(tuple(record.zone[zone].title for zone in one.zones), 8),
            )
        )
        for one in taken.strips
    ]
    columns: tuple[Column, ...] = (
        Column("Step", 0.5, right=True), Column("Method", 1), Column("True m²", 0.8, right=True),
        Column("Of it by hand m²", 0.9, right=True), Column("Zones", 5),
    )  # fmt: skip
    return table("Surface stripped, by step", columns, strips, "No step strips anything.", "Kept areas are left out.")


def _span(span: Span | None, digits: int) -> str:
    if span is None:
        return NOT_STATED
    return _ends(f"{span.low:.{digits}f}", f"{span.high:.{digits}f}")


def _ends(low: str, high: str) -> str:
    return low if low == high else f"{low}–{high}"


def _tape(record: Record, settings: Settings) -> Iterator[Block]:
    unusable = [area.area_id for area in record.areas if shape_fault(area.shape)]
    if unusable:
        yield Banner(f"Tape is not reckoned: the outline of {listed(unusable)} crosses itself.")
        return
    rows = [
        Row(
            (
                str(one.step),
                f"{one.title} ({one.area_id})",
                ", ".join(f"{tape.tape} {tape.length_m:.1f} m" for tape in one.tape) or NOT_STATED,
                f"{one.behind_m:.1f}" if one.behind_m else NONE,
                ("≈ " if one.estimate else "") + f"{one.film_m2:.{2 if one.film_m2 >= _SMALL_M2 else 3}f}",
            )
        )
        for one in mask_materials(record, settings)
    ]
    columns: tuple[Column, ...] = (
        Column("Step", 0.5, right=True), Column("Mask", 2.4), Column("Tape along the edge, lap included", 2.6),
        Column("Wide tape behind m", 1, right=True), Column("Film m²", 0.8, right=True),
    )  # fmt: skip
    yield table("Tape and masking film, by step", columns, rows, "No step puts a mask on.")


def _own_figures(record: Record) -> Table:
    rows = []
    for one in record.settings:
        known = DEFAULTS.get(one.key)
        meaning = known.meaning if known else "no figure of this version; it has no effect"
        default = f"{known.value:g} {known.unit}" if known else NONE
        rows.append(Row((one.key, one.value, default, f"{one.basis}; {stated(one.source)}", meaning)))
    columns: tuple[Column, ...] = (
        Column("Figure", 1.6), Column("Value", 0.7, right=True), Column("Default", 0.9, right=True), Column("Rests on", 2),
        Column("Meaning", 3),
    )  # fmt: skip
    return table("Working figures of this record's own", columns, rows, "All working figures are the defaults.")


# --- deviations ------------------------------------------------------------------------------------------------------


def deviation_blocks(record: Record, settings: Settings, late: Sequence[Late]) -> Iterator[Block]:
    """The chapter on deviations and decisions: what was overruled, entered late, harmed, or ends other than wanted."""
    yield _overruled(record, settings)
    yield _late(record, late)
    yield from _plan(record, settings)
    yield _signoffs(record)


def _overruled(record: Record, settings: Settings) -> Table:
    rows = [
        Row((record.zone[zone].title, one.blocker.what, one.blocker.code, one.reason, f"{one.by}, {one.on}"))
        for zone, release in release_of(record, settings).items()
        for one in release.overridden
    ]
    columns: tuple[Column, ...] = (
        Column("Zone", 1.6), Column("What stood against stripping", 3), Column("Code", 1), Column("Reason given", 2.4),
        Column("By, on", 1.2),
    )  # fmt: skip
    return table("Overruled by name and reason", columns, rows, "Nothing was overruled.")


def _late(record: Record, late: Sequence[Late]) -> Table:
    rows = [Row((one.kind, one.ident, record.zone[one.zone_id].title, one.when)) for one in late]
    columns: tuple[Column, ...] = (Column("Kind", 1), Column("Entry", 1), Column("Zone", 2.4), Column("When", 1.6))
    return table("As-found evidence entered after the release to strip", columns, rows, "None.")


def _plan(record: Record, settings: Settings) -> Iterator[Block]:
    result = replay(record, settings)
    rows = [
        Row(
            (
                record.zone[piece.zone_id].title,
                str(piece.verdict),
                area_words(piece.area_mm2),
                stack_words(piece.stack),
                stack_words(piece.goal or ()),
                ", ".join(map(str, piece.steps)) or NONE,
            )
        )
        for piece in result.pieces
        if piece.verdict != "match"
    ]
    columns: tuple[Column, ...] = (
        Column("Zone", 1.8), Column("What", 0.9), Column("Drawn", 0.8, right=True), Column("Ends with", 2.2),
        Column("Wanted", 2.2), Column("Steps", 0.7),
    )  # fmt: skip
    share = f"{100 * result.match_mm2 / result.total_mm2:.1f} % of the compared surface ends as wanted." if rows else ""
    yield table(
        "Surface that the plan does not bring to its goal", columns, rows, "Every surface with a goal ends as wanted.", share
    )
    harmed = [
        Row((str(one.step), one.action, one.area_id, record.zone[one.zone_id].title, area_words(one.area_mm2)))
        for one in result.violations
    ]
    columns = (
        Column("Step", 0.5), Column("Action", 1), Column("Kept area", 1), Column("Zone", 2.4), Column("Drawn", 1, right=True)
    )  # fmt: skip
    yield table("Steps that go over a kept area", columns, harmed, "None.")
    if result.without_goal:
        zones = listed(tuple(record.zone[zone].title for zone in result.without_goal), 20)
        yield Words((f"No goal is stated, which is not “nothing wanted”, for: {zones}.",))
    if result.notes:
        yield Words(tuple(f"{note}." for note in result.notes), points=True)


def _signoffs(record: Record) -> Table:
    rows = [Row((_named(record, one.subject), one.what, one.by, one.on, one.note or NONE)) for one in record.signoffs]
    columns: tuple[Column, ...] = (
        Column("Subject", 2),
        Column("Decision", 1.2),
        Column("By", 1.2),
        Column("On", 0.9),
        Column("Note", 3),
    )
    return table("Decisions with a name to them", columns, rows, "No decision is signed.")
