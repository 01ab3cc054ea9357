"""The server is up only when the first screen is ready: libraries loaded, record read, map drawn."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from bodymap.store.record_file import RecordFile
from dashboard import loaders, ready, serve

# What was read until the server said that it is up: `cli.main` is where it would begin to listen.
_PROGRAM = """
import sys
from dashboard import ready
ready.cli.main = lambda words, prog_name: print(prog_name, words, 'dashboard.components.sheet_map' in sys.modules)
ready.main()
"""


def test_the_map_is_drawn_beforehand_and_is_the_one_the_page_shows(record_path, monkeypatch):
    assert ready.warm()
    drawn = []
    monkeypatch.setattr(loaders, "sheet_said", lambda *said, **how: drawn.append(said))
    loaders.sheet(loaders.opened(), loaders.Workspace(), "light")
    assert drawn == []


def test_a_record_that_is_not_there_or_cannot_be_read_keeps_no_server_from_starting(tmp_path, monkeypatch):
    broken = tmp_path / "broken.gpkg"
    monkeypatch.setattr(sys, "argv", ["ready", str(tmp_path / "none.gpkg")])
    assert not ready.warm()
    broken.write_bytes(b"no record")
    monkeypatch.setattr(sys, "argv", ["ready", str(broken)])
    assert not ready.warm()
    assert broken.read_bytes() == b"no record"


def test_the_server_gets_the_same_words_after_everything_is_loaded(record_path):
    words = serve.command(record_path, 8501)
    assert words[1:3] == ["-m", "dashboard.ready"]
    ran = subprocess.run(
        [sys.executable, "-c", _PROGRAM, *words[3:]],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(ready.__file__).parents[1],
    )
    assert ran.stdout.strip() == f"streamlit {words[3:]} True"
    assert RecordFile(record_path).verify() == ()
