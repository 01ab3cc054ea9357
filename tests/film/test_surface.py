"""Film surfaces and suspected filler on made-up films whose shape is known."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from bodymap.film.contours import bands
from bodymap.film.filler import suspected_filler
from bodymap.film.surface import FilmSurface, NotEarned, film_surface, mean_alone_rmse, panels_read, surfaces
from bodymap.geometry.convert import to_shapely
from bodymap.model import Drawing, Setting
from bodymap.settings import in_force
from tests.film.cases import box, coat, even_places, field, part, reading, record, stack, zone

SETTINGS = in_force()
DOOR = box(0, 0, 1000, 800)


def bump(x, y):
    """A hump of 600 µm of filler on 250 µm of paint, round (600, 400)."""
    return 250 + 600 * math.exp(-((x - 600) ** 2 + (y - 400) ** 2) / (2 * 150**2))


def one(record_, settings=SETTINGS):
    (panel,) = panels_read(record_)
    return film_surface(record_, panel, settings)


def test_a_hump_is_found_where_it_is():
    surface = one(record([zone("door", DOOR)], readings=field("door", bump, even_places(0, 0, 1000, 800, 10, 8))))
    assert isinstance(surface, FilmSurface)
    x, y = np.meshgrid(surface.grid.x_mm, surface.grid.y_mm)
    true = np.vectorize(bump)(x, y)
    off = (surface.um - true)[surface.inside]
    assert math.sqrt(np.mean(off**2)) < 12
    top = np.unravel_index(np.argmax(np.where(surface.inside, surface.um, 0)), surface.grid.form)
    assert math.hypot(x[top] - 600, y[top] - 400) < 30
    assert surface.loo_rmse_um < 0.3 * surface.mean_rmse_um
    assert "80 places" in surface.says


def test_the_standard_error_grows_away_from_the_readings():
    places = [place for place in even_places(0, 0, 1000, 800, 10, 8) if place[0] < 600]
    surface = one(record([zone("door", DOOR)], readings=field("door", lambda x, y: 200 + 0.2 * x, places)))
    x, y = np.meshgrid(surface.grid.x_mm, surface.grid.y_mm)
    row = surface.se_um[np.argmin(np.abs(y[:, 0] - 400))]
    beyond = x[0] > 560
    assert (np.diff(row[beyond]) > 0).all()
    assert row[beyond].max() > 3 * row[~beyond].mean()
    assert surface.nearest_mm[surface.inside].max() == pytest.approx(math.hypot(450, 50), abs=15)


def test_too_few_places_earn_no_surface_and_the_reason_is_said():
    few = one(record([zone("door", DOOR)], readings=field("door", bump, even_places(0, 0, 1000, 800, 7, 2))))
    assert isinstance(few, NotEarned)
    assert few.why == "14 places read; a surface needs 15"
    own = in_force([Setting(key="surface_spots_least", value="14", basis="own trial")])
    assert isinstance(
        one(record([zone("door", DOOR)], readings=field("door", lambda x, y: x, even_places(0, 0, 1000, 800, 7, 2))), own),
        FilmSurface,
    )


def test_scatter_without_shape_earns_no_surface():
    chance = np.random.default_rng(5)
    noise = record(
        [zone("door", DOOR)], readings=field("door", lambda x, y: chance.normal(250, 6), even_places(0, 0, 1000, 800, 6, 5))
    )
    surface = one(noise)
    assert isinstance(surface, NotEarned)
    assert "hardly more than the mean" in surface.why


def test_repeats_of_a_spot_are_one_place():
    readings = [
        reading(f"r{n}_{k}", "door", 250.0 + k, x + 6 * math.cos(k), y + 6 * math.sin(k), spot=f"s{n}")
        for n, (x, y) in enumerate(even_places(0, 0, 1000, 800, 4, 3))
        for k in range(3)
    ]
    surface = one(record([zone("door", DOOR)], readings=readings))
    assert isinstance(surface, NotEarned)
    assert surface.places == 12


def test_a_surface_never_goes_across_parts_drawings_or_faces():
    zones = [
        zone("a", box(0, 0, 500, 800)),
        zone("b", box(500, 0, 500, 800), part="q"),
        zone("c", box(0, 0, 500, 800), drawing="right"),
        zone("d", box(0, 900, 500, 100), face="flange"),
        zone("e", box(0, 1100, 500, 100)),
        zone("unread", box(0, 1300, 500, 100)),
    ]
    readings = [reading(f"r{z.zone_id}", z.zone_id, 100.0, 10.0, 10.0) for z in zones[:5]]
    panels = panels_read(record(zones, parts=[part("p"), part("q")], drawings=("left", "right"), readings=readings))
    assert [(panel.part_id, panel.drawing_id, panel.face, panel.zone_ids) for panel in panels] == [
        ("p", "left", "outer", ("a", "e")),
        ("q", "left", "outer", ("b",)),
        ("p", "right", "outer", ("c",)),
        ("p", "left", "flange", ("d",)),
    ]


def test_a_thick_neighbour_does_not_colour_a_part():
    # Filler on part q, right beside p: the surface of p must stay flat.
    zones = [zone("a", box(0, 0, 500, 800)), zone("b", box(500, 0, 500, 800), part="q")]
    chance = np.random.default_rng(0)
    readings = [
        *field("a", lambda x, y: 240 + 0.04 * x + chance.normal(0, 1), even_places(0, 0, 500, 800, 4, 6)),
        *field("b", lambda x, y: 1500 + 0.04 * x + chance.normal(0, 1), even_places(500, 0, 500, 800, 4, 6), 100),
    ]
    made = surfaces(record(zones, parts=[part("p"), part("q")], readings=readings), SETTINGS)
    thin, thick = made
    assert thin.um[thin.inside].max() < 275
    assert thick.um[thick.inside].min() > 1480


def test_a_wrong_gauge_never_reaches_a_surface_or_the_filler():
    # A magnetic gauge on GRP says anything: 1480 µm here.
    good = field("cap", lambda x, y: 126 + 0.01 * x, even_places(0, 0, 1000, 800, 5, 5), principle="ultrasonic")
    bad = [reading(f"bad{n}", "cap", 1480.0, x, y) for n, (x, y) in enumerate(even_places(0, 0, 1000, 800, 6, 6))]
    cap = [zone("cap", DOOR)]
    with_bad = record(cap, parts=[part(substrate="grp")], readings=[*good, *bad])
    without = record(cap, parts=[part(substrate="grp")], readings=good)
    assert one(with_bad).um.tolist() == one(without).um.tolist()
    assert suspected_filler(with_bad, SETTINGS).areas == ()
    only_bad = record(cap, parts=[part(substrate="grp")], readings=bad)
    assert panels_read(only_bad) == ()
    assert suspected_filler(only_bad, SETTINGS).areas == ()


def test_readings_without_a_place_are_left_out_and_told():
    readings = [*field("door", bump, even_places(0, 0, 1000, 800, 4, 3)), reading("lost", "door", 250.0)]
    assert one(record([zone("door", DOOR)], readings=readings)).why == (
        "12 places read, 1 more without a place; a surface needs 15"
    )


# --- filler ------------------------------------------------------------------------------------------------------------


def painted(low, high, *, filler=True):
    made, layers = stack("door", ["filler", "top"] if filler else ["top"])
    return {"coats": (coat("filler", 0, 2500, "filler"), coat("top", low, high)), "stacks": (made,), "layers": tuple(layers)}


def test_the_area_and_volume_of_a_hump_are_those_of_its_formula():
    # Above 400 µm the hump is a circle: 600·exp(−r²/2s²) = 150 → r = s·√(2·ln 4). Film over it less 250 µm of paint:
    # 2π s²·600·(1 − 1/4) µm·mm².
    rec = record(
        [zone("door", DOOR, ratio=1.1)],
        readings=field("door", bump, even_places(0, 0, 1000, 800, 12, 10)),
        **painted(245, 255),
    )
    (area,) = suspected_filler(rec, SETTINGS).areas
    circle = math.pi * 150**2 * 2 * math.log(4)
    assert area.by == "surface"
    assert area.drawn_mm2 == pytest.approx(circle, rel=0.02)
    assert area.surface_mm2 == pytest.approx(1.1 * area.drawn_mm2)
    assert area.litres == pytest.approx(1.1 * 2 * math.pi * 150**2 * 600 * 0.75 * 1e-9, rel=0.03)
    assert area.geometry.distance(shapely.Point(600, 400)) == 0
    assert area.most_um == pytest.approx(850, rel=0.02)
    # 10 µm of paint range and the gauge's 10 % of the mean film, both ways
    half = area.surface_mm2 * (5 + 0.1 * area.mean_um) * 1e-9
    assert (area.low_litres, area.high_litres) == pytest.approx((area.litres - half, area.litres + half))


def test_too_few_places_give_the_zone_whole_and_say_so():
    rec = record(
        [zone("door", DOOR)],
        readings=field("door", lambda x, y: 1500, [(100, 100), (500, 400), (900, 700)]),
        **painted(100, 140),
    )
    (area,) = suspected_filler(rec, SETTINGS).areas
    assert (area.by, area.drawn_mm2) == ("mean", 800_000)
    assert area.geometry.equals(to_shapely(rec.zone["door"].shape))
    assert area.litres == pytest.approx(0.8 * (1.5 - 0.12))
    assert "mean of 3 places" in area.why


def test_a_few_thick_places_are_told_and_no_area_is_made_up():
    rec = record(
        [zone("door", DOOR)],
        readings=field("door", lambda x, y: 900 if x > 800 else 250, [(100, 100), (500, 400), (900, 700)]),
    )
    report = suspected_filler(rec, SETTINGS)
    assert report.areas == ()
    assert report.notes[0].startswith("door: 1 of 3 places lie above 400 µm")


def test_on_a_schematic_drawing_filler_is_an_estimate():
    sketch = Drawing(drawing_id="left", name="left", kind="outside", scale="schematic")
    rec = record(
        [zone("door", DOOR)], drawings=[sketch], readings=field("door", lambda x, y: 1000, [(100, 100), (500, 400)])
    )
    assert "estimates" in suspected_filler(rec, SETTINGS).areas[0].why


def test_paint_not_known_is_said_and_widens_the_volume():
    rec = record([zone("door", DOOR)], readings=field("door", lambda x, y: 1000, [(100, 100), (500, 400)]))
    (area,) = suspected_filler(rec, SETTINGS).areas
    assert area.paint_um == (0.0, 400.0)
    assert "not known" in area.why
    assert area.low_litres == pytest.approx(0.8 * (1.0 - 0.4 - 0.1))
    assert area.high_litres == pytest.approx(0.8 * (1.0 + 0.1))


def test_filling_again_takes_more_and_deep_filler_is_warned_of():
    rec = record(
        [zone("door", DOOR)], readings=field("door", lambda x, y: 3500, [(100, 100), (500, 400)]), **painted(100, 100)
    )
    (area,) = suspected_filler(rec, SETTINGS).areas
    assert area.refill.low_litres == pytest.approx(1.05 * area.low_litres)
    assert area.refill.mixed_litres == pytest.approx(1.6 * area.litres)
    assert "metalwork, not filler" in area.refill.warning


def test_the_area_falls_into_the_zones_it_lies_in():
    zones = [zone("fore", box(0, 0, 600, 800)), zone("aft", box(600, 0, 400, 800), ratio=2.0)]
    places = even_places(0, 0, 1000, 800, 12, 10)
    readings = [
        *field("fore", bump, [p for p in places if p[0] < 600]),
        *field("aft", bump, [p for p in places if p[0] >= 600], 1000),
    ]
    (area,) = suspected_filler(record(zones, readings=readings), SETTINGS).areas
    assert area.zone_ids == ("fore", "aft")
    assert area.surface_mm2 == pytest.approx(1.5 * area.drawn_mm2, rel=0.02)


def test_bands_of_a_surface_tile_its_panel():
    surface = one(record([zone("door", DOOR)], readings=field("door", bump, even_places(0, 0, 1000, 800, 10, 8))))
    found = bands(surface.grid, surface.um, surface.shape, (-math.inf, 300.5, 500.5, math.inf))
    assert sum(band.area_mm2 for band in found) == pytest.approx(800_000, rel=1e-9)


def test_the_error_of_the_mean_alone_is_that_of_leaving_one_out():
    values = [210.0, 214.0, 219.0, 205.0, 214.5]
    errors = [value - (sum(values) - value) / 4 for value in values]
    assert mean_alone_rmse(values) == pytest.approx(math.sqrt(sum(error**2 for error in errors) / 5))
