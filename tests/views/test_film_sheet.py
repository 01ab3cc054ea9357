"""The film on the sheet: what takes a colour, surfaces only where earned, histograms, spot plan, spot sheet."""

from __future__ import annotations

import math

import pytest
import shapely

from bodymap.exchange.open_folder import read_folder
from bodymap.film.before_after import loss_between_phases
from bodymap.film.contours import contour, grid_over
from bodymap.film.mapping import GaugeRow, lay_on
from bodymap.film.report import Specification, film_report
from bodymap.film.spot_plan import plan_spots
from bodymap.film.surface import FilmSurface
from bodymap.geometry.convert import to_shapely
from bodymap.model import Coat, Drawing
from bodymap.settings import in_force
from bodymap.views.film_histogram import EDGES_UM, film_histograms
from bodymap.views.film_sheet import FilmChoice, contour_levels, film_sheet, why_no_surface
from bodymap.views.palette import ERROR_COLOURS, contrast, error_colour, film_colour
from bodymap.views.spot_map import spot_map, zones_laid
from bodymap.views.spot_sheet import PICTURE_MM, spot_sheet
from demo import VEHICLE_FOLDER
from tests.film.cases import box, even_places, part, reading, record, zone

SETTINGS = in_force()


def hump(x, y):
    return 250 + 220 * math.exp(-((x - 700) ** 2 + (y - 350) ** 2) / 4e4)


def panel(count=(6, 5), **more):
    """A steel panel with a hump of film and a GRP roof beside it, both read with a magnetic gauge."""
    places = even_places(0, 0, 1000, 700, *count)
    readings = [reading(f"r{n}", "skin", hump(x, y), x, y) for n, (x, y) in enumerate(places)]
    readings += [reading(f"roof{n}", "roof", 1480, 1500 + 50 * n, 200) for n in range(3)]
    zones = [zone("skin", box(0, 0, 1000, 700)), zone("roof", box(1200, 0, 800, 500), part="cap")]
    return record(zones, parts=[part(), part("cap", "grp")], readings=readings, **more)


def sheet_of(rec, look="film", surface="film", phase="as found", asked=None, losses=None, **more):
    report = film_report(rec, SETTINGS, asked or Specification(), phase)
    return film_sheet(rec, FilmChoice("outside", look, surface, **more), report, losses)


def state_of(view, zone_id):
    return next(one for one in view.zones if one.zone_id == zone_id)


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER).record


def test_a_refused_reading_is_a_sign_and_takes_no_colour():
    view = sheet_of(panel())
    signs = [point for point in view.points if point.zone_id == "roof"]
    assert {point.sign for point in signs} == {"refused"}
    assert {point.paint for point in signs} == {"refused"}
    assert all("GRP has none" in " ".join(point.words) for point in signs)
    assert state_of(view, "roof").paint == "zone"
    assert film_colour(1480) not in {one.paint for one in (*view.zones, *view.over)}


def test_a_surface_is_drawn_where_it_is_earned_and_is_cut_to_the_zones_read():
    rec = panel()
    view = sheet_of(rec)
    bands = [one for one in view.over if one.paint.startswith("#")]
    covered = shapely.union_all([shapely.Polygon(ring) for band in bands for ring in band.rings])
    place = shapely.Polygon(state_of(view, "skin").rings[0])
    assert covered.symmetric_difference(place).area < 1e-3 * place.area
    assert any(stroke.style == "contour" for stroke in view.strokes)
    assert sum(path is not None for stroke in view.strokes if stroke.style == "contour" for path in stroke.paths) > 0
    told = " ".join(line for spot in state_of(view, "skin").spots for line in spot)
    assert "standard error" in told
    assert all("standard error" not in line for spot in state_of(view, "roof").spots for line in spot)


def test_without_enough_places_there_is_no_surface_and_it_is_said_why():
    rec = panel((4, 3))
    view = sheet_of(rec)
    assert not [one for one in view.over if one.paint.startswith("#")]
    assert not [stroke for stroke in view.strokes if stroke.style == "contour"]
    (why,) = why_no_surface(film_report(rec, SETTINGS))
    assert why.why == "12 places read; a surface needs 15"


