"""What the repaint takes, ready to be read: paint by coat and by step, surface to strip, tape and film, each with its basis.

Screen and print show the same words. A figure that cannot be reckoned is `not stated`, with what is lacking beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bodymap.finish.materials import Span
from bodymap.finish.quantities import CoatQuantity, Quantities, StripQuantity, quantities
from bodymap.model import Record, Step
from bodymap.model.plan import StripMethod
from bodymap.settings import Settings
from bodymap.units import mm2_to_m2
from bodymap.views.cautions import cautions_for
from bodymap.views.mask_materials import MaskMaterials, mask_materials, tape_of_all
from bodymap.views.plan_words import METHODS

NOT_STATED = "not stated"
_ESTIMATE = "≈ "
_SMALL_L, _SMALL_M2 = 1.0, 0.01


@dataclass(frozen=True)
class CoatTotal:
    """One coat over all its steps."""

    coat_id: str
    name: str
    colour: str | None
    steps: str
    surface: str
    paint: str
    thinner: str
    ready: str


@dataclass(frozen=True)
class CoatRow:
    """One coat in one step. `lacks`: what is not stated; `basis`: what the figures rest on."""

    step: int
    coat_id: str
    name: str
    faces: str
    surface: str
    film: str
    passes: str
    wet_pass: str
    paint: str
    thinner: str
    ready: str
    in_place: str
    lacks: tuple[str, ...]
    basis: tuple[str, ...]


@dataclass(frozen=True)
class StripRow:
    """Surface stripped in one step."""

    step: int
    method: str
    faces: str
    surface: str
    by_hand: str
    basis: tuple[str, ...]


@dataclass(frozen=True)
class MaskRow:
    """Tape and film of one mask step."""

    step: int
    title: str
    tape: str
    film: str
    basis: tuple[str, ...]


@dataclass(frozen=True)
class QuantitiesView:
    """The sheet.

    Attributes:
        strip_totals, tape_totals: (what, how much).
        film_total: masking film of all mask steps.
        notes: what holds for all of it.
    """

    vehicle: str
    vehicle_id: str
    totals: tuple[CoatTotal, ...]
    coats: tuple[CoatRow, ...]
    strips: tuple[StripRow, ...]
    strip_totals: tuple[tuple[str, str], ...]
    masks: tuple[MaskRow, ...]
    tape_totals: tuple[tuple[str, str], ...]
    film_total: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]


def quantities_view(record: Record, settings: Settings, steps: Iterable[Step] | None = None) -> QuantitiesView:
    """What the record's plan (or other steps) takes."""
    planned = tuple(sorted(record.steps if steps is None else steps, key=lambda step: step.step))
    taken = quantities(record, settings, steps=planned)
    masks = mask_materials(record, settings, planned)
    mark = _ESTIMATE if any(row.estimate for row in masks) else ""
    return QuantitiesView(
        vehicle=record.vehicle.name,
        vehicle_id=record.vehicle.vehicle_id,
        totals=tuple(_totals(record, taken)),
        coats=tuple(_coat_row(record, row) for row in taken.coats),
        strips=tuple(_strip_row(row) for row in taken.strips),
        strip_totals=tuple(
            (_method(method), square_metres(mm2, estimate=any(row.estimate for row in taken.strips)))
            for method, mm2 in taken.strip_by_method.items()
        ),
        masks=tuple(_mask_row(row) for row in masks),
        tape_totals=tuple((tape.tape, f"{mark}{tape.length_m:.1f} m") for tape in tape_of_all(masks)),
        film_total=f"{mark}{sum(row.film_m2 for row in masks):.2f} m²",
        notes=tuple(_notes(taken)),
        cautions=cautions_for({"spraying", "two-pack", *({"old finish"} if taken.strips else ())}),
    )


def _totals(record: Record, taken: Quantities) -> Iterable[CoatTotal]:
    by_coat: dict[str, list[CoatQuantity]] = {}
    for row in taken.coats:
        by_coat.setdefault(row.coat_id, []).append(row)
    for coat_id, rows in by_coat.items():
        coat = record.coat[coat_id]
        guess = any(row.estimate for row in rows)
        yield CoatTotal(
            coat_id,
            coat.name,
            coat.colour,
            ", ".join(str(row.step) for row in rows),
            square_metres(sum(row.surface_mm2 for row in rows), estimate=guess),
            litres_said(_sum([row.paint_l for row in rows]), estimate=guess),
            litres_said(_sum([row.thinner_l for row in rows]), estimate=guess),
            litres_said(_sum([row.ready_l for row in rows]), estimate=guess),
        )


