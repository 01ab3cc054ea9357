"""Hatch lines, cut to a surface, so that print and screen show the same ones."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

Segment = tuple[tuple[float, float], tuple[float, float]]


def hatch_lines(shape: BaseGeometry, spacing_mm: float, angle_deg: float) -> list[Segment]:
    """Parallel lines inside a surface.

    The lines lie on one grid through the origin, so neighbouring surfaces hatched alike are hatched through.

    Args:
        shape: Polygon or MultiPolygon.
        spacing_mm: distance between neighbouring lines [mm], greater than 0.
        angle_deg: direction of the lines, counter-clockwise from the x axis [°].

    Returns:
        Segments ((x, y), (x, y)) [mm], line by line; none for an empty surface.

    Raises:
        ValueError: the spacing is not greater than 0.
    """
    if not spacing_mm > 0:
        raise ValueError(f"spacing of hatch lines: found {spacing_mm}, allowed: greater than 0")
    if shape.is_empty:
        return []
    level = affinity.rotate(shape, -angle_deg, origin=(0, 0))
    left, low, right, high = level.bounds
    rows = np.arange(math.ceil(low / spacing_mm), math.floor(high / spacing_mm) + 1) * spacing_mm
    ends = np.array([[[left - 1, y], [right + 1, y]] for y in rows]).reshape(-1, 2, 2)
    cut = shapely.intersection(shapely.linestrings(ends), level)
    pieces = [piece for piece in shapely.get_parts(cut) if piece.geom_type == "LineString" and piece.length > 0]
    turned = [affinity.rotate(piece, angle_deg, origin=(0, 0)) for piece in pieces]
    return [(line.coords[0], line.coords[-1]) for line in turned]
