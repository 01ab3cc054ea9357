"""What the repaint rehearsal reads and reckons: plans run to a step, their sheets, quantities, step cards."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

import plotly.graph_objects as go

import demo
from bodymap.briefs.quantities import quantities_pdf, unprintable
from bodymap.errors import BodymapError
from bodymap.exchange.plan_file import parse_plan
from bodymap.exchange.step_card import parse_step_card
from bodymap.film.summary import zone_film
from bodymap.finish.materials import Span
from bodymap.finish.plan_draft import Draft, draft_plan
from bodymap.finish.plan_edit import Plan, numbered, plan_of
from bodymap.finish.progress import Progress, build_um, read_progress
from bodymap.finish.replay import Replay, replay
from bodymap.finish.tint import CardStep
from bodymap.finish.tint_plan import TintWarning, tint_warnings
from bodymap.finish.tint_report import TintReport, tint_report
from bodymap.model import Coat, Record, Step
from bodymap.views.plan_sheet import FoundRow, found_rows, plan_ground, plan_sheet
from bodymap.views.quantities_sheet import QuantitiesView, quantities_view
from bodymap.views.sheet import SheetView, lay_out
from bodymap.views.tint_curve import Across, TintCurve, across_body, tint_curve
from dashboard.figures.plan_sheet import WIDTH_PX, plan_figure
from dashboard.figures.tint_curve import tint_figure
from dashboard.loaders import Opened, moment, once

_PLANS, _STEPS, _DRAWN = 16, 128, 96


def key_of(plan: Plan) -> str:
    """Tells a plan from every other."""
    said = "\n".join(entry.model_dump_json() for entry in (*plan.steps, *plan.areas, *plan.goals))
    return hashlib.sha256(said.encode()).hexdigest()


@once(_PLANS)
def own_plan(now: Opened) -> Plan:
    """The record's own plan."""
    return plan_of(now.record)


@dataclass(frozen=True)
class Run:
    """A plan run to its end: what it comes to, what goes wrong in rows, and what is said of its tinted coats."""

    plan: Plan
    record: Record
    result: Replay
    rows: tuple[FoundRow, ...]
    tinted: tuple[TintWarning, ...]


def run(now: Opened, plan: Plan) -> Run:
    """A plan run to its end."""
    return _run(now, key_of(plan), plan)


@once(_PLANS)
def _run(now: Opened, key: str, _plan: Plan) -> Run:  # noqa: ARG001 - the key stands for the plan
    record = _plan.within(now.record)
    result = replay(record, now.settings)
    return Run(_plan, record, result, found_rows(record, result), tint_warnings(record, now.settings))


@once(_STEPS)
def _at_step(now: Opened, key: str, upto: int, _plan: Plan) -> Replay:  # noqa: ARG001
    return replay(_plan.within(now.record), now.settings, upto=upto)


@once(4)
def _ground(now: Opened, kind: str) -> SheetView:
    bounds = lay_out(now.record, kind).bounds
    return plan_ground(now.record, kind, now.settings, (bounds[2] - bounds[0]) / WIDTH_PX)


def figure(now: Opened, plan: Plan, kind: str, upto: int, theme: str) -> go.Figure:
    """One sheet after a step of a plan. Shared: never changed."""
    return _figure(now, key_of(plan), kind, upto, theme, plan)


@once(_DRAWN)
def _figure(now: Opened, key: str, kind: str, upto: int, theme: str, _plan: Plan) -> go.Figure:
    at_step, final = _at_step(now, key, upto, _plan), _run(now, key, _plan).result
    view = plan_sheet(now.record, _plan, _ground(now, kind), at_step, final, upto)
    return plan_figure(view, theme)


def pieces_at(now: Opened, plan: Plan, upto: int) -> Replay:
    """The plan run as far as a step."""
    return _at_step(now, key_of(plan), upto, plan)


@once(2, "Drafting the plan …")
def draft(now: Opened) -> Draft:
    """A plan drafted from goals and history."""
    return draft_plan(now.record, now.settings)


@once(4)
def progress(now: Opened) -> Progress:
    """What is done of the record's plan."""
    return read_progress(now.record, now.settings)


@dataclass(frozen=True)
class AfterCoat:
    """What was read on a face after a coat of the plan, and the build planned by then."""

    coat: str
    face: str
    n: int
    spots: int
    median_um: float | None
    planned: Span | None
    refused: int


