"""How long reading a history takes at the size of the design: `python -m tests.bench history`.

Wanted: 60 removable parts, 300 zones, 15 coats and 400 stacks in less than 2 s, growing about as the number of zones does.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from bodymap.history.read import read_history
from tests.bench.measure import Row, least
from tests.bench.vehicles import painted_vehicle


def rows(rounds: int = 3) -> Iterator[Row]:
    """What is measured."""
    usual, large = painted_vehicle(linked=True), painted_vehicle(parts=240, zones=1200, stacks=1600, linked=True)
    found = least({"usual": lambda: read_history(usual), "large": lambda: read_history(large)}, rounds)
    yield Row("history, 60 parts × 300 zones × 15 coats", found["usual"], None, "", 2.0)
    yield Row("history, four times the zones", found["large"], 4 * found["usual"], "four times the time (near-linear)", 1.5)


@pytest.mark.parametrize("linked", [False, True], ids=["parts apart", "parts linked"])
def test_history_at_design_size(benchmark, linked):
    record = painted_vehicle(linked=linked)
    history = benchmark.pedantic(lambda: read_history(record), rounds=3)
    assert history.explanation is not None
    assert not history.contradicted


@pytest.mark.parametrize("times", [1, 2, 4])
def test_history_grows_with_the_zones(benchmark, times):
    record = painted_vehicle(parts=60 * times, zones=300 * times, stacks=400 * times)
    assert benchmark.pedantic(lambda: read_history(record), rounds=2).explanation is not None
