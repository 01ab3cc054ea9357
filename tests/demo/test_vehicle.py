"""The demo vehicle: its figures against the sums told for it, its shapes, ids and readings, and that it is built alike.

The sums (part sizes, surface factors, film medians, litres) are the invented vehicle's story: no outside source.
"""

from __future__ import annotations

import csv
import hashlib
import itertools
import json
import statistics
from collections import defaultdict
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from PIL import Image
from shapely.geometry import Point, shape
from shapely.geometry.base import BaseGeometry

from demo import VEHICLE_FOLDER
from demo.build import build

Feature = tuple[dict[str, Any], BaseGeometry]
OUTSIDE = ("left", "right", "front", "rear", "roof")
WELDED = ({"scuttle", "screen"}, {"side_R", "skin_R"})
NARROW = {"frame_L", "frame_R"}


def rows(name: str, folder: Path = VEHICLE_FOLDER) -> list[dict[str, str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def features(name: str) -> list[Feature]:
    found = json.loads((VEHICLE_FOLDER / name).read_text(encoding="utf-8"))["features"]
    return [(f["properties"], shape(f["geometry"])) for f in found]


ZONES = features("zones.geojson")
SHAPE = {p["zone_id"]: g for p, g in ZONES}
PART_OF = {p["zone_id"]: p["part_id"] for p, _ in ZONES}


def counted() -> list[dict[str, str]]:
    """Readings that count: not marked invalid, and the probe fit for the metal under it."""
    substrate = {r["part_id"]: r["substrate"] for r in rows("parts.csv")}
    fit = {"steel": "magnetic", "aluminium": "eddy", "grp": "ultrasonic"}
    return [r for r in rows("readings.csv") if not r["invalid"] and r["principle"] == fit[substrate[PART_OF[r["zone_id"]]]]]


# -- size and shape ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("parts", "metres", "ratio", "within"),
    [
        (("nose",), (1.5, 0.6), 1.10, 0.01),
        (("bonnet",), (1.3, 0.9), 1.06, 0.01),
        (("wing_L",), (1.1, 0.7), 1.15, 0.01),
        (("wing_R",), (1.1, 0.7), 1.15, 0.01),
        (("door_L",), (0.9, 1.2), 1.03, 0.01),
        (("door_R",), (0.9, 1.2), 1.03, 0.01),
        (("side_L",), (2.3, 1.15), 1.04, 0.001),
        (("side_R", "skin_R"), (2.3, 1.15), 1.04, 0.001),
        (("skin_R",), (0.41, 0.44), 1.04, 0.01),
        (("cap",), (3.0, 1.6), 1.12, 0.01),
        (("rdoor_L",), (0.7, 1.2), 1.02, 0.01),
        (("rdoor_R",), (0.7, 1.2), 1.02, 0.01),
    ],
)
def test_part_has_the_flat_area_and_surface_factor_told(
    parts: tuple[str, ...], metres: tuple[float, float], ratio: float, within: float
) -> None:
    outer = [(p, g) for p, g in ZONES if p["part_id"] in parts and p["face"] == "outer"]
    drawn = sum(g.area for _, g in outer)
    true = sum(g.area * p["surface_ratio"] for p, g in outer)
    assert drawn == pytest.approx(metres[0] * metres[1] * 1e6, rel=within)
    assert true / drawn == pytest.approx(ratio, abs=0.002)


def test_left_cargo_side_needs_2_3_litres_of_blue() -> None:
    true_m2 = sum(g.area * p["surface_ratio"] for p, g in ZONES if p["part_id"] == "side_L") / 1e6
    cover_m2_per_litre = 10 * 12 / 40 * 0.40  # volume solids 12 %, film 40 µm, transfer 0.40
    assert true_m2 == pytest.approx(2.75, abs=0.005)
    assert true_m2 / cover_m2_per_litre == pytest.approx(2.3, abs=0.05)


def test_filler_volume_over_the_let_in_skin() -> None:
    skin = [r for r in counted() if r["zone_id"] == "sideR_skin"]
    filler_mm = (statistics.mean(float(r["um"]) for r in skin) - (50 + 35 + 40)) / 1000
    litres = SHAPE["sideR_skin"].area * filler_mm / 1e6
    assert litres == pytest.approx(0.25, abs=0.03)


def test_there_is_enough_of_everything() -> None:
    assert len(ZONES) >= 60
    assert len(rows("parts.csv")) >= 25
    assert len(rows("readings.csv")) >= 400
    assert {r["drawing_id"] for r in rows("drawings.csv")} >= set(OUTSIDE)


@pytest.mark.parametrize("name", ["zones", "outline", "areas", "findings", "lines", "datums"])
def test_shapes_are_valid_and_outer_rings_run_counter_clockwise(name: str) -> None:
    for properties, geometry in features(f"{name}.geojson"):
        assert geometry.is_valid, (properties, shapely.is_valid_reason(geometry))
        for part in shapely.get_parts(geometry):
            if part.geom_type == "Polygon":
                assert part.exterior.is_ccw, properties


@pytest.mark.parametrize("drawing", sorted({p["drawing_id"] for p, _ in ZONES}))
def test_zones_of_a_drawing_share_edges_and_never_overlap(drawing: str) -> None:
    shapes = [g for p, g in ZONES if p["drawing_id"] == drawing]
    assert shapely.coverage_is_valid(shapes)


def test_gaps_between_parts_beside_each_other_are_4_to_6_mm() -> None:
    seen = 0
    for drawing in OUTSIDE:
        here = [(p, g) for p, g in ZONES if p["drawing_id"] == drawing]
        for (p, g), (q, h) in itertools.combinations(here, 2):
            if p["part_id"] == q["part_id"] or {p["part_id"], q["part_id"]} in WELDED or g.distance(h) > 15:
                continue
            facing = g.boundary.intersection(h.buffer(9))
            if facing.length < 120:
                continue
            seen += 1
            middle = (
                [h.distance(facing.interpolate(f, normalized=True)) for f in (0.25, 0.5, 0.75)]
                if facing.geom_type == "LineString"
                else []
            )
            for gap in (g.distance(h), *middle):
                assert 4 <= gap <= 6.3, (p["zone_id"], q["zone_id"], gap)
    assert seen >= 25


def test_right_side_is_the_mirror_of_the_left() -> None:
    def outline(drawing: str) -> BaseGeometry:
        bodies = [g for p, g in features("outline.geojson") if p["drawing_id"] == drawing and p["kind"] == "body"]
        return shapely.union_all(bodies)

    twin = shapely.transform(outline("right"), lambda xy: np.column_stack((4620 - xy[:, 0], xy[:, 1])))
    assert twin.symmetric_difference(outline("left")).area < 200


def test_views_agree_in_height_and_length() -> None:
    bounds = {d: shapely.total_bounds([g for p, g in features("outline.geojson") if p["drawing_id"] == d]) for d in OUTSIDE}
    for drawing in ("right", "front", "rear"):
        assert bounds[drawing][3] == pytest.approx(bounds["left"][3], abs=1)
    assert bounds["left"][2] - bounds["left"][0] == pytest.approx(bounds["roof"][2] - bounds["roof"][0], abs=1)
    assert 4300 <= bounds["left"][2] - bounds["left"][0] <= 4700
    assert bounds["front"][2] - bounds["front"][0] == pytest.approx(1750, abs=10)


# -- ids and history --------------------------------------------------------------------------------------------------


def test_every_id_resolves() -> None:
    ids = {
        "drawing": {r["drawing_id"] for r in rows("drawings.csv")},
        "part": {r["part_id"] for r in rows("parts.csv")},
        "zone": set(SHAPE),
        "coat": {r["coat_id"] for r in rows("coats.csv")},
        "stack": {r["stack_id"] for r in rows("stacks.csv")},
        "area": {p["area_id"] for p, _ in features("areas.geojson")},
        "finding": {p["finding_id"] for p, _ in features("findings.geojson")},
        "datum": {p["datum_id"] for p, _ in features("datums.geojson")},
        "line": {p["line_id"] for p, _ in features("lines.geojson")},
    }
    for name in ("zones", "outline", "areas", "findings", "lines", "datums"):
        assert {p["drawing_id"] for p, _ in features(f"{name}.geojson")} <= ids["drawing"]
    assert set(PART_OF.values()) <= ids["part"]
    for name, column, kind in (
        ("covers", "zone_id", "zone"),
        ("covers", "part_id", "part"),
        ("stacks", "zone_id", "zone"),
        ("layers", "stack_id", "stack"),
        ("layers", "coat_id", "coat"),
        ("readings", "zone_id", "zone"),
        ("goals", "zone_id", "zone"),
        ("goals", "coat_id", "coat"),
    ):
        assert {r[column] for r in rows(f"{name}.csv")} <= ids[kind], (name, column)
    assert {r["first_coat"] for r in rows("parts.csv")} - {""} <= ids["coat"]
    assert {i for r in rows("coats.csv") for i in r["looks_like"].split(";")} - {""} <= ids["coat"]
    assert {i for r in rows("sources.csv") for i in r["about"].split(";")} <= set().union(*ids.values())
    assert {r["subject"] for r in rows("signoffs.csv")} - {"vehicle"} <= set().union(*ids.values())
    kinds = {"remove": "part", "fit": "part", "mask": "area", "unmask": "area", "strip": "zone", "coat": "coat"}
    for step in rows("steps.csv"):
        assert set(step["target"].split(";")) <= ids[kinds[step["action"]]], step
        assert set(step["parts"].split(";")) - {"", "only"} <= ids["part"]


def coat_graph(without: str = "") -> dict[tuple[str, str], set[str]]:
    stacks = defaultdict(list)
    for layer in rows("layers.csv"):
        if layer["extent"] != "none" and layer["stack_id"] != without:
            stacks[layer["stack_id"]].append((int(layer["position"]), layer["coat_id"]))
    relations: dict[tuple[str, str], set[str]] = defaultdict(set)
    for stack, layers in stacks.items():
        for (_, below), (_, above) in itertools.pairwise(sorted(layers)):
            relations[below, above].add(stack)
    return relations


def has_circle(relations: dict[tuple[str, str], set[str]]) -> bool:
    left = {coat for pair in relations for coat in pair}
    while free := {c for c in left if not any(above == c and below in left for below, above in relations)}:
        left -= free
    return bool(left)


def test_s12_alone_clears_the_circle_and_five_stacks_speak_against_it() -> None:
    stacks = [r["stack_id"] for r in rows("stacks.csv")]
    assert has_circle(coat_graph())
    assert [s for s in stacks if not has_circle(coat_graph(s))] == ["S12"]
    against = []
    for stack in stacks:
        order = [r["coat_id"] for r in rows("layers.csv") if r["stack_id"] == stack and r["extent"] != "none"]
        if "c3" in order and "c6" in order and order.index("c3") < order.index("c6"):
            against.append(stack)
    assert against == ["S01", "S02", "S04", "S06", "S09"]


def test_stacks_lie_in_their_zones_and_some_faces_are_left_unseen() -> None:
    for stack in rows("stacks.csv"):
        assert SHAPE[stack["zone_id"]].buffer(0.1).contains(Point(float(stack["x"]), float(stack["y"]))), stack
    assert len(set(SHAPE) - {r["zone_id"] for r in rows("stacks.csv")}) >= 15


def test_no_zone_has_two_stacks_that_disagree() -> None:
    """One stack a zone, or stacks that show the same coats: a boundary inside a zone is no part of the story."""
    shown = defaultdict(list)
    for stack in rows("stacks.csv"):
        coats = [(r["coat_id"], r["extent"]) for r in rows("layers.csv") if r["stack_id"] == stack["stack_id"]]
        shown[stack["zone_id"]].append(coats)
    assert all(len(stacks) == 1 for stacks in shown.values())


# -- readings ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zones", "median"),
    [
        (("sideL_low", "sideL_high"), 255),
        (("sideR_low", "sideR_high"), 255),
        (("sideL_let_high", "sideL_let_low"), 285),
        (("sideR_let_high", "sideR_let_low"), 285),
        (("wingR_side",), 254),
        (("wingL_side",), 214),
        (("rdoorL_skin", "rdoorR_skin"), 178),
        (("cap_top",), 126),
    ],
)
def test_median_of_the_readings(zones: tuple[str, ...], median: float) -> None:
    film = [float(r["um"]) for r in counted() if r["zone_id"] in zones]
    assert len(film) >= 12
    assert statistics.median(film) == pytest.approx(median, abs=0.5)


