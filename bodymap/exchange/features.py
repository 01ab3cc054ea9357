"""GeoJSON (RFC 7946): the features of one kind of entry in and out, in drawing millimetres.

Section 4 of RFC 7946 wants longitude and latitude "unless otherwise agreed": the member `plane` of every file written
here says that this is so agreed. Rings are accepted either way round and turned (section 3.1.6). Unknown properties
are kept in `more`; other members of a feature (its id, its bbox) under `more["(feature)"]`, those of its geometry under
`geometry` in there; members of the collection with the record. A bbox is written anew from the shapes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import shapely
from pydantic import ValidationError

from bodymap.errors import Faults
from bodymap.exchange.cells import NotThisKind, cut, json_of, plain_number, shown, value_in_json
from bodymap.exchange.plain_text import decoded
from bodymap.exchange.rows import FileContent
from bodymap.exchange.strict_json import parse_json, troubles
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.validity import oriented, shape_fault
from bodymap.model import Column, Entry, OutlineShape, Shape, columns_of

FEATURE = "(feature)"
GEOMETRY = "geometry"
BBOX = "bbox"
PLANE = "plane"
PLANE_WORDS = "drawing millimetres, x to the right, y up; agreed as RFC 7946 section 4 allows: no longitude and latitude"
# What a boundary has to be beyond its type (RFC 7946 section 3.1.6 and simple features).
_USABLE = "a boundary that encloses something and neither crosses nor touches itself"
_RING = "its rings of four or more positions that end where they begin"
_OF_A_GEOMETRY = ("type", "coordinates", "geometries")


def read_features(model: type[Entry], data: bytes) -> FileContent:
    """The entries of one GeoJSON file, and everything wrong in it."""
    content = FileContent(model)
    try:
        whole = parse_json(model.FILE, decoded(model.FILE, data))
    except Faults as error:
        content.faults += error.faults
        content.lose()
        return content
    wrong = _no_collection(whole)
    if wrong:
        content.fail(found=wrong, allowed='one object with "type": "FeatureCollection" and a list of "features"')
        content.lose()
        return content
    content.members = {name: value for name, value in whole.items() if name not in ("type", "features")}
    if content.members.get(PLANE) == PLANE_WORDS:
        del content.members[PLANE]
    for found, allowed in _troubles_beside(whole, content.members):
        content.fail(found=found, allowed=allowed)
    if BBOX in content.members:
        content.members[BBOX] = []  # that there is one is kept; what it says follows the shapes
    for number, feature in enumerate(whole["features"], start=1):
        _take_feature(content, number, feature)
    _note_unknown(content)
    return content


def write_features(model: type[Entry], entries: Sequence[Entry], members: Mapping[str, Any] | None = None) -> bytes:
    """One GeoJSON file: a feature on each line, UTF-8 without a byte-order mark."""
    members = _with_bbox(members or {}, [entry.shape for entry in entries])  # type: ignore[attr-defined]
    opening = _text({"type": "FeatureCollection", PLANE: PLANE_WORDS, **members})[:-1]
    lines = ",\n".join(_text(_feature(model, entry)) for entry in entries)
    return f'{opening}, "features": [\n{lines}\n]}}\n'.encode()


def _no_collection(whole: Any) -> str | None:
    """Why a JSON value is no FeatureCollection; None: it is one."""
    if not isinstance(whole, dict):
        return f"{shown(whole)}, which is no object"
    if whole.get("type") != "FeatureCollection":
        return f"an object of type {shown(whole.get('type'))}"
    return None if isinstance(whole.get("features"), list) else "a FeatureCollection without a list of features"


def _take_feature(content: FileContent, number: int, feature: Any) -> None:
    """Read one feature; what is wrong with its frame is told here, with its values by `FileContent.take`."""
    wrong = list(_wrong_frame(feature))
    properties = (feature.get("properties") or {}) if isinstance(feature, dict) else {}
    if wrong:
        for column, found, allowed in wrong:
            content.fail(row=number, column=column, found=found, allowed=allowed)
        key = [properties.get(name) if isinstance(properties, dict) else None for name in content.model.KEY]
        content.lose(number, key[0] if key and isinstance(key[0], str) else "")
        return
    known = {column.name for column in columns_of(content.model) if column.kind != "shape"}
    geometry = feature.get(GEOMETRY)
    more = {name: value for name, value in properties.items() if name not in known}
    beside = {name: value for name, value in feature.items() if name not in ("type", "properties", GEOMETRY)}
    within = {name: value for name, value in (geometry or {}).items() if name not in _OF_A_GEOMETRY}
    if within:
        beside[GEOMETRY] = within
    if beside:
        more[FEATURE] = beside
    raw = {name: value for name, value in properties.items() if name in known} | {"shape": geometry}
    content.take(number, raw, lambda column, value: _value(content, number, column, value), more)


def _wrong_frame(feature: Any) -> Iterable[tuple[str, str, str]]:
    """What keeps a feature from being read at all: (property, found, allowed)."""
    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        found = f"type {shown(feature.get('type'))}" if isinstance(feature, dict) else shown(feature)
        yield "", found, 'an object with "type": "Feature"'
        return
    for found, allowed in troubles(feature):
        yield "", found, allowed
    properties, geometry = feature.get("properties"), feature.get(GEOMETRY)
    if properties is not None and not isinstance(properties, dict):
        yield "properties", shown(properties), "an object, or null"
    elif properties and FEATURE in properties:
        yield FEATURE, "a property of this name", "any other name: this one is kept for members of the feature itself"
    if geometry is not None and not isinstance(geometry, dict):
        yield GEOMETRY, shown(geometry), "a GeoJSON geometry object, or null"


def _value(content: FileContent, number: int, column: Column, value: Any) -> Any:
    if column.kind != "shape":
        return value_in_json(column, value)
    if value is None:
        return None
    try:
        shape = Shape.model_validate(value)
    except ValidationError as error:
        words = _shape_words(value, error)
        raise NotThisKind(words, f"{column.words}, {_RING}" if words.startswith("a ring") else "") from error
    if any(set(part) - set(_OF_A_GEOMETRY) for part in value.get("geometries", ())):
        place = f"{content.model.FILE}, feature {number}"
        content.notes.append(f"{place}: members of the geometries within a GeometryCollection are not kept")
    fault = shape_fault(shape)
    if fault and content.model is not OutlineShape:
        raise NotThisKind(f"a shape that cannot be used: {fault}", f"{column.words} with {_USABLE}")
    if fault:  # an outline is looked at and never reckoned with
        content.notes.append(f"{content.model.FILE}, feature {number}: {fault}; it is drawn as it is")
        return shape
    return oriented(shape)


def _shape_words(geometry: Mapping[str, Any], error: ValidationError) -> str:
    first = error.errors(include_url=False, include_input=False)[0]
    if first["type"] == "value_error":
        return cut(first["msg"].removeprefix("Value error, "))
    return f"geometry type {shown(geometry.get('type'))}"


def _troubles_beside(whole: Mapping[str, Any], members: Mapping[str, Any]) -> Iterable[tuple[str, str]]:
    for key in getattr(whole, "keys_twice", ()):
        yield f"{key!r} twice in the collection", "each key of an object once"
    yield from troubles(dict(members))


def _note_unknown(content: FileContent) -> None:
    for name in dict.fromkeys(name for _, entry in content.entries for name in entry.more if name != FEATURE):
        content.notes.append(
            f"{content.model.FILE}: the property {shown(name)} is none of this version; it is kept as it is"
        )


def _feature(model: type[Entry], entry: Entry) -> dict[str, Any]:
    shape: Shape | None = entry.shape  # type: ignore[attr-defined]
    properties = {
        column.name: json_of(column, getattr(entry, column.name))
        for column in columns_of(model)
        if column.kind != "shape" and getattr(entry, column.name) is not None
    }
    beside = _with_bbox(entry.more.get(FEATURE, {}), [shape])
    within = _with_bbox(beside.pop(GEOMETRY, {}), [shape])
    geometry = {**_compact(shape.geojson()), **within} if shape else None
    more = {name: value for name, value in entry.more.items() if name != FEATURE}
    return {"type": "Feature", **beside, "properties": properties | more, GEOMETRY: geometry}


def _with_bbox(members: Mapping[str, Any], shapes: Iterable[Shape | None]) -> dict[str, Any]:
    """Members with their bbox, where they have one, as it now is (RFC 7946 section 5): a shape may have been changed."""
    there = [to_shapely(shape) for shape in shapes if shape is not None]
    if BBOX not in members or not there:
        return {name: value for name, value in members.items() if name != BBOX}
    return {**members, BBOX: [plain_number(float(n)) for n in shapely.total_bounds(there)]}


def _compact(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _compact(item) for name, item in value.items()}
    if isinstance(value, list):
        return [_compact(item) for item in value]
    return plain_number(value) if isinstance(value, float) else value


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
