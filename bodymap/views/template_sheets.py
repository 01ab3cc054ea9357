"""A full-size template laid out on sheets: what is on each, in paper mm, and the map by which they are laid."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.tiling import Tile, tiled
from bodymap.progress import Step, each, silent
from bodymap.settings import Settings
from bodymap.views.paper import Label as PaperLabel
from bodymap.views.paper import Paper, Picture, Point, ScaleBar, Stroke, lines_of, spots_of
from bodymap.views.template import Bounds, Template
from bodymap.views.template_ink import Ink
from bodymap.views.template_names import names_on_sheet
from bodymap.views.template_page import BAR_MM, Frame, TemplateChoice, plotter_frame, sheet_frame

_PAD_MM = 1.0
_PLOTTER_PAD_MM = 5.0
_MAP_MARGIN_MM = 3.0
_JOINT_TEXT_MM = 5.0
# Of the crosses: lower left, lower right, upper right, upper left.
_ENDS = {"left": (3, 0), "right": (2, 1), "above": (3, 2), "below": (0, 1)}
_CUT = frozenset({"edge", "hole", "centre", "datum"})
_SIDES = (("left", 0, -1), ("right", 0, 1), ("above", -1, 0), ("below", 1, 0))


@dataclass(frozen=True)
class Neighbour:
    """A sheet beside this one that is printed too, on which side of it, and where on the joint its name stands."""

    side: str
    name: str
    x: float
    y: float


@dataclass(frozen=True)
class Sheet:
    """One sheet; paper mm from the upper left corner of its drawing, y down.

    `crosses`: where the corners of its core lie: lower left, lower right, upper right, upper left.
    """

    name: str
    number: int
    picture: Picture
    crosses: tuple[Point, ...]
    neighbours: tuple[Neighbour, ...]


@dataclass(frozen=True)
class TemplateSheets:
    """The whole print.

    Attributes:
        template: what is printed.
        frame: the page.
        factors: by what x and y are stretched on paper.
        bars_mm: length of the level and of the upright bar on paper.
        overlap_mm, cross_mm: of the sheets, and of their crosses.
        sheets: those on which something of the thing asked for lies; `empty`: how many are left out.
        overview: the drawing with the sheets on it; None for one plotter page.
    """

    template: Template
    frame: Frame
    factors: tuple[float, float]
    bars_mm: tuple[float, float]
    overlap_mm: float
    cross_mm: float
    sheets: tuple[Sheet, ...]
    empty: int
    overview: Picture | None


def template_sheets(
    template: Template, settings: Settings, choice: TemplateChoice | None = None, step: Step = silent
) -> TemplateSheets:
    """Lays a template out on sheets. `step` is told how far it is, and may stop it.

    Raises:
        BodymapError: bars that no printer's error explains, an overlap that leaves nothing, a page that is too large.
    """
    choice = choice or TemplateChoice()
    fx, fy = choice.factors(settings)
    overlap = settings.value("template_overlap_mm") if choice.overlap_mm is None else choice.overlap_mm
    if choice.plotter:
        frame, tiles = _one_page(template, settings, (fx, fy))
    else:
        frame = sheet_frame(choice, settings)
        tiles = tiled(_padded(template.bounds, _PAD_MM), frame.live_width_mm / fx, frame.live_height_mm / fy, overlap)
    kept = [tile for tile in tiles if _touches(tile, template.shape)]
    drawn = _Drawn.of(template.ink)
    numbers = {(tile.row, tile.column): tile.name for tile in kept}
    sheets = tuple(
        _sheet(number, tile, template, drawn, (fx, fy), numbers)
        for number, tile in enumerate(each(kept, "Drawing the sheets", step), start=1)
    )
    overview = None if choice.plotter else _overview(template, kept, frame)
    cross = settings.value("template_cross_mm")
    bars = (BAR_MM * fx, BAR_MM * fy)
    return TemplateSheets(template, frame, (fx, fy), bars, overlap, cross, sheets, len(tiles) - len(kept), overview)


def _padded(bounds: Bounds, by_mm: float) -> Bounds:
    x0, y0, x1, y1 = bounds
    return x0 - by_mm, y0 - by_mm, x1 + by_mm, y1 + by_mm


def _one_page(template: Template, settings: Settings, factors: tuple[float, float]) -> tuple[Frame, tuple[Tile, ...]]:
    x0, y0, x1, y1 = core = _padded(template.bounds, _PLOTTER_PAD_MM)
    half = settings.value("template_cross_mm") / 2
    frame = plotter_frame((x1 - x0 + 2 * half) * factors[0], (y1 - y0 + 2 * half) * factors[1], settings)
    # A small thing lies in the middle of the least page.
    wide, high = frame.live_width_mm / factors[0], frame.live_height_mm / factors[1]
    middle_x, middle_y = (x0 + x1) / 2, (y0 + y1) / 2
    window = (middle_x - wide / 2, middle_y - high / 2, middle_x + wide / 2, middle_y + high / 2)
    return frame, (Tile(0, 0, window, core),)


def _touches(tile: Tile, shape: BaseGeometry) -> bool:
    """Whether anything of a shape lies within the core of a sheet; a shape that only runs along its joint counts too."""
    return bool(shapely.intersects(shapely.box(*tile.core), shape))


@dataclass(frozen=True)
class _Drawn:
    """The lines of a template with their bounds, so that most are never clipped."""

    styles: tuple[tuple[str, np.ndarray, np.ndarray], ...]

    @classmethod
    def of(cls, inks: Sequence[Ink]) -> _Drawn:
        styles: dict[str, list[BaseGeometry]] = {}
        for ink in inks:
            styles.setdefault(ink.style, []).extend(shapely.LineString(line) for line in ink.lines)
        made = ((style, np.array(lines, dtype=object)) for style, lines in styles.items())
        return cls(tuple((style, lines, shapely.bounds(lines)) for style, lines in made))

    def within(self, window: Bounds) -> Iterator[tuple[str, list[BaseGeometry]]]:
        """The lines in a window by style, clipped to it."""
        x0, y0, x1, y1 = window
        for style, lines, bounds in self.styles:
            near = (bounds[:, 0] <= x1) & (bounds[:, 2] >= x0) & (bounds[:, 1] <= y1) & (bounds[:, 3] >= y0)
            cut = [one for one in shapely.clip_by_rect(lines[near], *window).tolist() if not one.is_empty]
            if cut:
                yield style, cut


def _sheet(
    number: int,
    tile: Tile,
    template: Template,
    drawn: _Drawn,
    factors: tuple[float, float],
    printed: dict[tuple[int, int], str],
) -> Sheet:
    (x0, y0, x1, y1), (fx, fy) = tile.window, factors

    def paper(shape: BaseGeometry) -> BaseGeometry:
        return shapely.transform(shape, lambda xy: np.column_stack(((xy[:, 0] - x0) * fx, (y1 - xy[:, 1]) * fy)))

    strokes = []
    for style, lines in drawn.within(tile.window):
        # What was cut in two at the beginning of a ring is one line again, so that dashes run on.
        joined = shapely.line_merge(paper(_together(lines)))
        strokes.append(Stroke(style, tuple(spots_of(line) for line in shapely.get_parts(joined).tolist())))
    width, height = (x1 - x0) * fx, (y1 - y0) * fy
    crosses = tuple((float((x - x0) * fx), float((y1 - y) * fy)) for x, y in tile.corners)
    beside = ((side, printed.get((tile.row + down, tile.column + right))) for side, down, right in _SIDES)
    neighbours = tuple(_neighbour(side, name, crosses, strokes) for side, name in beside if name)
    taken = [shapely.Point(one.x, one.y).buffer(_JOINT_TEXT_MM) for one in neighbours]
    labels = names_on_sheet(template.names, shapely.box(*tile.window), paper, (width, height), strokes, taken)
    picture = Picture(width, height, 1.0, tuple(strokes), labels, ScaleBar(BAR_MM, BAR_MM * fx))
    return Sheet(tile.name, number, picture, crosses, neighbours)


def _neighbour(side: str, name: str, crosses: Sequence[Point], strokes: Sequence[Stroke]) -> Neighbour:
    """The name of a neighbour on the joint, where it lies on no line that is to be cut."""
    first, last = _ENDS[side]
    joint = shapely.LineString([crosses[first], crosses[last]])
    cut = [shapely.LineString(line) for one in strokes if one.style in _CUT for line in one.lines]
    places = [joint.interpolate(share, normalized=True) for share in (0.5, 0.3, 0.7, 0.18, 0.82, 0.4, 0.6, 0.1, 0.9)]
    free = (spot for spot in places if not any(spot.dwithin(line, _JOINT_TEXT_MM) for line in cut))
    spot = next(free, places[0])
    return Neighbour(side, name, float(spot.x), float(spot.y))


def _together(lines: Sequence[BaseGeometry]) -> BaseGeometry:
    parts = itertools.chain.from_iterable(shapely.get_parts(line).tolist() for line in lines)
    return shapely.MultiLineString([one.coords for one in parts if one.geom_type == "LineString" and one.length])


def _overview(template: Template, tiles: Sequence[Tile], frame: Frame) -> Picture:
    """The thing asked for among its surroundings, small, with the cores of its sheets and their names."""
    width = frame.width_mm - 2 * frame.margin_mm - 2
    height = min(0.40 * frame.height_mm, 150.0)
    cores = shapely.GeometryCollection([shapely.box(*tile.core) for tile in tiles])
    left, low, right, top = cores.bounds
    room = 2 * _MAP_MARGIN_MM
    scale = max((right - left) / (width - room), (top - low) / (height - room))
    paper = Paper(width, min(height, (top - low) / scale + room), scale, (left + right) / 2, (low + top) / 2)
    strokes = []
    for ink in template.ink:
        if ink.style == "hatch":
            continue
        shapes = [shapely.LineString(line) for line in ink.lines]
        lines = tuple(line for shape in shapes if paper.shows(shape) for line in lines_of(paper.cut(shape)))
        if lines:
            strokes.append(Stroke(ink.style, lines))
    boxes = [spots_of(paper.laid(shapely.box(*tile.core).exterior)) for tile in tiles]
    strokes.append(Stroke("sheet", tuple(boxes), closed=True))
    labels = []
    for tile in tiles:
        x0, y0, x1, y1 = tile.core
        size = min(4.0, 0.3 * min(x1 - x0, y1 - y0) / scale)
        x, y = paper.spot(x0, y1)
        # In the upper left corner, where it lies on the least of the drawing.
        labels.append(PaperLabel(tile.name, x + 0.45 * size * (len(tile.name) + 0.6), y + 0.8 * size, size, "sheet"))
    return Picture(paper.width_mm, paper.height_mm, scale, tuple(strokes), tuple(labels), ScaleBar(0, 0))
