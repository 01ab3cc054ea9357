"""Shapes of the record to shapely and back, exactly.

Coordinates stay drawing millimetres as double precision numbers; nothing is rounded on the way. Outer rings come back
counter-clockwise and holes clockwise (RFC 7946 section 3.1.6).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import shapely
from shapely.geometry import mapping, shape as geometry_of
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.model.shapes import Shape

_KEPT_GEOMETRIES = 20_000


@lru_cache(maxsize=_KEPT_GEOMETRIES)
def to_shapely(shape: Shape) -> BaseGeometry:
    """The shapely geometry of a shape [mm]. Validity is not asked here: see `bodymap.geometry.validity`."""
    return geometry_of(shape.geojson())


def from_shapely(geometry: BaseGeometry) -> Shape:
    """The shape of a shapely geometry [mm], rings turned as RFC 7946 wants them.

    Raises:
        BodymapError: the geometry is empty.
    """
    if geometry.is_empty:
        raise BodymapError("shape: found an empty geometry; allowed: one with at least a point")
    turned: Any = mapping(shapely.orient_polygons(geometry))
    return Shape.model_validate(turned)
