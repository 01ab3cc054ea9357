"""Whether a surface can be used as it is drawn, and its rings turned as RFC 7946 wants them."""

from __future__ import annotations

import re

import shapely

from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model.shapes import Shape

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


def shape_fault(shape: Shape) -> str | None:
    """Why a shape cannot be used as it is drawn, with the place; None where nothing is wrong."""
    geometry = to_shapely(shape)
    if not geometry.is_valid:
        reason = shapely.is_valid_reason(geometry)
        kind, place = re.fullmatch(r"([^\[]*)(?:\[(.*)\])?", reason).groups()  # type: ignore[union-attr]
        words = _WORDS.get(kind.strip(), kind.strip())
        return f"{words} at ({', '.join(place.split())})" if place else words
    if shape.type in ("Polygon", "MultiPolygon") and geometry.area <= 0:
        return "it has no area"
    return None


def oriented(shape: Shape) -> Shape:
    """The same surface with outer rings counter-clockwise and holes clockwise; other types unchanged."""
    return from_shapely(to_shapely(shape)) if shape.rings() else shape
