"""What is laid over a map lies where the map has it."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from bodymap.exchange.open_folder import read_folder
from bodymap.geometry.convert import to_shapely
from bodymap.settings import in_force
from bodymap.views.laid_over import chosen_edges
from bodymap.views.sheet import SheetChoice, lay_out, sheet_view
from demo import VEHICLE_FOLDER


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER).record


@pytest.mark.parametrize("kind", ["outside", "hidden"])
def test_chosen_zones_have_the_edges_the_sheet_draws(van, kind):
    drawn = {zone.zone_id: zone.rings for zone in sheet_view(van, SheetChoice(kind), in_force()).zones}
    layout = lay_out(van, kind)
    assert drawn
    for zone_id, rings in drawn.items():
        assert chosen_edges(van, layout, [zone_id]) == rings


def test_edges_enclose_what_the_record_has(van):
    layout = lay_out(van, "outside")
    zones = [zone for zone in van.zones if layout.has(zone.drawing_id)]
    edges = chosen_edges(van, layout, [zone.zone_id for zone in zones])
    assert sum(
        shapely.Polygon(ring).area * (1 if shapely.LinearRing(ring).is_ccw else -1) for ring in edges
    ) == pytest.approx(sum(to_shapely(zone.shape).area for zone in zones))


def test_a_line_round_a_zone_leaves_all_of_it_free_and_stays_near(van):
    layout = lay_out(van, "outside")
    for zone in van.zones:
        if not layout.has(zone.drawing_id):
            continue
        place, shape = layout.place_of(zone.drawing_id), to_shapely(zone.shape)
        moved = shapely.transform(shape, lambda at, place=place: at + np.array([place.dx, place.dy]))
        for ring in chosen_edges(van, layout, [zone.zone_id], 30.0):
            line = shapely.LineString(ring)
            assert line.distance(moved) == pytest.approx(30.0, abs=0.5)
            assert not shapely.intersects(line, moved)
            # A sharp corner is cut at twice the distance (the library's mitre limit), its two ends a little farther off.
            assert max(moved.distance(shapely.Point(at)) for at in ring) <= 75


def test_zones_of_the_other_sheet_and_unknown_ones_have_none(van):
    layout = lay_out(van, "outside")
    away = next(zone.zone_id for zone in van.zones if not layout.has(zone.drawing_id))
    assert chosen_edges(van, layout, [away, "no such zone"]) == ()
