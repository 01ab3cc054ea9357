"""What the film screen reads: the report, its maps and figures, the spot plan and its print, gauge files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import plotly.graph_objects as go

from bodymap.briefs.spot_sheet import spot_sheet_pdf, unprintable
from bodymap.exchange.gauge_csv import GaugeContent, GaugeMapping, GaugeProposal, Limits, propose, read_gauge
from bodymap.exchange.gauge_text import rows_of, text_of
from bodymap.film.before_after import Loss, loss_between_phases, loss_since
from bodymap.film.mapping import Preview
from bodymap.film.report import FilmReport, Specification, film_report
from bodymap.film.spot_plan import SpotPlan, plan_spots
from bodymap.film.summary import AS_FOUND, phase_of
from bodymap.progress import Step, silent, stretch
from bodymap.views.film_histogram import FilmHistograms, film_histograms
from bodymap.views.film_sheet import FilmChoice, film_sheet
from bodymap.views.sheet import Bounds, SheetView
from bodymap.views.sheet_extent import bounds_of, bounds_round
from bodymap.views.spot_map import spot_map
from bodymap.views.spot_sheet import spot_sheet
from dashboard.figures.film_histogram import film_histogram_figure
from dashboard.figures.film_sides import film_sides_figure
from dashboard.figures.framing import framed, mm_per_px
from dashboard.figures.sheet import sheet_said
from dashboard.loaders import Opened, faults_of, layout, moment, once
from dashboard.state import CHOSEN_ZONES, DRAWN_SURFACE, Workspace

_REVISIONS, _VIEWS, _PLANS, _PRINTS, _FILES = 6, 24, 12, 2, 4


@once(_REVISIONS)
def report(now: Opened, phase: str, asked: Specification, _step: Step = silent) -> FilmReport:
    """Everything told of the film in one phase."""
    return film_report(now.record, now.settings, asked, phase, _step)


@once(_REVISIONS)
def phases(now: Opened) -> Mapping[str, str]:
    """Every phase a reading may belong to, with what it is called; those that were read say so."""
    counts: dict[str, int] = {}
    for reading in now.record.readings:
        counts[phase_of(reading)] = counts.get(phase_of(reading), 0) + 1
    names = {AS_FOUND: "As found", "after strip": "After the strip"}
    names |= {coat.coat_id: f"After {coat.coat_id} {coat.name}" for coat in now.record.coats}
    return {phase: f"{name} ({counts[phase]})" if phase in counts else name for phase, name in names.items()}


@once(_REVISIONS)
def losses(now: Opened, rounds: str, before: str, after: str) -> Mapping[str, Loss]:
    """Film lost between two rounds, by zone read in either; `rounds`: `phase`, or `day`: `after` begins the second."""
    found = {}
    for zone in now.record.zones:
        if not now.record.readings_of.get(zone.zone_id):
            continue
        lost = (
            loss_between_phases(now.record, zone.zone_id, before, after, now.settings)
            if rounds == "phase"
            else loss_since(now.record, zone.zone_id, after, now.settings, before)
        )
        found[zone.zone_id] = lost
    return found


@dataclass(frozen=True)
class FilmPicture:
    """What a look at the film is reckoned from: all that makes one map differ from another."""

    choice: FilmChoice
    phase: str
    asked: Specification
    rounds: tuple[str, str, str] | None = None


@once(_VIEWS)
def _view(now: Opened, picture: FilmPicture) -> SheetView:
    lost = losses(now, *picture.rounds) if picture.rounds else None
    return film_sheet(now.record, picture.choice, report(now, picture.phase, picture.asked), lost)


@once(_VIEWS)
def _figure(now: Opened, picture: FilmPicture, bounds: Bounds, theme: str, touch: str) -> go.Figure:
    return framed(sheet_said(_view(now, picture), theme), bounds, touch)


def film_map(now: Opened, workspace: Workspace, picture: FilmPicture, theme: str) -> tuple[go.Figure, tuple[str, ...]]:
    """The map of one look, and what it alone does not say."""
    bounds = _bounds(now, workspace)
    choice = replace(picture.choice, kind=workspace.sheet, mm_per_px=mm_per_px(bounds), window=bounds)
    picture = replace(picture, choice=choice)
    return _figure(now, picture, bounds, theme, workspace.touch), _view(now, picture).notes


def _bounds(now: Opened, workspace: Workspace) -> Bounds:
    """What part of the sheet this window looks at."""
    if workspace.look_at == DRAWN_SURFACE and workspace.drawn:
        return bounds_round(workspace.drawn.ring)
    chosen = workspace.chosen if workspace.look_at == CHOSEN_ZONES else ()
    return bounds_of(now.record, layout(now, workspace.sheet), workspace.look_at, chosen)


@once(_VIEWS)
def _histograms(now: Opened, by: str, zones: tuple[str, ...] | None, phase: str) -> FilmHistograms:
    return film_histograms(now.record, by, zones, phase)


@once(_VIEWS)
def histograms(
    now: Opened, by: str, zones: tuple[str, ...] | None, phase: str, theme: str
) -> tuple[FilmHistograms, go.Figure]:
    """Spread of the readings by zone or part, and drawn."""
    view = _histograms(now, by, zones, phase)
    return view, film_histogram_figure(view, theme)


@once(_VIEWS)
def sides(now: Opened, phase: str, theme: str) -> go.Figure:
    """Left against right, drawn."""
    titles = {zone.zone_id: zone.title for zone in now.record.zones}
    return film_sides_figure(report(now, phase, Specification()).sides.compared, titles, theme)


# --- spot plan --------------------------------------------------------------------------------------------------------

Counts = tuple[tuple[str, int], ...]


@once(_PLANS)
def plan(now: Opened, standard: str, zones: tuple[str, ...] | None, counts: Counts, _step: Step = silent) -> SpotPlan:
    """The spot plan of these zones (None: every outer one)."""
    return plan_spots(now.record, standard, now.settings, zones, dict(counts), _step)


def plan_map(
    now: Opened, workspace: Workspace, spots: SpotPlan, preview: Preview | None, principle: str | None, theme: str
) -> tuple[go.Figure, tuple[str, ...]]:
    """The spots on the map, with the readings laid on them where there are some."""
    bounds = _bounds(now, workspace)
    choice = FilmChoice(workspace.sheet, "film", "none", mm_per_px(bounds), bounds)
    view = spot_map(now.record, choice, spots, preview, principle)
    return framed(sheet_said(view, theme), bounds, workspace.touch), view.notes


@dataclass(frozen=True)
class SpotPrint:
    """The spot sheet as it is printed, and the characters it cannot show."""

    pdf: bytes
    notes: tuple[str, ...]


@once(_PRINTS)
def spot_print(now: Opened, standard: str, zones: tuple[str, ...] | None, counts: Counts, _step: Step = silent) -> SpotPrint:
    """The spot sheet of a plan."""
    fits = now.head.count and not (now.path.is_dir() and faults_of(now))
    spots = plan(now, standard, zones, counts, _step=stretch(_step, 0.0, 0.2))
    _step("Laying out the sheets", 0.2)
    view = spot_sheet(now.record, spots, standard, now.settings)
    _step("Setting the print", 0.4)
    return SpotPrint(spot_sheet_pdf(view, now.head if fits else None, moment()), unprintable(view))


# --- gauge files ------------------------------------------------------------------------------------------------------


@once(_FILES)
def proposal(data: bytes, name: str) -> GaugeProposal:
    """What a gauge file seems to be. Raises BodymapError, in words."""
    return propose(data, name)


@once(_FILES)
def first_rows(data: bytes, name: str, mapping: GaugeMapping, most: int) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """The first and the last rows of a gauge file as they stand in it, with their numbers."""
    text, _, _ = text_of(name, data, mapping.encoding)
    rows = rows_of(name, text, mapping.delimiter)
    shown = rows if len(rows) <= most else [*rows[: most - most // 3], *rows[-(most // 3) :]]
    return tuple((number, tuple(cells)) for number, cells in shown)


@once(_FILES)
def gauge_content(now: Opened, data: bytes, name: str, mapping: GaugeMapping) -> GaugeContent:
    """The readings of a gauge file, flagged against the record. Raises BodymapError, in words."""
    limits = Limits.of(now.settings)
    return read_gauge(data, mapping, limits=limits, readings=now.record.readings, name=name)
