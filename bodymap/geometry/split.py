"""Cutting a surface in pieces: nothing is lost and nothing counted twice."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from bodymap.errors import BodymapError
from bodymap.geometry.bands import band_and_rest
from bodymap.geometry.boundary import BoundaryPiece
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model.shapes import Shape

# A cut along an edge that misses it by the last digit leaves slivers of no area to speak of: they are no pieces.
_NOTHING_MM2 = 1e-6


def split(shape: Shape, line: Shape) -> tuple[Shape, ...]:
    """The pieces into which a line cuts a surface, the largest first; their areas add up to its area.

    Args:
        shape: a Polygon or MultiPolygon; polygons of it that the line does not cut come back as they are.
        line: a LineString or MultiLineString; what sticks out of the surface or ends inside it cuts nothing.

    Raises:
        BodymapError: the line does not cut the surface in two.
    """
    surface, cut = to_shapely(shape), to_shapely(line)
    if cut.geom_type not in ("LineString", "MultiLineString"):
        raise BodymapError(f"cut: found a {cut.geom_type}; allowed: a line")
    inside = [face for polygon in shapely.get_parts(surface) for face in _faces(polygon, cut)]
    if len(inside) <= len(shapely.get_parts(surface)):
        raise BodymapError(
            "cut: found a line that leaves the surface in one piece; allowed: one that crosses it from edge to edge"
        )
    return tuple(from_shapely(face) for face in sorted(inside, key=lambda face: -face.area))


def split_at_distance(shape: Shape, piece: BoundaryPiece, distance_mm: float) -> tuple[Shape, Shape]:
    """A surface cut at a distance from one piece of its boundary: the band along the edge, and the rest.

    Raises:
        BodymapError: there is no band of that width, or nothing is left beside it.
    """
    band, rest = band_and_rest(shape, piece, distance_mm)
    if rest is None:
        raise BodymapError(f"distance: found {distance_mm:g} mm, which takes all of the surface; allowed: less")
    return band, rest


def _faces(polygon: BaseGeometry, cut: BaseGeometry) -> list[BaseGeometry]:
    noded = shapely.union_all([polygon.boundary, cut])
    faces = shapely.orient_polygons(shapely.get_parts(shapely.polygonize(shapely.get_parts(noded))))
    return [face for face in faces if face.area > _NOTHING_MM2 and polygon.contains(face.representative_point())]
