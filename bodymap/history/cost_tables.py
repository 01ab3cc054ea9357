"""Tables of whole-number costs over some variables, and what the cheapest solutions of many such tables are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Table = npt.NDArray[np.int64]

NEVER = 1 << 40
"""Cost of what is not allowed. Far above any real cost, and far enough below overflow to be added many times."""


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
