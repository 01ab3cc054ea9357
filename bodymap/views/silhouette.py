"""What makes the vehicle recognisable: body, wheels, glass, lamps and trim as pale silhouettes, and the lines on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model import OutlineShape, Record
from bodymap.model.drawing import OutlineKind
from bodymap.views.layout import Placed, SheetLayout
from bodymap.views.sheet_parts import Path, Stroke, Surface

_WHEEL_PAINTS = ("wheel_0", "wheel_1", "wheel_2")
# A body outline that covers this share of the wheels was traced round them, not behind which they stand.
_TAKEN_IN = 0.9
_OVER: tuple[OutlineKind, ...] = ("glass", "lamp", "trim")
# Style of the edge of a surface, and of a line, of each kind.
_EDGE: Mapping[OutlineKind, str] = {"body": "outline", "wheel": "fine", "glass": "fine", "lamp": "fine", "trim": "fine"}
_LINE: Mapping[OutlineKind, str] = {
    "body": "outline",
    "wheel": "fine",
    "glass": "fine",
    "lamp": "fine",
    "trim": "fine",
    "shut_line": "shut_line",
    "body_line": "body_line",
}


def silhouettes(record: Record, layout: SheetLayout) -> tuple[tuple[Surface, ...], tuple[Surface, ...]]:
    """Surfaces below the zones (wheels, then the body before them) and above them (glass, lamps, trim)."""
    under: list[Surface] = []
    over: list[Surface] = []
    for place in layout.placed:
        shapes = [shape for shape in record.outline if shape.drawing_id == place.drawing_id and shape.shape.rings()]
        body = [Surface("body", rings_of(place, to_shapely(s.shape))) for s in shapes if s.kind == "body"]
        wheels = _wheels(place, [s for s in shapes if s.kind == "wheel"])
        under += [*wheels, *body] if _hides_wheels(shapes) else [*body, *wheels]
        over += [Surface(s.kind, rings_of(place, to_shapely(s.shape))) for kind in _OVER for s in shapes if s.kind == kind]
    return tuple(under), tuple(over)


def outline_strokes(record: Record, layout: SheetLayout) -> tuple[Stroke, ...]:
    """Every line of the outline, gathered by style; fine lines first, the outline of the body last."""
    held: dict[str, list[Path]] = {style: [] for style in ("body_line", "fine", "shut_line", "outline")}
    for place in layout.placed:
        shapes = [shape for shape in record.outline if shape.drawing_id == place.drawing_id]
        bodies = [to_shapely(shape.shape) for shape in shapes if shape.kind == "body" and shape.shape.rings()]
        body = shapely.union_all(bodies) if _hides_wheels(shapes) else shapely.Polygon()
        for shape in shapes:
            style = (_EDGE if shape.shape.rings() else _LINE).get(shape.kind, _LINE[shape.kind])
            drawn = to_shapely(shape.shape)
            if shape.kind == "wheel":
                drawn = (drawn.boundary if shape.shape.rings() else drawn).difference(body)
            held[style] += paths_of(place, drawn)
    return tuple(Stroke(style, tuple(paths)) for style, paths in held.items() if paths)


def _hides_wheels(shapes: Sequence[OutlineShape]) -> bool:
    """Whether wheels stand behind the body; where the body takes them in altogether they are drawn upon it."""
    surfaces = {
        kind: shapely.union_all([to_shapely(s.shape) for s in shapes if s.kind == kind and s.shape.rings()])
        for kind in ("body", "wheel")
    }
    wheels = surfaces["wheel"]
    return bool(wheels.area) and wheels.intersection(surfaces["body"]).area < _TAKEN_IN * wheels.area


def rings_of(place: Placed, shape: BaseGeometry) -> tuple[Path, ...]:
    """Rings of a surface on the sheet: outer ones counter-clockwise, holes clockwise; none for lines and points."""
    polygons = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty]
    turned = shapely.orient_polygons(polygons).tolist() if polygons else []
    return tuple(_moved(place, ring) for polygon in turned for ring in (polygon.exterior, *polygon.interiors))


def paths_of(place: Placed, shape: BaseGeometry) -> tuple[Path, ...]:
    """Lines of any geometry on the sheet, rings closed; points have none."""
    found: list[Path] = list(rings_of(place, shape))
    for part in shapely.get_parts(shape).tolist():
        if part.geom_type in ("LineString", "LinearRing"):
            found.append(_moved(place, part))
        elif part.geom_type.startswith(("Multi", "Geometry")):
            found += paths_of(place, part)
    return tuple(found)


def shifted(paths: Iterable[Path], right_mm: float, up_mm: float) -> tuple[Path, ...]:
    """Paths moved."""
    return tuple(tuple((x + right_mm, y + up_mm) for x, y in path) for path in paths)


def _wheels(place: Placed, shapes: Sequence[OutlineShape]) -> list[Surface]:
    """Wheels in alternating greys: tyre, rim, hub, each lying in the one before."""
    rounds = sorted((to_shapely(shape.shape) for shape in shapes), key=lambda shape: -shape.area)
    spots = [shape.representative_point() for shape in rounds]
    depths = [sum(other.contains(spot) for other in rounds[:number]) for number, spot in enumerate(spots)]
    return [
        Surface(_WHEEL_PAINTS[min(depth, 3) % len(_WHEEL_PAINTS)], rings_of(place, shape))
        for shape, depth in zip(rounds, depths, strict=True)
    ]


def _moved(place: Placed, line: BaseGeometry) -> Path:
    return tuple(map(tuple, (shapely.get_coordinates(line) + np.array([place.dx, place.dy])).tolist()))
