"""The hand-over screen without a browser: the file, its figures, the history of entries, the record out and verified."""

from __future__ import annotations

import io
import json
import sqlite3
import sys
import zipfile
from typing import ClassVar

import pytest
from streamlit.testing.v1 import AppTest

from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.progress import silent
from bodymap.store.record_file import Put, RecordFile
from dashboard import loaders
from dashboard.components.hand_over_state import HandOver
from dashboard.loaders import hand_over

from .running import choose, key_of, opened, press, tables, whole, words
from .small import AT, small_record
from .test_long_work import stop_all

LATER = "2026-02-01T00:00:00.000Z"
STATE = key_of(HandOver)


def screen(by: str = "Ann", **said) -> AppTest:
    """The screen, run once, with its state begun as `said`."""
    return opened("screens/hand_over.py", HandOver(**said), by=by)


def downloads(at: AppTest) -> dict[str, str]:
    return {one.key: one.label for one in at.download_button}


def unpacked(data: bytes) -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(data))


def amend(path, **said) -> None:
    area = small_record().areas[0].model_copy(update=said)
    RecordFile(path).append([Put(area)], by="Ben", why="measured again", at=LATER, expect=None)


def test_the_figures_owners_ask_first_are_those_on_paper(record_path):
    at = screen()
    # Kept 200 × 60 mm of 4.218 m² drawn; true 4.278 m² with the door at 1.05.
    assert [metric.value.replace("\u00a0", " ") for metric in at.metric][:2] == ["≈ 0.3 %", "≈ 0.3 %"]
    assert "0.012 m² of 4.28 m²" in words(at)
    assert RecordFile(record_path).head().hash in [one.value for one in at.code]
    assert "hand_over_zip" not in downloads(at), "nothing is made before it is asked for"


def test_retained_finish_is_told_by_part(record_path):
    at = screen(side="retained")
    (kept, bare, _) = (one.value.astype(str).to_string().replace("\u00a0", " ") for one in at.table[:3])
    assert "The whole vehicle" in kept
    assert "0.4 %" in kept, "120 cm² of 3.018 m² of the side"
    assert "Door" in bare
    assert "1.26 m²" in bare
    assert "No edge is made again" in words(at)


def test_who_hands_over_has_to_be_said(record_path):
    at = screen(by="")
    press(at, "make_file")
    assert "who hands over" in at.warning[0].value
    assert "hand_over_zip" not in downloads(at)


def test_the_file_is_made_as_the_command_makes_it_and_stays_while_the_record_does(record_path):
    before = RecordFile(record_path).head()
    at = screen()
    press(at, "make_file")
    assert "hand_over_zip" in downloads(at)
    assert before.short in words(at)
    assert RecordFile(record_path).head() == before, "handing over writes nothing into the record"
    asked = at.session_state[STATE].made
    file = hand_over.made(loaders.opened(), asked.by, asked.at, asked.what)
    with unpacked(file.packed) as bundle:
        assert {"hand-over.pdf", "index.html", "record/vehicle.csv", "manifest.csv"} <= set(bundle.namelist())
        assert bundle.read("hand-over.pdf").startswith(b"%PDF")
    at.toggle(key="hand_over_look").set_value(True).run()
    whole(at)
    assert "pages**, as printed" in words(at)
    amend(record_path, margin=80.0)
    at.run()
    assert "hand_over_zip" not in downloads(at)
    assert "grown since" in words(at)


def test_the_same_moment_gives_the_same_bytes(record_path):
    now = loaders.opened()
    first = hand_over.made(now, "Ann", AT, "usual").packed
    hand_over.made.clear()
    assert hand_over.made(now, "Ann", AT, "usual").packed == first


def test_without_names_no_name_is_in_the_file(record_path):
    amend(record_path, reason="as Ben saw it")
    at = screen(by="Quintilla")
    choose(at, "Persons and pictures", "nameless")
    press(at, "make_file")
    asked = at.session_state[STATE].made
    with unpacked(hand_over.made(loaders.opened(), asked.by, asked.at, asked.what).packed) as bundle:
        texts = [bundle.read(name) for name in bundle.namelist() if name.endswith((".csv", ".geojson", ".html", ".txt"))]
    assert texts
    assert not [text for text in texts if b"Quintilla" in text or b"Ben " in text]


def test_entries_are_listed_newest_first_and_filtered(record_path):
    amend(record_path, margin=80.0)
    at = screen(side="entries")
    rows = at.dataframe[0].value
    assert list(rows["No."]) == list(range(len(RecordFile(record_path).journal()), 0, -1))
    assert rows["What"][0] == "area K1 “Witness”: amended: margin"
    assert rows["Hash"][0] == RecordFile(record_path).head().hash[:12]
    next(one for one in at.selectbox if one.label == "By").select("Ben").run()
    assert list(at.dataframe[0].value["By"]) == ["Ben"]
    next(one for one in at.selectbox if one.label == "By").select("").run()
    next(one for one in at.text_input if one.label == "Id, name or reason").input("k1").run()
    assert len(at.dataframe[0].value) == 2
    assert f"2 of {len(rows)} entries" in words(at)


