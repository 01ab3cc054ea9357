"""A record file for the dashboard to open."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest
from streamlit import config
from streamlit.components.v2 import manifest_scanner

from bodymap.model import Record
from bodymap.store import record_file
from bodymap.store.record_file import RecordFile
from dashboard import access

from .small import AT, small_record


@pytest.fixture(scope="session", autouse=True)
def _packages_looked_through_once() -> Iterator[None]:
    """A page without a browser reads what every installed package says of itself, anew for each: here once for all tests."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(manifest_scanner, "scan_component_manifests", cache(manifest_scanner.scan_component_manifests))
        yield


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., RecordFile]:
    """Puts a record into a file and names it as the dashboard's argument: a function from a record to its file."""

    def serve(record: Record, media: Mapping[str, Path] | None = None) -> RecordFile:
        path = tmp_path / "van.gpkg"
        record_file.create(path, record, by="start", why="a case", at=AT, media=media or {})
        monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
        return RecordFile(path)

    return serve


@pytest.fixture(scope="session")
def _small_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small record in a file, made once: to be copied, never written to."""
    path = tmp_path_factory.mktemp("small") / "van.gpkg"
    record_file.create(path, small_record(), by="start", why="a case", at=AT, media={})
    return path


@pytest.fixture
def record_path(_small_made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small record in a file of the test's own, named as the dashboard's argument."""
    shutil.copytree(_small_made.parent, tmp_path, dirs_exist_ok=True)
    path = tmp_path / _small_made.name
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    return path


@pytest.fixture(autouse=True)
def _listening_here_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """As `bodymap open` starts the server; one that listens on every address shows nothing without an access code."""
    monkeypatch.delenv(access.VARIABLE, raising=False)
    access.gate.cache_clear()
    config.set_option("server.address", "127.0.0.1")
