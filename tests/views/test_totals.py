"""Totals add up: by zone, by part and over the vehicle; the next step follows the order of the job."""

from __future__ import annotations

import pytest

from bodymap.geometry.areas import areas_of
from bodymap.model import Finding, Stack
from bodymap.views.totals import next_step, totals_of

from ..dashboard.small import small_record  # noqa: TID252 - tests are no package to import from

RECORD = small_record()
AREAS = areas_of(RECORD)


def test_the_vehicle_is_the_sum_of_its_zones():
    # Drawn: 1000 × 1200 + 2000 × 1200 + 2000 × 300 + 900 × 20; true: the door × 1.05; kept: 200 × 60.
    totals = totals_of(RECORD, AREAS)
    assert totals.drawn_mm2 == pytest.approx(1_200_000 + 2_400_000 + 600_000 + 18_000)
    assert totals.surface_mm2 == pytest.approx(totals.drawn_mm2 + 60_000)
    assert totals.kept_surface_mm2 == pytest.approx(12_000)
    assert (totals.zones, totals.readings, totals.estimates) == (4, 3, 1)


def test_zones_without_a_stack_are_not_seen():
    assert totals_of(RECORD, AREAS).unseen == ("Door outside", "Sill", "Flange")


def test_parts_share_the_choice_between_them():
    totals = totals_of(RECORD, AREAS, {"door_out", "side_out"})
    assert {part.part_id: part.surface_mm2 for part in totals.parts} == {
        "door": pytest.approx(1_260_000),
        "side": pytest.approx(2_400_000),
    }
    assert sum(part.kept_surface_mm2 for part in totals.parts) == pytest.approx(totals.kept_surface_mm2)


def test_an_empty_choice_is_empty_and_not_the_vehicle():
    assert totals_of(RECORD, AREAS, set()).zones == 0


def seen_everywhere(record):
    more = [
        Stack(stack_id=f"t{n}", zone_id=zone.zone_id, method="chip", reaches_substrate=False)
        for n, zone in enumerate(record.zones)
    ]
    return record.with_kind("stack", (*record.stacks, *more))


def test_the_next_step_follows_the_order_of_the_job():
    assert "Door outside and 2 more" in next_step(RECORD)
    seen = seen_everywhere(RECORD)
    placeless = seen.with_kind("finding", [Finding(finding_id="f1", drawing_id="left", kind="dent")])
    assert "f1" in next_step(placeless)
    assert "never be stripped" in next_step(seen.with_kind("area", ()))
    nameless = seen.with_kind("area", [seen.areas[0].model_copy(update={"edge": None})])
    assert "kind of edge" in next_step(nameless)
    assert "mask brief" in next_step(seen)
    assert "Draw the zones" in next_step(RECORD.with_kind("zone", ()))
