"""Cutting a zone in pieces: nothing is lost and nothing counted twice."""

from __future__ import annotations

import shapely

from bodymap.errors import BodymapError
from bodymap.geometry.convert import from_shapely, to_shapely
from bodymap.model.shapes import Shape


def split(shape: Shape, line: Shape) -> tuple[Shape, ...]:
    """The pieces into which a line cuts a surface, the largest first; their areas add up to its area.

    Raises:
        BodymapError: the line does not cut the surface in two.
    """
    surface, cut = to_shapely(shape), to_shapely(line)
    noded = shapely.union_all([surface.boundary, cut])
    faces = shapely.get_parts(shapely.polygonize([noded]))
    inside = [face for face in faces if surface.contains(face.representative_point())]
    if len(inside) <= len(shapely.get_parts(surface)):
        raise BodymapError(
            "cut: found a line that leaves the surface in one piece; allowed: one that crosses it from edge to edge"
        )
    return tuple(from_shapely(face) for face in sorted(inside, key=lambda face: -face.area))
