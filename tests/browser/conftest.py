"""A real server on a record of the demo vehicle, and a real Chromium looking at it."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.store import record_file
from bodymap.store.record_file import RecordFile
from dashboard.access import VARIABLE
from dashboard.network import Tls
from dashboard.serve import command, free_port, wait_until_ready
from demo import VEHICLE_FOLDER

# Every screen is looked at in both sizes; what does not hang on the size is gone through in one of them only.
AT_DESK = pytest.mark.parametrize("viewport", ["desk"], indirect=True)
ON_TABLET = pytest.mark.parametrize("viewport", ["tablet"], indirect=True)
_ENDS_WITHIN_S = 15
DESK, TABLET = {"width": 1440, "height": 900}, {"width": 820, "height": 1180}


@dataclass
class Shop:
    """A record file with a dashboard running on it."""

    path: Path
    url: str

    @property
    def file(self) -> RecordFile:
        return RecordFile(self.path)


@contextmanager
def served(path: Path, code: str | None = None, tls: Tls | None = None) -> Iterator[Shop]:
    """A dashboard running on a record file; at the end its log may hold no fault.

    `code`: it listens on the local network too, and asks this access code. `tls`: it answers over HTTPS.
    """
    port = free_port(8600 + 100 * int(os.environ.get("PYTEST_XDIST_WORKER", "gw0")[2:]))
    log = path.with_suffix(".log")
    argv = command(path, port, lan=code is not None, tls=tls)
    environment = os.environ | ({} if code is None else {VARIABLE: code})
    with log.open("wb") as out:
        server = subprocess.Popen(argv, stdout=out, stderr=subprocess.STDOUT, cwd=path.parent, env=environment)
        try:
            assert wait_until_ready(server, port, tls=tls is not None), log.read_text()
            yield Shop(path, f"{'https' if tls else 'http'}://127.0.0.1:{port}")
        finally:
            server.terminate()
            try:
                server.wait(_ENDS_WITHIN_S)
            except subprocess.TimeoutExpired:  # it waits for a window that does not let go
                server.kill()
                server.wait()
    assert "Traceback" not in log.read_text(), log.read_text()


@pytest.fixture(scope="session")
def demo_record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo vehicle in a record file, made once: to be copied, never written to."""
    path = tmp_path_factory.mktemp("demo") / "van.gpkg"
    content = read_folder(VEHICLE_FOLDER)
    record_file.create(
        path,
        content.record,
        by="tests",
        why="the demo vehicle",
        at="2026-01-01T00:00:00.000Z",
        media=content.media,
        journal=content.journal,
    )
    return path


@pytest.fixture(scope="module")
def shop(demo_record: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A copy of the demo vehicle's record file, served; one for each test module."""
    folder = tmp_path_factory.mktemp("shop")
    shutil.copytree(demo_record.parent, folder, dirs_exist_ok=True)
    with served(folder / demo_record.name) as running:
        yield running


@pytest.fixture(params=["desk", "tablet"])
def viewport(request: pytest.FixtureRequest) -> dict[str, int]:
    """A desk screen, and a tablet held upright."""
    return {"desk": DESK, "tablet": TABLET}[request.param]
