"""The description of the open folder says every file, column and choice there is."""

from __future__ import annotations

from importlib.resources import files

import pytest

from bodymap.model import KINDS, columns_of

TEXT = (files("bodymap.exchange") / "open_folder.md").read_text(encoding="utf-8")
ROWS = {line.split("`")[1]: line for line in TEXT.splitlines() if line.startswith("| `")}


@pytest.mark.parametrize("model", [model for model in KINDS.values() if model.FILE], ids=lambda model: model.KIND)
def test_every_column_and_choice_is_described(model):
    row = ROWS[model.FILE]
    for column in columns_of(model):
        if column.kind == "shape":
            continue
        name = f"**{column.name}**" if column.required else column.name
        assert name in row, column.name
        assert [choice for choice in column.choices if choice not in TEXT] == []
