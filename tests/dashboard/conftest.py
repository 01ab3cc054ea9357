"""A record file for the dashboard to open."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from streamlit import config

from bodymap.store import record_file
from dashboard import access

from .small import AT, small_record


@pytest.fixture
def record_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small record in a file, named as the dashboard's argument."""
    path = tmp_path / "van.gpkg"
    record_file.create(path, small_record(), by="start", why="a small record", at=AT, media={})
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    return path


@pytest.fixture(autouse=True)
def _listening_here_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """As `bodymap open` starts the server; one that listens on every address shows nothing without an access code."""
    monkeypatch.delenv(access.VARIABLE, raising=False)
    access.gate.cache_clear()
    config.set_option("server.address", "127.0.0.1")