def test_the_standard_error_has_a_ramp_of_its_own():
    view = sheet_of(panel(), surface="error")
    paints = {one.paint for one in view.over if one.paint.startswith("#")}
    assert paints
    assert view.ramp.title.startswith("Standard error")
    assert view.ramp.colours == ERROR_COLOURS
    assert {error_colour(um) for um in range(121)} >= paints
    # darker where it is less sure, step by step (WCAG 2.2 contrast against white)
    steps = [contrast(colour, "#ffffff") for colour in ERROR_COLOURS]
    assert steps == sorted(steps)


def test_contour_levels_are_round_and_lie_within_the_film():
    (surface,) = [one for one in film_report(panel(), SETTINGS).surfaces if isinstance(one, FilmSurface)]
    levels = contour_levels(surface.um, surface)
    assert 2 <= len(levels) <= 6
    assert all(level % 50 == 0 for level in levels)
    assert surface.um[surface.inside].min() <= levels[0]
    assert levels[-1] <= surface.um[surface.inside].max()


def test_a_contour_of_a_cone_is_a_circle_cut_to_the_shape():
    shape = shapely.box(0, -500, 500, 500)
    grid = grid_over(shape, 5.0)
    x, y = grid.nodes_mm.T
    line = contour(grid, (x**2 + y**2).reshape(grid.form) ** 0.5, shape, 300.0)
    assert line.length == pytest.approx(math.pi * 300, rel=1e-3)  # half a circle
    assert contour(grid, (x * 0 + 1.0).reshape(grid.form), shape, 300.0).is_empty


def test_left_and_right_say_the_same_with_opposite_signs(van):
    view = film_sheet(van, FilmChoice("outside", "sides"), film_report(van, in_force(van.settings)))
    left, right = state_of(view, "wingL_side"), state_of(view, "wingR_side")
    assert (left.state, right.state) == ("− thinner than the other side", "+ thicker than the other side")
    assert left.texture != right.texture != "solid"
    figures = {label.text for label in view.labels}
    assert {"−40", "+40"} <= figures


def test_judges_are_drawn_apart_and_out_of_scope_is_neither_good_nor_bad():
    rec = panel()
    assert state_of(sheet_of(rec, "iso19840", asked=Specification(nominal_um=30)), "skin").state.startswith("outside")
    assert state_of(sheet_of(rec, "iso19840", asked=Specification(nominal_um=400)), "skin").state == "rejected"
    assert state_of(sheet_of(rec, "iso19840", asked=Specification(nominal_um=240)), "skin").state == "accepted"
    assert state_of(sheet_of(rec, "sspc_pa2", asked=Specification(nominal_um=240)), "skin").state == "not judged"
    pa2 = sheet_of(rec, "sspc_pa2", asked=Specification(min_um=100, max_um=600))
    assert state_of(pa2, "skin").state == "cannot tell"  # single readings are no spots of three


def test_filler_is_told_with_area_and_litres(van):
    view = film_sheet(van, FilmChoice("outside", "filler"), film_report(van, in_force(van.settings)))
    assert {"filler_hatch", "finding"} <= {stroke.style for stroke in view.strokes}
    assert "0.27 L" in " ".join(label.text for label in view.labels)  # 0.188 m² × 1.46 mm: see the demo's story


def test_polishing_shows_loss_by_zone():
    before = [reading(f"a{n}", "z", 130.0, 50 * n, 50, spot=f"N{n}", instrument="g") for n in range(1, 6)]
    after = [
        reading(f"b{n}", "z", 120.0 + n / 10, 50 * n, 50, spot=f"N{n}", instrument="g", phase="c1") for n in range(1, 6)
    ]
    rec = record(
        [zone("z", box(0, 0, 400, 400))], readings=before + after, coats=(Coat(coat_id="c1", name="c", kind="clear"),)
    )
    losses = {"z": loss_between_phases(rec, "z", "as found", "c1", SETTINGS)}
    view = sheet_of(rec, "loss", losses=losses)
    assert state_of(view, "z").state == "− film lost"
    assert "−10" in {label.text for label in view.labels}


def test_an_empty_record_gives_an_empty_sheet():
    for look in ("film", "sides", "iso19840", "sspc_pa2", "unexplained", "filler", "loss"):
        assert sheet_of(record([]), look).zones == ()


# --- histograms -------------------------------------------------------------------------------------------------------