def test_filler_readings_lie_between_900_and_1900() -> None:
    film = [float(r["um"]) for r in counted() if r["zone_id"] == "sideR_skin"]
    assert 900 <= min(film) < 1250
    assert 1750 < max(film) <= 1900


def test_readings_lie_in_their_zone_clear_of_its_edges() -> None:
    for r in rows("readings.csv"):
        zone, point = SHAPE[r["zone_id"]], Point(float(r["x"]), float(r["y"]))
        assert zone.contains(point), r
        if r["zone_id"] not in NARROW:
            assert zone.boundary.distance(point) >= 25, r


def test_three_readings_a_spot_close_together() -> None:
    spots = defaultdict(list)
    for r in rows("readings.csv"):
        if r["spot"]:
            spots[r["spot"]].append(r)
    for spot, repeats in spots.items():
        assert len(repeats) == 3, spot
        assert len({r["zone_id"] for r in repeats}) == 1
        points = [Point(float(r["x"]), float(r["y"])) for r in repeats]
        assert all(5 < a.distance(b) <= 15 for a, b in itertools.combinations(points, 2)), spot


def test_letter_readings_lie_on_letters() -> None:
    ghosts = {p["finding_id"][2]: [] for p, _ in features("findings.geojson") if p["kind"] == "ghost"}
    for p, g in features("findings.geojson"):
        if p["kind"] == "ghost":
            ghosts[p["finding_id"][2]].append(g)
    for r in rows("readings.csv"):
        if "_let_" in r["zone_id"]:
            assert shapely.union_all(ghosts[r["zone_id"][4]]).contains(Point(float(r["x"]), float(r["y"]))), r


