"""Working figures: each has a basis, a source and a sensible range, and a record may overrule it."""

from __future__ import annotations

import pytest

from bodymap.errors import Faults
from bodymap.model import Setting
from bodymap.settings import BASES, DEFAULTS, in_force


@pytest.mark.parametrize("figure", DEFAULTS.values(), ids=lambda figure: figure.key)
def test_every_figure_says_where_it_comes_from_and_lies_in_its_range(figure):
    assert figure.low <= figure.value <= figure.high
    assert figure.basis in BASES
    assert figure.source
    assert figure.meaning
    assert figure.unit


def test_a_figure_called_a_standard_names_one():
    for figure in DEFAULTS.values():
        if figure.basis == "standard":
            names = ("ISO", "ASTM", "Directive", "SSPC", "EN ", "CFR", "Utah R307")
            assert any(word in figure.source for word in names), figure.key


def test_a_record_overrules_a_figure_with_a_basis_of_its_own():
    own = Setting(key="tape_lap_pct", value="12.5", basis="own trial", source="booth, three vehicles")
    figure = in_force([own]).figures["tape_lap_pct"]
    assert (figure.value, figure.basis, figure.source) == (12.5, "own trial", "booth, three vehicles")
    assert in_force().value("tape_lap_pct") == 10


@pytest.mark.parametrize("value", ["", "ten", "nan", "inf", "-1", "1000"])
def test_a_value_out_of_range_or_no_number_is_a_fault_with_the_range(value):
    with pytest.raises(Faults) as caught:
        in_force([Setting(key="tape_lap_pct", value=value, basis="own trial")])
    fault = caught.value.faults[0]
    assert (fault.file, fault.row, fault.column, fault.subject) == ("settings.csv", 2, "value", "tape_lap_pct")
    assert "0 to 100" in fault.allowed


def test_a_count_must_be_whole():
    with pytest.raises(Faults, match="a whole number from 2 to 50"):
        in_force([Setting(key="stations_least", value="3.5", basis="own trial")])


def test_a_key_of_another_version_has_no_effect_and_does_no_harm():
    assert in_force([Setting(key="of_tomorrow", value="x", basis="own trial")]).figures == dict(DEFAULTS)
