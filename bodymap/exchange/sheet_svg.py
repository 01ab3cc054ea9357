"""A sheet as SVG: the same map for a page in a browser, where its colours are named, and for a print, where they are fixed.

One unit is one pixel of 1/96 inch at the scale for which the sheet's labels were kept apart. All words are escaped; there is
no script, no link and no font in it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from xml.sax import saxutils

import numpy as np
import shapely

from bodymap.views.labels import SIZES_PX
from bodymap.views.palette import film_colour
from bodymap.views.sheet import SheetView
from bodymap.views.sheet_parts import Label, LegendItem, Path, PointMark, Ramp, ScaleBar
from bodymap.views.textures import hatch, texture_paths

Paint = Callable[[str], str]
FONT = "'DejaVu Sans Condensed','DejaVu Sans',sans-serif"
# Width [px], dash, role of the colour, by style of stroke.
_PENS: dict[str, tuple[float, str, str]] = {
    "outline": (1.8, "", "outline"),
    "face_edge": (1.2, "", "outline"),
    "shut_line": (0.9, "", "shut_line"),
    "fine": (0.7, "", "shut_line"),
    "body_line": (0.7, "5 3", "body_line"),
    "zone_edge": (0.6, "", "body_line"),
    "texture": (0.9, "", "texture"),
    "texture_fine": (0.6, "", "texture"),
    "kept": (1.8, "", "kept"),
    "kept_again": (1.8, "3 3", "kept"),
    "kept_hatch": (1.0, "", "kept"),
    "margin": (1.1, "6 4", "kept"),
    "mask": (1.3, "9 3 2 3", "mask"),
    "mask_hatch": (0.8, "", "mask"),
    "finding": (1.2, "", "finding"),
    "finding_texture": (0.8, "", "finding"),
    "relief_light": (1.1, "", "relief_light"),
    "relief_dark": (1.1, "", "relief_dark"),
    "datum": (1.2, "12 3 3 3", "datum"),
    "painted_line": (2.4, "", "ink"),
}
# Signs as lines in a square of 10 by 10 about their place; a small z closes and fills.
_SIGNS: dict[str, str] = {
    "dent": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0M-1 0h2",
    "crack": "M-4 -4L4 4M-4 4L4 -4",
    "corrosion": "M0 -5L5 4H-5z",
    "filler": "M-4 -4H4V4H-4z",
    "checking": "M-4 -2H4M-4 2H4M-2 -4V4M2 -4V4",
    "blister": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0",
    "chip": "M0 5L5 -4H-5z",
    "ghost": "M0 -5L5 0L0 5L-5 0L0 -5",
    "rub": "M0 -5L5 0L0 5L-5 0z",
    "repair": "M-1.5 -5H1.5V-1.5H5V1.5H1.5V5H-1.5V1.5H-5V-1.5H-1.5z",
    "other": "M0 -5L1.5 -1.5L5 0L1.5 1.5L0 5L-1.5 1.5L-5 0L-1.5 -1.5z",
    "spot": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z",
    "reading": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z",
    "refused": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0M-3 -3L3 3M-3 3L3 -3",
    "datum": "M-6 0H6M0 -6V6",
    "no_photo": "M-4 -4H4V4H-4V-4M-4 -4L4 4M-4 4L4 -4",
    "no_reading": "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0M-4 0H4M0 -4V4",
}
_COLUMNS, _ROW_PX, _LINE_PX, _LEGEND_LETTERS = 4, 22.0, 16.0, 31
_SWATCH = (26.0, 14.0)
_RAMP_PX = 52.0


@dataclass(frozen=True)
class _Frame:
    """How a sheet lies on the page: scale and height of the sheet [mm]."""

    mm_per_px: float
    high_mm: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        return x / self.mm_per_px, (self.high_mm - y) / self.mm_per_px

    def path(self, paths: Iterable[Path], *, closed: bool = False) -> str:
        end = "z" if closed else ""
        return "".join(self._line(path) + end for path in paths if path)

    def _line(self, path: Path) -> str:
        spots = np.round((np.asarray(path) * (1, -1) + (0, self.high_mm)) / self.mm_per_px, 1)
        changed = np.ones(len(spots), dtype=bool)
        changed[1:] = (spots[1:] != spots[:-1]).any(axis=1)
        words = [f"{x:g} {y:g}" for x, y in spots[changed].tolist()]
        return "M" + "L".join(words if len(words) > 1 else words * 2)


def sheet_svg(view: SheetView, *, ident: str, title: str, alt: str, paint: Paint, names: bool = True) -> str:
    """A sheet as one SVG element.

    Args:
        view: what is to be drawn.
        ident: unique on the page; ids within begin with it.
        title: read out as the name of the picture.
        alt: what there is to see, in words.
        paint: the colour of a role or of `#rrggbb`, as CSS.
        names: whether zones tell their words where a pointer rests on them.
    """
    frame = _Frame(view.mm_per_px, view.bounds[3])
    wide = view.bounds[2] / view.mm_per_px
    legend, legend_px = _legend(view, wide, paint)
    sheet_px = view.bounds[3] / view.mm_per_px
    body = "".join(
        (
            *_surfaces(view, frame, paint, names=names),
            *_marks(view, frame, paint),
            *(_label(label, frame, paint) for label in view.labels),
            *(_bar(bar, frame, paint) for bar in view.bars),
        )
    )
    size = f"{wide:.0f} {sheet_px + legend_px:.0f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" role="img" '
        f'aria-labelledby="{ident}-t {ident}-d" font-family="{FONT}">'
        f'<title id="{ident}-t">{escape(title)}</title><desc id="{ident}-d">{escape(alt)}</desc>'
        f'{body}<g transform="translate(0 {sheet_px:.1f})">{legend}</g></svg>'
    )


def escape(text: str) -> str:
    """Text as it may stand in XML: escaped, without the control characters that XML has no room for."""
    return saxutils.escape("".join(char if char.isprintable() else " " for char in text))


def _surfaces(view: SheetView, frame: _Frame, paint: Paint, *, names: bool) -> Iterator[str]:
    for surface in view.under:
        yield _fill(frame.path(surface.rings, closed=True), paint(surface.paint))
    for zone in view.zones:
        words = f"<title>{escape(' · '.join(zone.words))}</title>" if names else ""
        yield _fill(frame.path(zone.rings, closed=True), paint(zone.paint), inner=words)
    for stroke in view.textures:
        yield _stroke(frame.path(stroke.paths), stroke.style, paint, stroke.paint)
    for surface in view.over:
        yield _fill(frame.path(surface.rings, closed=True), paint(surface.paint))
    for stroke in view.strokes:
        yield _stroke(frame.path(stroke.paths), stroke.style, paint)


def _fill(path: str, colour: str, share: float = 1.0, inner: str = "") -> str:
    if not path:
        return ""
    opacity = "" if share == 1.0 else f";fill-opacity:{share:g}"
    return f'<path d="{path}" style="fill:{colour};fill-rule:evenodd{opacity}">{inner}</path>'


def _stroke(path: str, style: str, paint: Paint, own: str = "") -> str:
    if not path:
        return ""
    width, dash, role = _PENS[style]
    dashed = f";stroke-dasharray:{dash}" if dash else ""
    look = f"fill:none;stroke:{paint(own or role)};stroke-width:{width:g};stroke-linejoin:round{dashed}"
    return f'<path d="{path}" style="{look}"/>'


def _marks(view: SheetView, frame: _Frame, paint: Paint) -> Iterator[str]:
    for area in view.areas:
        style = "kept" if area.purpose == "keep" else "mask"
        yield _fill(frame.path(area.rings, closed=True), paint(style), 0.22)
        yield _stroke(frame.path(area.margin), "margin", paint)
        yield _stroke(frame.path(area.hatch), f"{style}_hatch", paint)
        edge = "kept_again" if area.recreated and area.purpose == "keep" else style
        yield _stroke(frame.path(area.rings), edge, paint)
    for finding in view.findings:
        yield _stroke(frame.path(finding.texture), "finding_texture", paint)
        if finding.lit:
            yield _stroke(frame.path(finding.lit), "relief_light", paint)
            yield _stroke(frame.path(finding.shaded), "relief_dark", paint)
        else:
            yield _stroke(frame.path((*finding.rings, *finding.paths)), "finding", paint)
            yield _sign(finding.kind, *frame.at(*finding.sign), paint("finding"), finding.words)
    for line in view.lines:
        yield _stroke(frame.path(line.paths), "painted_line", paint)
        path = frame.path(line.paths)
        yield f'<path d="{path}" style="fill:none;stroke:{paint(line.colour or "no_colour")};stroke-width:1.4"/>'
    for point in view.points:
        yield _point(point, frame, paint)


def _point(point: PointMark, frame: _Frame, paint: Paint) -> str:
    return _sign(point.sign, *frame.at(point.x, point.y), paint(point.paint), point.words)


def _sign(sign: str, x: float, y: float, colour: str, words: Sequence[str] = ()) -> str:
    drawn = _SIGNS.get(sign, _SIGNS["other"])
    fill = colour if drawn.endswith("z") else "none"
    told = f"<title>{escape(' · '.join(words))}</title>" if words else ""
    look = f"fill:{fill};stroke:{colour};stroke-width:1.3"
    return f'<path d="{drawn}" transform="translate({x:.1f} {y:.1f})" style="{look}">{told}</path>'


def _label(label: Label, frame: _Frame, paint: Paint) -> str:
    x, y = frame.at(label.x, label.y)
    size = SIZES_PX[label.size]
    middle_x, middle_y = x + label.right_em * size, y - label.up_em * size
    anchor = {"left": "start", "middle": "middle", "right": "end"}[label.anchor]
    lines = label.text.split("\n")
    leader = ""
    if label.leader:
        look = f"stroke:{paint('ink_soft')};stroke-width:0.7"
        leader = f'<path d="M{x:.1f} {y:.1f}L{middle_x:.1f} {middle_y:.1f}" style="{look}"/>'
    first = middle_y - 0.6 * size * (len(lines) - 1) + 0.35 * size
    ground = f";paint-order:stroke;stroke:{paint('paper')};stroke-width:3px;stroke-linejoin:round" if label.ground else ""
    weight = ";font-weight:bold" if label.strong else ""
    look = f"fill:{paint(label.paint)};font-size:{size:g}px{weight}{ground}"
    return leader + "".join(
        f'<text x="{middle_x:.1f}" y="{first + 1.2 * size * number:.1f}" text-anchor="{anchor}" style="{look}">'
        f"{escape(text)}</text>"
        for number, text in enumerate(lines)
    )


def _bar(bar: ScaleBar, frame: _Frame, paint: Paint) -> str:
    x, y = frame.at(bar.x, bar.y)
    end = x + bar.length_mm / frame.mm_per_px
    drawn = f"M{x:.1f} {y - 4:.1f}V{y:.1f}H{end:.1f}V{y - 4:.1f}M{(x + end) / 2:.1f} {y:.1f}V{y - 3:.1f}"
    return (
        f'<path d="{drawn}" style="fill:none;stroke:{paint("ink")};stroke-width:1.3"/>'
        f'<text x="{end + 5:.1f}" y="{y:.1f}" style="fill:{paint("ink")};font-size:{SIZES_PX["small"]:g}px">'
        f"{escape(bar.words)}</text>"
    )


# --- legend ----------------------------------------------------------------------------------------------------------


def _legend(view: SheetView, wide: float, paint: Paint) -> tuple[str, float]:
    """The legend in columns below the sheet, and the height it takes [px]."""
    parts: list[str] = []
    column, down = wide / _COLUMNS, 8.0
    wrapped = [textwrap.wrap(item.words, _LEGEND_LETTERS) or [""] for item in view.legend]
    for first in range(0, len(view.legend), _COLUMNS):
        row = range(first, min(first + _COLUMNS, len(view.legend)))
        for number in row:
            left = (number - first) * column + 2
            parts += [_swatch(view.legend[number], left, down, paint), _words(wrapped[number], left + 34, down, paint)]
        down += _ROW_PX + _LINE_PX * (max(len(wrapped[number]) for number in row) - 1)
    if view.ramp:
        parts.append(_ramp(view.ramp, wide, down, paint))
        down += _RAMP_PX
    notes = [line for note in view.notes for line in textwrap.wrap(note, int(wide / 6.6))]
    if notes:
        parts.append(_words(notes, 2, down, paint, "ink_soft"))
        down += _LINE_PX * len(notes) + 4
    return "".join(parts), down + 6


def _words(lines: Sequence[str], x: float, y: float, paint: Paint, role: str = "ink") -> str:
    look = f"fill:{paint(role)};font-size:{SIZES_PX['small']:g}px"
    return "".join(
        f'<text x="{x:.1f}" y="{y + 12 + _LINE_PX * number:.1f}" style="{look}">{escape(line)}</text>'
        for number, line in enumerate(lines)
    )


def _swatch(item: LegendItem, x: float, y: float, paint: Paint) -> str:
    wide, high = _SWATCH
    if item.sign:
        return _sign(item.sign, x + wide / 2, y + high / 2 + 1, paint(item.paint))
    box = shapely.box(x, y, x + wide, y + high)
    if item.style in ("kept", "mask"):
        lines = hatch(box, 7.0, 135.0 if item.style == "kept" else 45.0)
        return (
            _fill(_flat([box.exterior.coords], closed=True), paint(item.style), 0.22)
            + _stroke(_flat(lines), f"{item.style}_hatch", paint)
            + _stroke(_flat([box.exterior.coords]), item.style, paint)
        )
    if item.style:
        style = "relief_dark" if item.style == "relief" else item.style
        return _stroke(f"M{x:.1f} {y + high / 2:.1f}H{x + wide:.1f}", style, paint)
    frame = f"fill:{paint(item.paint)};stroke:{paint('body_line')};stroke-width:0.7"
    drawn = f'<path d="{_flat([box.exterior.coords], closed=True)}" style="{frame}"/>'
    return drawn + _stroke(_flat(texture_paths(box, item.texture, 1.0)), "texture", paint, item.texture_paint)


def _flat(paths: Iterable[Iterable[tuple[float, ...]]], *, closed: bool = False) -> str:
    end = "z" if closed else ""
    return "".join("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in path) + end for path in paths)


def _ramp(ramp: Ramp, wide: float, down: float, paint: Paint) -> str:
    """The ramp as even steps; its knots are evenly spaced along it, though not on the scale."""
    steps, long = 4 * (len(ramp.knots) - 1), min(wide - 60, 620.0)
    values = np.interp(np.linspace(0, len(ramp.knots) - 1, steps + 1), range(len(ramp.knots)), ramp.knots)
    step = long / steps
    cells = "".join(
        f'<rect x="{2 + number * step:.1f}" y="{down + 18:.1f}" width="{step + 0.4:.1f}" height="12" '
        f'style="fill:{film_colour(float((values[number] + values[number + 1]) / 2))}"/>'
        for number in range(steps)
    )
    ticks = "".join(
        f'<text x="{2 + long * number / (len(ramp.knots) - 1):.1f}" y="{down + 43:.1f}" '
        f'text-anchor="{"start" if number == 0 else "middle"}" '
        f'style="fill:{paint("ink")};font-size:{SIZES_PX["small"]:g}px">{knot:g}</text>'
        for number, knot in enumerate(ramp.knots)
    )
    return _words([f"{ramp.title} [{ramp.unit}]"], 2, down, paint) + cells + ticks
