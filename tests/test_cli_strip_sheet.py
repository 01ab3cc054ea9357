"""The command that prints the strip sheet, on the hand-drawn trailer."""

from __future__ import annotations

import io

import pytest

from bodymap.cli import main
from tests.briefs.pdf_text import pages_text
from tests.test_cli import write
from tests.test_cli_plan import trailer

pikepdf = pytest.importorskip("pikepdf")


@pytest.fixture
def folder(tmp_path):
    return write(tmp_path / "trailer", trailer())


def test_it_prints_what_the_plan_strips(folder, tmp_path, capsys):
    out = tmp_path / "strip.pdf"
    assert main(["strip-sheet", str(folder), str(out)]) == 0
    assert "strip sheet, 3 zones, 3 of them released" in capsys.readouterr().out
    with pikepdf.open(io.BytesIO(out.read_bytes())) as pdf:
        assert len(pdf.pages) == 3
        assert "hand work" in pages_text(pdf)[0]


def test_some_zones_on_larger_paper(folder, tmp_path):
    out = tmp_path / "strip.pdf"
    assert main(["strip-sheet", str(folder), str(out), "--zone", "flap", "--paper", "a3"]) == 0
    with pikepdf.open(io.BytesIO(out.read_bytes())) as pdf:
        assert len(pdf.pages) == 2
        assert float(pdf.pages[0].mediabox[3]) * 25.4 / 72 == pytest.approx(420, abs=0.01)


@pytest.mark.parametrize("words", [["out.txt"], ["out.pdf", "--zone", "nowhere"]])
def test_bad_input_writes_nothing(folder, tmp_path, words, capsys):
    assert main(["strip-sheet", str(folder), str(tmp_path / words[0]), *words[1:]]) == 2
    assert not (tmp_path / words[0]).exists()
    assert "found" in capsys.readouterr().err
