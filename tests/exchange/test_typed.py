"""Figures as they are typed: nothing is guessed, and every slip is told at once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.exchange.typed import figures_in, pairs_in

FIGURES = st.lists(st.decimals(-9999, 9999, places=1).map(float))


@given(FIGURES, st.sampled_from([" ", "  ", "\t", "; ", ", ", "\n"]))
def test_what_is_typed_comes_back_whatever_stands_between(figures, between):
    assert figures_in(between.join(f"{figure:.1f}" for figure in figures)) == tuple(figures)


def test_a_comma_between_digits_may_be_a_decimal_sign_so_it_is_asked_about():
    with pytest.raises(BodymapError, match=r"found '212,5'"):
        figures_in("212,5 214")


def test_every_slip_is_told_at_once():
    with pytest.raises(BodymapError) as told:
        figures_in("212 o14 210um 1e999 nan", "readings")
    assert all(word in str(told.value) for word in ("readings", "'o14'", "'210um'", "'1e999'", "'nan'"))
    assert "212" not in str(told.value).split("allowed")[0]


@given(st.lists(st.tuples(st.decimals(0, 9999, places=1).map(float), st.decimals(-99, 99, places=1).map(float))))
def test_pairs_come_back(pairs):
    assert pairs_in("\n\n".join(f"{at} {off}" for at, off in pairs)) == tuple(pairs)


def test_lines_that_are_no_pairs_are_told_by_number():
    with pytest.raises(BodymapError) as told:
        pairs_in("0 41\n200\n400 42 43\nx 1\n600 44", "offsets")
    assert [line for line in (1, 2, 3, 4, 5) if f"line {line}:" in str(told.value)] == [2, 3, 4]
