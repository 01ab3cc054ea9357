"""Everything wrong is named with file, row, column, what was found and what is allowed; all of it at once; nothing twice."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.exchange import open_folder, plain_text, tables
from bodymap.exchange.open_folder import read_folder, write_folder
from tests.folders import BARE, box, rows, tank, write_case


def faults_of(folder):
    with pytest.raises(Faults) as caught:
        read_folder(folder)
    return caught.value.faults


def with_cell(file, row, column, value):
    """The tank with one cell (row 2 is the first) or property (feature 1 is the first) changed."""
    files = tank()
    entry = files[file][row - (1 if file.endswith(".geojson") else 2)]
    if value is None:
        del entry[column]
    else:
        entry[column] = value
    return files


ID = "1–64 of A-Z a-z 0-9 _ -"
HOLE_OUT = {"type": "Polygon", "coordinates": [box(0, 0, 10, 10)["coordinates"][0], box(20, 20, 2, 2)["coordinates"][0]]}
BOW_TIE = {"type": "Polygon", "coordinates": [[[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]]]}
FLAT = {"type": "Polygon", "coordinates": [[[0, 0], [10, 0], [20, 0], [0, 0]]]}
OPEN_RING = {"type": "Polygon", "coordinates": [[[0, 0], [10, 0], [10, 10], [0, 10]]]}
BOXED = {"type": "GeometryCollection", "geometries": [{"type": "Point", "coordinates": [1, 2], "bbox": [1, 2, 1, 2]}]}
SHORT_RING = {"type": "Polygon", "coordinates": [[[0, 0], [10, 0], [0, 0]]]}

CELLS = [
    # one cell on its own
    ("vehicle.csv", 2, "vehicle_id", "my tank", "'my tank'", ID),
    ("vehicle.csv", 2, "vehicle_id", "t" * 65, "'ttt", ID),
    ("vehicle.csv", 2, "name", "", "a blank", "text"),
    ("drawings.csv", 2, "kind", "inside", "'inside'", "outside or hidden"),
    ("drawings.csv", 2, "kind", "", "a blank", "outside or hidden"),
    ("drawings.csv", 2, "scale", "1:10", "'1:10'", "measured or schematic"),
    ("parts.csv", 2, "removable", "maybe", "'maybe'", "yes or no"),
    ("parts.csv", 2, "removable", "Yes", "'Yes'", "yes or no"),
    ("parts.csv", 2, "removable", "", "a blank", "yes or no"),
    ("parts.csv", 2, "substrate", "tin", "'tin'", "steel or aluminium or grp or other"),
    ("coats.csv", 2, "colour", "red", "'red'", "#rrggbb"),
    ("coats.csv", 2, "um_low", "12,5", "'12,5'", "number"),
    ("coats.csv", 2, "um_low", "nan", "'nan'", "number"),
    ("coats.csv", 2, "um_low", "inf", "'inf'", "number"),
    ("coats.csv", 2, "um_low", "1e999", "'1e999'", "number"),
    ("coats.csv", 2, "um_low", "1_0", "'1_0'", "number"),
    ("coats.csv", 2, "um_low", "0x10", "'0x10'", "number"),
    ("coats.csv", 2, "um_low", "١", "'١'", "number"),
    ("coats.csv", 2, "um_low", "-1", "'-1'", "0 or greater"),
    ("stacks.csv", 2, "x", "1e8", "1e+08 mm", "10000000"),
    ("stacks.csv", 2, "date", "2026-02-30", "'2026-02-30'", "a day that exists"),
    ("stacks.csv", 2, "date", "1.3.2026", "'1.3.2026'", "ISO 8601"),
    ("layers.csv", 2, "position", "1.5", "'1.5'", "a whole number"),
    ("layers.csv", 2, "position", "0", "'0'", "1 or greater"),
    ("layers.csv", 2, "position", "9" * 30, "'999", "a whole number"),
    ("layers.csv", 3, "interface", "dirt;mud", "'dirt;mud'", "dirt, scratch, gloss, no_bond, faded"),
    ("layers.csv", 3, "interface", "dirt;;scratch", "'dirt;;scratch'", "with ; between"),
    ("steps.csv", 4, "target", "rim;rim", "'rim;rim'", "each id once"),
    ("steps.csv", 2, "action", "polish", "'polish'", "remove or fit or mask or unmask or strip or coat"),
    ("sources.csv", 2, "sha256", "abc", "'abc'", "64 of 0-9 a-f"),
    ("sources.csv", 2, "file", "../left.jpg", "'../left.jpg'", "a plain file name under media/"),
    ("zones.geojson", 1, "face", "front", "'front'", "outer or back"),
    ("zones.geojson", 1, "face", None, "a blank", "outer or back"),
    ("zones.geojson", 1, "surface_ratio", "1.1", "'1.1'", "a number greater than 0"),
    ("zones.geojson", 1, "surface_ratio", 0, "0", "a number greater than 0"),
    ("zones.geojson", 1, "name", 7, "7", "text"),
    ("areas.geojson", 1, "margin", 1e154, "1e+154", "a number of mm from 0 to 10000"),
    ("areas.geojson", 1, "margin", -1, "-1", "a number of mm from 0 to 10000"),
    ("findings.geojson", 1, "severity", 6, "6", "a whole number from 1 to 5"),
    ("findings.geojson", 1, "severity", 2.5, "2.5", "a whole number from 1 to 5"),
    ("findings.geojson", 1, "severity", True, "true", "a whole number from 1 to 5"),
    # geometry
    ("zones.geojson", 1, "geometry", None, "no geometry", "a Polygon or MultiPolygon"),
    ("zones.geojson", 1, "geometry", {"type": "Point", "coordinates": [1, 2]}, "a Point", "a Polygon or MultiPolygon"),
    ("lines.geojson", 1, "geometry", box(0, 0, 5, 5), "a Polygon", "a LineString or MultiLineString"),
    ("datums.geojson", 1, "geometry", box(0, 0, 5, 5), "a Polygon", "a Point or LineString"),
    ("zones.geojson", 1, "geometry", {"type": "Circle", "radius": 3}, "'Circle'", "a Polygon or MultiPolygon"),
    ("zones.geojson", 1, "geometry", [1, 2], "[1, 2]", "a GeoJSON geometry object"),
    ("zones.geojson", 1, "geometry", BOW_TIE, "crosses itself at (5, 5)", "a Polygon or MultiPolygon with a boundary that"),
    ("areas.geojson", 1, "geometry", BOW_TIE, "crosses itself at (5, 5)", "a Polygon or MultiPolygon"),
    ("findings.geojson", 1, "geometry", BOW_TIE, "crosses itself at (5, 5)", "any GeoJSON geometry"),
    ("zones.geojson", 1, "geometry", FLAT, "", "a Polygon or MultiPolygon"),
    ("zones.geojson", 1, "geometry", HOLE_OUT, "hole", "a Polygon or MultiPolygon"),
    (
        "zones.geojson",
        1,
        "geometry",
        OPEN_RING,
        "not where it begins",
        "rings of four or more positions that end where they begin",
    ),
    ("zones.geojson", 1, "geometry", SHORT_RING, "four or more positions", "a Polygon or MultiPolygon"),
    ("zones.geojson", 1, "geometry", box(0, 0, 2e7, 10), "2e+07 mm", "10000000"),
    (
        "datums.geojson",
        1,
        "geometry",
        {"type": "Point", "coordinates": [1, 2, 3]},
        "two numbers [x, y] in mm; found [1, 2, 3]",
        "a Point or LineString",
    ),
    ("datums.geojson", 1, "geometry", {"type": "LineString", "coordinates": [[1, 2]]}, "two or more positions", "a Point"),
    # ids that lead nowhere
    ("drawings.csv", 3, "mirror_of", "lft", "'lft'", "a drawing_id of drawings.csv (left, right)"),
    ("drawings.csv", 3, "mirror_of", "right", "the drawing itself", "its left-right twin"),
    ("outline.geojson", 2, "drawing_id", "lft", "'lft'", "a drawing_id of drawings.csv"),
    ("parts.csv", 3, "first_coat", "gray", "'gray'", "a coat_id of coats.csv (grey, red)"),
    ("zones.geojson", 2, "drawing_id", "lft", "'lft'", "a drawing_id of drawings.csv"),
    ("zones.geojson", 2, "part_id", "shel", "'shel'", "a part_id of parts.csv (lid, shell)"),
    ("covers.csv", 2, "part_id", "cap", "'cap'", "a part_id of parts.csv"),
    ("covers.csv", 2, "zone_id", "rims", "'rims'", "a zone_id of zones.geojson"),
    ("datums.geojson", 1, "drawing_id", "lft", "'lft'", "a drawing_id of drawings.csv"),
    ("coats.csv", 2, "looks_like", "grey;gray", "'gray'", "a coat_id of coats.csv"),
    ("coats.csv", 2, "um_high", "10", "15", "at most um_high, 10"),
    ("stacks.csv", 2, "zone_id", "shell", "'shell'", "a zone_id of zones.geojson"),
    ("layers.csv", 4, "stack_id", "s3", "'s3'", "a stack_id of stacks.csv (s1, s2)"),
    ("layers.csv", 4, "coat_id", "blue", "'blue'", "a coat_id of coats.csv"),
    ("areas.geojson", 1, "drawing_id", "lft", "'lft'", "a drawing_id"),
    ("findings.geojson", 2, "drawing_id", "lft", "'lft'", "a drawing_id"),
    ("lines.geojson", 1, "drawing_id", "lft", "'lft'", "a drawing_id"),
    ("readings.csv", 2, "zone_id", "lid", "'lid'", "a zone_id"),
    ("readings.csv", 2, "phase", "before", "'before'", "as found, after strip or a coat_id of coats.csv"),
    ("sources.csv", 2, "about", "tank;wheel", "'wheel'", "an id of this record"),
    ("sources.csv", 2, "file", "right.jpg", "'right.jpg', which is not there", "a file under media/"),
    ("goals.csv", 2, "zone_id", "lid", "'lid'", "a zone_id"),
    ("goals.csv", 2, "coat_id", "blue", "'blue'", "a coat_id"),
    ("signoffs.csv", 3, "subject", "wheel", "'wheel'", "an id of this record, or vehicle"),
    # steps
    ("steps.csv", 2, "target", "", "remove without a target", "a part_id of parts.csv"),
    ("steps.csv", 3, "target", "", "mask without a target", "an area_id of areas.geojson"),
    ("steps.csv", 4, "target", "", "strip without a target", "a zone_id of zones.geojson"),
    ("steps.csv", 2, "target", "shell", "not removable", "removable is yes"),
    ("steps.csv", 6, "parts", "shell", "not removable", "removable is yes"),
    ("steps.csv", 2, "target", "rim", "'rim'", "for remove: a part_id"),
    ("steps.csv", 3, "target", "rim", "'rim'", "for mask: an area_id"),
    ("steps.csv", 3, "target", "witness;lettering", "2 targets of one mask", "one: an area_id"),
    ("steps.csv", 4, "target", "rim;lid", "'lid'", "for strip: a zone_id"),
    ("steps.csv", 5, "target", "rim", "'rim'", "for coat: a coat_id"),
    ("steps.csv", 6, "parts", "lid;only", "'only'", "only stands first or not at all"),
    # keys twice
    ("coats.csv", 3, "coat_id", "red", "'red' again, first in row 2", "each coat_id once"),
    ("zones.geojson", 3, "zone_id", "rim", "'rim' again, first in feature 2", "each zone_id once"),
    ("layers.csv", 3, "position", "1", "'s1/1' again, first in row 2", "each stack_id + position once"),
    ("goals.csv", 3, "position", "1", "'shell_left/1' again", "each zone_id + position once"),
    ("steps.csv", 3, "step", "1", "'1' again, first in row 2", "each step once"),
    # settings
    ("settings.csv", 2, "value", "lots", "'lots'", "a number from 5 to 90"),
    ("settings.csv", 2, "value", "2", "'2'", "a number from 5 to 90"),
    ("settings.csv", 2, "basis", "guess", "'guess'", "standard or data sheet or common practice or own trial"),
]


@pytest.mark.parametrize(
    ("file", "row", "column", "value", "found", "allowed"), CELLS, ids=[f"{c[0]}-{c[2]}-{str(c[3])[:20]!a}" for c in CELLS]
)
def test_one_wrong_value_is_one_fault_in_its_place(tmp_path, file, row, column, value, found, allowed):
    here = [
        fault
        for fault in faults_of(write_case(tmp_path / "in", with_cell(file, row, column, value)))
        if (fault.file, fault.row) == (file, row)
    ]
    (fault,) = here
    assert column in fault.column.split(" + ") or (column, fault.column) == ("um_high", "um_low")
    assert found in fault.found
    assert allowed in fault.allowed


# A key that was changed is gone under its old name, so what refers to the old name is wrong as well; all others stand alone.
ALONE = [case for case in CELLS if case[2] not in ("drawing_id", "zone_id", "vehicle_id", "coat_id", "step")]


@pytest.mark.parametrize("case", ALONE, ids=lambda c: f"{c[0]}-{c[2]}-{str(c[3])[:20]!a}")
def test_one_wrong_value_makes_no_other_row_wrong(tmp_path, case):
    assert len(faults_of(write_case(tmp_path / "in", with_cell(*case[:4])))) == 1


def test_the_message_says_file_row_thing_column_found_and_allowed(tmp_path):
    folder = write_case(tmp_path / "in", with_cell("zones.geojson", 2, "face", "front"))
    with pytest.raises(Faults) as error:
        read_folder(folder)
    assert "zones.geojson, feature 2 (rim), face: found 'front'; allowed: outer or back or flange" in str(error.value)
    assert "1 fault, nothing was written" in str(error.value)


def test_all_faults_of_all_files_come_at_once_in_file_and_row_order(tmp_path):
    files = tank()
    files["readings.csv"][1]["um"] = "thick"
    files["readings.csv"][0]["principle"] = "laser"
    files["readings.csv"][0]["um"] = ""
    files["coats.csv"][0]["kind"] = "wax"
    files["zones.geojson"][0]["face"] = "front"
    files["zones.geojson"][3]["geometry"] = BOW_TIE
    files["goals.csv"][0]["zone_id"] = "nowhere"
    files["vehicle.csv"] = [{"vehicle_id": "tank", "name": ""}]
    found = [(fault.file, fault.row, fault.column) for fault in faults_of(write_case(tmp_path / "in", files))]
    assert found == [
        ("vehicle.csv", 2, "name"),
        ("zones.geojson", 1, "face"),
        ("zones.geojson", 4, "geometry"),
        ("coats.csv", 2, "kind"),
        ("readings.csv", 2, "um"),
        ("readings.csv", 2, "principle"),
        ("readings.csv", 3, "um"),
        ("goals.csv", 2, "zone_id"),
    ]


def test_what_refers_to_a_row_that_could_not_be_read_is_no_fault_of_its_own(tmp_path):
    files = tank()
    files["coats.csv"][1]["colour"] = "grey"  # parts, layers, readings, goals and steps refer to this coat
    files["layers.csv"][0]["coat_id"] = "blue"  # and this one leads nowhere
    found = [(fault.file, fault.row, fault.column) for fault in faults_of(write_case(tmp_path / "in", files))]
    assert found == [("coats.csv", 3, "colour"), ("layers.csv", 2, "coat_id")]


def test_a_file_that_could_not_be_read_at_all_makes_no_reference_to_it_a_fault(tmp_path):
    faults = faults_of(write_case(tmp_path / "in", tank() | {"coats.csv": b"\xff\xfe\x00", "zones.geojson": "{"}))
    assert [fault.file for fault in faults] == ["zones.geojson", "coats.csv"]


@pytest.mark.parametrize(("ident", "found"), [("", "a blank"), ("gr ey", "'gr ey'")])
def test_a_row_without_a_usable_id_may_be_the_one_that_others_mean(tmp_path, ident, found):
    faults = faults_of(write_case(tmp_path / "in", with_cell("coats.csv", 3, "coat_id", ident)))
    assert [(fault.file, fault.row, fault.found) for fault in faults] == [("coats.csv", 3, found)]


def test_a_row_that_is_wrong_and_has_a_key_that_stands_already_is_told_both(tmp_path):
    files = tank()
    files["parts.csv"][1] |= {"part_id": "shell", "substrate": "tin"}
    faults = [fault for fault in faults_of(write_case(tmp_path / "in", files)) if fault.file == "parts.csv"]
    assert [(fault.row, fault.column) for fault in faults] == [(3, "substrate"), (3, "part_id")]


# --- whatever comes ----------------------------------------------------------------------------------------------------


PIECES = [
    b'"',
    b",",
    b"\n",
    b"\r",
    b"\x00",
    b"[",
    b"]",
    b"{",
    b"}",
    b":",
    b";",
    b"-",
    b"9",
    b"e9",
    b"null",
    b"NaN",
    b"\xef\xbb\xbf",
    b"shell",
    b"\\u0000",
    b"yes",
]
BYTES = st.binary(max_size=4) | st.sampled_from(PIECES)


def content_or_faults(folder):
    try:
        return read_folder(folder), None
    except Faults as error:
        return None, error


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_damaged_bytes_give_faults_or_a_record_that_comes_back_the_same(data):
    with tempfile.TemporaryDirectory() as place:
        folder = write_case(Path(place) / "in", tank())
        name = data.draw(st.sampled_from([name for name in tank() if not name.startswith("media")]))
        whole = (folder / name).read_bytes()
        for _ in range(data.draw(st.integers(1, 3))):
            at = data.draw(st.integers(0, len(whole)))
            whole = whole[:at] + data.draw(BYTES) + whole[at + data.draw(st.integers(0, 5)) :]
        (folder / name).write_bytes(whole)
        content, error = content_or_faults(folder)
        if error:
            assert all(fault.file and fault.found and fault.allowed for fault in error.faults)
            assert all(line.isprintable() for line in str(error).splitlines())
        else:
            write_folder(Path(place) / "out", content.record, (), content.media)
            assert read_folder(Path(place) / "out").record == content.record


# --- the vehicle and the folder ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("files", "row", "found"),
    [
        ({}, 0, "no such file"),
        ({"vehicle.csv": "vehicle_id,name\n"}, 0, "no row"),
        ({"vehicle.csv": "vehicle_id,name\na,b\nc,d\n"}, 3, "another vehicle"),
        ({"vehicle.csv": "vehicle_id,name\na,b\n\nc,d\n,,\n"}, 4, "another vehicle"),
    ],
)
def test_one_vehicle(tmp_path, files, row, found):
    faults = faults_of(write_case(tmp_path / "in", files))
    assert (faults[0].file, faults[0].row, faults[0].found) == ("vehicle.csv", row, found)


def test_no_folder_or_a_file_in_its_place(tmp_path):
    (fault,) = faults_of(tmp_path / "nowhere")
    assert (fault.file, fault.found, fault.allowed) == ("nowhere", "no such folder", "an open folder")
    (tmp_path / "file").write_text("x")
    (fault,) = faults_of(tmp_path / "file")
    assert (fault.file, fault.found) == ("file", "a file")
    assert issubclass(Faults, BodymapError)


# --- CSV --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "row", "column", "found", "allowed"),
    [
        (b"", 0, "", "no header row", "coat_id, name, kind"),
        ("coat_id,name,kind\nc,Ö,etch\n".encode("latin-1"), 0, "", "byte 0xd6 at position 20 (line 2)", "UTF-8"),
        (b"\xef\xbb\xbfcoat_id,name,kind\nc,\xd6,etch\n", 0, "", "byte 0xd6 at position 23 (line 2)", "UTF-8"),
        (b"coat_id,name,kind\nc,\x00,etch\n", 0, "", "NUL byte at position 20 (line 2)", "without NUL"),
        ("coat_id,name,kind\nc,x\n", 2, "", "2 cells", "3 cells, as in the header"),
        ("coat_id,name,kind\n\nc,x,etch,more\n", 3, "", "4 cells", "3 cells"),
        ('coat_id,name,kind\nc,"x,etch\n', 2, "", "unexpected end of data", "quotes in pairs"),
        ('coat_id,name,kind\nc,"x"y,etch\n', 2, "", "expected after", "quotes in pairs"),
        ("coat_id,name,kind,name\nc,x,etch,y\n", 1, "name", "'name' again over column 4", "each column once"),
        ("coat_id,name,kind,\nc,x,etch,y\n", 1, "", "no name over column 4", "a name over every column"),
        ("coat_id,kind\nc,etch\n", 1, "name", "no such column", "coat_id, name, kind"),
        ("coat_id;name;kind\nc;x;etch\n", 1, "", "';' between", "a comma between"),
    ],
)
def test_a_csv_file_that_is_none(tmp_path, text, row, column, found, allowed):
    (fault,) = faults_of(write_case(tmp_path / "in", BARE | {"coats.csv": text}))
    assert (fault.file, fault.row, fault.column) == ("coats.csv", row, column)
    assert found in fault.found
    assert allowed in fault.allowed


def test_rows_before_a_quote_that_does_not_end_are_checked_as_well(tmp_path):
    text = 'coat_id,name,kind\nc,x,wax\nd,"y,etch\n'
    faults = faults_of(write_case(tmp_path / "in", BARE | {"coats.csv": text}))
    assert [(fault.row, fault.column) for fault in faults] == [(2, "kind"), (3, "")]


def test_a_cell_or_a_file_without_end_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(tables, "CELL_MOST", 1000)
    folder = write_case(tmp_path / "in", BARE | {"coats.csv": f"coat_id,name,kind\nc,{'x' * 1001},etch\n"})
    (fault,) = faults_of(folder)
    assert (fault.file, fault.row) == ("coats.csv", 2)
    assert "field larger than field limit (1000)" in fault.found
    monkeypatch.setattr(open_folder, "TEXT_MOST_BYTES", 500)
    (fault,) = faults_of(folder)
    assert fault.found == "1027 bytes"
    assert fault.allowed == "at most 500 bytes of text"
    monkeypatch.setattr(plain_text, "TEXT_MOST_BYTES", 500)
    with pytest.raises(Faults, match="at most 500 bytes"):
        plain_text.decoded("coats.csv", b"x" * 501)


# --- GeoJSON ----------------------------------------------------------------------------------------------------------

FEATURE = '{"type": "Feature", "properties": {"datum_id": "d", "drawing_id": "left", "name": "n"%s}, "geometry": %s%s}'
POINT = '{"type": "Point", "coordinates": [1, 2]}'


def datums(feature):
    return '{"type": "FeatureCollection", "features": [' + feature + "]}"


@pytest.mark.parametrize(
    ("text", "row", "column", "found", "allowed"),
    [
        ('{"type": "FeatureCollection",\n "features": [}', 0, "", "at line 2, column 15", "JSON"),
        ("", 0, "", "at line 1, column 1", "JSON"),
        ("[1]", 0, "", "[1], which is no object", "FeatureCollection"),
        ('{"type": "Feature", "geometry": null}', 0, "", "type 'Feature'", "FeatureCollection"),
        ('{"type": "FeatureCollection"}', 0, "", "without a list", 'a list of "features"'),
        ("[" * 200_000, 0, "", "without end", "at most 32"),
        ('{"type": "FeatureCollection", "features": [], "features": []}', 0, "", "'features' twice", "once"),
        ('{"type": "FeatureCollection", "features": [], "x": NaN}', 0, "", "NaN", "finite"),
        (datums("7"), 1, "", "7", '"type": "Feature"'),
        (datums(POINT), 1, "", "'Point'", '"type": "Feature"'),
        (datums(FEATURE % ("", '{"type": "Point", "coordinates": [NaN, 2]}', "")), 1, "", "NaN", "finite"),
        (datums(FEATURE % ("", '{"type": "Point", "coordinates": [1e999, 2]}', "")), 1, "", "too large", "finite"),
        (datums(FEATURE % ("", f'{{"type": "Point", "coordinates": [{"9" * 500}, 2]}}', "")), 1, "", "too large", "finite"),
        (datums(FEATURE % (', "x": -Infinity', POINT, "")), 1, "", "Infinity", "finite"),
        (datums(FEATURE % (', "name": "m"', POINT, "")), 1, "", "'name' twice", "each key of an object once"),
        (datums(FEATURE % (', "x": "\\ud800"', POINT, "")), 1, "", "surrogate", "Unicode"),
        (datums(FEATURE % (', "x": "\\u0000"', POINT, "")), 1, "", "NUL", "Unicode"),
        (datums(FEATURE % (', "x": ' + "[" * 40 + "]" * 40, POINT, "")), 1, "", "too deep", "at most 32"),
        (datums(FEATURE % (', "(feature)": 1', POINT, "")), 1, "(feature)", "a property of this name", "any other name"),
        (datums('{"type": "Feature", "properties": [1], "geometry": null}'), 1, "properties", "[1]", "an object, or null"),
        (datums(FEATURE % ("", '{"type": "Point", "coordinates": "1 2"}', "")), 1, "geometry", "lists of [x, y]", "a Point"),
        (datums(FEATURE % ("", '{"type": "Point", "coordinates": ["1", 2]}', "")), 1, "geometry", "two numbers", "a Point"),
        (datums(FEATURE % ("", '{"type": "Point"}', "")), 1, "geometry", "lists of [x, y]", "a Point"),
    ],
)
def test_a_geojson_file_that_is_none(tmp_path, text, row, column, found, allowed):
    files = tank() | {"datums.geojson": text}
    (fault,) = faults_of(write_case(tmp_path / "in", files))
    assert (fault.file, fault.row, fault.column) == ("datums.geojson", row, column)
    assert found in fault.found
    assert allowed in fault.allowed


def test_properties_may_be_null_and_then_lack_what_is_needed(tmp_path):
    files = tank() | {"datums.geojson": datums(f'{{"type": "Feature", "properties": null, "geometry": {POINT}}}')}
    faults = faults_of(write_case(tmp_path / "in", files))
    assert [fault.column for fault in faults] == ["datum_id", "drawing_id", "name"]


# --- media and links --------------------------------------------------------------------------------------------------


def test_media_are_plain_files_of_this_folder(tmp_path):
    folder = write_case(tmp_path / "in", tank())
    (tmp_path / "secret").write_text("not of this folder")
    (folder / "media" / "link.jpg").symlink_to(tmp_path / "secret")
    (folder / "media" / "folder.jpg").mkdir()
    os.mkfifo(folder / "media" / "pipe.jpg")
    (folder / "media" / "what?.jpg").write_text("x")
    faults = faults_of(folder)
    assert [(fault.file, fault.found) for fault in faults] == [
        ("media/folder.jpg", "a folder"),
        ("media/link.jpg", "a link"),
        ("media/pipe.jpg", "no plain file"),
        ("media/what?.jpg", "the name 'what?.jpg'"),
    ]


def test_a_file_name_that_is_no_text_is_refused_and_can_be_printed(tmp_path):
    folder = write_case(tmp_path / "in", tank())
    with open(os.fsencode(folder / "media") + b"/\xff.jpg", "wb"):  # noqa: PTH123 - a name no Path of text has
        pass
    (fault,) = faults_of(folder)
    assert str(fault).encode()
    assert "plain file name" in fault.allowed


@pytest.mark.parametrize("name", ["coats.csv", "zones.geojson", "journal.csv"])
def test_a_record_file_is_no_link_and_no_folder(tmp_path, name):
    folder = write_case(tmp_path / "in", BARE)
    (folder / name).symlink_to(tmp_path / "elsewhere")
    (fault,) = faults_of(folder)
    assert (fault.file, fault.found) == (name, "a link")
    (folder / name).unlink()
    (folder / name).mkdir()
    (fault,) = faults_of(folder)
    assert (fault.file, fault.found) == (name, "a folder")


def test_a_media_folder_that_is_a_link_is_refused(tmp_path):
    folder = write_case(tmp_path / "in", BARE)
    (tmp_path / "other").mkdir()
    (folder / "media").symlink_to(tmp_path / "other")
    (fault,) = faults_of(folder)
    assert (fault.file, fault.found) == ("media", "no folder of its own")


def test_the_hash_of_a_source_is_that_of_its_file(tmp_path):
    files = with_cell("sources.csv", 2, "sha256", "0" * 64)
    (fault,) = faults_of(write_case(tmp_path / "in", files))
    assert (fault.file, fault.row, fault.column) == ("sources.csv", 2, "sha256")
    assert "0" * 64 in fault.found
    # sha256sum of the 21 bytes, by the program of that name
    assert fault.allowed == "bbc16f13cf3ec5483d54a550e3b501b7f67c56e3792f7410989805d60d1390c0"


# --- what is odd and no fault -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "note"),
    [
        ({"photo.raw": b"x"}, "photo.raw: none of the files of a record"),
        ({"media/other.jpg": b"x"}, "media/other.jpg: no source names it; it is taken in all the same"),
        ({"settings.csv": "key,value,basis\nnew_figure,lots,own trial\n"}, "new_figure is no figure of this version"),
        ({"outline.geojson": [{"drawing_id": "left", "kind": "body", "geometry": BOW_TIE}]}, "it is drawn as it is"),
        (
            {"outline.geojson": [{"drawing_id": "left", "kind": "lamp", "geometry": BOXED}]},
            "feature 1: members of the geometries within",
        ),
        ({"covers.csv": "zone_id,part_id\nlid_top,lid\n"}, "part lid is said to hide lid_top, a zone of its own"),
        ({"steps.csv": "step,action,target,parts\n1,coat,grey,only\n"}, "paints only parts and names none"),
        ({"steps.csv": "step,action,target,parts\n1,remove,lid,lid\n"}, "count only in a coat step"),
        (
            {
                "readings.csv": rows(
                    [
                        {"reading_id": f"r{n}", "zone_id": "rim", "x": 10, "y": 500 + 200 * n, "um": 1, "principle": "eddy"}
                        for n in range(3)
                    ]
                )
            },
            "readings.csv: outside their zone rim: r1, r2",
        ),
        ({"readings.csv": "reading_id,zone_id,x,um,principle\nr1,rim,5,1,eddy\n"}, "only one of x and y"),
        (
            {
                "coats.csv": [
                    {"coat_id": "red", "name": "r", "kind": "etch", "looks_like": "red"},
                    {"coat_id": "grey", "name": "g", "kind": "etch"},
                ]
            },
            "said to look like itself",
        ),
        ({"coats.csv": "coat_id,name,kind,era ,maker\nred,r,etch,1,m\ngrey,g,etch,1,\n"}, "the column 'maker' is none of"),
    ],
)
def test_what_is_odd_is_said_and_taken_in(tmp_path, change, note):
    content = read_folder(write_case(tmp_path / "in", tank() | change))
    assert [said for said in content.notes if note in said]


def test_files_that_a_computer_drops_beside_others_are_no_fault(tmp_path):
    content = read_folder(write_case(tmp_path / "in", tank() | {".DS_Store": b"x", "media/.DS_Store": b"x"}))
    assert set(content.media) == {"left.jpg"}
    assert any("begins with a dot" in note for note in content.notes)


# --- what a person may write in more than one way ---------------------------------------------------------------------


@pytest.mark.parametrize(("cell", "value"), [("20", 20.0), (" 20.50 ", 20.5), ("+2e1", 20.0), (".5", 0.5), ("5.", 5.0)])
def test_numbers(tmp_path, cell, value):
    assert read_folder(write_case(tmp_path / "in", with_cell("layers.csv", 2, "um", cell))).record.layers[0].um == value


def test_spaces_round_ids_and_upper_case_in_colours_mean_nothing(tmp_path):
    files = tank()
    files["coats.csv"][0]["colour"] = "#7A2E1F"
    files["steps.csv"][2]["target"] = " shell_left ; rim "
    files["readings.csv"][1]["zone_id"] = "lid_top "
    record = read_folder(write_case(tmp_path / "in", files)).record
    assert record.coat["red"].colour == "#7a2e1f"
    assert record.steps[2].target == ("shell_left", "rim")
    assert record.readings[1].zone_id == "lid_top"


def test_a_whole_number_may_have_an_idle_fraction_as_data_frames_write_it(tmp_path):
    files = with_cell("layers.csv", 3, "position", "2.0")
    files["findings.geojson"] = json.loads(json.dumps(files["findings.geojson"]).replace('"severity": 2', '"severity": 2.0'))
    record = read_folder(write_case(tmp_path / "in", files)).record
    assert record.layers[1].position == 2
    assert repr(record.findings[0].severity) == "2"