def _sum(spans: Sequence[Span | None]) -> Span | None:
    """The sum; None where one of them is not known."""
    total = Span(0, 0)
    for span in spans:
        if span is None:
            return None
        total += span
    return total


def _coat_row(record: Record, row: CoatQuantity) -> CoatRow:
    coat = record.coat[row.coat_id]
    stated = Span(coat.film_um, coat.film_um) if coat.film_um is not None else None
    usual = Span(coat.um_low, coat.um_high) if coat.um_low is not None and coat.um_high is not None else None
    passes = NOT_STATED if row.passes is None else _between(*(str(count) for count in row.passes))
    return CoatRow(
        row.step,
        row.coat_id,
        row.name,
        _faces(row.zones),
        square_metres(row.surface_mm2, estimate=row.estimate),
        span_said(stated or usual, "µm", 0),
        passes,
        NOT_STATED if row.wet_pass_um is None else f"{row.wet_pass_um:.0f} µm",
        litres_said(row.paint_l, estimate=row.estimate),
        litres_said(row.thinner_l, estimate=row.estimate),
        litres_said(row.ready_l, estimate=row.estimate),
        "" if row.in_place_l is None else litres_said(row.in_place_l, estimate=row.estimate),
        row.missing,
        row.basis,
    )


def _strip_row(row: StripQuantity) -> StripRow:
    return StripRow(
        row.step,
        _method(row.method),
        _faces(row.zones),
        square_metres(row.surface_mm2, estimate=row.estimate),
        square_metres(row.margin_surface_mm2, estimate=row.estimate) if row.margin_surface_mm2 else "–",
        row.basis,
    )


def _mask_row(row: MaskMaterials) -> MaskRow:
    mark = _ESTIMATE if row.estimate else ""
    tape = [f"{one.tape} {mark}{one.length_m:.1f} m" for one in row.tape]
    if row.behind_m:
        tape.append(f"wide tape behind {mark}{row.behind_m:.1f} m")
    film = f"{mark}{row.film_m2:.{2 if row.film_m2 >= _SMALL_M2 else 3}f} m²"
    return MaskRow(row.step, row.title, "; ".join(tape) or NOT_STATED, film, row.basis)


def _notes(taken: Quantities) -> Iterable[str]:
    yield "Surface is true surface: drawn area × surface ratio. Transfer efficiency is taken off once, in the litres."
    yield "What stays in cup, hose and sieve, and test pieces, are not counted: order more."
    if not any(row.in_place_l for row in taken.coats):
        yield "No filler coat is planned: none is counted."
    if any(row.estimate for row in taken.coats) or any(row.estimate for row in taken.strips):
        yield "≈ marks estimates: some of it is on a schematic drawing."
    yield "Product data sheets rank above all of it."


def _method(method: StripMethod | None) -> str:
    return "method not stated" if method is None else METHODS[method]


def _faces(zones: Sequence[str]) -> str:
    return f"{len(zones)} face{'' if len(zones) == 1 else 's'}"


def square_metres(area_mm2: float, *, estimate: bool = False) -> str:
    """An area in m², marked where it is an estimate."""
    return f"{_ESTIMATE if estimate else ''}{mm2_to_m2(area_mm2):.2f} m²"


def litres_said(amount: Span | None, *, estimate: bool = False) -> str:
    """Litres, in two digits below one litre; `not stated` where they cannot be reckoned.

    >>> litres_said(Span(8.3587, 8.3587)), litres_said(Span(0.25, 0.3)), litres_said(None)
    ('8.4 L', '0.25–0.30 L', 'not stated')
    """
    digits = 2 if amount is not None and amount.high < _SMALL_L else 1
    return ("" if amount is None or not estimate else _ESTIMATE) + span_said(amount, "L", digits)


def span_said(span: Span | None, unit: str, digits: int) -> str:
    """A figure, or both its ends, with the unit."""
    if span is None:
        return NOT_STATED
    return f"{_between(f'{span.low:.{digits}f}', f'{span.high:.{digits}f}')} {unit}"


def _between(low: str, high: str) -> str:
    return low if low == high else f"{low}–{high}"