def test_honest_mistakes_are_in_it() -> None:
    all_readings = rows("readings.csv")
    wrong = [r for r in all_readings if PART_OF[r["zone_id"]] == "cap" and r["principle"] == "magnetic"]
    assert [r["invalid"] for r in wrong] == [""]
    assert any(r["invalid"] for r in all_readings)


# -- areas and marks --------------------------------------------------------------------------------------------------


def test_kept_areas_are_as_told() -> None:
    areas = {p["area_id"]: (p, g) for p, g in features("areas.geojson")}
    assert [i for i, (p, _) in areas.items() if p["purpose"] == "keep"] == ["K1", "K2", "K3", "K4", "K5"]
    assert {p["edge"] for p, _ in areas.values()} == {"hard", "soft", "part_edge", "body_line", "left_in_seal"}
    x0, y0, x1, y1 = areas["K4"][1].bounds
    assert (x1 - x0, y1 - y0) == (60, 200)
    blast = [g for i, g in SHAPE.items() if i == "frame_sill"]
    assert areas["K3"][1].distance(blast[0]) == pytest.approx(40, abs=0.2)
    for p, g in areas.values():
        zones = shapely.union_all([h for q, h in ZONES if q["drawing_id"] == p["drawing_id"]])
        assert g.difference(zones.buffer(0.05)).area < 1, p["area_id"]
        assert any(q["drawing_id"] == p["drawing_id"] for q, _ in features("datums.geojson")), p["area_id"]


