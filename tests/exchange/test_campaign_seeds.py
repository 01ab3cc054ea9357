"""What fuzzing begins from is read: from files that are refused at their first line it would never come further."""

from __future__ import annotations

import pytest

from tests.campaigns import parsers


@pytest.mark.parametrize("name", ["svg", "geojson", "gauge", "step_card", "journal", "picture"])
def test_every_seed_is_a_good_file(name):
    for seed in parsers.seeds(name):
        assert parsers.PARSERS[name](seed)


def test_the_seeds_of_the_tables_are_good_files():
    for seed in parsers.seeds("folder_table"):
        assert parsers.folder_table(seed)
