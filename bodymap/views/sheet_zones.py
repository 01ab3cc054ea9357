"""The zones of a sheet as tinted, with the places at which a pointer finds them and what is marked there."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import Record, Zone
from bodymap.views.labels import inside
from bodymap.views.layout import Bounds, Placed, SheetLayout
from bodymap.views.marks import area_words, finding_words
from bodymap.views.picks import middle_of, picks_in, zone_picks
from bodymap.views.sheet_parts import Label, Path, Point, PointMark, Sign, Stroke, Texture, Words, ZoneView
from bodymap.views.silhouette import rings_of, shifted
from bodymap.views.textures import texture_paths
from bodymap.views.tints import Tinter, ZoneTint

# Without a window textures are drawn at most this much finer than for the whole sheet.
_FINEST = 3.0
_UNSEEN = 10.0
_SIGN_ROOM_PX, _SIGN_APART_PX = 11.0, 10.0
_LACK_SIGNS: dict[str, Sign] = {"no photo": "no_photo", "no usable reading": "no_reading"}


@dataclass(frozen=True)
class Overlay:
    """A surface marked on a drawing [drawing mm], and what hovering says of it."""

    drawing_id: str
    shape: BaseGeometry
    words: Words


@dataclass(frozen=True)
class Scale:
    """How closely one looks: `mm_per_px` within the `window` [sheet mm] (None: all of the sheet).

    `whole`: mm for one pixel when the whole sheet is looked at.
    """

    mm_per_px: float
    whole: float
    window: Bounds | None = None

    def of_texture(self, place: Placed, shape: BaseGeometry) -> float:
        """The scale at which a surface is textured: strokes that nobody sees closely are not made by the thousand."""
        if self.window is None:
            return max(self.mm_per_px, self.whole / _FINEST)
        return self.mm_per_px if self._sees_of(place, shape) else self.whole

    def of_picks(self, place: Placed, shape: BaseGeometry) -> float:
        """The scale at which places for touches are set; those of what is not seen are not touched."""
        return self.mm_per_px if self._sees_of(place, shape) else _UNSEEN * self.whole

    def cut(self, place: Placed, shape: BaseGeometry) -> BaseGeometry:
        """What is seen of a shape [drawing mm]; all of it where nothing is."""
        if self.window is None or not self._sees_of(place, shape):
            return shape
        left, low, right, high = self.window
        box = shapely.box(left - place.dx, low - place.dy, right - place.dx, high - place.dy)
        seen = shape if box.contains(shape) else shape.intersection(box)
        return seen if seen.area > 0 else shape

    def _sees_of(self, place: Placed, shape: BaseGeometry) -> bool:
        x0, y0, x1, y1 = shape.bounds
        return self.sees(x0 + place.dx, y0 + place.dy, x1 + place.dx, y1 + place.dy)

    def sees(self, x0: float, y0: float, x1: float, y1: float) -> bool:
        """Whether a box on the sheet reaches into the window."""
        if self.window is None:
            return True
        left, low, right, high = self.window
        return x0 <= right and x1 >= left and y0 <= high and y1 >= low


@dataclass(frozen=True)
class TintedZone:
    """A zone with its tint, its view, and what is drawn on it besides. `figures`: places for its one figure, best first."""

    view: ZoneView
    texture: Stroke | None
    figures: tuple[Label, ...]
    signs: tuple[PointMark, ...]
    area_mm2: float


def overlays(record: Record, layout: SheetLayout, marks: Collection[str]) -> tuple[Overlay, ...]:
    """The marked surfaces on this sheet that hovering speaks of."""
    found = []
    if "kept" in marks:
        found += [
            Overlay(a.drawing_id, to_shapely(a.shape), area_words(a)) for a in record.areas if layout.has(a.drawing_id)
        ]
    if "findings" in marks:
        for finding in record.findings:
            if finding.shape is not None and layout.has(finding.drawing_id):
                shape = to_shapely(finding.shape)
                if shape.area > 0:
                    found.append(Overlay(finding.drawing_id, shape, finding_words(finding)))
    return tuple(found)


def tinted_zones(
    record: Record,
    layout: SheetLayout,
    tint: Tinter,
    marked: Sequence[Overlay],
    scale: Scale,
) -> tuple[TintedZone, ...]:
    """Every zone of the sheet, drawing by drawing."""
    return tuple(
        _tinted(record, place, zone, tint(zone), [one for one in marked if one.drawing_id == place.drawing_id],
                scale)
        for place in layout.placed
        for zone in record.zones_on.get(place.drawing_id, ())
    )  # fmt: skip


def _tinted(
    record: Record,
    place: Placed,
    zone: Zone,
    tint: ZoneTint,
    marked: Sequence[Overlay],
    scale: Scale,
) -> TintedZone:
    shape = to_shapely(zone.shape)
    part = record.part[zone.part_id]
    picks, spots = _picks(zone, shape, marked, scale.of_picks(place, shape), scale.cut(place, shape))
    view = ZoneView(
        zone_id=zone.zone_id,
        title=zone.title,
        drawing_id=zone.drawing_id,
        rings=rings_of(place, shape),
        paint=tint.paint,
        texture=tint.texture,
        state=tint.state,
        words=(zone.title, *(tint.words or (f"{part.name}, {part.substrate}",))),
        picks=tuple((x + place.dx, y + place.dy) for x, y in picks),
        spots=spots,
    )
    mm_per_px = scale.mm_per_px
    near = scale.of_texture(place, shape)
    lines = shifted(texture_paths(shape, tint.texture, near), place.dx, place.dy)
    texture = Stroke(_style(tint.texture), lines, tint.texture_paint) if lines else None
    return TintedZone(
        view, texture, _figures(place, zone, tint, mm_per_px), _lack_signs(place, zone, tint, mm_per_px), shape.area
    )


def _picks(
    zone: Zone, shape: BaseGeometry, marked: Sequence[Overlay], mm_per_px: float, seen: BaseGeometry
) -> tuple[tuple[Point, ...], tuple[Words, ...]]:
    """Places in what is `seen` of a zone, more of them where something is marked, and what is marked at each."""
    here = [(one, piece) for one in marked if (piece := seen.intersection(one.shape)).area > 0]
    own = zone_picks(zone.shape, mm_per_px) if seen is shape else picks_in(seen, mm_per_px)
    picks = [*own, *(pick for _, piece in here for pick in picks_in(piece, mm_per_px))]
    if not here:
        return tuple(picks), ((),) * len(picks)
    at = np.array(picks)
    hits = [(one.words, shapely.intersects_xy(one.shape, at[:, 0], at[:, 1])) for one, _ in here]
    spots = tuple(tuple(line for words, hit in hits if hit[number] for line in words) for number in range(len(picks)))
    return tuple(picks), spots


def _figures(place: Placed, zone: Zone, tint: ZoneTint, mm_per_px: float) -> tuple[Label, ...]:
    """The figure of a zone at places at which it fits into the zone, the middle first."""
    if not tint.figure:
        return ()
    x, y, _ = middle_of(zone.shape)
    fitting = inside(Label(tint.figure, x, y, "ink", ground=True, strong=True), to_shapely(zone.shape), mm_per_px)
    return tuple(replace(label, x=label.x + place.dx, y=label.y + place.dy) for label in fitting)


def _lack_signs(place: Placed, zone: Zone, tint: ZoneTint, mm_per_px: float) -> tuple[PointMark, ...]:
    """Signs of what lacks on a zone, side by side in its middle, where there is room for them."""
    x, y, radius = middle_of(zone.shape)
    if not tint.lacks or radius < _SIGN_ROOM_PX * mm_per_px:
        return ()
    step = _SIGN_APART_PX * mm_per_px
    first = x + place.dx - step * (len(tint.lacks) - 1)
    return tuple(
        PointMark(
            _LACK_SIGNS[lack], first + 2 * step * number, y + place.dy, "ink_soft", (zone.title, *tint.words), zone.zone_id
        )
        for number, lack in enumerate(tint.lacks)
    )


def texture_strokes(zones: Sequence[TintedZone]) -> tuple[Stroke, ...]:
    """Textures gathered by what they are drawn with."""
    held: dict[tuple[str, str], list[Path]] = {}
    for zone in zones:
        if zone.texture:
            held.setdefault((zone.texture.style, zone.texture.paint), []).extend(zone.texture.paths)
    return tuple(Stroke(style, tuple(paths), paint) for (style, paint), paths in held.items())


def _style(texture: Texture) -> str:
    """Long lines are drawn finer than short strokes, so that what was never looked at stands out most."""
    return "texture_fine" if texture in ("partly", "not_made", "open") else "texture"
