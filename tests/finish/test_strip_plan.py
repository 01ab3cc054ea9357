"""The method of a strip, stated for zones: what the plan says afterwards, step by step, on hand-made plans."""

from __future__ import annotations

import pytest

from bodymap.finish.strip_plan import refusals, with_method
from bodymap.model import Step
from bodymap.release.keeps import strips_of
from tests.release.survey import cart


def plan(*steps):
    made = [Step(step=number, action=action, target=target, method=method) for number, action, target, method in steps]
    return cart(*made, without=("1", "2"))


def told(steps):
    return [(step.step, step.action, step.target, step.method) for step in steps]


def test_a_step_of_which_all_zones_change_only_changes_its_method():
    record = plan((3, "strip", ("side", "flange"), "chemical"), (4, "coat", ("red",), None))
    assert told(with_method(record, ["flange", "side"], "hand")) == [
        (3, "strip", ("side", "flange"), "hand"),
        (4, "coat", ("red",), None),
    ]


def test_a_zone_that_differs_gets_a_step_behind_its_own_and_later_ones_move_on_as_far_as_the_gap():
    record = plan((3, "strip", ("side", "flange"), "chemical"), (4, "coat", ("red",), None), (6, "fit", ("board",), None))
    assert told(with_method(record, ["flange"], "hand")) == [
        (3, "strip", ("side",), "chemical"),
        (4, "strip", ("flange",), "hand"),
        (5, "coat", ("red",), None),
        (6, "fit", ("board",), None),
    ]


def test_a_strip_beside_it_with_the_method_is_joined():
    record = plan((1, "strip", ("tail",), "hand"), (2, "strip", ("side", "flange"), "chemical"), (3, "coat", ("red",), None))
    assert told(with_method(record, ["flange"], "hand")) == [
        (1, "strip", ("tail", "flange"), "hand"),
        (2, "strip", ("side",), "chemical"),
        (3, "coat", ("red",), None),
    ]


def test_a_strip_on_the_other_side_of_another_step_is_not_joined():
    record = plan((1, "strip", ("tail",), "hand"), (2, "remove", ("board",), None), (3, "strip", ("side",), "chemical"))
    assert told(with_method(record, ["side"], "hand"))[1:] == [
        (2, "remove", ("board",), None),
        (3, "strip", ("side",), "hand"),
    ]


def test_a_step_that_is_emptied_goes():
    record = plan((1, "strip", ("side",), "blast"), (2, "strip", ("flange",), "hand"))
    assert told(with_method(record, ["side"], "hand")) == [(2, "strip", ("flange", "side"), "hand")]


def test_a_zone_stripped_twice_gets_the_method_each_time():
    record = plan((5, "strip", ("side", "tail"), "chemical"), (6, "strip", ("side",), "blast"))
    steps = with_method(record, ["side"], "hand")
    by_zone = strips_of(record.with_kind("step", steps))
    assert {strip.method for strip in by_zone["side"]} == {"hand"}
    assert {strip.method for strip in by_zone["tail"]} == {"chemical"}


@pytest.mark.parametrize(
    ("steps", "after"),
    [
        ((), [(1, "strip", ("side",), "blade")]),
        (((4, "coat", ("red",), None),), [(4, "strip", ("side",), "blade"), (5, "coat", ("red",), None)]),
        (((4, "remove", ("board",), None),), [(4, "remove", ("board",), None), (5, "strip", ("side",), "blade")]),
        (((4, "strip", ("tail",), "blade"),), [(4, "strip", ("tail", "side"), "blade")]),
    ],
)
def test_a_zone_that_nothing_strips_yet(steps, after):
    assert told(with_method(plan(*steps), ["side"], "blade")) == after


def test_stating_it_twice_changes_nothing_more():
    record = plan((3, "strip", ("side", "flange"), "chemical"), (4, "coat", ("red",), None))
    once = with_method(record, ["flange"], "hand")
    assert with_method(record.with_kind("step", once), ["flange"], "hand") == once


def test_a_method_that_harms_the_substrate_is_told_by_part():
    assert refusals(cart(), ["side", "flange"], "chemical") == ()
    (why,) = refusals(cart(), ["side", "tail"], "chemical")
    assert "Tail board" in why
    assert "resin" in why
