"""Shapes of the record to shapely and back, exactly.

Coordinates stay drawing millimetres as double precision numbers; nothing is rounded on the way. Outer rings come back
counter-clockwise and holes clockwise (RFC 7946 section 3.1.6).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, cast

import shapely
from pydantic import ValidationError
from shapely.geometry import mapping
from shapely.geometry import shape as geometry_of
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.model.shapes import Shape

_KEPT_GEOMETRIES = 20_000
_COLLECTIONS: dict[str, Callable[[Sequence[Any]], Any]] = {
    "MultiPoint": shapely.MultiPoint,
    "MultiLineString": shapely.MultiLineString,
    "MultiPolygon": shapely.MultiPolygon,
    "GeometryCollection": shapely.GeometryCollection,
}


@lru_cache(maxsize=_KEPT_GEOMETRIES)
def to_shapely(shape: Shape) -> BaseGeometry:
    """The shapely geometry of a shape [mm]. Validity is not asked here: see `bodymap.geometry.validity`."""
    return geometry_of(shape.geojson())


def from_shapely(geometry: BaseGeometry) -> Shape:
    """The shape of a shapely geometry [mm], rings turned as RFC 7946 wants them.

    Empty members of a collection are left out; a ring by itself comes back as a closed line.

    Raises:
        BodymapError: the geometry is empty, has heights, or coordinates that are no finite numbers.

    >>> from_shapely(shapely.Polygon([(0, 0), (0, 2), (2, 0)])).coordinates
    (((0.0, 0.0), (2.0, 0.0), (0.0, 2.0), (0.0, 0.0)),)
    """
    if geometry.is_empty:
        raise BodymapError("shape: found an empty geometry; allowed: one with at least a point")
    if geometry.has_z:
        raise BodymapError("shape: found positions with a height; allowed: positions [x, y] in mm")
    turned: Any = mapping(_without_empty(shapely.orient_polygons(geometry)))
    if turned["type"] == "LinearRing":
        turned = {**turned, "type": "LineString"}
    try:
        return Shape.model_validate(turned)
    except ValidationError as wrong:
        raise BodymapError(f"shape: found {wrong.errors()[0]['msg']}; allowed: finite positions [x, y] in mm") from None


def _without_empty(geometry: BaseGeometry) -> BaseGeometry:
    if geometry.geom_type not in _COLLECTIONS:
        return geometry
    parts = [_without_empty(part) for part in shapely.get_parts(geometry) if not part.is_empty]
    return cast("BaseGeometry", _COLLECTIONS[geometry.geom_type](parts))
