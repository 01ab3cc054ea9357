"""Strip methods. What they may touch and how near they come is common practice without a published source."""

from __future__ import annotations

import itertools
from typing import get_args

import pytest

from bodymap.errors import Faults
from bodymap.exchange.open_folder import read_folder
from bodymap.finish.methods import METHODS, margin_mm, method_refusal, methods_for, strip_cautions, widest_margin_mm
from bodymap.model import Setting
from bodymap.model.part import Substrate
from bodymap.model.plan import StripMethod
from bodymap.settings import in_force
from bodymap.views.cautions import CAUTIONS
from tests.folders import tank, write_case

SUBSTRATES = get_args(Substrate)


def test_every_method_of_the_plan_is_known():
    assert set(METHODS) == set(get_args(StripMethod))


@pytest.mark.parametrize(
    ("method", "substrate", "words"),
    [
        ("chemical", "grp", "resin"),
        ("blast", "grp", "fibre"),
        ("blast", "aluminium", "grit"),
        ("blast", "other", "not stated"),
        ("chemical", "other", "not stated"),
    ],
)
def test_what_must_not_touch_what(method, substrate, words):
    assert words in method_refusal(method, substrate)
    assert method not in methods_for(substrate)


def test_hand_and_blade_may_touch_everything_and_steel_takes_every_method():
    assert all({"blade", "hand"} <= set(methods_for(substrate)) for substrate in SUBSTRATES)
    assert methods_for("steel") == tuple(METHODS)
    assert "soft_media" in methods_for("aluminium")


def test_margins_are_those_of_the_trade_and_a_record_may_have_its_own():
    figures = in_force()
    assert [margin_mm(method, figures) for method in METHODS] == [100, 50, 50, 0, 0]
    own = in_force([Setting(key="margin_blast_mm", value="150", basis="own trial")])
    assert margin_mm("blast", own) == widest_margin_mm(own) == 150
    assert figures.figures["margin_blast_mm"].basis == "common practice"


@pytest.mark.parametrize(
    ("method", "substrate", "coats", "wanted", "not_wanted"),
    [
        ("blast", "steel", (), {"old finish", "blasting"}, {"stripper", "grp", "aluminium"}),
        ("chemical", "aluminium", (), {"stripper", "aluminium"}, {"blasting"}),
        ("hand", "grp", (), {"grp", "dust"}, {"stripper"}),
        ("hand", "steel", ("underbody",), {"old sealer"}, set()),
        (None, "grp", (), {"blasting", "grp"}, {"stripper"}),
        (None, "steel", (), {"blasting", "stripper"}, {"grp"}),
    ],
)
def test_cautions_go_by_method_and_material(method, substrate, coats, wanted, not_wanted):
    keys = strip_cautions(method, substrate, coats)
    assert wanted <= keys
    assert not keys & not_wanted


def test_every_caution_has_words():
    for method, substrate in itertools.product((None, *METHODS), SUBSTRATES):
        assert strip_cautions(method, substrate, ("underbody", "filler")) <= set(CAUTIONS)


def test_a_method_anywhere_but_on_a_strip_step_is_a_fault(tmp_path):
    steps = [
        {"step": "1", "action": "strip", "target": "shell_left", "method": "blade"},
        {"step": "2", "action": "remove", "target": "lid", "method": "hand"},
        {"step": "3", "action": "strip", "target": "rim", "method": "torch"},
    ]
    with pytest.raises(Faults) as raised:
        read_folder(write_case(tmp_path / "tank", tank() | {"steps.csv": steps}))
    found = [(fault.row, fault.column, fault.found) for fault in raised.value.faults]
    assert found == [(3, "method", "'hand' on a remove step"), (4, "method", "'torch'")]


def test_a_stated_method_is_read_and_a_missing_column_is_a_blank(tmp_path):
    steps = [{"step": "1", "action": "strip", "target": "shell_left", "method": "soft_media"}]
    stated = read_folder(write_case(tmp_path / "stated", tank() | {"steps.csv": steps})).record
    assert stated.steps[0].method == "soft_media"
    without = read_folder(write_case(tmp_path / "without", tank())).record
    assert {step.method for step in without.steps} == {None}
