"""Tables of costs as an integer programme, for what hangs together too closely for bucket elimination.

Each value of each variable is a column of 0 or 1. Each entry of a table is a column too, tied to the values it belongs to
(the local polytope of M. I. Schlesinger, Kibernetika 4, 1976, 113–130; from memory, not seen). Costs are whole numbers,
so the solver's tolerances cannot turn one cost into another.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from bodymap.history.cost_tables import NEVER, Factor

# The solver takes longer to load than most histories take to read, and few of them need it: it is loaded where it is used.
if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint

# Far above the solver's tolerances, far below the difference between two costs.
_CLEARLY = 0.01
# Status of the solver where nothing meets all rows.
_INFEASIBLE = 2

Whole = npt.NDArray[np.int64]
Real = npt.NDArray[np.float64]


@dataclass(frozen=True)
class _Entries:
    """The allowed entries of a factor: their values by axis, and the column of the first."""

    scope: tuple[int, ...]
    cells: Whole
    start: int


class IntegerProgram:
    """Factors over variables with some values left to each, as columns and rows."""

    def __init__(self, left: Mapping[int, Sequence[int]], factors: Sequence[Factor]) -> None:
        self._left = left
        self._first = dict(zip(left, np.cumsum([0, *map(len, left.values())]).tolist(), strict=False))
        self._values = sum(map(len, left.values()))
        self._entries: list[_Entries] = []
        costs = [np.zeros(self._values)]
        columns = self._values
        for factor in factors:
            cells = np.argwhere(factor.table < NEVER)
            self._entries.append(_Entries(factor.scope, cells, columns))
            costs.append(factor.table[tuple(cells.T)].astype(float))
            columns += len(cells)
        self._cost = np.concatenate(costs)
        self._rows = self._all_rows()
        self._whole = np.repeat([1, 0], [self._values, columns - self._values])

    def _all_rows(self) -> LinearConstraint:
        """One value for each variable; the entries of a factor add up to each value they belong to."""
        from scipy.optimize import LinearConstraint
        from scipy.sparse import csr_array

        rows, columns, signs, height = [], [], [], len(self._left)
        for number, (variable, values) in enumerate(self._left.items()):
            rows.append(np.full(len(values), number))
            columns.append(self._first[variable] + np.arange(len(values)))
            signs.append(np.ones(len(values)))
        for entries in self._entries:
            for axis, variable in enumerate(entries.scope):
                size, count = len(self._left[variable]), len(entries.cells)
                rows += [height + entries.cells[:, axis], height + np.arange(size)]
                columns += [entries.start + np.arange(count), self._first[variable] + np.arange(size)]
                signs += [np.ones(count), -np.ones(size)]
                height += size
        shape = (height, len(self._cost))
        matrix = csr_array((np.concatenate(signs), (np.concatenate(rows), np.concatenate(columns))), shape=shape)
        right = np.repeat([1.0, 0.0], [len(self._left), height - len(self._left)])
        return LinearConstraint(matrix, right, right)

    def least_cost(self) -> int:
        """The least cost; NEVER where nothing is allowed."""
        solution = self._solve(self._cost, [self._rows])
        return NEVER if solution is None else round(float(self._cost @ solution))

    def _solve(self, cost: Real, constraints: list[LinearConstraint]) -> Real | None:
        from scipy.optimize import Bounds, milp

        # Presolve of the solver in scipy 1.16 loses the optimum of small cases (a test holds one): it stays off.
        options = {"mip_rel_gap": 0, "presolve": False}
        found = milp(cost, constraints=constraints, integrality=self._whole, bounds=Bounds(0, 1), options=options)
        if found.x is None and found.status != _INFEASIBLE:
            raise ArithmeticError(f"the integer programme was not solved: {found.message}")
        return None if found.x is None else np.asarray(found.x)

    def worth_keeping(self, cost: int) -> dict[int, list[int]]:
        """Places of the values which the linear relaxation does not show to cost more than this."""
        from scipy.optimize import linprog

        relaxed = linprog(self._cost, A_eq=self._rows.A, b_eq=self._rows.lb, bounds=(0, None), method="highs")
        if relaxed.status != 0:
            return {variable: list(range(len(values))) for variable, values in self._left.items()}
        dearer = np.asarray(relaxed.lower.marginals)
        worth = {}
        for variable, values in self._left.items():
            worth[variable] = relaxed.fun + dearer[self._first[variable] : self._first[variable] + len(values)]
        for entries in self._entries:
            # a value brings one entry of each table it is in, at the least its cheapest one
            more = dearer[entries.start : entries.start + len(entries.cells)]
            for axis, variable in enumerate(entries.scope):
                least = np.full(len(self._left[variable]), np.inf)
                np.minimum.at(least, entries.cells[:, axis], more)
                worth[variable] = worth[variable] + least
        return {variable: np.flatnonzero(bound < cost + _CLEARLY).tolist() for variable, bound in worth.items()}

    def values_at(self, cost: int, worth: Mapping[int, Sequence[int]]) -> dict[int, tuple[int, ...]]:
        """Every value that some solution of this cost takes: again and again a solution with the most values not yet met.

        `worth`: places of the values that come into question.
        """
        from scipy.optimize import LinearConstraint

        sought = np.zeros(self._values, dtype=bool)
        for variable, places in worth.items():
            sought[[self._first[variable] + place for place in places]] = True
        met = np.zeros_like(sought)
        enough = [self._rows, LinearConstraint(self._cost[None, :], -np.inf, cost + 0.5)]
        while cost < NEVER:
            new = np.zeros(len(self._cost))
            new[: self._values] = np.where(sought & ~met, -1.0, 0.0)
            solution = self._solve(new, enough)
            taken = np.zeros_like(met) if solution is None else solution[: self._values] > 0.5
            if not (taken & sought & ~met).any():
                break
            met |= taken
        return {
            variable: tuple(value for place, value in enumerate(values, self._first[variable]) if met[place])
            for variable, values in self._left.items()
        }
