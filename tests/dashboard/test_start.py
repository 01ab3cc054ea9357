"""Start a record: nothing is written before it is asked for, and what was typed is never lost."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from bodymap.cli import main
from bodymap.store.record_file import RecordFile

from .running import APP, by_label, press, whole, words


@pytest.fixture
def new_path(tmp_path, monkeypatch) -> Path:
    path = tmp_path / "new.gpkg"
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    return path


def started() -> AppTest:
    at = AppTest.from_file(str(APP), default_timeout=60).run()
    whole(at)
    return at


def begin(at: AppTest, name: str = "Ice cart", by: str = "Ann") -> AppTest:
    by_label(at.text_input, "What the vehicle is called *").input(name).run()
    by_label(at.text_input, "By (your name) *").input(by).run()
    return at


def test_nothing_is_written_before_the_button(new_path):
    at = begin(started())
    at.button(key="start_shape_van").click().run()
    assert list(new_path.parent.iterdir()) == []
    assert "new.gpkg" in words(at)


def test_name_and_signature_are_asked_for_and_nothing_is_made(new_path):
    at = press(started(), "start_record")
    assert "what the vehicle is called and your name" in words(at)
    assert list(new_path.parent.iterdir()) == []


def test_without_a_shape_the_drawings_are_shown_next(new_path):
    at = press(begin(started()), "start_record")
    record = RecordFile(new_path).record()
    assert (record.vehicle.name, len(record.drawings), record.zones) == ("Ice cart", 5, ())
    assert {entry.by for entry in RecordFile(new_path).journal()} == {"Ann"}
    assert any(box.label == "Drawing" for box in at.selectbox), "Drawings and zones is shown"


def test_a_shape_at_a_size_with_all_that_is_known(new_path):
    at = begin(started())
    at.button(key="start_shape_van").click().run()
    by_label(at.number_input, "Length over all, mm").set_value(4700.0).run()
    by_label(at.selectbox, "Its parts are of").select("steel").run()
    by_label(at.text_input, "Maker").input("our own").run()
    at = press(at, "start_record")
    record = RecordFile(new_path).record()
    assert record.vehicle.maker == "our own"
    assert record.vehicle.owner is None
    assert {part.substrate for part in record.parts} == {"steel"}
    assert all(drawing.schematic for drawing in record.drawings)
    spots = [x for shape in record.outline if shape.drawing_id == "left"
             for ring in shape.shape.rings() for x, _ in ring]  # fmt: skip
    assert max(spots) - min(spots) == pytest.approx(4700, rel=5e-3)  # the bumpers round off


def test_a_size_no_shape_can_have_is_told_and_what_was_typed_stays(new_path):
    at = begin(started())
    at.button(key="start_shape_van").click().run()
    by_label(at.number_input, "Length over all, mm").set_value(90_000.0).run()
    at = press(at, "start_record")
    assert "allowed" in words(at)
    assert list(new_path.parent.iterdir()) == []
    assert by_label(at.text_input, "What the vehicle is called *").value == "Ice cart"


def test_a_file_that_came_meanwhile_is_not_written_over(new_path):
    first, second = begin(started()), begin(started(), "Second", "Ben")
    press(first, "start_record")
    head = RecordFile(new_path).head()
    press(second, "start_record")
    assert RecordFile(new_path).head() == head
    assert "Ice cart" in words(second)


@pytest.mark.parametrize(
    ("name", "opens"), [("new.gpkg", True), ("new.sqlite", False), ("none/new.gpkg", False)], ids=["new", "suffix", "folder"]
)
def test_open_allows_a_record_that_is_not_there_yet(tmp_path, monkeypatch, capsys, name, opens):
    asked = []
    monkeypatch.setattr("dashboard.serve.serve", lambda path, **_: asked.append(path) or 0)
    assert main(["open", str(tmp_path / name)]) == (0 if opens else 2)
    assert bool(asked) == opens
    assert list(tmp_path.iterdir()) == []
