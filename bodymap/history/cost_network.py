"""Cheapest solutions of a network of costs, exactly: the least cost, and every value that some cheapest solution takes.

A network has variables with a few values each and factors: tables of whole-number costs over some variables. A solution
gives each variable a value; its cost is the sum of all factors. Three exact means, one after another:

1. A value that is dearer than another one in every context is struck out: it is in no cheapest solution (dead-end
   elimination with the criterion of R. F. Goldstein, Biophysical Journal 66, 1994, 1335–1340; from memory, not seen).
2. What then falls apart is solved apart. Each component by bucket elimination and a second pass back, which together
   give the least cost of every single value (R. Dechter, Bucket elimination, Artificial Intelligence 113, 1999, 41–85;
   from memory, not seen).
3. A component whose tables would grow too large is split by cases over one variable, and each case is solved so.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx
import numpy as np
import numpy.typing as npt

Table = npt.NDArray[np.int64]

NEVER = 1 << 40
"""Cost of what is not allowed. Far above any real cost, and far enough below overflow to be added many times."""

TABLE_MOST = 1 << 20
"""Entries of the largest table that is built; beyond it a component is split by cases."""


@dataclass(frozen=True)
class Factor:
    """Costs over some variables: axis i of the table belongs to scope[i]."""

    scope: tuple[int, ...]
    table: Table

    def along(self, variable: int) -> Table:
        """The table as one row for each value of a variable."""
        axis = self.scope.index(variable)
        return np.moveaxis(self.table, axis, 0).reshape(self.table.shape[axis], -1)


@dataclass(frozen=True)
class Cheapest:
    """Least cost (NEVER or more: nothing is allowed), and for each variable its values among the cheapest solutions."""

    cost: int
    values: Mapping[int, tuple[int, ...]]


class CostNetwork:
    """A network that is being built; `strike_out` may be called before more is added."""

    def __init__(self) -> None:
        self.left: dict[int, tuple[int, ...]] = {}
        """Values of each variable that have not been struck out."""
        self._factors: dict[tuple[int, ...], Table] = {}
        self._touching: dict[int, dict[tuple[int, ...], None]] = {}
        self._constant = 0

    @property
    def constant(self) -> int:
        """Cost that no choice can change any more."""
        return self._constant

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
        self._put(Factor(tuple(scope), costs))

    def _put(self, factor: Factor) -> None:
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
            self._put(Factor(factor.scope, factor.table.take(places, axis=factor.scope.index(variable))))
        around = dict.fromkeys(other for factor in touched for other in factor.scope)
        return [other for other in around if len(self.left[other]) > 1]

    def cheapest(self, table_most: int = TABLE_MOST) -> Cheapest:
        """Solve the network exactly. `table_most`: entries of the largest table to be built."""
        self.strike_out()
        cost = self._constant
        values: dict[int, tuple[int, ...]] = {}
        for component in self._components():
            solved = component.solve(table_most)
            cost += solved.cost
            values.update(solved.values)
        # a variable that no factor touches any more takes any value left to it
        return Cheapest(cost, {**self.left, **values})

    def _components(self) -> Iterator[_Component]:
        graph = nx.Graph()
        for scope in self._factors:
            nx.add_star(graph, scope)
        members: dict[int, int] = {}
        groups = [sorted(group) for group in nx.connected_components(graph)]
        for number, group in enumerate(groups):
            members.update(dict.fromkeys(group, number))
        factors: list[list[Factor]] = [[] for _ in groups]
        for scope, table in self._factors.items():
            factors[members[scope[0]]].append(Factor(scope, table))
        for group, own in zip(groups, factors, strict=True):
            yield _Component({variable: self.left[variable] for variable in group}, own)


@dataclass(frozen=True)
class _Component:
    """Variables that hang together, the values left to each, and their factors."""

    left: dict[int, tuple[int, ...]]
    factors: list[Factor]

    def solve(self, table_most: int) -> Cheapest:
        around = self._around()
        sizes = {variable: len(values) for variable, values in self.left.items()}
        orders = [_greedy_order(around, sizes, rank) for rank in (_by_fill, _by_size)]
        cliques = min((_cliques(around, order) for order in orders), key=lambda found: _entries(found, sizes))
        if max(_size(clique, sizes) for clique in cliques.values()) > table_most:
            return self._by_cases(_busiest(cliques, sizes, table_most), table_most)
        return self._eliminate(list(cliques))

    def _around(self) -> dict[int, set[int]]:
        around: dict[int, set[int]] = {variable: set() for variable in self.left}
        for factor in self.factors:
            for variable in factor.scope:
                around[variable].update(factor.scope)
        for variable, others in around.items():
            others.discard(variable)
        return around

    def _by_cases(self, split: int, table_most: int) -> Cheapest:
        found = [self._case(split, place).cheapest(table_most) for place in range(len(self.left[split]))]
        least = min(case.cost for case in found)
        numbers = {variable: number for number, variable in enumerate(self.left)}
        values = {
            variable: tuple(sorted({value for case in found if case.cost == least for value in case.values[number]}))
            for variable, number in numbers.items()
        }
        return Cheapest(least, values)

    def _case(self, split: int, place: int) -> CostNetwork:
        network = CostNetwork()
        numbers = {variable: network.variable(values) for variable, values in self.left.items()}
        for factor in self.factors:
            network._put(Factor(tuple(numbers[variable] for variable in factor.scope), factor.table))  # noqa: SLF001
        network.keep_only(numbers[split], [place])
        return network

    def _eliminate(self, order: list[int]) -> Cheapest:
        tree = _BucketTree(order, self.left, self.factors)
        cost = tree.forward()
        return Cheapest(cost, {
            variable: tuple(value for value, least in zip(self.left[variable], dearest, strict=True) if least == cost)
            for variable, dearest in tree.backward()
        })


class _BucketTree:
    """Bucket elimination along an order of the variables, and the pass back."""

    def __init__(self, order: list[int], left: Mapping[int, Sequence[int]], factors: Iterable[Factor]) -> None:
        self.order = order
        self.place = {variable: number for number, variable in enumerate(order)}
        self.sizes = {variable: len(left[variable]) for variable in order}
        self.waiting: list[list[Factor]] = [[] for _ in order]
        self.children: list[list[tuple[int, Factor]]] = [[] for _ in order]
        self.buckets: list[Factor] = []
        for factor in factors:
            self.waiting[min(self.place[variable] for variable in factor.scope)].append(self._sorted(factor))

    def _sorted(self, factor: Factor) -> Factor:
        axes = sorted(range(len(factor.scope)), key=lambda axis: self.place[factor.scope[axis]])
        return Factor(tuple(factor.scope[axis] for axis in axes), factor.table.transpose(axes))

    def _spread(self, factor: Factor, scope: tuple[int, ...]) -> Table:
        there = set(factor.scope)
        return factor.table.reshape([self.sizes[variable] if variable in there else 1 for variable in scope])

    def forward(self) -> int:
        """Eliminate variable after variable; returns the least cost."""
        cost = 0
        for number in range(len(self.order)):
            waiting = self.waiting[number]
            members = {variable for factor in waiting for variable in factor.scope}
            scope = tuple(sorted(members, key=self.place.__getitem__))
            table = np.zeros([self.sizes[variable] for variable in scope], dtype=np.int64)
            for factor in waiting:
                table += self._spread(factor, scope)
            self.buckets.append(Factor(scope, table))
            least = np.minimum(table.min(axis=0), NEVER)
            if len(scope) == 1:
                cost += int(least)
                continue
            message, parent = Factor(scope[1:], least), self.place[scope[1]]
            self.waiting[parent].append(message)
            self.children[parent].append((number, message))
        return cost

    def backward(self) -> Iterator[tuple[int, list[int]]]:
        """Each variable with the least cost of the whole for every value of it. The factors must hang together."""
        from_above: dict[int, Table] = {}
        for number in reversed(range(len(self.order))):
            bucket = self.buckets[number]
            above = from_above.pop(number, None)
            whole = bucket.table if above is None else bucket.table + above
            for child, message in self.children[number]:
                there = set(message.scope)
                axes = tuple(axis for axis, variable in enumerate(bucket.scope) if variable not in there)
                from_above[child] = (whole.min(axis=axes) - message.table)[None, ...]
            yield self.order[number], [int(least) for least in whole.reshape(whole.shape[0], -1).min(axis=1)]


# --- in which order to eliminate ---------------------------------------------------------------------------------------

Rank = Callable[[int, Mapping[int, set[int]], Mapping[int, int]], tuple[int, int]]


def _by_fill(variable: int, around: Mapping[int, set[int]], sizes: Mapping[int, int]) -> tuple[int, int]:
    near = around[variable]
    missing = sum(len(near) - 1 - len(near & around[other]) for other in near)
    return missing, _size(near, sizes)


def _by_size(variable: int, around: Mapping[int, set[int]], sizes: Mapping[int, int]) -> tuple[int, int]:
    return _size(around[variable], sizes), 0


def _greedy_order(start: Mapping[int, set[int]], sizes: Mapping[int, int], rank: Rank) -> list[int]:
    """Take, again and again, the variable that ranks least; its neighbours are joined to one another."""
    around = {variable: set(others) for variable, others in start.items()}
    ranks = {variable: (*rank(variable, around, sizes), variable) for variable in around}
    heap = sorted(ranks.values())
    order = []
    while heap:
        least = heapq.heappop(heap)
        variable = least[-1]
        if ranks.get(variable) != least:
            continue  # ranked anew since, or taken
        order.append(variable)
        del ranks[variable]
        near = around.pop(variable)
        for other in near:
            around[other] |= near
            around[other] -= {variable, other}
        changed = near.union(*(around[other] for other in near)) if rank is _by_fill else near
        for other in changed:
            ranks[other] = (*rank(other, around, sizes), other)
            heapq.heappush(heap, ranks[other])
    return order


def _cliques(start: Mapping[int, set[int]], order: Sequence[int]) -> dict[int, set[int]]:
    """The variables in the bucket of each variable, in the order of elimination."""
    around = {variable: set(others) for variable, others in start.items()}
    cliques = {}
    for variable in order:
        near = around.pop(variable)
        cliques[variable] = near | {variable}
        for other in near:
            around[other] |= near
            around[other] -= {variable, other}
    return cliques


def _size(clique: Iterable[int], sizes: Mapping[int, int]) -> int:
    size = 1
    for variable in clique:
        size *= sizes[variable]
    return size


def _entries(cliques: Mapping[int, set[int]], sizes: Mapping[int, int]) -> int:
    return sum(_size(clique, sizes) for clique in cliques.values())


def _busiest(cliques: Mapping[int, set[int]], sizes: Mapping[int, int], table_most: int) -> int:
    """The variable that is in the most of the tables that are too large."""
    count: dict[int, int] = {}
    for clique in cliques.values():
        if _size(clique, sizes) > table_most:
            for variable in clique:
                count[variable] = count.get(variable, 0) + 1
    return max(count, key=lambda variable: (count[variable], -variable))
