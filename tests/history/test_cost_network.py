"""Cheapest solutions against trying them all, by each of the three means alone and by all together."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.history.bucket_tree import eliminate, good_order
from bodymap.history.cost_network import CostNetwork
from bodymap.history.cost_tables import NEVER, Factor
from bodymap.history.integer_program import IntegerProgram

COSTS = st.sampled_from([0, 0, 0, 1, 1, 3, 4, NEVER])


@st.composite
def networks(draw, chained=False):
    """Sizes of some variables, and factors over one to three of them; `chained`: all hang together."""
    sizes = draw(st.lists(st.integers(2, 3), min_size=1, max_size=6))
    scopes = draw(st.lists(st.lists(st.integers(0, len(sizes) - 1), min_size=1, max_size=3, unique=True), max_size=8))
    if chained:
        scopes += [[n, n + 1] for n in range(len(sizes) - 1)] + [[0]]
    factors = []
    for scope in scopes:
        shape = [sizes[variable] for variable in scope]
        count = int(np.prod(shape))
        table = draw(st.lists(COSTS, min_size=count, max_size=count))
        factors.append((tuple(scope), np.array(table, dtype=np.int64).reshape(shape)))
    return sizes, factors


def try_all(sizes, factors):
    """Least cost, and the values of each variable in the solutions that have it."""
    best, values = NEVER, [set() for _ in sizes]
    for solution in product(*map(range, sizes)):
        cost = sum(int(table[tuple(solution[variable] for variable in scope)]) for scope, table in factors)
        if cost < best:
            best, values = cost, [set() for _ in sizes]
        if cost == best < NEVER:
            for known, value in zip(values, solution, strict=True):
                known.add(value)
    return best, values


def built(sizes, factors):
    network = CostNetwork()
    for size in sizes:
        network.variable(size)
    for scope, table in factors:
        network.add(scope, table)
    return network


@pytest.mark.parametrize("entries_most", [1 << 20, 0], ids=["bucket elimination", "integer programme"])
@settings(max_examples=120, deadline=None)
@given(networks())
def test_cheapest_is_what_trying_all_gives(entries_most, network):
    cost, values = try_all(*network)
    found = built(*network).cheapest(entries_most)
    assert min(found.cost, NEVER) == cost
    if cost < NEVER:
        assert [set(found.values[variable]) for variable in range(len(values))] == values


@settings(max_examples=120, deadline=None)
@given(networks())
def test_what_is_struck_out_is_in_no_cheapest_solution(network):
    cost, values = try_all(*network)
    struck = built(*network)
    struck.strike_out()
    if cost < NEVER:
        assert all(known <= set(struck.left[variable]) for variable, known in enumerate(values))


@settings(max_examples=80, deadline=None)
@given(networks(chained=True))
def test_elimination_and_integer_programme_agree_without_striking_out(network):
    sizes, factors = network
    left = {variable: tuple(range(size)) for variable, size in enumerate(sizes)}
    tables = [Factor(scope, table) for scope, table in factors]
    cost, values = try_all(sizes, factors)
    program = IntegerProgram(left, tables)
    assert program.least_cost() == cost
    if cost < NEVER:
        worth = program.worth_keeping(cost)
        assert all(known <= set(worth[variable]) for variable, known in enumerate(values))
        assert [set(found) for found in program.values_at(cost, worth).values()] == values
        tree = eliminate(good_order(left, tables, 1 << 20), left, tables)
        assert tree.cost == cost
        assert [set(tree.values[variable]) for variable in left] == values


def test_a_case_that_the_presolve_of_a_solver_got_wrong():
    """Cost 0 by variables (1, 0, 0) among others; with presolve scipy 1.16 answered 1."""
    no = NEVER
    factors = [
        ((0, 1, 2), [[[0, 0, 0], [0, 0, 0]], [[0, 0, no], [1, 0, no]], [[0, 0, 0], [0, 0, 0]]]),
        ((2, 0, 1), [[[0, 1], [0, 0], [0, 0]], [[0, 0], [0, no], [0, 0]], [[0, 0], [0, 0], [0, 0]]]),
        ((0, 1), [[no, 1], [0, 0], [0, 0]]),
        ((1, 2), [[0, no, 0], [0, 0, 0]]),
        ((0,), [0, 0, no]),
        ((0, 1, 2), np.zeros((3, 2, 3))),
        ((0, 1), np.zeros((3, 2))),
        ((0,), [0, 0, 0]),
    ]
    tables = [Factor(scope, np.array(table, dtype=np.int64)) for scope, table in factors]
    assert IntegerProgram({0: (0, 1, 2), 1: (0, 1), 2: (0, 1, 2)}, tables).least_cost() == 0


def test_no_order_is_given_where_the_tables_would_be_too_large():
    """In a table over n variables of 2 values the first bucket alone has 2 to the power of n entries."""
    left = dict.fromkeys(range(8), (0, 1))
    factors = [Factor(tuple(range(8)), np.zeros((2,) * 8, dtype=np.int64))]
    assert good_order(left, factors, 2**8 - 1) is None
    assert sorted(good_order(left, factors, 2**9)) == list(range(8))
