"""Bucket elimination over tables of costs, and the pass back that gives the least cost of every single value.

R. Dechter, Bucket elimination, Artificial Intelligence 113, 1999, 41–85 (from memory, not seen).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import numpy as np

from bodymap.history.cost_tables import NEVER, Cheapest, Factor, Table

Left = Mapping[int, Sequence[int]]
Around = Mapping[int, set[int]]
Sizes = Mapping[int, int]


def good_order(left: Left, factors: Iterable[Factor], entries_most: int) -> list[int] | None:
    """An order of elimination in which the tables stay small; None where they have more entries together than asked."""
    around: dict[int, set[int]] = {variable: set() for variable in left}
    for factor in factors:
        for variable in factor.scope:
            around[variable].update(factor.scope)
    for variable, others in around.items():
        others.discard(variable)
    sizes = {variable: len(values) for variable, values in left.items()}
    best: list[int] | None = None
    for rank in (_by_size, _by_fill):
        found = _greedy_order(around, sizes, rank, entries_most)
        if found:
            best, entries_most = found
    return best


def eliminate(order: list[int], left: Left, factors: Iterable[Factor]) -> Cheapest:
    """Least cost, and every value that a cheapest solution takes. All variables must hang together by the factors."""
    tree = _BucketTree(order, left, factors)
    cost = tree.forward()
    values = {
        variable: tuple(value for value, least in zip(left[variable], costs, strict=True) if least == cost)
        for variable, costs in tree.backward()
    }
    return Cheapest(cost, values)


class _BucketTree:
    """Bucket elimination along an order of the variables, and the pass back."""

    def __init__(self, order: list[int], left: Left, factors: Iterable[Factor]) -> None:
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

Rank = Callable[[int, Around, Sizes], tuple[int, int]]


def _by_fill(variable: int, around: Around, sizes: Sizes) -> tuple[int, int]:
    near = around[variable]
    missing = sum(len(near) - 1 - len(near & around[other]) for other in near)
    return missing, _size(near, sizes)


def _by_size(variable: int, around: Around, sizes: Sizes) -> tuple[int, int]:
    return _size(around[variable], sizes), 0


def _greedy_order(start: Around, sizes: Sizes, rank: Rank, entries_most: int) -> tuple[list[int], int] | None:
    """Take, again and again, the variable that ranks least; its neighbours are joined to one another.

    Returns the order and the entries of all tables together; None as soon as these are more than asked.
    """
    around = {variable: set(others) for variable, others in start.items()}
    ranks = {variable: (*rank(variable, around, sizes), variable) for variable in around}
    heap = sorted(ranks.values())
    order, entries = [], 0
    while heap:
        least = heapq.heappop(heap)
        variable = least[-1]
        if ranks.get(variable) != least:
            continue  # ranked anew since, or taken
        order.append(variable)
        del ranks[variable]
        near = around.pop(variable)
        entries += _size(near, sizes) * sizes[variable]
        if entries > entries_most:
            return None
        for other in near:
            around[other] |= near
            around[other] -= {variable, other}
        changed = near.union(*(around[other] for other in near)) if rank is _by_fill else near
        for other in changed:
            ranks[other] = (*rank(other, around, sizes), other)
            heapq.heappush(heap, ranks[other])
    return order, entries


def _size(clique: Iterable[int], sizes: Sizes) -> int:
    size = 1
    for variable in clique:
        size *= sizes[variable]
    return size
