"""A record file for the dashboard to open."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from streamlit import config

from bodymap.model import Record
from bodymap.store import record_file
from bodymap.store.record_file import RecordFile
from dashboard import access

from .small import AT, small_record


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., RecordFile]:
    """Puts a record into a file and names it as the dashboard's argument: a function from a record to its file."""

    def serve(record: Record, media: Mapping[str, Path] | None = None) -> RecordFile:
        path = tmp_path / "van.gpkg"
        record_file.create(path, record, by="start", why="a case", at=AT, media=media or {})
        monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
        return RecordFile(path)

    return serve


@pytest.fixture
def record_path(shop: Callable[..., RecordFile]) -> Path:
    """The small record in a file, named as the dashboard's argument."""
    return shop(small_record()).path


@pytest.fixture(autouse=True)
def _listening_here_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """As `bodymap open` starts the server; one that listens on every address shows nothing without an access code."""
    monkeypatch.delenv(access.VARIABLE, raising=False)
    access.gate.cache_clear()
    config.set_option("server.address", "127.0.0.1")
