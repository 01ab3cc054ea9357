"""GeoJSON (RFC 7946) in: outline and zones for one drawing, from a file that is no open folder.

RFC 7946 section 4 knows longitude and latitude only; a drawing in a file of this kind is in lengths "by prior
arrangement". Which length is always asked and never guessed, and a file that says that it is in degrees is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Literal, get_args

from pydantic import ValidationError

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.exchange.cells import shown
from bodymap.exchange.features import PLANE, PLANE_WORDS
from bodymap.exchange.plain_text import decoded
from bodymap.exchange.sketch import Sketch, SketchPath
from bodymap.exchange.sketch_roles import ROLES, Role, suggested_role
from bodymap.exchange.strict_json import parse_json, troubles
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.trail import Trail
from bodymap.model import Shape
from bodymap.settings import Settings

__all__ = ["GeoJsonOutline", "Unit", "read_geojson_outline"]

GeoJsonOutline = Sketch
Unit = Literal["mm", "m", "inch"]
UNITS: tuple[Unit, ...] = get_args(Unit)
MM_PER_UNIT: dict[Unit, float] = {"mm": 1.0, "m": 1000.0, "inch": 25.4}
BYTES_MOST = 20_000_000
FEATURES_MOST = 20_000
_FARTHEST_MM = 1e7
_NAMES = ("name", "label", "layer", "title", "kind", "id")
_TOLD = ("zone_id", "part_id", "face")
_DEGREES = ("4326", "crs84", "4979", "4258", "4269", "wgs")


def read_geojson_outline(data: bytes, unit: Unit | None, settings: Settings, source: str = "GeoJSON file") -> Sketch:
    """The shapes of a GeoJSON file as paths in mm.

    Args:
        data: the bytes of the file.
        unit: what its numbers are, as the user says it.
        settings: for the working figures of paths.
        source: name of the file, for messages.

    Raises:
        BodymapError: no unit was said, or the file is in degrees.
        Faults: everything in it that cannot be read.
    """
    if unit not in UNITS:
        raise BodymapError(f"{source}: found no unit for its numbers; allowed: {', '.join(UNITS)}: say which it is")
    if len(data) > BYTES_MOST:
        raise BodymapError(f"{source}: found {len(data)} bytes; allowed: at most {BYTES_MOST}")
    whole = parse_json(source, decoded(source, data))
    features = _features(source, whole)
    shapes, faults = _shapes(source, features)
    _refuse_degrees(source, whole, shapes, unit)
    if faults:
        raise Faults(source, faults)
    if not shapes:
        raise BodymapError(f"{source}: found no line or surface; allowed: features with at least one")
    scale = Calibration(scale=MM_PER_UNIT[unit])
    paths = tuple(
        _path(number, feature, shape, settings.value("curve_chord_error_mm")).calibrated(scale)
        for number, (feature, shape) in enumerate(shapes, start=1)
    )
    flat = [number for number, path in enumerate(paths, start=1) if not any(path.lines)]
    if flat:
        found, allowed = "a line of no length", "places that differ"
        raise Faults(source, [Fault(source, number, "geometry", found, allowed) for number in flat])
    _refuse_far(source, paths, unit)
    return Sketch(
        paths, tuple(_notes(features, paths)), f"the file, its numbers said to be {unit}", trusted_scale=True, source=source
    )


def _features(source: str, whole: Any) -> list[Any]:
    kind = whole.get("type") if isinstance(whole, dict) else None
    features: Any = None
    if kind == "FeatureCollection":
        features = whole.get("features")
    elif kind == "Feature":
        features = [whole]
    if not isinstance(features, list):
        raise BodymapError(
            f"{source}: found {shown(kind)}; allowed: a FeatureCollection with a list of features, or a Feature"
        )
    if len(features) > FEATURES_MOST:
        raise BodymapError(f"{source}: found {len(features)} features; allowed: at most {FEATURES_MOST}")
    return features


def _shapes(source: str, features: list[Any]) -> tuple[list[tuple[dict[str, Any], Shape]], list[Fault]]:
    """Feature and geometry, one for each line or surface; points are left out. And everything wrong."""
    shapes: list[tuple[dict[str, Any], Shape]] = []
    faults: list[Fault] = []
    for number, feature in enumerate(features, start=1):
        at = Fault(source, number)
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            faults.append(replace(at, found=shown(feature), allowed='an object with "type": "Feature"'))
            continue
        faults += [replace(at, found=found, allowed=allowed) for found, allowed in troubles(feature)]
        if feature.get("geometry") is None:
            continue
        try:
            shape = Shape.model_validate(_flat(feature["geometry"]))
        except (ValidationError, TypeError, RecursionError) as error:
            why = (
                error.errors()[0]["msg"].removeprefix("Value error, ") if isinstance(error, ValidationError) else str(error)
            )
            faults.append(replace(at, column="geometry", found=why[:200], allowed="a geometry of RFC 7946"))
            continue
        shapes += [(feature, part) for part in _parts(shape)]
    return shapes, faults


def _flat(geometry: Any) -> Any:
    """A geometry without heights, which other programs write as a third number."""
    if isinstance(geometry, dict):
        return {name: _flat(value) if name in ("coordinates", "geometries") else value for name, value in geometry.items()}
    if isinstance(geometry, list):
        if len(geometry) == 3 and all(isinstance(n, (int, float)) and not isinstance(n, bool) for n in geometry):
            return geometry[:2]
        return [_flat(item) for item in geometry]
    return geometry


def _parts(shape: Shape) -> Iterator[Shape]:
    if shape.type == "GeometryCollection":
        for part in shape.parts:
            yield from _parts(part)
    elif "Point" not in shape.type:
        yield shape


def _path(number: int, feature: dict[str, Any], shape: Shape, chord_error_mm: float) -> SketchPath:
    properties = feature.get("properties") or {}
    told = {name: str(properties[name]) for name in _TOLD if isinstance(properties.get(name), str)}
    names = tuple(str(properties[name])[:120] for name in _NAMES if isinstance(properties.get(name), str))
    role, role_from = _role(properties, names)
    lines = shape.rings() or ((shape.coordinates,) if shape.type == "LineString" else shape.coordinates)
    trails = tuple(Trail(line[0], tuple((spot,) for spot in line[1:]), bool(shape.rings())) for line in lines)
    name = next(iter(names), "")
    return SketchPath(
        f"p{number}",
        name,
        (),
        trails,
        even_odd=True,
        role=role,
        role_from=role_from,
        told=told,
        chord_error_mm=chord_error_mm,
    )


def _role(properties: dict[str, Any], names: tuple[str, ...]) -> tuple[Role | None, str]:
    for key in ("role", "kind"):
        for role in ROLES:
            if properties.get(key) == role:
                return role, role
    if "zone_id" in properties:
        return "zone", str(properties["zone_id"])
    return suggested_role([names])


def _refuse_degrees(source: str, whole: dict[str, Any], shapes: list[tuple[dict[str, Any], Shape]], unit: str) -> None:
    if whole.get(PLANE) == PLANE_WORDS and unit != "mm":
        raise BodymapError(f"{source}: found a file that says it is in millimetres, read as {unit}; allowed: mm")
    crs = whole.get("crs")
    if crs is None:
        return
    words = str(crs)[:200]
    numbers = [abs(n) for _, shape in shapes for x, y in _spots(shape) for n in (x, y / 2)]
    if any(mark in words.lower() for mark in _DEGREES) or max(numbers, default=math.inf) <= 180:
        raise BodymapError(
            f"{source}: found a coordinate system ({words}) with numbers that look like longitude and latitude in degrees; "
            "allowed: a flat drawing in mm, m or inches, saved without a coordinate system"
        )


def _refuse_far(source: str, paths: tuple[SketchPath, ...], unit: str) -> None:
    farthest = max(abs(n) for path in paths for line in path.lines for spot in line for n in spot)
    if farthest > _FARTHEST_MM:
        raise BodymapError(
            f"{source}: found positions up to {farthest:g} mm, read as {unit}; allowed: within {_FARTHEST_MM:g} mm: "
            "another unit, or a drawing moved to its own origin"
        )


def _spots(shape: Shape) -> Iterator[tuple[float, float]]:
    lines = shape.rings() or ((shape.coordinates,) if shape.type == "LineString" else shape.coordinates)
    for line in lines:
        yield from line


def _notes(features: list[Any], paths: tuple[SketchPath, ...]) -> Iterator[str]:
    bare = sum(1 for feature in features if not feature.get("geometry") or "Point" in str(feature["geometry"].get("type")))
    if bare:
        yield f"left out: {bare} features without a line or surface"
    unknown = sum(path.role is None for path in paths)
    if unknown:
        yield f"{unknown} of {len(paths)} shapes have no name that tells what they are"
    longest = max(max(path.bounds[2] - path.bounds[0], path.bounds[3] - path.bounds[1]) for path in paths)
    if not 200 <= longest <= 20_000:
        yield f"the longest shape is {longest:g} mm: see whether the unit is right"