@once(4)
def after_coats(now: Opened) -> tuple[AfterCoat, ...]:
    """Readings taken after the coats of the record's plan, coat by coat."""
    plan, record = own_plan(now), now.record
    rows = []
    for step in plan.steps:
        coat = step.target[0] if step.action == "coat" and step.target else ""
        zones = dict.fromkeys(reading.zone_id for reading in record.readings if coat and reading.phase == coat)
        if not zones:
            continue
        result = pieces_at(now, plan, step.step)
        for zone in zones:
            film = zone_film(record, zone, coat)
            pieces = [piece for piece in (*result.pieces, *result.others) if piece.zone_id == zone and not piece.kept]
            main = max(pieces, key=lambda piece: piece.area_mm2, default=None)
            build = build_um(record, main.stack) if main is not None and main.known else None
            rows.append(AfterCoat(record.coat[coat].name, record.zone[zone].title, film.n, film.spots, film.median_um, build,
                                  len(film.refused)))  # fmt: skip
    return tuple(rows)


@once(8)
def taken_in(now: Opened, data: bytes, name: str) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The steps of a plan file. Raises Faults."""
    return parse_plan(data, name, now.record)


def beside(now: Opened, name: str) -> Path | None:
    """A file of that name beside the record; for the demo vehicle the demo's own. None where there is none."""
    near = now.path.parent / name
    if near.is_file():
        return near
    own = demo.VEHICLE_FOLDER.parent / name
    return own if own.is_file() and now.record.vehicle.vehicle_id == _demo_vehicle() else None


def _demo_vehicle() -> str:
    try:
        lines = (demo.VEHICLE_FOLDER / "vehicle.csv").read_text(encoding="utf-8").splitlines()
    except OSError:
        return ""
    return lines[1].split(",")[0] if len(lines) > 1 else ""


def bytes_of(path: Path) -> bytes:
    """The bytes of a file. Raises BodymapError."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise BodymapError(f"{path.name}: {error.strerror or error}") from error


def ordered(steps: tuple[Step, ...]) -> Plan:
    """A plan of steps in the order of their numbers, numbered from 1."""
    return Plan(numbered(sorted(steps, key=lambda step: step.step)))


# --- quantities ---------------------------------------------------------------------------------------------------------


def quantities(now: Opened, plan: Plan) -> QuantitiesView:
    """What a plan takes. Raises BodymapError."""
    return _quantities(now, key_of(plan), plan)


@once(8)
def _quantities(now: Opened, key: str, _plan: Plan) -> QuantitiesView:  # noqa: ARG001
    return quantities_view(_plan.within(now.record), now.settings)


@dataclass(frozen=True)
class QuantitiesPrint:
    """The print, and what it cannot show."""

    pdf: bytes
    notes: tuple[str, ...]


@once(2, "Setting the sheet …")
def quantities_print(now: Opened) -> QuantitiesPrint:
    """The quantities of the record's own plan as a PDF."""
    view = quantities(now, own_plan(now))
    return QuantitiesPrint(quantities_pdf(view, now.head if now.head.count else None, moment()), unprintable(view))


def with_coat(now: Opened, coat: Coat) -> str:
    """What one coat would take with other figures, in words."""
    record = now.record.with_kind(Coat.KIND, [coat if one.coat_id == coat.coat_id else one for one in now.record.coats])
    rows = [row for row in quantities_view(record, now.settings).totals if row.coat_id == coat.coat_id]
    return "; ".join(f"paint {row.paint}, thinner {row.thinner}, ready to spray {row.ready}" for row in rows) or "nothing"


# --- step card ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Card:
    """A step card that was read, and what it says."""

    steps: tuple[CardStep, ...]
    report: TintReport
    curve: TintCurve


@once(16)
def step_card(
    now: Opened, data: bytes, name: str, at_um: float | None, delta_e: float | None, pass_um: float | None,
    reading_um: float | None,
) -> Card:  # fmt: skip
    """A step card read and fitted. Raises BodymapError."""
    card = parse_step_card(name, data)
    report = tint_report(
        card.steps, now.settings, name=name, at_um=at_um, delta_e=delta_e, pass_um=pass_um, reading_um=reading_um
    )
    report = replace(report, notes=(*card.notes, *report.notes))
    return Card(card.steps, report, tint_curve(report, card.steps))


def tint_chart(card: Card, theme: str) -> go.Figure:
    """The curve, drawn."""
    return tint_figure(card.curve, theme)


def across(now: Opened, report: TintReport, coat_id: str, reference_um: float | None) -> Across:
    """The tinted coat zone by zone."""
    return across_body(now.record, report, coat_id, now.settings, reference_um)