def test_two_entries_of_one_thing_are_held_against_each_other(record_path):
    amend(record_path, margin=80.0)
    amend(record_path, margin=80.0, name="Witness, upper")
    last = RecordFile(record_path).head().count
    first = next(one.seq for one in RecordFile(record_path).journal() if one.kind == "area")
    at = screen(side="entries", entry=last)
    assert RecordFile(record_path).head().hash in at.code[0].value
    changes = at.table[0].value.astype(str).to_string()
    assert "Witness, upper" in changes
    assert "80" not in changes, "only the name changed with the last entry"
    next(one for one in at.selectbox if one.label == "Compared with").select(first).run()
    whole(at)
    changes = at.table[0].value.astype(str)
    assert list(changes.columns[1:]) == [f"Entry {first}", f"Entry {last}"]
    assert "50" in changes.to_string()
    assert "80" in changes.to_string()


def test_what_the_record_says_is_never_read_as_markup_in_its_history(record_path):
    amend(record_path, name="**<b>x</b>** $y$")
    at = screen(side="entries", entry=RecordFile(record_path).head().count)
    shown = [one.value for one in (*at.subheader, *at.markdown)]
    assert not [value for value in shown if "<b>x" in value or "**<" in value]


def test_the_open_folder_that_is_taken_out_holds_the_same_record(record_path, tmp_path):
    at = screen(side="out")
    assert "save_taken" not in downloads(at)
    press(at, "write_out")
    assert "save_taken" in downloads(at)
    file = hand_over.taken_out(loaders.opened(), "folder", at.session_state[STATE].taken.at)
    with unpacked(file.data) as bundle:
        bundle.extractall(tmp_path / "out")
    content = read_folder(tmp_path / "out")
    assert content.record == RecordFile(record_path).record()
    assert content.journal == RecordFile(record_path).journal()


def test_a_backup_is_a_record_that_is_whole(record_path, tmp_path):
    file = hand_over.taken_out(loaders.opened(), "backup", AT)
    with unpacked(file.data) as bundle:
        bundle.extractall(tmp_path / "copy")
    copy = RecordFile(tmp_path / "copy" / record_path.name)
    assert copy.verify() == ()
    assert copy.head() == RecordFile(record_path).head()


def test_tables_and_zones_are_what_they_say(record_path):
    with unpacked(hand_over.taken_out(loaders.opened(), "tables", AT).data) as bundle:
        assert "xl/workbook.xml" in bundle.namelist()
    zones = json.loads(hand_over.taken_out(loaders.opened(), "zones", AT).data)
    assert [one["properties"]["drawn_mm2"] for one in zones["features"]] == [1.2e6, 2.4e6, 0.6e6, 18e3]


def test_verifying_reads_the_disk_and_takes_a_printed_head(record_path):
    head = RecordFile(record_path).head()
    at = screen(side="out", head=head.short)
    press(at, "verify_now")
    assert "The printed head is in its journal" in at.success[0].value
    at = screen(side="out", head="4·0123456789ab")
    press(at, "verify_now")
    assert "written anew" in words(at)
    at = screen(side="out", head="nonsense")
    press(at, "verify_now")
    assert "count and hash as printed" in words(at)
    with sqlite3.connect(record_path) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE journal SET why = 'another reason' WHERE seq = 3")
    connection.close()
    at = screen(side="out")
    press(at, "verify_now")
    assert any("Not whole" in error.value for error in at.error)
    assert "entry 3" in words(at)


class StoppedOnce(RecordFile):
    """A record file of which the first check, and the first copy, is stopped by hand as soon as it is begun."""

    begun: ClassVar[list[str]] = []

    def _begin(self, what, step):
        self.begun.append(what)
        if self.begun.count(what) == 1:
            stop_all()
            step("Reading the entries", 0.5)

    def verify(self, head=None, step=silent):
        self._begin("check", step)
        return super().verify(head, step)

    def backup(self, copy, step=silent):
        self._begin("copy", step)
        super().backup(copy, step)


def test_a_check_and_a_copy_are_stopped_and_begun_again(record_path, monkeypatch):
    monkeypatch.setattr(hand_over, "RecordFile", StoppedOnce)
    monkeypatch.setattr(StoppedOnce, "begun", [])
    at = screen(side="out", what="backup")
    press(at, "verify_now")
    assert [info.value for info in at.info] == ["Stopped; nothing was written."]
    assert not at.success
    at.run()
    assert StoppedOnce.begun == ["check"], "it stays stopped until it is asked for"
    press(at, "again_verified")
    assert not at.info
    assert "Whole: file, entries, chain and pictures" in at.success[0].value
    press(at, "write_out")
    assert "save_taken" not in downloads(at)
    press(at, "again_taken_out")
    assert "save_taken" in downloads(at)
    assert "Whole:" in at.success[0].value, "what was found stays"
    assert StoppedOnce.begun == ["check", "check", "copy", "copy"], "and is not looked for again"
    press(at, "verify_now")
    assert StoppedOnce.begun[4:] == ["check"], "unless that is asked for: each check reads the disk"


@pytest.mark.parametrize("side", ["make", "retained", "entries", "out"])
def test_an_open_folder_has_every_side_but_no_backup(tmp_path, monkeypatch, side):
    folder = tmp_path / "van"
    write_folder(folder, small_record(), (), {})
    monkeypatch.setattr(sys, "argv", ["app.py", str(folder)])
    at = screen(side=side)
    if side == "out":
        (what,) = (one for one in at.button_group if one.label == "What")
        assert len(what.options) == 3
    if side == "entries":
        assert "no journal" in words(at)
    if side == "retained":
        assert "The whole vehicle" in tables(at)
