"""Whether a surface can be used as it is drawn, what a mended one would look like, and rings turned the right way.

A shape is usable if it is valid in the sense of OGC 06-103r4 (simple features) and, being a surface, has an area.
Nothing is mended silently, and never by a buffer of 0, which drops half of a surface that crosses itself.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model.shapes import Shape

# 1000 km: far beyond any drawing, far below the numbers whose squares overflow.
FARTHEST_MM = 1e9
_SURFACES = ("Polygon", "MultiPolygon")
_WORDS = {
    "Self-intersection": "its boundary crosses itself",
    "Ring Self-intersection": "its boundary touches or crosses itself",
    "Hole lies outside shell": "a hole lies outside the outer ring",
    "Holes are nested": "a hole lies within another hole",
    "Interior is disconnected": "holes cut it into separate pieces",
    "Nested shells": "one of its polygons lies within another",
    "Duplicate Rings": "two of its rings are the same",
    "Too few points in geometry component": "a ring has fewer than three different points",
}


@dataclass(frozen=True)
class Mended:
    """A surface made usable, and what that took and gave [mm²]: to be shown to the user before it is kept.

    Attributes:
        shape: the mended surface.
        added_mm2: area of it that the drawn rings did not enclose an odd number of times (0: a twice enclosed lobe stays).
        lost_mm2: area so enclosed that it does not have any more.
        words: what was wrong with the surface as it was drawn.
    """

    shape: Shape
    added_mm2: float
    lost_mm2: float
    words: str


def shape_fault(shape: Shape) -> str | None:
    """Why a shape cannot be used as it is drawn, with the place in mm; None where nothing is wrong."""
    geometry = to_shapely(shape)
    if max(abs(bound) for bound in geometry.bounds) > FARTHEST_MM:
        return f"it has positions more than {FARTHEST_MM:g} mm from the origin"
    if shape.type in _SURFACES and geometry.convex_hull.area <= 0:
        return "it has no area"
    if geometry.is_valid:
        return None
    reason = shapely.is_valid_reason(geometry)
    kind, place = re.fullmatch(r"([^\[]*)(?:\[(.*)\])?", reason).groups()  # type: ignore[union-attr]
    words = _crossing(geometry) if kind.strip() == "Self-intersection" else _WORDS.get(kind.strip(), kind.strip())
    return f"{words} at ({', '.join(place.split())})" if place else words


def oriented(shape: Shape) -> Shape:
    """The same surface with outer rings counter-clockwise and holes clockwise; other types unchanged."""
    return from_shapely(to_shapely(shape)) if shape.rings() else shape


def mended(shape: Shape) -> Mended | None:
    """A usable surface from one that is not; None where nothing is wrong with it.

    Rings are mended first and put together then (shapely `make_valid`, method `structure`): what a ring that crosses
    itself encloses stays, a hole stays a hole, and what has no area goes.

    Raises:
        BodymapError: it is no surface, or nothing with an area is left of it.
    """
    if shape.type not in _SURFACES:
        raise BodymapError(f"mending: found a {shape.type}; allowed: a Polygon or MultiPolygon")
    fault = shape_fault(shape)
    if fault is None:
        return None
    if "origin" in fault or "no area" in fault:
        raise BodymapError(f"mending: found a surface that cannot be mended: {fault}; allowed: one that encloses something")
    geometry = to_shapely(shape)
    whole = _surface(shapely.make_valid(geometry, method="structure", keep_collapsed=False))
    drawn = _surface(shapely.make_valid(geometry))
    if whole.is_empty or not whole.is_valid:
        raise BodymapError(f"mending: found a surface that cannot be mended: {fault}; allowed: one that encloses something")
    return Mended(from_shapely(whole), whole.difference(drawn).area, drawn.difference(whole).area, fault)


def _surface(geometry: BaseGeometry) -> BaseGeometry:
    """What of a geometry has an area. Joined anew: mended rings may come back as polygons that share an edge."""
    return shapely.union_all([part for part in shapely.get_parts(geometry) if part.geom_type in _SURFACES])


def _crossing(geometry: BaseGeometry) -> str:
    """What crosses what, where every part is sound by itself."""
    polygons = shapely.get_parts(geometry)
    if len(polygons) > 1 and all(polygon.is_valid for polygon in polygons):
        return "two of its polygons overlap or share an edge"
    rings = [
        shapely.Polygon(ring)
        for polygon in polygons
        if hasattr(polygon, "exterior")
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    if rings and all(ring.is_valid for ring in rings):
        return "a hole crosses or shares an edge with the outer ring or another hole"
    return _WORDS["Self-intersection"]
