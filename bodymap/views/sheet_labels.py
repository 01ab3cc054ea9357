"""What is written on a sheet: captions with scale bars, names beside marks, figures on zones."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from bodymap.views.labels import SIZES_PX, LabelDesk, around
from bodymap.views.layout import SheetLayout
from bodymap.views.sheet_parts import AreaMark, FindingMark, Label, PointMark, ScaleBar

_BARS_MM = ((1000.0, "1 m"), (500.0, "500 mm"), (200.0, "200 mm"), (100.0, "100 mm"))
_BAR_SHARE = 0.3
_NAME_LETTERS = 22
_SIGN_PX = {"spot": 5.0, "datum": 6.0, "reading": 6.0, "refused": 7.0}
_FINDING_PX = 8.0


def captions(layout: SheetLayout, desk: LabelDesk) -> tuple[tuple[Label, ...], tuple[ScaleBar, ...]]:
    """The name of each drawing under it on the left, a scale bar on the right."""
    labels, bars = [], []
    em = SIZES_PX["caption"] * desk.mm_per_px
    for place in layout.placed:
        x0, ground, x1, _ = place.extent
        length, words = next(
            ((mm, words) for mm, words in _BARS_MM if mm <= _BAR_SHARE * (x1 - x0)), _BARS_MM[-1]
        )
        y = max(ground - 1.15 * em, place.bounds[1])
        text = place.caption + (" (schematic: sizes are estimates)" if place.schematic else "")
        room = max((x1 - x0 - length - 4 * em) / (0.55 * em), 12)
        lines = textwrap.wrap(text, int(room)) or [place.drawing_id]
        drop = -0.6 * (len(lines) - 1)
        labels.append(desk.put(Label("\n".join(lines), x0, y, "ink", 0.0, drop, "left", "caption")))
        bar = ScaleBar(x1 - length - 0.62 * em * len(words), y, length, words)
        bars.append(bar)
        desk.taken.append((bar.x, y - em / 2, x1, y + em / 2))
    return tuple(labels), tuple(bars)


def area_labels(areas: Sequence[AreaMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The id of each kept area and mask beside it."""
    found: list[Label] = []
    for area in areas:
        points = [point for ring in area.rings for point in ring]
        left, right = min(x for x, _ in points), max(x for x, _ in points)
        low, top = min(y for _, y in points), max(y for _, y in points)
        text = f"{area.area_id}{' (made again)' if area.recreated else ''}"
        paint = "kept" if area.purpose == "keep" else "mask"
        spots = ((right, top), (left, top), (right, low), (left, low), ((left + right) / 2, (low + top) / 2))
        around_all = (one for x, y in spots for one in around(Label(text, x, y, paint, ground=True), 0.4, ()))
        far = around(Label(text, right, top, paint, ground=True), 0.4)
        found += desk.put_first_free([*around_all, *far])
    return tuple(found)


def finding_labels(findings: Sequence[FindingMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The id of each finding beside its sign."""
    for finding in findings:
        desk.keep_free(*finding.sign, _FINDING_PX)
    return tuple(
        label
        for finding in findings
        for label in desk.put_first_free(
            around(Label(finding.finding_id, *finding.sign, "finding", ground=True, words=finding.words, zone_id=finding.zone_id))
        )
    )


def point_labels(points: Sequence[PointMark], desk: LabelDesk) -> tuple[Label, ...]:
    """The name of each point that has one, beside it."""
    for point in points:
        desk.keep_free(point.x, point.y, _SIGN_PX.get(point.sign, 5.0))
    found: list[Label] = []
    for point in points:
        if point.name:
            text = "\n".join(textwrap.wrap(point.name, _NAME_LETTERS))
            paint = "ink" if point.sign == "reading" else point.paint
            label = Label(text, point.x, point.y, paint, ground=True, words=point.words, zone_id=point.zone_id)
            rings = () if point.sign == "reading" else (1.9, 3.2, 4.6, 6.2)
            found += desk.put_first_free(around(label, 0.6, rings))
    return tuple(found)
