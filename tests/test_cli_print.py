"""Prints are made again at will: an older one is replaced, anything else under that name stays."""

from __future__ import annotations

import pytest

from bodymap.briefs.pdf_tail import MARK
from bodymap.cli import main
from bodymap.cli.common import write_print
from bodymap.errors import BodymapError
from tests.store.specimen import made

OURS = b"%PDF-1.7\n" + bytes(20_000) + MARK + b"%%EOF\n"


def test_an_older_print_is_replaced_whole(tmp_path):
    out = tmp_path / "brief.pdf"
    write_print(out, OURS)
    write_print(out, OURS + b"newer")
    assert out.read_bytes() == OURS + b"newer"
    assert [item.name for item in tmp_path.iterdir()] == ["brief.pdf"]


@pytest.mark.parametrize(
    "content", [b"", b"Dear sir,", b"%PDF-1.7\nthe owner's own scan" + bytes(20_000), b"SQLite format 3\0"]
)
def test_what_is_no_print_of_ours_stays(tmp_path, content):
    out = tmp_path / "brief.pdf"
    out.write_bytes(content)
    with pytest.raises(BodymapError, match=r"brief\.pdf: found something that is no print"):
        write_print(out, OURS)
    assert out.read_bytes() == content
    assert [item.name for item in tmp_path.iterdir()] == ["brief.pdf"]


def test_a_link_and_a_folder_are_no_prints(tmp_path):
    (tmp_path / "real.pdf").write_bytes(OURS)
    (tmp_path / "link.pdf").symlink_to(tmp_path / "real.pdf")
    (tmp_path / "gone.pdf").symlink_to(tmp_path / "nowhere.pdf")
    (tmp_path / "folder.pdf").mkdir()
    for name in ("link.pdf", "gone.pdf", "folder.pdf"):
        with pytest.raises(BodymapError, match="no print"):
            write_print(tmp_path / name, OURS + b"newer")
    assert (tmp_path / "real.pdf").read_bytes() == OURS
    assert sorted(item.name for item in tmp_path.iterdir()) == ["folder.pdf", "gone.pdf", "link.pdf", "real.pdf"]


def test_the_brief_replaces_itself_and_nothing_else(tmp_path, capsys):
    record, out, letter = made(tmp_path).path, tmp_path / "brief.pdf", tmp_path / "letter.pdf"
    letter.write_bytes(b"%PDF-1.7 from the owner")
    assert main(["brief", str(record), str(out)]) == 0
    first = out.read_bytes()
    assert main(["brief", str(record), str(out)]) == 0
    assert out.read_bytes()[:8] == first[:8]
    assert main(["brief", str(record), str(letter)]) == 2
    assert "letter.pdf: found something that is no print" in capsys.readouterr().err
    assert letter.read_bytes() == b"%PDF-1.7 from the owner"
