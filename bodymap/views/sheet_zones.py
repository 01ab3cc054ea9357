"""The zones of a sheet as tinted, with the places at which a pointer finds them and what is marked there."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record, Zone
from bodymap.views.layout import Placed, SheetLayout
from bodymap.views.marks import area_words, finding_words
from bodymap.views.palette import text_on
from bodymap.views.picks import middle_of, picks_in, zone_picks
from bodymap.views.sheet_parts import Label, Path, Point, PointMark, Sign, Stroke, Words, ZoneView
from bodymap.views.silhouette import rings_of, shifted
from bodymap.views.textures import texture_paths
from bodymap.views.tints import Tinter, ZoneTint

_SIGN_ROOM_PX, _SIGN_APART_PX = 11.0, 10.0
_FIGURE_EM_PX = 14.0
_LACK_SIGNS: dict[str, Sign] = {"no photo": "no_photo", "no usable reading": "no_reading"}


@dataclass(frozen=True)
class Overlay:
    """A surface marked on a drawing [drawing mm], and what hovering says of it."""

    drawing_id: str
    shape: BaseGeometry
    words: Words


@dataclass(frozen=True)
class TintedZone:
    """A zone with its tint, its view, and what is drawn on it besides."""

    view: ZoneView
    texture: Stroke | None
    figure: Label | None
    signs: tuple[PointMark, ...]
    area_mm2: float


def overlays(record: Record, layout: SheetLayout, marks: Collection[str]) -> tuple[Overlay, ...]:
    """The marked surfaces on this sheet that hovering speaks of."""
    found = []
    if "kept" in marks:
        found += [Overlay(a.drawing_id, to_shapely(a.shape), area_words(a)) for a in record.areas if layout.has(a.drawing_id)]
    if "findings" in marks:
        for finding in record.findings:
            if finding.shape is not None and layout.has(finding.drawing_id):
                shape = to_shapely(finding.shape)
                if shape.area > 0:
                    found.append(Overlay(finding.drawing_id, shape, finding_words(finding)))
    return tuple(found)


def tinted_zones(  # noqa: PLR0913 - each decides something of its own
    record: Record,
    layout: SheetLayout,
    tint: Tinter,
    marked: Sequence[Overlay],
    selected: Collection[str],
    mm_per_px: float,
) -> tuple[TintedZone, ...]:
    """Every zone of the sheet, drawing by drawing."""
    return tuple(
        _tinted(record, place, zone, tint(zone), [one for one in marked if one.drawing_id == place.drawing_id],
                zone.zone_id in selected, mm_per_px)
        for place in layout.placed
        for zone in record.zones_on.get(place.drawing_id, ())
    )  # fmt: skip


def _tinted(  # noqa: PLR0913
    record: Record,
    place: Placed,
    zone: Zone,
    tint: ZoneTint,
    marked: Sequence[Overlay],
    selected: bool,  # noqa: FBT001 - a property of the zone
    mm_per_px: float,
) -> TintedZone:
    shape = to_shapely(zone.shape)
    part = record.part[zone.part_id]
    picks, spots = _picks(zone, shape, marked)
    view = ZoneView(
        zone_id=zone.zone_id,
        title=zone.title,
        drawing_id=zone.drawing_id,
        rings=rings_of(place, shape),
        paint=tint.paint,
        texture=tint.texture,
        state=tint.state,
        words=(zone.title, f"{part.name}, {part.substrate}", *tint.words),
        picks=tuple((x + place.dx, y + place.dy) for x, y in picks),
        spots=spots,
        selected=selected,
    )
    lines = shifted(texture_paths(shape, tint.texture, mm_per_px), place.dx, place.dy)
    texture = Stroke("texture", lines, tint.texture_paint) if lines else None
    return TintedZone(
        view, texture, _figure(place, zone, tint, mm_per_px), _lack_signs(place, zone, tint, mm_per_px), shape.area
    )


def _picks(zone: Zone, shape: BaseGeometry, marked: Sequence[Overlay]) -> tuple[tuple[Point, ...], tuple[Words, ...]]:
    """Places of a zone, more of them where something is marked, and what is marked at each."""
    here = [(one, piece) for one in marked if (piece := shape.intersection(one.shape)).area > 0]
    picks = [*zone_picks(zone.shape), *(pick for _, piece in here for pick in picks_in(piece))]
    if not here:
        return tuple(picks), ((),) * len(picks)
    at = np.array(picks)
    hits = [(one.words, shapely.intersects_xy(one.shape, at[:, 0], at[:, 1])) for one, _ in here]
    spots = tuple(tuple(line for words, hit in hits if hit[number] for line in words) for number in range(len(picks)))
    return tuple(picks), spots


def _figure(place: Placed, zone: Zone, tint: ZoneTint, mm_per_px: float) -> Label | None:
    """The figure of a zone in its middle, where it fits into the zone."""
    if not tint.figure:
        return None
    x, y, _ = middle_of(zone.shape)
    wide, high = len(tint.figure) * 0.32 * _FIGURE_EM_PX * mm_per_px, 0.55 * _FIGURE_EM_PX * mm_per_px
    if not to_shapely(zone.shape).contains(shapely.box(x - wide, y - high, x + wide, y + high)):
        return None
    paint = text_on(tint.paint) if tint.paint.startswith("#") else "ink"
    return Label(tint.figure, x + place.dx, y + place.dy, paint)


def _lack_signs(place: Placed, zone: Zone, tint: ZoneTint, mm_per_px: float) -> tuple[PointMark, ...]:
    """Signs of what lacks on a zone, side by side in its middle, where there is room for them."""
    x, y, radius = middle_of(zone.shape)
    if not tint.lacks or radius < _SIGN_ROOM_PX * mm_per_px:
        return ()
    step = _SIGN_APART_PX * mm_per_px
    first = x + place.dx - step * (len(tint.lacks) - 1)
    return tuple(
        PointMark(_LACK_SIGNS[lack], first + 2 * step * number, y + place.dy, "ink_soft", (zone.title, *tint.words), zone.zone_id)
        for number, lack in enumerate(tint.lacks)
    )


def texture_strokes(zones: Sequence[TintedZone]) -> tuple[Stroke, ...]:
    """Textures gathered by what they are drawn with."""
    held: dict[str, list[Path]] = {}
    for zone in zones:
        if zone.texture:
            held.setdefault(zone.texture.paint, []).extend(zone.texture.paths)
    return tuple(Stroke("texture", tuple(paths), paint) for paint, paths in held.items())
