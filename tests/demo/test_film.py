"""The film of the demo vehicle: the report must say what its story says. The story is invented: no outside source."""

from __future__ import annotations

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.film.report import Specification, film_report
from bodymap.film.spot_plan import plan_spots
from bodymap.settings import in_force
from demo import VEHICLE_FOLDER


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module")
def report(van):
    return film_report(van, in_force(van.settings), Specification(100.0, 80.0, 300.0))


@pytest.mark.parametrize(
    ("zone", "median"),
    [
        ("sideL_low", 255),
        ("sideR_low", 255),
        ("sideL_let_high", 285),
        ("wingL_side", 214),
        ("wingR_side", 254),
        ("rdoorL_skin", 178),
        ("cap_top", 126),
    ],
)
def test_medians_are_those_told(report, zone, median):
    assert report.zones[zone].film.median_um == pytest.approx(median, abs=1)


def test_the_left_wing_is_thinner_than_the_right_and_comes_first(report):
    wing = report.sides.compared[0]
    assert (wing.left, wing.right, wing.verdict, wing.by) == ("wingL_side", "wingR_side", "left thinner", "geometry")
    assert wing.difference_um == pytest.approx(-40, abs=1)
    assert {side.verdict for side in report.sides.compared[1:]} == {"alike"}


@pytest.mark.parametrize(
    "zone", ["sideL_low", "sideL_let_high", "wingL_side", "rdoorL_skin", "rdoorR_skin", "cap_top", "sideR_skin"]
)
def test_what_the_sections_show_explains_the_readings(report, zone):
    assert report.zones[zone].unexplained.verdict == "none"


def test_where_no_stack_reaches_the_substrate_nothing_is_told(report):
    assert report.zones["wingR_side"].unexplained.verdict == "cannot tell"
    assert not any(zone.unexplained.verdict in ("excess", "deficit") for zone in report.zones.values())


def test_the_gelcoat_counts_as_substrate(report):
    assert report.zones["cap_top"].stack.low_um == 20 + 14 + 36 + 40


def test_filler_over_the_let_in_skin(report):
    # 0.18 m² × 1.4 mm = 0.25 L in place, × 1.6 = 0.40 L mixed
    (filler,) = report.filler.areas
    assert filler.zone_ids == ("sideR_skin",)
    assert filler.drawn_mm2 / 1e6 == pytest.approx(0.18, abs=0.005)
    assert filler.mean_um - sum(filler.paint_um) / 2 == pytest.approx(1400, abs=100)
    assert filler.litres == pytest.approx(0.25, abs=0.03)
    assert filler.refill.mixed_litres == pytest.approx(0.40, abs=0.05)
    assert any("filler counts as film" in caution.what for caution in report.zones["sideR_skin"].cautions)


def test_the_magnetic_reading_on_the_cap_reaches_nothing(van, report):
    cap = report.zones["cap_top"]
    wrong = [one for one in van.readings if one.zone_id == "cap_top" and one.principle == "magnetic"]
    assert [one.um for one in wrong] == [1480]
    assert [refused.reading_id for refused in cap.film.refused] == [wrong[0].reading_id]
    assert cap.film.max_um < 150
    assert "mean 129" in cap.iso19840.why
    surface = next(one for one in report.surfaces if one.panel.part_id == "cap")
    assert getattr(surface, "um", None) is None or surface.um.max() < 150


def test_no_counted_reading_of_the_survey_is_near_an_edge(report):
    assert not any("nearer" in caution.what for zone in report.zones.values() for caution in zone.cautions)


def test_a_spot_plan_of_the_whole_van_is_mirrored(van):
    plan = plan_spots(van, "shop", in_force(van.settings))
    wing, other = plan.of_zone("wingL_side"), plan.of_zone("wingR_side")
    assert [spot.twin for spot in other] == [spot.number for spot in wing]
    assert [spot.x + twin.x for spot, twin in zip(wing, other, strict=True)] == [pytest.approx(4620)] * len(wing)
