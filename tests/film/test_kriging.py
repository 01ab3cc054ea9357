"""Kriging: what must hold whatever the readings are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.film.kriging import (
    NUMBERS_AT_ONCE,
    Likeness,
    distances,
    fit_matern,
    krige,
    leave_one_out,
    merged,
    solve,
)
from tests.film.variogram import experimental, weights

PLACES = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 40)), min_size=3, max_size=14, unique=True)
MODELS = st.builds(
    Likeness,
    st.sampled_from(["matern32", "exponential", "spherical", "linear"]),
    st.floats(10, 2000),
    st.floats(50, 2000),
    st.floats(1, 400),
)


def case(places, seed):
    xy = np.array(places, float) * 20
    return xy, np.random.default_rng(seed).normal(250, 40, len(xy))


@given(PLACES, MODELS, st.integers(0, 99))
def test_weights_sum_to_one_and_a_constant_is_met(places, model, seed):
    xy, _ = case(places, seed)
    solved = solve(xy, np.full(len(xy), 254.0), model)
    assert weights(solved, np.array([333.3, 222.2]))[0].sum() == pytest.approx(1.0, abs=1e-6)
    estimate, variance = krige(solved, np.array([[333.3, 222.2], [5000.0, 5000.0]]), exact=False)
    assert estimate == pytest.approx([254.0, 254.0], abs=1e-5)
    assert (variance >= 0).all()


@given(PLACES, MODELS, st.integers(0, 99))
def test_readings_are_met_exactly_or_smoothed(places, model, seed):
    xy, values = case(places, seed)
    solved = solve(xy, values, model)
    estimate, variance = krige(solved, xy)
    assert estimate == pytest.approx(values, abs=1e-3)
    assert variance == pytest.approx(0.0, abs=1e-3 * (model.sill + model.nugget))
    _, smoothed = krige(solved, xy, exact=False)
    assert (smoothed >= model.nugget * 0.999).all()


@given(PLACES, MODELS, st.integers(0, 99), st.floats(-3000, 3000), st.floats(-500, 500), st.floats(0.1, 6.2))
def test_moving_turning_and_adding_change_nothing_else(places, model, seed, shift, more, angle):
    xy, values = case(places, seed)
    node = np.array([[333.3, 222.2]])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    first, spread = krige(solve(xy, values, model), node, exact=False)
    again, same = krige(solve(xy @ turn + shift, values + more, model), node @ turn + shift, exact=False)
    assert again[0] - more == pytest.approx(first[0], abs=1e-3)
    assert same[0] == pytest.approx(spread[0], rel=1e-5, abs=1e-6)


@given(PLACES, MODELS, st.integers(0, 99))
def test_leaving_one_out_in_closed_form_equals_solving_again(places, model, seed):
    xy, values = case(places, seed)
    errors, variances = leave_one_out(solve(xy, values, model))
    assume(len(xy) > 2)
    rest = np.arange(len(xy)) > 0
    estimate, variance = krige(solve(xy[rest], values[rest], model), xy[:1], exact=False)
    assert errors[0] == pytest.approx(values[0] - estimate[0], abs=1e-4)
    assert variances[0] == pytest.approx(variance[0], rel=1e-5)


def test_nodes_are_taken_in_parts_without_a_seam():
    xy, values = case([(1, 1), (5, 3), (20, 9), (3, 30)], 1)
    solved = solve(xy, values, Likeness("matern32", 900, 300, 9))
    part = NUMBERS_AT_ONCE // len(xy)
    nodes = np.column_stack((np.linspace(0, 800, part + 7), np.full(part + 7, 111.0)))
    whole, _ = krige(solved, nodes, exact=False)
    for at in (0, part - 1, part, part + 6):
        assert whole[at] == pytest.approx(krige(solved, nodes[at : at + 1], exact=False)[0][0], abs=1e-9)


@pytest.mark.parametrize(
    ("xy", "values", "model"),
    [
        ([[0, 0]], [1], Likeness("matern32", 1, 1, 1)),
        ([[0, 0], [1, 1]], [1], Likeness("matern32", 1, 1, 1)),
        ([[0, 0], [np.nan, 1]], [1, 2], Likeness("matern32", 1, 1, 1)),
        ([[0, 0], [1, 1]], [1, np.inf], Likeness("matern32", 1, 1, 1)),
        ([[0, 0], [0, 0], [9, 9]], [1, 2, 3], Likeness("matern32", 1, 1)),
        ([[0, 0], [1e-9, 0], [9, 9]], [1, 2, 3], Likeness("matern32", 1, 1)),
    ],
)
def test_what_cannot_be_solved_is_told(xy, values, model):
    with pytest.raises(BodymapError, match="kriging"):
        solve(np.array(xy, float), np.array(values, float), model)


def test_two_places_alike_are_fine_with_a_nugget():
    solved = solve(np.array([[0, 0], [0, 0], [9, 9]], float), np.array([1.0, 3.0, 2.0]), Likeness("matern32", 1, 5, 0.5))
    assert krige(solved, np.zeros((1, 2)), exact=False)[0][0] == pytest.approx(2.0, abs=0.01)


@given(PLACES, st.floats(0, 60), st.integers(0, 99))
def test_merging_keeps_the_sum_and_leaves_nothing_near(places, within, seed):
    xy, values = case(places, seed)
    where, means, counts = merged(xy, values, within)
    assert counts.sum() == len(values)
    assert (means * counts).sum() == pytest.approx(values.sum())
    assert (where * counts[:, None]).sum(axis=0) == pytest.approx(xy.sum(axis=0))
    # single linkage: places joined in a chain may have their mean near another's, single ones never lie near one another
    lone = where[counts == 1]
    apart = distances(lone, lone) + np.eye(len(lone)) * 1e9
    assert (apart >= within).all()


def test_merging_joins_a_chain_and_equal_places():
    xy = np.array([[0, 0], [0.9, 0], [1.8, 0], [50, 0], [50, 0]], float)
    where, means, counts = merged(xy, np.array([1.0, 2.0, 6.0, 10.0, 20.0]), 1.0)
    assert where.tolist() == [[pytest.approx(0.9), 0], [50, 0]]
    assert means.tolist() == [3.0, 15.0]
    assert counts.tolist() == [3, 2]


def test_equal_readings_give_a_flat_model_with_the_least_nugget():
    xy = np.array([(x, y) for x in range(0, 500, 100) for y in range(0, 400, 100)], float)
    model = fit_matern(xy, np.full(len(xy), 254.0), 2.25)
    assert model.nugget == 2.25
    estimate, variance = krige(solve(xy, np.full(len(xy), 254.0), model), np.array([[55.0, 55.0]]), exact=False)
    assert estimate[0] == pytest.approx(254.0)
    assert variance[0] < 10


@given(st.integers(0, 30))
def test_the_nugget_is_never_below_the_gauge(seed):
    chance = np.random.default_rng(seed)
    xy = chance.uniform(0, 900, (20, 2))
    assert fit_matern(xy, 250 + 0.1 * xy[:, 0], 2.25).nugget >= 2.25


def test_experimental_bins_are_closed_on_the_right():
    pairs, distance, gamma = experimental(np.array([[0, 0], [10, 0], [20, 0]], float), np.array([0.0, 2.0, 6.0]), 20.0, 2)
    assert pairs.tolist() == [2, 1]
    assert distance.tolist() == [10, 20]
    assert gamma.tolist() == [(2 + 8) / 2, 18]