def test_lowest_line_on_the_right_stops_at_the_weld_410_mm_ahead_of_the_rear_edge() -> None:
    found = {p["finding_id"]: g for p, g in features("findings.geojson")}
    weld = found["F05"].bounds[0]
    rear_edge = SHAPE["sideR_skin"].bounds[0]
    assert weld - rear_edge == pytest.approx(410, abs=0.5)
    assert found["G_R_low"].bounds[0] == pytest.approx(weld, abs=2)
    assert found["G_R_low"].area < 0.92 * found["G_L_low"].area


def test_right_coachline_drops_7_mm_over_its_last_900_mm() -> None:
    line = next(g for p, g in features("lines.geojson") if p["line_id"] == "L_right")
    points = np.vstack([shapely.get_coordinates(part) for part in shapely.get_parts(line)])
    rear = points[:, 0].min()
    low = points[points[:, 0] < rear + 860, 1]
    high = points[points[:, 0] > rear + 905, 1]
    assert np.ptp(low) < 0.2
    assert np.ptp(high) < 0.2
    assert high.mean() - low.mean() == pytest.approx(7, abs=0.2)


# -- files ------------------------------------------------------------------------------------------------------------


def test_pictures_are_small_and_their_sums_are_right() -> None:
    named = [r for r in rows("sources.csv") if r["file"]]
    for source in named:
        data = (VEHICLE_FOLDER / "media" / source["file"]).read_bytes()
        assert len(data) < 40_000
        assert hashlib.sha256(data).hexdigest() == source["sha256"]
    assert {r["file"] for r in named} == {p.name for p in (VEHICLE_FOLDER / "media").iterdir()}


def test_building_again_gives_the_same_folder(tmp_path: Path) -> None:
    """Byte for byte; another version of the image library may pack a picture otherwise, but it shows the same."""
    build(tmp_path)
    names = sorted(str(p.relative_to(VEHICLE_FOLDER)) for p in VEHICLE_FOLDER.rglob("*") if p.is_file())
    assert names == sorted(str(p.relative_to(tmp_path)) for p in tmp_path.rglob("*") if p.is_file())
    repacked = False
    for name in names:
        old, new = (VEHICLE_FOLDER / name).read_bytes(), (tmp_path / name).read_bytes()
        if name.endswith(".png") and old != new:
            repacked = True
            a, b = (np.asarray(Image.open(p / name).convert("RGB"), float) for p in (VEHICLE_FOLDER, tmp_path))
            assert np.abs(a - b).mean() < 2, name
        elif name != "sources.csv":
            assert old == new, name
    if not repacked:
        assert (VEHICLE_FOLDER / "sources.csv").read_bytes() == (tmp_path / "sources.csv").read_bytes()
