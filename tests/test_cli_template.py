"""`bodymap template` on a vehicle that is not the demo."""

from __future__ import annotations

import pytest

from bodymap.cli import main
from tests.folders import tank, write_case


@pytest.fixture
def folder(tmp_path):
    return write_case(tmp_path / "tank", tank())


def told(capsys):
    captured = capsys.readouterr()
    return captured.out + captured.err


@pytest.mark.parametrize(
    ("ident", "out", "starts", "more"),
    [
        ("witness", "w.pdf", b"%PDF-", []),
        ("witness", "w.pdf", b"%PDF-", ["--plotter", "--mirror"]),
        ("shell_left", "z.pdf", b"%PDF-", ["--paper", "A3", "--landscape", "--overlap-mm", "15", "--printed-x-mm", "99.4"]),
        ("l1", "l.pdf", b"%PDF-", ["--datum", "base"]),
        ("left", "d.svg", b"<?xml", []),
        ("witness", "w.dxf", b"999\nbodymap\n  0\nSECTION", ["--mirror"]),
    ],
)
def test_a_template_is_printed(folder, tmp_path, capsys, ident, out, starts, more):
    file = tmp_path / out
    assert main(["template", str(folder), ident, str(file), *more]) == 0
    assert file.read_bytes().startswith(starts)
    assert f"full-size template of {ident}" in told(capsys)


@pytest.mark.parametrize(
    ("ident", "out", "more", "words"),
    [
        ("witness", "w.png", [], "allowed: a name ending in .pdf, .svg or .dxf"),
        ("nothing", "w.pdf", [], "found no area, zone, line or drawing 'nothing'"),
        ("witness", "w.pdf", ["--printed-x-mm", "80", "--printed-y-mm", "120"], "found 120 mm; allowed: 90 to 110 mm"),
        ("witness", "w.svg", ["--printed-x-mm", "99"], "found --printed-x-mm, but .svg is in one piece"),
        ("witness", "w.pdf", ["--plotter", "--paper", "A3"], "found --paper, but --plotter makes one page"),
        ("witness", "w.pdf", ["--datum", "base"], "found --datum for a area"),
        ("lettering", "w.pdf", ["--mirror"], "what is written never mirrors"),
        ("witness", "w.pdf", ["--overlap-mm", "150"], "overlap of the sheets: found 150 mm"),
    ],
)
def test_what_cannot_be_printed_is_told_and_nothing_written(folder, tmp_path, capsys, ident, out, more, words):
    assert main(["template", str(folder), ident, str(tmp_path / out), *more]) == 2
    assert words in " ".join(told(capsys).split())
    assert not (tmp_path / out).exists()


def test_a_schematic_drawing_is_refused(tmp_path, capsys):
    case = tank()
    case["drawings.csv"][0]["scale"] = "schematic"
    folder = write_case(tmp_path / "sketched", case)
    assert main(["template", str(folder), "witness", str(tmp_path / "w.pdf")]) == 2
    said = told(capsys)
    assert "schematic" in said
    assert "two points" in " ".join(said.split())
    assert not (tmp_path / "w.pdf").exists()
