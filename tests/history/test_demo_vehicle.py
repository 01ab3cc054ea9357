"""The demo vehicle's riddles come out of its stacks alone (its own invented story; no outside source)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.history.report import history_json
from demo import VEHICLE_FOLDER


@pytest.fixture(scope="module")
def found():
    """The record as it is found, with the chip that was read the wrong way round."""
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module")
def report(found):
    """The history once that chip is set aside."""
    return history_json(replace(
        found,
        stacks=tuple(stack for stack in found.stacks if stack.stack_id != "S12"),
        layers=tuple(layer for layer in found.layers if layer.stack_id != "S12"),
    ))  # fmt: skip


def test_one_chip_turns_the_order_into_a_circle_and_is_the_only_single_suspect(found):
    report = history_json(found)
    (circle,) = report["contradictions"]
    assert {"c3", "c6"} <= set(circle["coats"])
    assert {"below": "c6", "above": "c3", "stacks": ["S12"]} in circle["relations"]
    against = {stack for one in circle["relations"] if one["above"] != "c3" for stack in one["stacks"]}
    assert {"S01", "S02", "S04", "S06", "S09"} <= against
    assert report["circle_removals"] == [["S12"]]


def test_the_left_wing_was_off_at_silver_and_on_at_blue(report):
    silver = report["parts"]["c6"]["wing_L"]
    assert (silver["values"], silver["grade"], silver["on_vehicle"]) == (["off"], "proven", "no")
    assert {"S10", "S16s"} <= set(silver["evidence"])
    blue = report["parts"]["c7"]["wing_L"]
    assert (blue["values"], blue["on_vehicle"], blue["grade"]) == (["fitted"], "yes", "likely")
    assert report["taped"]["c6"]["wse_L"] == "proven"
    assert not {"c1", "c2", "c3"} & {coat for coat in report["parts"] if "wing_L" in report["parts"][coat]}


def test_the_right_wing_never_came_off_after_the_works(report):
    for coat in ("c6", "c7", "c8"):
        assert report["parts"][coat]["wing_R"]["values"] == ["fitted"]


def test_the_van_ran_in_silver_without_a_cap_and_the_cap_was_on_at_blue(report):
    order = report["order"]
    assert order.index("c6") < order.index("g1") < order.index("c7")
    assert "cap" not in report["parts"]["c6"]
    assert report["states"]["c6"]["rlu_L"] == "full"
    assert report["states"]["c7"]["rlu_L"] == "shielded"
    for alone in ("c6b", "c7b"):
        assert report["parts"][alone]["cap"]["values"] == ["off"]
        assert report["parts"][alone]["cap"]["on_vehicle_grade"] == "proven"
    assert report["parts"]["c7"]["cap"]["values"] == ["fitted"]


def test_doors_were_open_for_silver_and_shut_for_blue(report):
    assert report["parts"]["c6"]["door_L"]["on_vehicle"] == "no"
    assert report["parts"]["c7"]["door_L"]["values"] == ["fitted"]
    for coat in ("c5", "c6", "c7", "c8"):
        assert report["parts"][coat]["rdoor_L"]["on_vehicle"] == "no"
        assert report["parts"][coat]["rdoor_L"]["on_vehicle_grade"] == "proven"
