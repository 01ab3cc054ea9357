"""SVG 1.1 (second edition) in: the outline of a vehicle as paths in mm, y up.

Lengths are read at 96 px to the inch (CSS Values 3 section 6.2, which SVG follows). The scale of a file is trusted only
where its width and height are both physical (mm, cm, Q, in, pt, pc) and a viewBox ties the drawing to them; else it must be
calibrated. Elliptical arcs become cubic Béziers, no step more than 7.2°, before any transform is applied (skewed, they
would be wrong otherwise); the error of that is below a millionth of the radius.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element, ElementTree  # only to write the rebuilt tree

import numpy as np
from numpy.typing import NDArray
from svgelements import SVG, Arc, Close, CubicBezier, Line, Move, QuadraticBezier, Shape

from bodymap.errors import BodymapError
from bodymap.exchange.sketch import Sketch, SketchPath
from bodymap.exchange.sketch_roles import suggested_role
from bodymap.exchange.svg_gate import KEY, SHAPES, USED, Gated, gated
from bodymap.exchange.svg_limits import refused
from bodymap.geometry.curves import Point
from bodymap.geometry.trail import POINTS_MOST, Step, Trail
from bodymap.settings import Settings

__all__ = ["SvgOutline", "read_svg"]

SvgOutline = Sketch
Floats = NDArray[np.float64]

PX_PER_INCH = 96.0
MM_PER_PX = 25.4 / PX_PER_INCH
_ARC_STEP = 0.02 * math.tau
_PHYSICAL = re.compile(r"\s*\+?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?(mm|cm|Q|in|pt|pc)\s*")
_UNEVEN = 1e-6
_NO_PATH = re.compile(r"[^MmLlHhVvCcSsQqTtAaZz0-9eE+\-.,\s]")
_NAMED_MOST = 8
_FARTHEST_MM = 1e7
_FARTHEST_NUMBER = 1e15


def read_svg(data: bytes, settings: Settings, source: str = "SVG file") -> Sketch:
    """The paths of an SVG file, with what each may be, and whether its scale is to be trusted.

    Args:
        data: the bytes of the file.
        settings: for `curve_chord_error_mm`, the distance by which a straight step may stand off a curve.
        source: name of the file, for messages.

    Raises:
        BodymapError: it is refused, or nothing is drawn in it; says what was found and what is allowed.
    """
    gate = gated(data)
    try:
        drawn = _parsed(gate)
        paths = list(_paths(gate, drawn, settings.value("curve_chord_error_mm")))
    except RecursionError as error:
        raise refused("elements or references nested too deep", "a drawing with fewer groups in groups") from error
    except (ValueError, TypeError, ZeroDivisionError, OverflowError, AttributeError, IndexError) as error:
        raise refused(f"values that are none ({error})", "numbers, lengths and paths as SVG has them") from error
    if not paths:
        raise refused("no path, line or shape that is drawn", "a drawing with at least one")
    why_not = _why_no_scale(gate.root.attrib, drawn)
    notes = [*gate.notes, *_unread(gate, drawn), *_notes(paths)]
    if why_not:
        notes.insert(0, f"no scale to be trusted: {why_not}; set two points of known distance")
    told = f"the file: {gate.root.get('width')} by {gate.root.get('height')}"
    return Sketch(tuple(paths), tuple(notes), "" if why_not else told, not why_not, source)


def _parsed(gate: Gated) -> Any:
    # The place of the outermost element means nothing (SVG 1.1 section 5.1.2).
    for name in ("x", "y"):
        gate.root.attrib.pop(name, None)
    text = io.BytesIO()
    ElementTree(gate.root).write(text)
    text.seek(0)
    drawn = SVG.parse(text, reify=False, ppi=PX_PER_INCH)
    if not isinstance(drawn, SVG):
        raise refused("a drawing without a size", "a width, height or viewBox greater than 0")
    return drawn


def _paths(gate: Gated, drawn: Any, chord_error_mm: float) -> Iterator[SketchPath]:
    height_mm = float(drawn.height) * MM_PER_PX
    number = points = 0
    for element in drawn.elements():
        if not isinstance(element, Shape):
            continue
        trails = tuple(_trails(element, height_mm))
        if not trails:
            continue
        number += 1
        chain = list(_chain(gate, element.values))
        role, role_from = suggested_role(chain)
        path = SketchPath(
            f"p{number}",
            next(iter(chain[0]), ""),
            tuple(names[0] for names in reversed(chain[1:]) if names),
            trails,
            str(element.values.get("fill-rule", "nonzero")) == "evenodd",
            role,
            role_from,
            chord_error_mm=chord_error_mm,
        )
        points += sum(trail.count(chord_error_mm) for trail in trails)
        if points > POINTS_MOST:
            raise refused(f"more than {POINTS_MOST} points along its curves", "a simpler drawing, or a lower scale")
        if path.lines:
            yield path


def _chain(gate: Gated, values: Any) -> Iterator[tuple[str, ...]]:
    """Names from a path outward: its groups, and where it is drawn by reference, those of the reference."""
    seen = dict.fromkeys(gate.chain(values.get(KEY)))
    yield from (names for number, names in enumerate(seen) if names or number == 0)
    yield from (names for names in gate.chain(values.get(USED)) if names and names not in seen)


def _trails(element: Any, height_mm: float) -> Iterator[Trail]:
    matrix = element.transform
    linear = np.array([[matrix.a, matrix.b], [matrix.c, matrix.d]], dtype=float) * MM_PER_PX
    moved = np.array([float(matrix.e), float(matrix.f)]) * MM_PER_PX

    def placed(points: Floats) -> Floats:
        _within(np.concatenate([points, linear, moved[None]]), _FARTHEST_NUMBER)
        down = points @ linear + moved
        _within(down, _FARTHEST_MM)
        up: Floats = down * np.array((1.0, -1.0)) + np.array((0.0, height_mm))
        return up

    for trail in _segments(element.segments(transformed=False)):
        if trail.steps:
            yield trail.moved(placed)


def _within(numbers: Floats, farthest: float) -> None:
    if not np.isfinite(numbers).all() or np.abs(numbers).max(initial=0.0) > farthest:
        raise refused("positions that no vehicle has", f"finite positions within {_FARTHEST_MM:g} mm")


def _segments(segments: Any) -> Iterator[Trail]:
    """Runs of segments from one move to the next, untransformed."""
    start: Point | None = None
    steps: list[Step] = []
    for segment in segments:
        if isinstance(segment, Move):
            if start is not None:
                yield Trail(start, tuple(steps))
            start, steps = _xy(segment.end), []
        elif isinstance(segment, Close):
            if start is not None:
                yield Trail(start, (*steps, (start,)), closed=True)
            steps = []  # what follows a close without a move begins where the closed line began
        else:
            steps += _steps(segment)
    if start is not None and steps:
        yield Trail(start, tuple(steps))


def _steps(segment: Any) -> Iterator[Step]:
    if isinstance(segment, CubicBezier):
        yield _xy(segment.control1), _xy(segment.control2), _xy(segment.end)
    elif isinstance(segment, QuadraticBezier):
        (x0, y0), (x1, y1), (x2, y2) = _xy(segment.start), _xy(segment.control), _xy(segment.end)
        # the same curve with two control points: each two thirds of the way to the one
        first, second = (x0 + 2 * (x1 - x0) / 3, y0 + 2 * (y1 - y0) / 3), (x2 + 2 * (x1 - x2) / 3, y2 + 2 * (y1 - y2) / 3)
        yield first, second, (x2, y2)
    elif isinstance(segment, Arc):
        yield from _arc_steps(segment)
    elif isinstance(segment, Line):
        yield (_xy(segment.end),)
    else:
        raise BodymapError(f"SVG file refused: found a {type(segment).__name__}; allowed: lines, Béziers and arcs")


def _arc_steps(arc: Any) -> Iterator[Step]:
    """An elliptical arc as cubics with its tangents at their ends.

    Control points lie α = sin Δ · (√(4 + 3 tan²(Δ/2)) − 1) / 3 times the derivative from the ends, Δ the angle of one step
    (L. Maisonobe, Drawing an elliptical arc using polylines, quadratic or cubic Bézier curves, 2003; from memory).
    """
    sweep, turn = float(arc.sweep), float(arc.get_rotation())
    count = max(1, math.ceil(abs(sweep) / _ARC_STEP))
    angles = float(arc.get_start_t()) + sweep * np.linspace(0.0, 1.0, count + 1)
    rx, ry = float(arc.rx), float(arc.ry)
    axes = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    spots = np.column_stack((rx * np.cos(angles), ry * np.sin(angles))) @ axes + np.array(_xy(arc.center))
    slopes = np.column_stack((-rx * np.sin(angles), ry * np.cos(angles))) @ axes
    step = sweep / count
    alpha = math.sin(step) * (math.sqrt(4 + 3 * math.tan(step / 2) ** 2) - 1) / 3
    spots[0], spots[-1] = _xy(arc.start), _xy(arc.end)
    first, second = (spots[:-1] + alpha * slopes[:-1]).tolist(), (spots[1:] - alpha * slopes[1:]).tolist()
    for one, other, end in zip(first, second, spots[1:].tolist(), strict=True):
        yield (one[0], one[1]), (other[0], other[1]), (end[0], end[1])


def _xy(point: Any) -> Point:
    return float(point.x), float(point.y)


def _why_no_scale(attributes: dict[str, str], drawn: Any) -> str:
    """Why the scale of a file is not to be trusted; empty: it is."""
    wrong = [name for name in ("width", "height") if not _PHYSICAL.fullmatch(attributes.get(name, ""))]
    if wrong:
        found = " and ".join(f"{name} {attributes.get(name, 'not stated')!r}" for name in wrong)
        return f"{found}, which is no physical size"
    if drawn.viewbox is None:
        return "no viewBox ties the drawing to its width and height"
    if "none" in attributes.get("preserveAspectRatio", ""):
        across, up = float(drawn.width) / float(drawn.viewbox.width), float(drawn.height) / float(drawn.viewbox.height)
        if abs(across / up - 1) > _UNEVEN:
            return "it is stretched unevenly"
    return ""


def _unread(gate: Gated, drawn: Any) -> Iterator[str]:
    """What stands in the file and is not among its paths, or only in part."""
    read = {element.values.get(KEY) for element in drawn.elements() if isinstance(element, Shape)}
    lost = [element for element in _shapes(gate.root) if element.get(KEY) not in read]
    if lost:
        names = [next(iter(gate.names[element.get(KEY, "")]), f"a {element.tag}") for element in lost]
        more = f" and {len(names) - _NAMED_MOST} more" if len(names) > _NAMED_MOST else ""
        yield f"left out, hidden or drawing nothing or with values that are none: {', '.join(names[:_NAMED_MOST])}{more}"
    for element in _shapes(gate.root):
        if _NO_PATH.search(element.get("d", "")):
            name = next(iter(gate.names[element.get(KEY, "")]), "a path without a name")
            yield f"{name}: signs in it that no path has; it is drawn up to there"


def _shapes(element: Element) -> Iterator[Element]:
    """Shapes that are drawn where they stand."""
    for child in element:
        if child.tag in SHAPES:
            yield child
        elif child.tag != "defs":
            yield from _shapes(child)


def _notes(paths: list[SketchPath]) -> Iterator[str]:
    unknown = sum(path.role is None for path in paths)
    if unknown:
        yield f"{unknown} of {len(paths)} paths have no name that tells what they are"
