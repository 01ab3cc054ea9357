"""Commands in a terminal: one line says how far they are, and Ctrl-C ends them in a sentence, with nothing half written."""

from __future__ import annotations

import os
import pty
import re
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing

import pytest

from bodymap.cli import main
from bodymap.cli.stopping import progress
from tests.hand_over_case import photograph, trailer_folder
from tests.store.old_versions import laid

# The program with its own ears: told to, it is sent the signal the moment it says these words, however quick it is. The
# signal is let through even where whoever started the tests had it put aside, as shells do for what runs behind.
_PROGRAM = """
import builtins, os, signal, sys
from bodymap.cli import main, stopping
signal.signal(signal.SIGINT, signal.default_int_handler)
at, say, stopping._AGAIN_S = sys.argv[1], builtins.print, 0.0
def print(*words, **how):
    say(*words, **how)
    if at and at in " ".join(map(str, words)):
        os.kill(os.getpid(), signal.SIGINT)
builtins.print = print
sys.exit(main(sys.argv[2:]))
"""
_PICTURES = 6
_PATIENCE_S = 60


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """An open folder with some pictures."""
    place = tmp_path_factory.mktemp("many")
    folder = trailer_folder(place)
    for number in range(_PICTURES):
        (folder / "media" / f"look-{number}.jpg").write_bytes(photograph(1600 + number, 1200))
    return folder


def in_a_terminal(*arguments, stop_at=""):
    """What the program shows on a terminal as its standard error, its exit code, and what it printed."""
    reads, writes = pty.openpty()
    command = [sys.executable, "-c", _PROGRAM, stop_at, *map(str, arguments)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=writes, stdin=subprocess.DEVNULL) as program:
        os.close(writes)
        try:
            return shown_on(reads), program.wait(_PATIENCE_S), program.stdout.read()
        finally:
            os.close(reads)
            program.kill()


def shown_on(reads):
    """All that the terminal shows until the program has closed it."""
    shown, until = "", time.monotonic() + _PATIENCE_S
    while time.monotonic() < until:
        try:
            some = os.read(reads, 4096)
        except OSError:  # the other end was closed
            return shown
        if not some:
            return shown
        shown += some.decode()
    raise AssertionError(f"not within {_PATIENCE_S} s: {shown!r}")


@pytest.mark.skipif(os.name != "posix", reason="signals and terminals as POSIX has them")
@pytest.mark.parametrize(
    ("command", "at"), [("hand-over", "Writing the pictures anew"), ("write-out", "Copying the pictures")]
)
def test_ctrl_c_ends_a_command_in_a_sentence_and_leaves_nothing(folder, tmp_path, command, at):
    shown, code, printed = in_a_terminal(command, folder, tmp_path / "made", stop_at=at)
    assert code == 128 + signal.SIGINT
    assert f"bodymap {command}: Stopped. Nothing was written." in shown
    assert "Traceback" not in shown
    assert list(tmp_path.iterdir()) == []
    assert printed == b""


@pytest.fixture(scope="module")
def record(folder, tmp_path_factory):
    """A record file of it."""
    path = tmp_path_factory.mktemp("record") / "trailer.gpkg"
    assert main(["take-in", str(folder), str(path)]) == 0
    return path


def there(folder):
    return {path.relative_to(folder): path.stat().st_mtime_ns for path in folder.rglob("*") if path.is_file()}


@pytest.mark.skipif(os.name != "posix", reason="signals and terminals as POSIX has them")
@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("take-in {folder} {made}.gpkg", "Reading zones.geojson"),
        ("take-in {folder} {made}.gpkg", "Copying the pictures"),
        ("take-in {folder} {made}.gpkg", "Writing the entries"),
        ("take-in {folder} {made}.gpkg", "Checking the pictures"),
        ("start {made}.gpkg --vehicle Van --shape van", "Checking the chain"),
        ("backup {record} {made}.gpkg", "Copying the pictures"),
        ("backup {record} {made}.gpkg", "Checking the chain"),
        ("write-out {record} {made}", "Reading the entries"),
        ("verify {record}", "Checking the pictures"),
        ("verify {folder}", "Checking what refers to what"),
        ("spots {record} {made}.pdf", "Spreading the spots"),
        ("bring-up {old}", "Copying the pictures"),
    ],
)
def test_ctrl_c_in_the_work_on_a_record_leaves_nothing_and_no_lock(folder, record, tmp_path, line, at):
    (tmp_path / "old").mkdir()
    paths = {"folder": folder, "record": record, "made": tmp_path / "made", "old": laid(1, tmp_path / "old").path}
    before = there(tmp_path), there(record.parent)
    command = [word.format(**paths) for word in line.split()]
    shown, code, printed = in_a_terminal(*command, stop_at=at)
    assert (code, printed) == (130, b"")
    assert f"bodymap {command[0]}: Stopped. Nothing was written." in shown
    assert "Traceback" not in shown
    assert (there(tmp_path), there(record.parent)) == before
    for path in (record, paths["old"]):
        with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as connection:
            connection.execute("BEGIN EXCLUSIVE")


@pytest.mark.skipif(os.name != "posix", reason="a terminal as POSIX has it")
def test_the_line_goes_on_to_the_end_and_is_cleared(tmp_path):
    shown, code, printed = in_a_terminal("write-out", trailer_folder(tmp_path), tmp_path / "made")
    assert code == 0
    assert re.search(r"\rWriting vehicle\.csv … \d+%", shown)
    assert shown.endswith("\r" + " " * 78 + "\r")
    assert b"made: written out" in printed


def test_where_there_is_no_terminal_nothing_is_said(tmp_path, capsys):
    assert main(["write-out", str(trailer_folder(tmp_path)), str(tmp_path / "made")]) == 0
    assert capsys.readouterr().err == ""
    with progress() as step:
        step("Anything", 0.5)
    assert capsys.readouterr().err == ""


def test_what_was_written_before_the_stop_is_named(tmp_path, capsys, monkeypatch):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    folder, made = trailer_folder(tmp_path), tmp_path / "made"
    monkeypatch.setattr("builtins.print", lambda *said, **how: None if how else interrupted())
    assert main(["write-out", str(folder), str(made)]) == 130  # stopped as it was about to say that it is done
    monkeypatch.undo()
    assert made.is_dir()
    monkeypatch.setattr("bodymap.exchange.open_folder.write_folder", interrupted)
    assert main(["write-out", str(folder), str(tmp_path / "other")]) == 130
    assert "Stopped. Nothing was written." in capsys.readouterr().err
    assert not (tmp_path / "other").exists()


def test_a_print_that_was_there_before_is_not_said_to_be_written(tmp_path, capsys, monkeypatch):
    record, out = tmp_path / "record.gpkg", tmp_path / "brief.pdf"
    assert main(["take-in", str(trailer_folder(tmp_path)), str(record)]) == 0
    out.write_bytes(b"an older bodymap print")

    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("bodymap.briefs.mask_brief.mask_brief_pdf", interrupted)
    assert main(["brief", str(record), str(out)]) == 130
    assert "Stopped. Nothing was written." in capsys.readouterr().err
    assert out.read_bytes() == b"an older bodymap print"