def test_every_reading_that_counts_is_in_one_class(van):
    for by in ("zone", "part"):
        view = film_histograms(van, by)
        for one in view.panels:
            assert sum(one.counts) == one.n
        refused = sum(one.refused for one in view.panels)
        assert sum(one.n for one in view.panels) + refused == len(van.readings)
    cap = next(one for one in film_histograms(van, "part").panels if one.title == "High roof cap")
    assert cap.refused == 1
    assert max(k for k, count in enumerate(cap.counts) if count) < EDGES_UM.index(200.0)


def test_a_film_beyond_the_scale_counts_in_the_last_class():
    rec = record([zone("z", box(0, 0, 400, 400))], readings=[reading("r1", "z", 2500.0), reading("r2", "z", 100.0)])
    view = film_histograms(rec)
    assert view.panels[0].counts[-1] == 1
    assert view.panels[0].counts[EDGES_UM.index(100.0)] == 1
    assert (view.first, view.last) == (EDGES_UM.index(100.0), len(EDGES_UM) - 2)


# --- spot plan and sheet ----------------------------------------------------------------------------------------------


def test_spots_stand_on_the_map_and_a_preview_colours_only_what_its_gauge_can_read():
    rec = panel()
    plan = plan_spots(rec, "shop", SETTINGS, ["skin", "roof"])
    view = spot_map(rec, FilmChoice("outside"), plan)
    assert {point.sign for point in view.points} == {"to_read"}
    assert len(view.points) == len(plan.spots)
    preview = lay_on([GaugeRow(n, (200.0 + n,)) for n in range(1, 3 * len(plan.spots) + 1)], plan)
    view = spot_map(rec, FilmChoice("outside"), plan, preview, "magnetic")
    signs = {point.zone_id: set() for point in view.points}
    for point in view.points:
        signs[point.zone_id].add(point.sign)
    assert signs == {"skin": {"reading"}, "roof": {"refused"}}
    told = {one.zone_id: one for one in zones_laid(rec, preview, "magnetic")}
    assert told["skin"].refused is None
    assert "GRP" in told["roof"].refused
    assert sum(one.readings for one in told.values()) == 3 * len(plan.spots)
    assert zones_laid(rec, preview, "ultrasonic")[0].refused is None


def test_the_sheet_tells_each_place_by_rule_from_the_edges():
    rec = panel()
    plan = plan_spots(rec, "shop", SETTINGS, ["skin"])
    sheet = spot_sheet(rec, plan, "shop", SETTINGS)
    ((skin,),) = [drawing.zones for drawing in sheet.drawings]
    for row, spot in zip(skin.rows, plan.spots, strict=True):
        # the panel is an upright rectangle from (0, 0): its edges lie at x = 0 and y = 0
        assert (row.across_mm, row.up_mm) == (pytest.approx(spot.x), pytest.approx(spot.y))
    assert skin.gauge == "magnetic"
    assert sheet.readings == 3 * sheet.spots
    assert [number for number, _ in sheet.stickers] == [spot.number for spot in plan.spots]


def test_the_map_of_the_sheet_is_as_large_as_the_paper_lets_it_be(van):
    settings = in_force(van.settings)
    sheet = spot_sheet(van, plan_spots(van, "shop", settings), "shop", settings)
    for drawing in sheet.drawings:
        picture = drawing.picture
        assert picture.width_mm <= PICTURE_MM[0]
        assert picture.height_mm <= PICTURE_MM[1] + 1e-6
        zones = [to_shapely(van.zone[zone.zone_id].shape) for zone in drawing.zones]
        x0, y0, x1, y1 = shapely.total_bounds(zones)
        fills = max((x1 - x0) / picture.scale / PICTURE_MM[0], (y1 - y0) / picture.scale / PICTURE_MM[1])
        assert 0.6 < fills <= 1
        for label in picture.labels:
            assert 0 < label.x < picture.width_mm
            assert 0 < label.y < picture.height_mm


def test_a_schematic_drawing_gives_no_distances():
    sketch = Drawing(drawing_id="left", name="left", kind="outside", scale="schematic")
    rec = record([zone("z", box(0, 0, 500, 500))], drawings=[sketch])
    sheet = spot_sheet(rec, plan_spots(rec, "shop", SETTINGS), "shop", SETTINGS)
    assert sheet.drawings[0].estimate
    assert {(row.across_mm, row.up_mm) for row in sheet.drawings[0].zones[0].rows} == {(None, None)}
