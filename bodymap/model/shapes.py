"""A geometry in drawing millimetres as plain numbers (GeoJSON object types, RFC 7946 section 3.1), without shapely.

Only what can be said without a geometry engine is checked here: types, finite numbers, closed rings of four or more
positions. Whether a surface crosses itself is asked in `bodymap.geometry`.
"""

from __future__ import annotations

import math
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, model_validator

ShapeType = Literal["Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection"]

# How deep the lists of positions are nested, by type (a GeometryCollection holds `parts` in their place).
_DEPTH = {"Point": 0, "MultiPoint": 1, "LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}
_RING_LEAST = 4
_LINE_LEAST = 2


class Shape(BaseModel):
    """A geometry: its `type`, and `coordinates` as nested tuples of (x, y) in mm.

    `parts` holds the members of a GeometryCollection and is empty for every other type.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    type: ShapeType
    coordinates: tuple[Any, ...] = ()
    parts: tuple[Shape, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _from_geojson(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        kind = value.get("type")
        if kind == "GeometryCollection":
            parts = value.get("geometries", value.get("parts", ()))
            if not isinstance(parts, (list, tuple)) or not parts:
                raise ValueError("a GeometryCollection needs at least one geometry")
            return {"type": kind, "parts": parts}
        if kind not in _DEPTH:
            return {"type": kind}
        return {"type": kind, "coordinates": _positions(value.get("coordinates"), _DEPTH[kind])}

    @model_validator(mode="after")
    def _whole(self) -> Shape:
        if self.type in ("LineString", "MultiLineString"):
            lines = (self.coordinates,) if self.type == "LineString" else self.coordinates
            if any(len(line) < _LINE_LEAST for line in lines):
                raise ValueError("a line needs two or more positions")
        for ring in self.rings():
            if len(ring) < _RING_LEAST:
                raise ValueError(f"a ring needs four or more positions, this one has {len(ring)}")
            if ring[0] != ring[-1]:
                raise ValueError(f"a ring that begins at {ring[0]} and ends at {ring[-1]}, not where it begins")
        return self

    def rings(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """All rings of a Polygon or MultiPolygon, outer and holes, in their order; empty for other types."""
        if self.type == "Polygon":
            return self.coordinates
        if self.type == "MultiPolygon":
            return tuple(ring for polygon in self.coordinates for ring in polygon)
        return ()

    def geojson(self) -> dict[str, Any]:
        """The geometry as a GeoJSON object (RFC 7946)."""
        if self.type == "GeometryCollection":
            return {"type": self.type, "geometries": [part.geojson() for part in self.parts]}
        return {"type": self.type, "coordinates": _listed(self.coordinates)}


def _positions(value: Any, depth: int) -> tuple[Any, ...]:
    if not isinstance(value, (list, tuple)):
        raise ValueError(f"coordinates are lists of [x, y]; found {value!r}")  # noqa: TRY004 - pydantic reads ValueError
    if depth:
        if not value:
            raise ValueError("empty coordinates")
        return tuple(_positions(item, depth - 1) for item in value)
    if len(value) != 2 or any(isinstance(n, bool) or not isinstance(n, (int, float)) for n in value):
        raise ValueError(f"a position is two numbers [x, y] in mm; found {list(value)!r}")
    if not all(math.isfinite(n) for n in value):
        raise ValueError(f"a position has finite numbers; found {list(value)!r}")
    return float(value[0]), float(value[1])


def _listed(value: Any) -> Any:
    return [_listed(item) for item in value] if isinstance(value, tuple) else value
