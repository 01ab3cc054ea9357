"""Writes rows and features as the open folder has them: RFC 4180 and RFC 7946, the same bytes every time."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

Row = Mapping[str, Any]


def number(value: float) -> float | int:
    """A coordinate to a tenth of a millimetre, whole numbers without a point."""
    value = round(float(value), 1) + 0.0
    return int(value) if value == int(value) else value


def geometry(shape: BaseGeometry) -> dict[str, Any]:
    """GeoJSON of a shape: outer rings counter-clockwise."""
    if shape.geom_type == "Polygon":
        shape = orient(shape)
    elif shape.geom_type == "MultiPolygon":
        shape = shapely.MultiPolygon([orient(p) for p in shape.geoms])
    raw = mapping(shape)
    return {"type": raw["type"], "coordinates": _plain(raw["coordinates"])}


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return number(value)
    items = [_plain(item) for item in value]
    if items and isinstance(items[0], list) and items[0] and not isinstance(items[0][0], list):
        return [p for i, p in enumerate(items) if i == 0 or p != items[i - 1]]
    return items


def write_csv(path: Path, columns: Sequence[str], rows: Iterable[Row]) -> None:
    """One CSV file, lines ended by CR LF; empty cells where a row has no value."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, columns, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({name: cell(row.get(name)) for name in columns})
    path.write_bytes(text.getvalue().encode("utf-8"))


def cell(value: Any) -> str:
    """A value as the open folder writes it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(number(value))
    if isinstance(value, (list, tuple)):
        return ";".join(map(str, value))
    return str(value)


def write_features(path: Path, rows: Iterable[tuple[Row, BaseGeometry]]) -> None:
    """One GeoJSON file, one feature a line."""
    lines = []
    for properties, shape in rows:
        kept = {name: value for name, value in properties.items() if value not in (None, "")}
        feature = {"type": "Feature", "properties": kept, "geometry": geometry(shape)}
        lines.append(json.dumps(feature, ensure_ascii=False, separators=(", ", ": ")))
    body = '{"type": "FeatureCollection", "features": [\n' + ",\n".join(lines) + "\n]}\n"
    path.write_bytes(body.encode("utf-8"))
