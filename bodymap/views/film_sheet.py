"""The film on the sheet: points with values, surfaces where they are earned, what is said of each zone, suspected filler.

Where a panel has earned a surface, its bands lie over the zones that were read, with contour lines; the standard error is
told at a touch, and can be drawn instead. Readings that no gauge of their kind can take there are shown with a sign of
their own and never take a colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.film.before_after import Loss
from bodymap.film.contours import Floats, bands, contour
from bodymap.film.filler import FillerArea
from bodymap.film.report import FilmReport
from bodymap.film.surface import FilmSurface, NotEarned
from bodymap.model import Record
from bodymap.model.drawing import DrawingKind
from bodymap.units import mm2_to_m2
from bodymap.views.film_tints import by_film, by_judge, by_loss, by_sides, by_unexplained
from bodymap.views.labels import LabelDesk, inside
from bodymap.views.layout import Bounds, Placed, SheetLayout, lay_out
from bodymap.views.legend import FILM_RAMP, mark_legend, zone_legend
from bodymap.views.marks import reading_marks
from bodymap.views.palette import ERROR_COLOURS, ERROR_KNOTS_UM, error_colour, film_colour
from bodymap.views.sheet import SheetChoice, SheetView
from bodymap.views.sheet_labels import captions, keep_signs_free, point_labels
from bodymap.views.sheet_parts import Label, LegendItem, Path, PointMark, Ramp, Stroke, Surface, ZoneView
from bodymap.views.sheet_zones import Overlay, Scale, TintedZone, texture_strokes, tinted_zones
from bodymap.views.silhouette import outline_strokes, paths_of, rings_of, shifted, silhouettes
from bodymap.views.textures import hatch
from bodymap.views.tints import Tinter

Look = Literal["film", "sides", "iso19840", "sspc_pa2", "unexplained", "filler", "loss"]
Drawn = Literal["film", "error", "none"]
ERROR_RAMP = Ramp("Standard error of one more reading there", "µm", ERROR_KNOTS_UM, ERROR_COLOURS)
_WIDTH_PX = 780.0
_LINES_MOST, _BANDS_EACH = 6, 2
_STEPS = (1.0, 2.0, 5.0)
_LINE_NAMES_PX = 160.0
_HATCH_PX, _HATCH_DEG = 8.0, 45.0


@dataclass(frozen=True)
class FilmChoice:
    """What somebody wants to see of the film.

    Attributes:
        kind: the sheet.
        look: what the zones are tinted by.
        surface: what is drawn of the surfaces that are earned, where the look is `film`.
        mm_per_px, window: as in `SheetChoice`.
    """

    kind: DrawingKind
    look: Look = "film"
    surface: Drawn = "film"
    mm_per_px: float | None = None
    window: Bounds | None = None


@dataclass(frozen=True)
class Dressing:
    """What is put on a sheet besides its zones.

    `over`: surfaces above the zones; `marked`: surfaces of which a pointer is told; `labels`: (places of one label, the best
    first); `ramp`: the ramp of colours used; `legend`: more of the legend.
    """

    over: tuple[Surface, ...] = ()
    strokes: tuple[Stroke, ...] = ()
    points: tuple[PointMark, ...] = ()
    marked: tuple[Overlay, ...] = ()
    labels: tuple[tuple[Label, ...], ...] = ()
    ramp: Ramp | None = None
    legend: tuple[LegendItem, ...] = ()
    notes: tuple[str, ...] = ()


def film_sheet(
    record: Record, choice: FilmChoice, report: FilmReport, losses: Mapping[str, Loss] | None = None
) -> SheetView:
    """The sheet of one look at the film. `losses`: by zone, for the look `loss`."""
    layout = lay_out(record, choice.kind)
    scale = scale_of(layout, choice.mm_per_px, choice.window)
    tint: Tinter = {
        "film": lambda: by_film(report),
        "filler": lambda: by_film(report),
        "sides": lambda: by_sides(report),
        "iso19840": lambda: by_judge(report, "iso19840"),
        "sspc_pa2": lambda: by_judge(report, "sspc_pa2"),
        "unexplained": lambda: by_unexplained(report),
        "loss": lambda: by_loss(report, losses or {}),
    }[choice.look]()
    dressing = Dressing()
    earned = [
        one for one in report.surfaces if isinstance(one, FilmSurface) and layout.has(one.panel.drawing_id)
    ] if choice.look == "film" and choice.surface != "none" else []  # fmt: skip
    if choice.look == "film":
        dressing = _film_dressing(record, layout, choice, report, earned, scale)
    elif choice.look == "filler":
        dressing = _filler_dressing(layout, report, scale)
    view = dressed(record, layout, choice, tint, dressing, scale)
    return replace(view, zones=tuple(_with_errors(layout, zone, earned) for zone in view.zones)) if earned else view


def scale_of(layout: SheetLayout, mm_per_px: float | None, window: Bounds | None) -> Scale:
    """How closely a sheet is looked at; all of it where nothing is said."""
    whole = max(layout.bounds[2] / _WIDTH_PX, 0.01)
    return Scale(mm_per_px or whole, whole, window)


def dressed(
    record: Record, layout: SheetLayout, choice: FilmChoice, tint: Tinter, dressing: Dressing, scale: Scale
) -> SheetView:
    """A sheet with its zones tinted, and what is put on it."""
    zones = tinted_zones(record, layout, tint, dressing.marked, scale)
    desk = LabelDesk(scale.mm_per_px, layout.bounds, layout.cells, choice.window)
    names, bars = captions(layout, desk)
    keep_signs_free((), dressing.points, desk)
    figures = [zone.figures for zone in zones if zone.figures]
    own_first = choice.look == "filler"
    wanted = [*dressing.labels, *figures] if own_first else [*figures, *dressing.labels]
    labels = [*names, *(label for places in wanted for label in desk.put_first_free(places, counts=False))]
    labels += point_labels(dressing.points, desk)
    under, over = silhouettes(record, layout)
    film = choice.look in ("film", "filler") and dressing.ramp is not None
    return SheetView(
        choice=SheetChoice(choice.kind, mm_per_px=choice.mm_per_px, window=choice.window),
        bounds=layout.bounds,
        mm_per_px=scale.mm_per_px,
        under=under,
        zones=tuple(zone.view for zone in zones),
        textures=texture_strokes(zones),
        over=(*dressing.over, *over),
        strokes=(*_edges(zones, choice.kind), *outline_strokes(record, layout), *dressing.strokes),
        areas=(),
        findings=(),
        lines=(),
        points=dressing.points,
        near=(),
        labels=tuple(labels),
        bars=bars,
        legend=(
            *zone_legend(zones, "film" if film else choice.look), *dressing.legend, *mark_legend((), (), (), dressing.points)
        ),
        ramp=dressing.ramp,
        notes=dressing.notes,
    )  # fmt: skip


def _edges(zones: Sequence[TintedZone], kind: DrawingKind) -> Iterator[Stroke]:
    plain = tuple(ring for zone in zones for ring in zone.view.rings)
    if plain:
        yield Stroke("zone_edge" if kind == "outside" else "face_edge", plain)


# --- points and surfaces ----------------------------------------------------------------------------------------------


def _film_dressing(
    record: Record, layout: SheetLayout, choice: FilmChoice, report: FilmReport, earned: Sequence[FilmSurface], scale: Scale
) -> Dressing:
    points, placeless = reading_marks(record, layout, report.phase)
    over: list[Surface] = []
    paths: list[Path] = []
    labels: list[tuple[Label, ...]] = []
    for surface in earned:
        place = layout.place_of(surface.panel.drawing_id)
        values = surface.um if choice.surface == "film" else surface.se_um
        paint = film_colour if choice.surface == "film" else error_colour
        levels = contour_levels(values, surface)
        over += _bands(surface, values, levels, place, paint)
        for level in levels:
            line = contour(surface.grid, values, surface.shape, level)
            paths += paths_of(place, line)
            labels.append(tuple(_names_along(line, f"{level:g}", place, scale.mm_per_px)))
    notes = []
    if placeless:
        notes.append(f"Readings without a place, not drawn: {placeless}.")
    if earned:
        notes.append("Lines: contours of the surface, in µm. Touch it for the film and its standard error at a place.")
    return Dressing(
        over=tuple(over),
        strokes=(Stroke("contour", tuple(paths)),) if paths else (),
        points=points,
        labels=tuple(labels),
        ramp=ERROR_RAMP if earned and choice.surface == "error" else _ramp_of(report),
        notes=tuple(notes),
    )


def _ramp_of(report: FilmReport) -> Ramp:
    return replace(FILM_RAMP, title=f"Film, median of the usable readings, {report.phase}")


def contour_levels(values: Floats, surface: FilmSurface) -> tuple[float, ...]:
    """Round levels between the least and the greatest value inside a surface, at most six."""
    inside_um = values[surface.inside]
    low, high = float(inside_um.min()), float(inside_um.max())
    if high - low < 1e-6:
        return ()
    step = next(
        step * 10.0**power
        for power in range(-1, 6)
        for step in _STEPS
        if math.floor(high / (step * 10.0**power)) - math.ceil(low / (step * 10.0**power)) < _LINES_MOST
    )
    return tuple(step * n for n in range(math.ceil(low / step), math.floor(high / step) + 1))


def _bands(
    surface: FilmSurface, values: Floats, levels: Sequence[float], place: Placed, paint: Callable[[float], str]
) -> Iterator[Surface]:
    """The surface in bands, two between neighbouring contour lines."""
    low, high = float(values.min()), float(values.max())
    inner = [level for level in levels if low < level < high]
    middles = [(one + other) / 2 for one, other in pairwise(inner)]
    edges = [low - 1.0, *sorted([*inner, *middles]), high + 1.0]
    inside_um = values[surface.inside]
    least, most = float(inside_um.min()), float(inside_um.max())
    for band in bands(surface.grid, values, surface.shape, edges):
        yield Surface(paint((max(band.low, least) + min(band.high, most)) / 2), rings_of(place, band.geometry))


def _names_along(line: BaseGeometry, text: str, place: Placed, mm_per_px: float) -> Iterable[Label]:
    """The level at places along its longest line; none on a line hardly longer than the figure."""
    pieces = sorted(shapely.get_parts(line).tolist(), key=lambda piece: -piece.length)
    for piece in pieces[:1]:
        if piece.length < _LINE_NAMES_PX * mm_per_px / 2:
            return
        for share in (0.5, 0.35, 0.65, 0.2, 0.8):
            spot = piece.interpolate(share, normalized=True)
            yield Label(text, spot.x + place.dx, spot.y + place.dy, "ink_soft", size="small", ground=True)


def _with_errors(layout: SheetLayout, zone: ZoneView, earned: Sequence[FilmSurface]) -> ZoneView:
    """A zone of a surface, told at each place with film and standard error there."""
    surface = next((one for one in earned if zone.zone_id in one.panel.zone_ids), None)
    if surface is None:
        return zone
    place = layout.place_of(surface.panel.drawing_id)
    spots = []
    for (x, y), said in zip(zone.picks, zone.spots, strict=True):
        at = _nearest_node(surface, x - place.dx, y - place.dy)
        told = (
            f"Surface here: {surface.um[at]:.0f} µm, standard error {surface.se_um[at]:.0f} µm",
            f"nearest reading {surface.nearest_mm[at]:.0f} mm away",
        )
        spots.append((*said, *told))
    return replace(zone, spots=tuple(spots))


def _nearest_node(surface: FilmSurface, x: float, y: float) -> tuple[int, int]:
    grid = surface.grid
    return int(np.argmin(np.abs(grid.y_mm - y))), int(np.argmin(np.abs(grid.x_mm - x)))


def why_no_surface(report: FilmReport) -> tuple[NotEarned, ...]:
    """Panels that were read and have not earned a surface, most places first."""
    found = [one for one in report.surfaces if isinstance(one, NotEarned)]
    return tuple(sorted(found, key=lambda one: -one.places))


# --- filler -----------------------------------------------------------------------------------------------------------


def _filler_dressing(layout: SheetLayout, report: FilmReport, scale: Scale) -> Dressing:
    areas = [area for area in report.filler.areas if layout.has(area.drawing_id)]
    lines: list[Path] = []
    edges: list[Path] = []
    labels = []
    for area in areas:
        place = layout.place_of(area.drawing_id)
        edges += rings_of(place, area.geometry)
        lines += shifted(hatch(area.geometry, _HATCH_PX * scale.mm_per_px, _HATCH_DEG), place.dx, place.dy)
        labels.append(_filler_label(area, place, scale.mm_per_px))
    marked = tuple(Overlay(area.drawing_id, area.geometry, filler_words(area)) for area in areas)
    return Dressing(
        strokes=(Stroke("filler_hatch", tuple(lines)), Stroke("finding", tuple(edges))) if areas else (),
        marked=marked,
        labels=tuple(labels),
        ramp=_ramp_of(report),
        legend=(LegendItem("suspected filler (or body solder, or many repaints)", "finding", sign="filler"),)
        if areas
        else (),
        notes=report.filler.notes,
    )


def filler_words(area: FillerArea) -> tuple[str, ...]:
    """What there is to say of an area of suspected filler."""
    return (
        f"Suspected filler: {mm2_to_m2(area.surface_mm2):.3f} m² true, mean film {area.mean_um:.0f} µm",
        f"{area.litres:.2f} L in place ({area.low_litres:.2f} to {area.high_litres:.2f})",
    )


def _filler_label(area: FillerArea, place: Placed, mm_per_px: float) -> tuple[Label, ...]:
    widest = max(shapely.get_parts(area.geometry).tolist(), key=lambda part: part.area)
    spot = widest.representative_point()
    text = f"{mm2_to_m2(area.surface_mm2):.2f} m²\n{area.litres:.2f} L"
    label = Label(text, spot.x, spot.y, "ink", ground=True, strong=True)
    within = inside(label, widest, mm_per_px)
    beside = [replace(label, x=x, y=y) for x, y in ((spot.x, widest.bounds[1]), (spot.x, widest.bounds[3]))]
    return tuple(replace(one, x=one.x + place.dx, y=one.y + place.dy) for one in (*within, *beside))
