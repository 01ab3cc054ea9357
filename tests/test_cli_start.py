"""`bodymap start`: a record from nothing, and nothing lost on the way out and in again."""

from __future__ import annotations

import json

import pytest

from bodymap.cli import main
from bodymap.exchange.open_folder import read_folder
from bodymap.geometry.starting_shapes import SHAPES
from bodymap.store.record_file import RecordFile


def test_without_a_shape_it_is_the_vehicle_and_empty_drawings(tmp_path, capsys):
    path = tmp_path / "cart.gpkg"
    assert main(["start", str(path), "--vehicle", "Ice cart “No. 3”", "--by", "A. Smith"]) == 0
    record = RecordFile(path).record()
    assert (record.vehicle.name, record.vehicle.vehicle_id) == ("Ice cart “No. 3”", "ice-cart-no-3")
    assert list(record.drawing) == ["left", "right", "front", "rear", "roof"]
    assert all(drawing.schematic for drawing in record.drawings)
    assert (record.zones, record.parts) == ((), ())
    assert {entry.by for entry in RecordFile(path).journal()} == {"A. Smith"}
    assert "0 zones" in capsys.readouterr().out


@pytest.mark.parametrize("shape", SHAPES)
def test_a_shape_goes_out_and_comes_in_again_without_loss(tmp_path, capsys, shape):
    first, folder, second = tmp_path / "a.gpkg", tmp_path / "out", tmp_path / "b.gpkg"
    assert main(["start", str(first), "--vehicle", "Test", "--shape", shape, "--substrate", "steel"]) == 0
    assert main(["verify", str(first)]) == 0
    assert main(["write-out", str(first), str(folder)]) == 0
    assert main(["take-in", str(folder), str(second)]) == 0
    assert RecordFile(second).record() == RecordFile(first).record()
    content = read_folder(folder)
    assert content.record == RecordFile(first).record()
    assert content.notes == ()
    capsys.readouterr()
    assert main(["areas", str(first), "--json"]) == 0
    areas = json.loads(capsys.readouterr().out)
    assert all(zone["estimate"] for zone in areas["zones"].values())
    assert areas["totals"]["drawn_mm2"] > 0


def test_measures_are_taken_and_doubts_told(tmp_path, capsys):
    path = tmp_path / "van.gpkg"
    sizes = ["--length-mm", "4700", "--wheelbase-mm", "2750", "--height-mm", "2000", "--width-mm", "1700"]
    assert main(["start", str(path), "--vehicle", "Van", "--shape", "van", *sizes]) == 0
    told = capsys.readouterr().err
    assert "schematic" in told
    assert "--substrate" in told
    record = RecordFile(path).record()
    assert {part.substrate for part in record.parts} == {"other"}
    centre = {datum.datum_id: datum.shape.coordinates for datum in record.datums}
    assert centre["dt_left_wheel_rear"][0] - centre["dt_left_wheel_front"][0] == pytest.approx(2750, abs=0.2)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--shape", "boat"], "allowed: two_box"),
        (["--shape", "van", "--length-mm", "400"], "length_mm: found 400 mm"),
        (["--length-mm", "4000", "--substrate", "steel"], "substrate: found steel and no shape"),
        (["--shape", "van", "--length-mm", "nan"], "length_mm: found nan"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_written(tmp_path, capsys, more, words):
    path = tmp_path / "x.gpkg"
    assert main(["start", str(path), "--vehicle", "Van", *more]) == 2
    assert words in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_blank_name_and_a_place_that_is_taken_are_told(tmp_path, capsys):
    path = tmp_path / "x.gpkg"
    assert main(["start", str(path), "--vehicle", " "]) == 2
    assert "found a blank" in capsys.readouterr().err
    assert main(["start", str(path), "--vehicle", "Van"]) == 0
    before = path.read_bytes()
    assert main(["start", str(path), "--vehicle", "Other"]) == 2
    assert path.read_bytes() == before
