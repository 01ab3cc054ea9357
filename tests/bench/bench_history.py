"""How long reading a history takes at the size of the design: `pytest tests/bench/bench_history.py`.

Wanted: 60 removable parts, 300 zones, 15 coats and 400 stacks in less than 2 s, growing about as the number of zones does.
"""

from __future__ import annotations

import pytest

from bodymap.history.read import read_history
from tests.bench.vehicles import painted_vehicle


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
