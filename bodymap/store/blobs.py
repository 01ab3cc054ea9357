"""Geometries as GeoPackage blobs and back, every coordinate exactly as it was.

A blob is the GeoPackage header (OGC 12-128 clause 2.1.3: "GP", version, flags, srs_id, envelope) followed by ISO
well-known binary, both little-endian here.
"""

from __future__ import annotations

import struct

import numpy as np
import shapely

from bodymap.geometry.convert import to_shapely
from bodymap.model.shapes import Shape

# Own row in gpkg_spatial_ref_sys: a drawing plane in millimetres. With srs_id -1 readers would show metres.
SRS_ID = 100_001
_HEADER = struct.Struct("<2sBBi4d")
_LITTLE_ENDIAN, _ENVELOPE_XY = 0x01, 0x02
_BASE_BYTES = 8
_PLAIN = ("Polygon", "LineString")
_ENVELOPE_BYTES = {0: 0, 1: 32, 2: 48, 3: 48, 4: 64}


def encoded(shape: Shape) -> bytes:
    """The blob of a shape, with its envelope in the header in the order min x, max x, min y, max y."""
    geometry = to_shapely(shape)
    x_min, y_min, x_max, y_max = geometry.bounds
    header = _HEADER.pack(b"GP", 0, _LITTLE_ENDIAN | _ENVELOPE_XY, SRS_ID, x_min, x_max, y_min, y_max)
    wkb: bytes = shapely.to_wkb(geometry, flavor="iso", byte_order=1)
    return header + wkb


def decoded(blob: bytes) -> Shape:
    """The shape in a blob.

    Raises:
        ValueError: the bytes are no GeoPackage geometry, or no shape this program knows.
    """
    if not isinstance(blob, bytes) or len(blob) < _BASE_BYTES or blob[:2] != b"GP":
        raise ValueError("no GeoPackage geometry")
    envelope = _ENVELOPE_BYTES.get((blob[3] >> 1) & 0x07)
    if envelope is None:
        raise ValueError("a GeoPackage geometry with an envelope of no known kind")
    try:
        with np.errstate(invalid="ignore"):  # coordinates that are no numbers are told below
            geometry = shapely.from_wkb(blob[_BASE_BYTES + envelope :])
    except shapely.errors.ShapelyError as error:
        raise ValueError(f"a GeoPackage geometry that cannot be read: {error}") from error
    if not np.isfinite(shapely.get_coordinates(geometry)).all():
        raise ValueError("a GeoPackage geometry with coordinates that are no numbers")
    told = geometry.__geo_interface__
    if told["type"] in _PLAIN and told["coordinates"]:
        # Already nested tuples of floats; the rest of what a shape must be is asked when it becomes part of an entry.
        return Shape.model_construct(type=told["type"], coordinates=told["coordinates"])
    return Shape.model_validate(told)
