"""What is written on a sheet: captions with scale bars, names beside marks, figures on zones."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.views.labels import SIZES_PX, LabelDesk, around, inside, outward
from bodymap.views.layout import SheetLayout
from bodymap.views.sheet_parts import AreaMark, FindingMark, Label, Point, PointMark, ScaleBar

_BARS_MM = ((1000.0, "1 m"), (500.0, "0.5 m"), (200.0, "0.2 m"), (100.0, "0.1 m"))
_BAR_SHARE = 0.3
# Mean width of a letter with some room to spare; what lies between caption and bar.
_LETTER_EM, _BETWEEN_EM = 0.52, 1.2
_CAPTION_LINES = 2
# An area is lettered within only where the letters hide a small part of it.
_ROOMY = 5.0
_NAME_LETTERS = 22
_CLEAR_EM = 0.6
_SIGN_PX = {"spot": 5.0, "datum": 6.0, "reading": 6.0, "refused": 7.0}
_FINDING_PX = 8.0


def captions(layout: SheetLayout, desk: LabelDesk) -> tuple[tuple[Label, ...], tuple[ScaleBar, ...]]:
    """The name of each drawing under it on the left, a scale bar on the right."""
    labels, bars = [], []
    em = SIZES_PX["caption"] * desk.mm_per_px
    for place in layout.placed:
        x0, ground, x1, _ = place.extent
        lines, length, words = _caption(place.caption or place.drawing_id, x1 - x0, em, schematic=place.schematic)
        y = max(ground - 1.15 * em, place.bounds[1])
        drop = -0.6 * (len(lines) - 1)
        labels.append(desk.put(Label("\n".join(lines), x0, y, "ink", 0.0, drop, "left", "caption")))
        bar = ScaleBar(x1 - length - (len(words) + 1) * _LETTER_EM * em, y, length, words)
        bars.append(bar)
        desk.take((bar.x, y - em / 2, x1, y + em / 2))
    return tuple(labels), tuple(bars)


def _caption(name: str, width: float, em: float, *, schematic: bool) -> tuple[list[str], float, str]:
    """The caption in lines, and the longest round bar beside which it stands: in one line, else in two at most.

    A schematic drawing says so, in few words where there is no room for more.
    """
    texts = [f"{name} (schematic: sizes are estimates)", f"{name} (schematic)"] if schematic else [name]
    for most in range(1, _CAPTION_LINES + 1):
        for text in texts:
            for length, words in _BARS_MM:
                bar = length + (len(words) + 1) * _LETTER_EM * em
                letters = int((width - bar - _BETWEEN_EM * em) / (_LETTER_EM * em))
                fits = letters >= max(len(word) for word in text.split())
                if length <= _BAR_SHARE * width and fits and len(lines := textwrap.wrap(text, letters)) <= most:
                    return lines, length, words
    return textwrap.wrap(texts[-1], max(int(width / (_LETTER_EM * em)), 8)), *_BARS_MM[-1]


def keep_signs_free(findings: Sequence[FindingMark], points: Sequence[PointMark], desk: LabelDesk) -> None:
    """No label is to be written over a sign."""
    for finding in findings:
        if not finding.lit:
            desk.keep_free(*finding.sign, _FINDING_PX)
    for point in points:
        desk.keep_free(point.x, point.y, _SIGN_PX.get(point.sign, 5.0))


def area_labels(areas: Sequence[AreaMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The id of each kept area and mask: in its middle where there is room, else beside it."""
    found: list[Label] = []
    for area in areas:
        text = f"{area.area_id} (made again)" if area.recreated and area.purpose == "keep" else area.area_id
        paint = "kept" if area.purpose == "keep" else "mask"
        label = Label(text, *area.middle, paint, ground=True)
        surface, box = _surface(area), desk.box(label)
        roomy = surface.area > _ROOMY * (box[2] - box[0]) * (box[3] - box[1])
        within = inside(label, surface, desk.mm_per_px) if roomy else ()
        corners = _corners(area)
        beside = [one for x, y in corners for one in outward(replace(label, x=x, y=y), area.middle)]
        far = around(replace(label, x=corners[0][0], y=corners[0][1]), 0.4)
        found += desk.put_first_free([*within, *beside, *far])
    return tuple(found)


def _surface(area: AreaMark) -> BaseGeometry:
    """The surface of an area from its rings: holes lie in outer rings, so that what is covered twice is open."""
    surface: BaseGeometry = shapely.Polygon()
    for ring in area.rings:
        surface = surface.symmetric_difference(shapely.Polygon(ring))
    return surface


def _corners(area: AreaMark) -> tuple[Point, ...]:
    """Places on the edge of the first part of an area: below and above a wide one first, right and left of a high one."""
    x, y = zip(*area.rings[0], strict=True)
    left, right, low, top = min(x), max(x), min(y), max(y)
    across, up = (left + right) / 2, (low + top) / 2
    sides, ends = ((right, up), (left, up)), ((across, low), (across, top))
    first = (*ends, *sides) if right - left > top - low else (*sides, *ends)
    return (*first, (right, top), (left, top), (right, low), (left, low))


def finding_labels(findings: Sequence[FindingMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The id of each finding beside its sign; lettering in relief speaks for itself."""
    signed = [finding for finding in findings if not finding.lit]
    return tuple(
        label
        for finding in signed
        for label in desk.put_around(
            Label(finding.finding_id, *finding.sign, "finding", ground=True, words=finding.words, zone_id=finding.zone_id)
        )
    )


def point_labels(points: Sequence[PointMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The name of each point that has one, beside it."""
    named = [point for point in points if point.name]
    # A value left out is found by pointing at its mark, so it does not count as missed.
    values = {id(point): _value_label(point) for point in named if point.sign in ("reading", "refused", "to_read")}
    room = dict(zip(values, desk.room_for(list(values.values()), _CLEAR_EM, ()), strict=True))
    found: list[Label] = []
    for point in named:
        if id(point) not in values:
            text = "\n".join(textwrap.wrap(point.name, _NAME_LETTERS))
            found += desk.put_around(_point_label(point, text), _CLEAR_EM)
        elif room[id(point)]:
            found += desk.put_around(values[id(point)], _CLEAR_EM, (), counts=False)
    return tuple(found)


def _value_label(point: PointMark) -> Label:
    return _point_label(point, point.name)


def _point_label(point: PointMark, text: str) -> Label:
    paint = "ink" if point.sign == "reading" else point.paint
    return Label(text, point.x, point.y, paint, ground=True, words=point.words, zone_id=point.zone_id)
