"""The film of the demo vehicle: the report must say what its story says. The story is invented: no outside source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.film.report import Specification, film_report
from bodymap.film.spot_plan import plan_spots
from bodymap.film.stories import film_stories
from bodymap.film.summary import zone_film
from bodymap.finish.quantities import quantities
from bodymap.finish.tint_across import tint_films
from bodymap.model import Reading
from bodymap.release.checks import release_of
from bodymap.settings import in_force
from bodymap.views.hand_over_film import film_blocks
from bodymap.views.hand_over_parts import Table
from bodymap.views.picks import middle_of
from bodymap.views.tints import film_tint
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


def counted(record):
    """All that is reckoned from film anywhere, but for the lists of what is refused."""
    figures = in_force(record.settings)
    report = film_report(record, figures, Specification(100.0, 80.0, 300.0))
    told = report.as_json()
    for zone in told["zones"].values():
        zone.pop("refused", None)
    told["sides"] = [pair for pair in told["sides"] if pair["verdict"] != "cannot tell"]
    films = {phase: {zone.zone_id: replace(zone_film(record, zone.zone_id, phase), refused=()) for zone in record.zones}
             for phase in ("as found", "after strip", "c7")}  # fmt: skip
    colours = {zone.zone_id: film_tint(zone_film(record, zone.zone_id)).paint for zone in record.zones}
    blockers = {zone: [one.what for one in release.blockers] for zone, release in release_of(record, figures).items()}
    after = tuple(row.cells for block in film_blocks(record, figures) if isinstance(block, Table)
                  and block.caption.startswith("Film before and after") for row in block.rows)  # fmt: skip
    witness = film_stories(record, figures).tests
    return {
        "report": told, "films": films, "colours": colours, "release": blockers, "hand over": after, "witness": witness,
        "tint": tint_films(record, "c7", figures), "quantities": quantities(record, figures),
    }  # fmt: skip


def test_a_magnetic_gauge_on_grp_moves_no_figure_colour_or_verdict_anywhere(van):
    grp = [zone for zone in van.zones if van.part[zone.part_id].substrate == "grp"]
    assert len(grp) > 3
    wrong = []
    for zone in grp:
        x, y, _ = middle_of(zone.shape)
        wrong += [
            Reading(reading_id=f"wrong_{zone.zone_id}_{n}", zone_id=zone.zone_id, x=x, y=y, um=2400.0 + n, spot=f"w{n // 3}",
                    principle="magnetic", phase=phase)
            for n, phase in enumerate(("as found", "as found", None, "after strip", "c7", "c7"))
        ]  # fmt: skip
    with_wrong = van.with_kind(Reading.KIND, [*van.readings, *wrong])
    before, after = counted(van), counted(with_wrong)
    for name, found in before.items():
        assert after[name] == found, name


def test_no_counted_reading_of_the_survey_is_near_an_edge(report):
    assert not any("nearer" in caution.what for zone in report.zones.values() for caution in zone.cautions)


def test_a_spot_plan_of_the_whole_van_is_mirrored(van):
    plan = plan_spots(van, "shop", in_force(van.settings))
    wing, other = plan.of_zone("wingL_side"), plan.of_zone("wingR_side")
    assert [spot.twin for spot in other] == [spot.number for spot in wing]
    assert [spot.x + twin.x for spot, twin in zip(wing, other, strict=True)] == [pytest.approx(4620)] * len(wing)
