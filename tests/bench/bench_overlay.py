"""Zone × mask areas against bare shapely and geopandas: `python -m tests.bench overlay`.

Wanted: at most 1.3 times the same work by bare vectorised shapely calls, and less than `geopandas.overlay`. All three are
given 300 zones and 300 kept areas of 100 points as ready geometries; kept areas that overlap count once.
"""

from __future__ import annotations

from collections.abc import Iterator

import geopandas as gpd
import numpy as np
import shapely

from bodymap.geometry.areas import areas_of
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Drawing, Part, Record, Vehicle, Zone
from tests.bench.measure import Row, least


def round_shape(x: float, y: float, radius: float) -> dict[str, object]:
    """A round surface of 100 points."""
    turn = np.linspace(0, 2 * np.pi, 100, endpoint=False)
    ring = np.column_stack((x + radius * np.cos(turn), y + radius * np.sin(turn))).tolist()
    return {"type": "Polygon", "coordinates": [[*ring, ring[0]]]}


def covered(radius: float) -> Record:
    """300 zones of 80 mm radius beside one another, and 300 kept areas strewn over them."""
    places = np.random.default_rng(3).uniform((0, 0), (3200, 2400), (300, 2)).tolist()
    zones = [round_shape(160 * (n % 20) + 80, 160 * (n // 20) + 80, 80) for n in range(300)]
    return Record(
        vehicle=Vehicle(vehicle_id="v", name="large"),
        drawings=(Drawing(drawing_id="d", name="left", kind="outside"),),
        parts=(Part(part_id="p", name="Body", substrate="steel", removable=False),),
        zones=tuple(
            Zone(zone_id=f"z{n}", drawing_id="d", part_id="p", face="outer", shape=one) for n, one in enumerate(zones)
        ),
        areas=tuple(
            Area(area_id=f"k{n}", drawing_id="d", purpose="keep", shape=round_shape(*place, radius))
            for n, place in enumerate(places)
        ),
    )


def bare(zones: np.ndarray, masks: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Drawn and kept area of each zone by shapely alone."""
    parts = shapely.get_parts(shapely.union_all(masks))
    zone, part = shapely.STRtree(parts).query(zones, predicate="intersects")
    kept = np.zeros(len(zones))
    np.add.at(kept, zone, shapely.area(shapely.intersection(zones[zone], parts[part])))
    return shapely.area(zones), kept


def by_geopandas(zones: gpd.GeoDataFrame, masks: gpd.GeoDataFrame) -> tuple[np.ndarray, np.ndarray]:
    """The same by `geopandas.overlay`."""
    found = gpd.overlay(zones, gpd.GeoDataFrame(geometry=[masks.union_all()]), how="intersection")
    kept = found.geometry.area.groupby(found["zone"]).sum().reindex(zones["zone"], fill_value=0.0)
    return zones.geometry.area.to_numpy(), kept.to_numpy()


def rows(rounds: int = 15) -> Iterator[Row]:
    """What is measured."""
    for radius in (30.0, 120.0):
        record = covered(radius)
        zones, masks = (np.array([to_shapely(one.shape) for one in some]) for some in (record.zones, record.areas))
        frames = gpd.GeoDataFrame({"zone": range(len(zones))}, geometry=zones), gpd.GeoDataFrame(geometry=masks)
        kept = [areas.kept_drawn_mm2 for areas in areas_of(record).zones.values()]
        for other in (bare(zones, masks), by_geopandas(*frames)):
            assert np.allclose(kept, other[1], rtol=1e-9, atol=1e-6)
        found = least(
            {
                "ours": lambda record=record: areas_of(record),
                "bare": lambda zones=zones, masks=masks: bare(zones, masks),
                "geopandas": lambda frames=frames: by_geopandas(*frames),
            },
            rounds,
        )
        what = f"areas, 300 zones × 300 kept areas of {radius:g} mm"
        yield Row(what, found["ours"], found["bare"], "bare shapely: union, STRtree, intersection", 1.3)
        yield Row("  the same", found["ours"], found["geopandas"], "geopandas.overlay", 1.0)
