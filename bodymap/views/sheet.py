"""The panel sheet: everything that is to be drawn of the vehicle's skin, for one choice of tint and marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bodymap.model import Record
from bodymap.model.drawing import DrawingKind
from bodymap.settings import Settings
from bodymap.views.labels import LabelDesk
from bodymap.views.layout import Bounds, Placed, SheetLayout, lay_out
from bodymap.views.legend import FILM_RAMP, mark_legend, sheet_notes, zone_legend
from bodymap.views.marks import area_marks, datum_marks, finding_marks, line_marks, near_lines, reading_marks, stack_marks
from bodymap.views.sheet_labels import area_labels, captions, finding_labels, keep_signs_free, point_labels
from bodymap.views.sheet_parts import (
    AreaMark,
    FindingMark,
    Label,
    LegendItem,
    LineMark,
    Path,
    PointMark,
    Ramp,
    ScaleBar,
    Stroke,
    Surface,
    ZoneView,
)
from bodymap.views.sheet_zones import Scale, TintedZone, overlays, texture_strokes, tinted_zones
from bodymap.views.silhouette import outline_strokes, silhouettes
from bodymap.views.tints import tinter

__all__ = ["Bounds", "Placed", "SheetChoice", "SheetLayout", "SheetView", "lay_out", "sheet_view"]

_WIDTH_PX = 780.0
# How close the places stand at which a pointer finds the words of a line.
_NEAR_PX, _NEAR_LEAST_MM = 24.0, 40.0

Tint = Literal["plain", "finish", "coat", "film", "not_seen"]
Mark = Literal["kept", "findings", "readings", "lines", "datums", "stacks"]


@dataclass(frozen=True)
class SheetChoice:
    """What somebody wants to see.

    Attributes:
        coat_id: the coat followed by the tint `coat`; without one every zone is plain.
        mm_per_px: how many mm of the vehicle one pixel (1/96 inch) shows, for keeping labels apart; None: the whole sheet
            about 780 pixels wide, as on a tablet.
        window: the part of the sheet that is looked at [sheet mm]; None: all of it. What lies outside is drawn, but not
            lettered, and textured as for the whole sheet.
    """

    kind: DrawingKind
    tint: Tint = "plain"
    coat_id: str | None = None
    marks: frozenset[Mark] = frozenset()
    mm_per_px: float | None = None
    window: Bounds | None = None


@dataclass(frozen=True)
class SheetView:
    """All that is to be drawn, in sheet mm, in this order from the ground up.

    Attributes:
        under: silhouettes below the zones (body, wheels); zones; `textures` of the zones; `over`: silhouettes above them
            (glass, lamps, trim); `strokes`: outline, shut lines, body lines, zone edges.
        near: places along lines at which a pointer finds their words; not drawn.
        bounds: of the sheet [mm]; mm_per_px: the scale for which labels were kept apart.
        notes: what the picture alone does not say, in sentences.
    """

    choice: SheetChoice
    bounds: Bounds
    mm_per_px: float
    under: tuple[Surface, ...]
    zones: tuple[ZoneView, ...]
    textures: tuple[Stroke, ...]
    over: tuple[Surface, ...]
    strokes: tuple[Stroke, ...]
    areas: tuple[AreaMark, ...]
    findings: tuple[FindingMark, ...]
    lines: tuple[LineMark, ...]
    points: tuple[PointMark, ...]
    near: tuple[PointMark, ...]
    labels: tuple[Label, ...]
    bars: tuple[ScaleBar, ...]
    legend: tuple[LegendItem, ...]
    ramp: Ramp | None
    notes: tuple[str, ...]


def sheet_view(record: Record, choice: SheetChoice, settings: Settings) -> SheetView:  # noqa: ARG001 - as every view
    """The sheet for one choice. An empty record gives an empty sheet."""
    layout = lay_out(record, choice.kind)
    whole = max(layout.bounds[2] / _WIDTH_PX, 0.01)
    scale = Scale(choice.mm_per_px or whole, whole, choice.window)
    tint, marked = tinter(record, choice.tint, choice.coat_id), overlays(record, layout, choice.marks)
    zones = tinted_zones(record, layout, tint, marked, scale)
    marks = _marks(record, layout, choice, zones, scale.mm_per_px)
    desk = LabelDesk(scale.mm_per_px, layout.bounds, layout.cells, choice.window)
    names, bars = captions(layout, desk)
    labels = (*names, *_labels(marks, zones, desk))
    under, over = silhouettes(record, layout)
    marks_legend = mark_legend(marks.areas, marks.findings, marks.lines, marks.points)
    coat_id = choice.coat_id if choice.tint == "coat" else None
    notes = sheet_notes(record, choice.marks, placeless_readings=marks.placeless, missed=desk.missed, coat_id=coat_id)
    return SheetView(
        choice=choice,
        bounds=layout.bounds,
        mm_per_px=scale.mm_per_px,
        under=under,
        zones=tuple(zone.view for zone in zones),
        textures=texture_strokes(zones),
        over=over,
        strokes=(*_zone_edges(zones, choice), *outline_strokes(record, layout), *marks.datum_lines),
        areas=marks.areas,
        findings=marks.findings,
        lines=marks.lines,
        points=marks.points,
        near=marks.near,
        labels=labels,
        bars=bars,
        legend=(*zone_legend(zones, choice.tint), *marks_legend),
        ramp=FILM_RAMP if choice.tint == "film" or ("readings" in choice.marks and record.readings) else None,
        notes=tuple(notes),
    )


@dataclass(frozen=True)
class _Marks:
    areas: tuple[AreaMark, ...] = ()
    findings: tuple[FindingMark, ...] = ()
    lines: tuple[LineMark, ...] = ()
    points: tuple[PointMark, ...] = ()
    datum_lines: tuple[Stroke, ...] = ()
    near: tuple[PointMark, ...] = ()
    placeless: int = 0


def _marks(
    record: Record, layout: SheetLayout, choice: SheetChoice, zones: tuple[TintedZone, ...], mm_per_px: float
) -> _Marks:
    """What is marked on the sheet, by what was asked for."""
    asked = choice.marks
    points: list[PointMark] = [sign for zone in zones for sign in zone.signs]
    placeless = 0
    datum_lines: dict[PointMark, tuple[Path, ...]] = {}
    if "readings" in asked:
        found, placeless = reading_marks(record, layout)
        points += found
    if "stacks" in asked:
        points += stack_marks(record, layout)
    if "datums" in asked:
        datum_lines = datum_marks(record, layout)
        points += datum_lines
    datum_paths = tuple(path for paths in datum_lines.values() for path in paths)
    findings = finding_marks(record, layout, mm_per_px) if "findings" in asked else ()
    lines = line_marks(record, layout) if "lines" in asked else ()
    spoken = [(one.paths, one.words) for one in findings]
    spoken += [(one.paths, one.words) for one in lines]
    spoken += [(paths, datum.words) for datum, paths in datum_lines.items()]
    return _Marks(
        areas=area_marks(record, layout, mm_per_px) if "kept" in asked else (),
        findings=findings,
        lines=lines,
        points=tuple(points),
        datum_lines=(Stroke("datum", datum_paths),) if datum_paths else (),
        near=near_lines(record, layout, spoken, max(_NEAR_PX * mm_per_px, _NEAR_LEAST_MM)),
        placeless=placeless,
    )


def _labels(marks: _Marks, zones: tuple[TintedZone, ...], desk: LabelDesk) -> tuple[Label, ...]:
    """Names and figures in the order in which they may claim room."""
    keep_signs_free(marks.findings, marks.points, desk)
    figures = tuple(label for zone in zones if zone.figures for label in desk.put_first_free(zone.figures, counts=False))
    order = {"spot": 0, "datum": 1, "reading": 2}
    named = sorted(marks.points, key=lambda point: order.get(point.sign, 3))
    return (
        *figures,
        *area_labels(marks.areas, desk),
        *finding_labels(marks.findings, desk),
        *point_labels(named, desk),
    )


def _zone_edges(zones: tuple[TintedZone, ...], choice: SheetChoice) -> tuple[Stroke, ...]:
    """Edges of zones, fine where an outline is drawn as well."""
    style = "zone_edge" if choice.kind == "outside" else "face_edge"
    plain = tuple(ring for zone in zones for ring in zone.view.rings)
    return (Stroke(style, plain),) if plain else ()
