"""Bad files over every importer: each ends in a clear error or a right reading, and none takes the machine with it.

The files and the public attacks they are after: tests/campaigns/hostile.py, which also measures seconds and memory, and has
files of 100 MB.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.campaigns.hostile import FOLDERS, JSON_PARSERS, TEXT_PARSERS, cases

ROOT = Path(__file__).parents[2]
IMPORTERS = (*TEXT_PARSERS, *JSON_PARSERS, "svg", "picture", "folder")
NO_FILE_OF_OURS = (
    "nothing", "one zero byte", "noise", "UTF-16 with its mark", "half a surrogate pair", "overlong slash", "a workbook",
    "a packed bomb", "a program",
)  # fmt: skip


@cache
def run_of_all() -> subprocess.CompletedProcess[str]:
    """All importers, each in a process of its own."""
    command = [sys.executable, "-m", "tests.campaigns.hostile", "--of", *IMPORTERS]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True)


@cache
def outcomes(parser: str) -> dict[str, str]:
    done = run_of_all()
    assert done.returncode == 0, f"{parser}: {done.stderr[-2000:]}"
    told = json.loads(done.stdout)
    assert parser in told, f"{parser} did not end well: {done.stderr[-2000:]}"
    return told[parser]


def test_there_are_many_and_no_name_stands_twice():
    names = [(case.parser, case.name) for case in cases()]
    assert len(names) == len(set(names)) > 500


@pytest.mark.parametrize("parser", IMPORTERS)
def test_each_file_is_read_or_refused_in_words(parser):
    for name, said in outcomes(parser).items():
        assert said == "read" or "found" in said, (name, said)
        assert "Traceback" not in said
        # What a file says is told cut short, and nothing in it works on the terminal or turns the line round.
        assert len(said) < 40_000, name
        assert not any(char in said for char in "\x1b\x07\x00\u202e\u2066"), name


@pytest.mark.parametrize("parser", [one for one in IMPORTERS if one not in ("gauge", "folder")])
def test_what_is_no_file_of_ours_is_refused(parser):
    for name in NO_FILE_OF_OURS:
        # A table file that is empty is one without rows: the format lets a file be absent as well.
        if not (name == "nothing" and parser.endswith(".csv")):
            assert outcomes(parser)[name] != "read", name


def test_nothing_outside_its_folder_is_taken_in():
    told = outcomes("folder")
    assert set(told) == set(FOLDERS)
    for name in told:
        if name.startswith("media named") or name in ("media that is a link out of the folder", "media of another hash"):
            assert "sources.csv" in told[name] or "media" in told[name], name
    # Nobody keeps a file from one who may do anything on the machine.
    shut = {"a table that may not be read"} if os.geteuid() == 0 else set()
    assert {name for name, said in told.items() if said == "read"} == shut


@pytest.mark.parametrize("parser", JSON_PARSERS)
def test_shapes_that_cannot_be_are_refused(parser):
    told = outcomes(parser)
    for name in ("infinite places", "words for places", "truth for places", "a power beyond", "a name twice", "degrees"):
        assert told[name] != "read", name


def test_pictures_that_unpack_beyond_reason_are_refused():
    told = outcomes("picture")
    too_much = ("a PNG of 4,000 megapixels", "a PNG of 150 megapixels, packed", "a GIF of 2,000 pictures", "a JPEG cut off")
    for name in too_much:
        assert told[name] != "read", name
