"""Zones with their measures as GeoJSON (RFC 7946 objects, in drawing millimetres as in the open folder)."""

from __future__ import annotations

import json

from bodymap.film.summary import zone_film
from bodymap.geometry.areas import areas_of
from bodymap.model import Record
from bodymap.views.hand_over_tables import Cell


def zone_measures_bytes(record: Record) -> bytes:
    """Every zone with its areas [mm²] and the median of its film as found [µm]; a blank is null."""
    areas = areas_of(record)
    features = []
    for zone in record.zones:
        measured = areas.zones[zone.zone_id]
        properties: dict[str, Cell] = {
            "zone_id": zone.zone_id,
            "name": zone.name,
            "part_id": zone.part_id,
            "part": record.part[zone.part_id].name,
            "drawing_id": zone.drawing_id,
            "face": zone.face,
            "intent": zone.intent,
            "surface_ratio": zone.surface_ratio,
            **{name: value for name, value in vars(measured).items() if name != "zone_id"},
            "film_median_um": zone_film(record, zone.zone_id).median_um,
        }
        features.append({"type": "Feature", "properties": properties, "geometry": zone.shape.geojson()})
    whole = {"type": "FeatureCollection", "features": features}
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()
