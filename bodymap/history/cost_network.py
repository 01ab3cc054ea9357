"""Cheapest solutions of a network of costs, exactly: the least cost, and every value that some cheapest solution takes.

A network has variables with a few values each and factors: tables of whole-number costs over some variables. A solution
gives each variable a value; its cost is the sum of all factors. It is solved in three steps:

1. A value that is dearer than another one in every context is struck out: it is in no cheapest solution (dead-end
   elimination with the criterion of R. F. Goldstein, Biophysical Journal 66, 1994, 1335–1340; from memory, not seen).
   What has been seen on a vehicle mostly agrees, so that little is left.
2. What then falls apart is solved apart: by bucket elimination where its tables stay small,
3. else as an integer programme.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx
import numpy as np
import numpy.typing as npt

from bodymap.history.bucket_tree import eliminate, good_order
from bodymap.history.cost_tables import NEVER, Cheapest, Factor, Table
from bodymap.history.integer_program import IntegerProgram

ENTRIES_MOST = 1 << 20
"""Entries of all tables of a bucket elimination together; beyond it an integer programme is faster."""
# A component that lost at least an eighth of its values is solved anew: it may fall apart.
_WORTH_SOLVING_ANEW = 7 / 8


class CostNetwork:
    """A network that is being built; `strike_out` may be called before more is added."""

    def __init__(self) -> None:
        self.left: dict[int, tuple[int, ...]] = {}
        """Values of each variable that have not been struck out."""
        self._factors: dict[tuple[int, ...], Table] = {}
        self._touching: dict[int, dict[tuple[int, ...], None]] = {}
        self._constant = 0

    def variable(self, values: int | tuple[int, ...]) -> int:
        """Add a variable with values 0 … n−1, or with these values; returns its number."""
        number = len(self.left)
        self.left[number] = tuple(range(values)) if isinstance(values, int) else values
        self._touching[number] = {}
        return number

    def add(self, scope: Sequence[int], table: npt.ArrayLike) -> None:
        """Add a factor over variables with all their values (those struck out included)."""
        costs = np.asarray(table, dtype=np.int64)
        for axis, variable in enumerate(scope):
            costs = costs.take(self.left[variable], axis=axis)
        self.put(Factor(tuple(scope), costs))

    def put(self, factor: Factor) -> None:
        """Add a factor over the values left, without the variables that have only one."""
        scope = tuple(variable for variable in factor.scope if len(self.left[variable]) != 1)
        table = factor.table.reshape([size for size in factor.table.shape if size != 1])
        if not scope:
            self._constant += int(table)
            return
        held = self._factors.get(scope)
        self._factors[scope] = table if held is None else held + table
        for variable in scope:
            self._touching[variable][scope] = None

    def _without(self, scope: tuple[int, ...]) -> Factor:
        for variable in scope:
            del self._touching[variable][scope]
        return Factor(scope, self._factors.pop(scope))

    def strike_out(self) -> None:
        """Strike out every value that is dearer than another one whatever the rest does."""
        waiting = dict.fromkeys(variable for variable, values in self.left.items() if len(values) > 1)
        while waiting:
            variable = next(iter(waiting))
            del waiting[variable]
            keep = self._worth_keeping(variable)
            if len(keep) < len(self.left[variable]):
                waiting.update(dict.fromkeys(self.keep_only(variable, keep)))

    def _worth_keeping(self, variable: int) -> list[int]:
        """Places of the values that are not dearer than another one in every context."""
        size = len(self.left[variable])
        gain = np.zeros((size, size), dtype=np.int64)
        never = np.zeros(size, dtype=bool)
        for scope in self._touching[variable]:
            rows = Factor(scope, self._factors[scope]).along(variable)
            barred = rows >= NEVER
            never |= barred.all(axis=1)
            less = rows[:, None, :] - rows[None, :, :]
            # a context that bars the value itself says nothing against it
            gain += np.where(barred[:, None, :], NEVER, less).min(axis=2)
        dearer = (gain > 0).any(axis=1) | never
        return [place for place in range(size) if not dearer[place]]

    def keep_only(self, variable: int, places: Sequence[int]) -> list[int]:
        """Leave a variable only some of its values, by place; returns its neighbours and, if it is still open, itself."""
        if not places:
            self._constant += NEVER
            places = [0]
        touched = [self._without(scope) for scope in list(self._touching[variable])]
        self.left[variable] = tuple(self.left[variable][place] for place in places)
        for factor in touched:
            self.put(Factor(factor.scope, factor.table.take(places, axis=factor.scope.index(variable))))
        around = dict.fromkeys(other for factor in touched for other in factor.scope)
        return [other for other in around if len(self.left[other]) > 1]

    def cheapest(self, entries_most: int = ENTRIES_MOST) -> Cheapest:
        """Solve the network exactly. `entries_most`: how large the tables of a bucket elimination may become."""
        self.strike_out()
        cost = self._constant
        values: dict[int, tuple[int, ...]] = {}
        for component in self._components():
            solved = component.solve(entries_most)
            cost += solved.cost
            values.update(solved.values)
        # a variable that no factor touches any more takes any value left to it
        return Cheapest(cost, {**self.left, **values})

    def keep_cheapest(self) -> None:
        """Leave each variable only the values that a cheapest solution takes."""
        values = self.cheapest().values
        for variable, left in list(self.left.items()):
            places = [place for place, value in enumerate(left) if value in values[variable]]
            if len(places) < len(left):
                self.keep_only(variable, places)

    def _components(self) -> Iterator[_Component]:
        graph = nx.Graph()
        for scope in self._factors:
            nx.add_star(graph, scope)
        groups = [sorted(group) for group in nx.connected_components(graph)]
        group_of = {variable: number for number, group in enumerate(groups) for variable in group}
        factors: list[list[Factor]] = [[] for _ in groups]
        for scope, table in self._factors.items():
            factors[group_of[scope[0]]].append(Factor(scope, table))
        for group, own in zip(groups, factors, strict=True):
            yield _Component({variable: self.left[variable] for variable in group}, own)


@dataclass(frozen=True)
class _Component:
    """Variables that hang together, the values left to each, and their factors."""

    left: dict[int, tuple[int, ...]]
    factors: list[Factor]

    def solve(self, entries_most: int) -> Cheapest:
        order = good_order(self.left, self.factors, entries_most)
        if order:
            return eliminate(order, self.left, self.factors)
        program = IntegerProgram(self.left, self.factors)
        cost = program.least_cost()
        worth = program.worth_keeping(cost)
        if sum(map(len, worth.values())) > _WORTH_SOLVING_ANEW * sum(map(len, self.left.values())):
            return Cheapest(cost, program.values_at(cost, worth))
        return self._smaller(worth, entries_most)

    def _smaller(self, worth: Mapping[int, Sequence[int]], entries_most: int) -> Cheapest:
        """Solve again with only the places of values that are worth keeping."""
        network = CostNetwork()
        numbers = {variable: network.variable(values) for variable, values in self.left.items()}
        for factor in self.factors:
            network.put(Factor(tuple(numbers[variable] for variable in factor.scope), factor.table))
        for variable, places in worth.items():
            if len(places) < len(self.left[variable]):
                network.keep_only(numbers[variable], places)
        solved = network.cheapest(entries_most)
        return Cheapest(solved.cost, {variable: solved.values[number] for variable, number in numbers.items()})
