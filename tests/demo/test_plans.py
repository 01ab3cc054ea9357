"""The demo's two plans: the right one, and "cap off for all blue", which is wrong where the story says so."""

from __future__ import annotations

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.exchange.plan_file import read_plan
from bodymap.finish.replay import replay
from bodymap.model import Step
from bodymap.release.checks import release_of
from bodymap.settings import in_force
from demo import CAP_OFF_PLAN, VEHICLE_FOLDER
from demo.build import build_cap_off_plan

RAIL = {"rlu_front", "rlu_rear", "rlu_L", "rlu_R"}
FLANGE = {"cfl_front", "cfl_rear", "cfl_L", "cfl_R"}


@pytest.fixture(scope="module")
def record():
    return read_folder(VEHICLE_FOLDER).record


def test_the_plan_ends_as_wanted_everywhere_and_harms_nothing_kept(record):
    result = replay(record, in_force(record.settings))
    assert result.clean
    assert result.total_mm2 > 20e6


def test_cap_off_for_all_blue_is_wrong_on_flange_rail_and_bead_and_nowhere_else(record):
    """Flange: seven passes and not two. Rail: blue where there was none. Bead: laid after the blue, so without it."""
    steps, notes = read_plan(CAP_OFF_PLAN, record)
    assert notes == ()
    blue = next(step.step for step in steps if step.action == "coat" and step.target == ("n4",))
    bead_off = next(step.step for step in steps if step.action == "remove" and step.target == ("bead",))
    wrong = {
        piece.zone_id: (piece.verdict, [coat for coat, _ in piece.stack], piece.steps)
        for piece in replay(record, in_force(record.settings), steps).pieces
        if piece.verdict != "match"
    }
    assert wrong == {
        **dict.fromkeys(RAIL, ("extra", ["n1", "n3", "n4"], (blue,))),
        **dict.fromkeys(FLANGE, ("extra", ["n1", "n3", "n4b", "n4"], (blue,))),
        "bead": ("missing", ["n5"], (bead_off, blue)),
    }


def test_the_second_plan_is_built_alike(tmp_path):
    build_cap_off_plan(tmp_path / "again.csv")
    assert (tmp_path / "again.csv").read_bytes() == CAP_OFF_PLAN.read_bytes()


def codes(record, zone):
    return {blocker.code for blocker in release_of(record, in_force(record.settings))[zone].blockers}


def margins(record):
    releases = release_of(record, in_force(record.settings))
    return [(zone, one) for zone, release in releases.items() for one in release.blockers if "margin" in one.code]


def test_the_worn_step_plate_blocks_the_blasted_zone_40_mm_above_it_and_no_other_margin_is_breached(record):
    ((zone, blocker),) = margins(record)
    assert zone == "frame_sill"
    assert "(K3) lies 40 mm from it" in blocker.what
    assert "must stay 100 mm away" in blocker.what


def test_taking_the_step_plate_off_first_or_another_method_cures_it(record):
    blast = next(step for step in record.steps if step.method == "blast")
    off = next(step for step in record.steps if step.action == "remove" and step.target == ("step",))
    others = [step for step in record.steps if step not in (blast, off)]
    swapped = [off.model_copy(update={"step": blast.step}), blast.model_copy(update={"step": off.step})]
    assert margins(record.with_kind(Step.KIND, [*others, *swapped])) == []
    gentler = [step.model_copy(update={"method": "soft_media"}) if step is blast else step for step in record.steps]
    assert margins(record.with_kind(Step.KIND, gentler)) == []


def test_some_zones_wait_for_signatures_only_and_most_are_told_what_they_lack(record):
    assert codes(record, "sideL_low") == codes(record, "sideL_let_high") == {"two-signatures"}
    assert codes(record, "wingL_side") == {"faces-not-seen", "two-signatures"}
    # the left coachline is traced, the right one is not
    assert "line-without-offsets" not in codes(record, "sideL_waist")
    assert "line-without-offsets" in codes(record, "sideR_waist")
    assert "not-to-be-stripped" in codes(record, "bulk_up")


def test_no_strip_of_the_plan_uses_a_method_that_harms_its_substrate(record):
    releases = release_of(record, in_force(record.settings)).values()
    assert "method-not-for-substrate" not in {blocker.code for release in releases for blocker in release.blockers}
    steps = [with_method(step, "chemical") for step in record.steps]
    assert "method-not-for-substrate" in codes(record.with_kind(Step.KIND, steps), "cap_top")


def with_method(step, method):
    return step.model_copy(update={"method": method}) if step.action == "strip" else step


def test_the_record_as_it_is_has_nothing_released(record):
    releases = release_of(record, in_force(record.settings))
    assert not any(release.release for release in releases.values())
