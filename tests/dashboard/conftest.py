"""A record file for the dashboard to open."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from bodymap.store import record_file

from .small import AT, small_record


@pytest.fixture
def record_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small record in a file, named as the dashboard's argument."""
    path = tmp_path / "van.gpkg"
    record_file.create(path, small_record(), by="start", why="a small record", at=AT, media={})
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    return path
