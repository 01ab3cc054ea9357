"""The files against the standards they claim, and against readers and writers that are not ours."""

from __future__ import annotations

import itertools
import json
import tempfile
from pathlib import Path

import geopandas
import pandas as pd
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import shape as geometry_of

from bodymap.exchange.cells import text_of, value_of
from bodymap.exchange.features import PLANE_WORDS, read_features, write_features
from bodymap.exchange.open_folder import read_folder, write_folder
from bodymap.exchange.tables import parse_csv, write_table
from bodymap.model import Coat, Column, Datum, Finding, Zone
from tests.folders import box, geojson, tank, write_case
from tests.strategies import FINITE, NAMES, TEXTS

CSV_FILES = sorted(name for name in tank() if name.endswith(".csv"))
GEOJSON_FILES = sorted(name for name in tank() if name.endswith(".geojson"))


@pytest.fixture
def written(tmp_path):
    """The tank, read and written out again."""
    content = read_folder(write_case(tmp_path / "in", tank()))
    write_folder(tmp_path / "out", content.record, content.journal, content.media)
    return tmp_path / "out"


# --- RFC 4180 ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        # RFC 4180 section 2, the examples of rules 1, 2, 5, 6 and 7 (from memory, not seen)
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
        # rule 4: spaces are part of a field
        (" aaa,bbb \r\n", [[" aaa", "bbb "]]),
        # other line ends, as other systems write them
        ("a,b\nc,d\n", [["a", "b"], ["c", "d"]]),
        ("a,b\rc,d\r", [["a", "b"], ["c", "d"]]),
    ],
)
def test_csv_is_read_as_rfc_4180_says(text, cells):
    assert [row for _, row in parse_csv("x.csv", text.encode())] == cells


def test_rows_are_counted_as_a_spreadsheet_shows_them():
    text = b'a,b\r\n"1\r\n2",x\r\n\r\n,\r\n3,y\r\n'
    assert list(parse_csv("x.csv", text)) == [(1, ["a", "b"]), (2, ["1\r\n2", "x"]), (5, ["3", "y"])]


@pytest.mark.parametrize("file", CSV_FILES)
def test_pandas_reads_what_was_written(written, file):
    frame = pd.read_csv(written / file, dtype=str, keep_default_na=False)
    for row, entry in zip(frame.to_dict("records"), tank()[file], strict=True):
        assert {name: cell for name, cell in row.items() if cell} == {name: cell for name, cell in entry.items() if cell}


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(NAMES, TEXTS, TEXTS), min_size=1, max_size=3))
def test_pandas_reads_any_text_that_was_written(texts):
    coats = [
        Coat(coat_id=f"c{n}", name=name, kind="clear", era=era, more={"=x": more})
        for n, (name, era, more) in enumerate(texts)
    ]
    with tempfile.TemporaryDirectory() as place:
        file = Path(place) / "coats.csv"
        file.write_bytes(write_table(Coat, coats))
        frame = pd.read_csv(file, dtype=str, keep_default_na=False, encoding="utf-8")
    assert list(frame[["name", "era", "=x"]].itertuples(index=False, name=None)) == texts


def test_pandas_writes_what_is_read(tmp_path):
    folder = write_case(tmp_path / "in", tank())
    before = read_folder(folder).record
    for file in CSV_FILES:
        # numbers become floats and blanks NaN, and back; text that looks like a number has to be said to be text
        pd.read_csv(folder / file, dtype={"era": str, "spot": str}).to_csv(folder / file, index=False)
    assert read_folder(folder).record == before


# --- RFC 7946 ---------------------------------------------------------------------------------------------------------

# Appendix A.3 of RFC 7946: a square of one by one with a hole of 0.6 by 0.6 (from memory; ring order read in test files)
OUTER = [[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]
HOLE = [[100.8, 0.8], [100.8, 0.2], [100.2, 0.2], [100.2, 0.8], [100.8, 0.8]]


def signed_area(ring):
    """The shoelace sum: positive where the ring runs counter-clockwise."""
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in itertools.pairwise(ring)) / 2


@pytest.mark.parametrize("outer", [OUTER, OUTER[::-1]])
@pytest.mark.parametrize("hole", [HOLE, HOLE[::-1]])
def test_rings_either_way_round_are_read_and_turned_as_section_3_1_6_wants(outer, hole):
    feature = {
        "zone_id": "z",
        "drawing_id": "d",
        "part_id": "p",
        "face": "outer",
        "geometry": {"type": "Polygon", "coordinates": [outer, hole]},
    }
    content = read_features(Zone, geojson([feature]).encode())
    assert content.faults == []
    ((_, zone),) = content.entries
    assert signed_area(zone.shape.coordinates[0]) == pytest.approx(1)
    assert signed_area(zone.shape.coordinates[1]) == pytest.approx(-0.36)
    back = json.loads(write_features(Zone, [zone]))["features"][0]["geometry"]
    assert geometry_of(back).area == pytest.approx(0.64)  # 1 - 0.36


def test_a_ring_has_four_positions_at_least_and_is_closed():
    triangle = [[0, 0], [3, 0], [0, 4], [0, 0]]
    feature = {"zone_id": "z", "drawing_id": "d", "part_id": "p", "face": "outer"}
    whole, short = (
        read_features(Zone, geojson([feature | {"geometry": {"type": "Polygon", "coordinates": [ring]}}]).encode())
        for ring in (triangle, triangle[1:])
    )
    assert (len(whole.entries), len(whole.faults)) == (1, 0)
    assert (len(short.entries), [fault.column for fault in short.faults]) == (0, ["geometry"])


@pytest.mark.parametrize("file", GEOJSON_FILES)
def test_what_is_written_is_a_feature_collection_that_says_its_plane_and_claims_no_coordinate_system(written, file):
    whole = json.loads((written / file).read_text(encoding="utf-8"))
    assert whole["type"] == "FeatureCollection"
    assert whole["plane"] == PLANE_WORDS
    assert "crs" not in whole
    for feature, given_feature in zip(whole["features"], tank()[file], strict=True):
        assert set(feature) == {"type", "properties", "geometry"}
        assert {**feature["properties"], "geometry": feature["geometry"]} == {"geometry": None, **given_feature}


@pytest.mark.parametrize("file", ["zones.geojson", "areas.geojson", "lines.geojson", "datums.geojson", "findings.geojson"])
def test_geopandas_reads_what_was_written(written, file):
    frame = geopandas.read_file(written / file, engine="pyogrio")
    for row, entry in zip(frame.to_dict("records"), tank()[file], strict=True):
        geometry = entry.pop("geometry", None)
        assert {name: row[name] for name in entry} == entry
        expected = None if geometry is None else geometry_of(geometry)
        assert row["geometry"] is expected or shapely.equals_exact(row["geometry"], expected)


@pytest.mark.parametrize("file", ["zones.geojson", "areas.geojson", "lines.geojson", "datums.geojson", "findings.geojson"])
def test_geopandas_writes_what_is_read(tmp_path, file):
    folder = write_case(tmp_path / "in", tank())
    before = read_folder(folder).record
    frame = geopandas.read_file(folder / file, engine="pyogrio")
    (folder / file).unlink()
    # this writer turns no rings, names the collection, and gives every feature every property, null where it has none
    frame.to_file(folder / file, driver="GeoJSON", engine="pyogrio")
    after = read_folder(folder)
    entries = after.record.with_kind("beside", ()).entries()
    assert [entry.model_copy(update={"more": {}}) for entry in entries] == list(before.entries())
    assert "name" in after.record.foreign[file]


def test_members_beside_the_known_ones_come_back():
    text = json.dumps(
        {
            "type": "FeatureCollection",
            "name": "datums",
            "bbox": [0, 0, 9, 9],
            "features": [
                {
                    "type": "Feature",
                    "id": 17,
                    "bbox": [5, 6, 5, 6],
                    "style": {"colour": None},
                    "properties": {
                        "datum_id": "d",
                        "drawing_id": "left",
                        "name": "n",
                        "seen": [1, 1.5, None],
                        "blank": None,
                    },
                    "geometry": {"type": "Point", "coordinates": [5, 6], "bbox": [5, 6, 5, 6], "src": "x"},
                }
            ],
        }
    )
    content = read_features(Datum, text.encode())
    ((_, datum),) = content.entries
    whole = json.loads(write_features(Datum, [datum], content.members))
    assert whole.pop("plane") == PLANE_WORDS
    # the boxes were right but for that of the collection, which is written as it is
    assert whole == json.loads(text) | {"bbox": [5, 6, 5, 6]}


def test_a_box_follows_its_shape():
    feature = {
        "type": "Feature",
        "bbox": [0, 0, 1, 1],
        "geometry": box(0, 0, 1, 1),
        "properties": {"finding_id": "f", "drawing_id": "d", "kind": "dent"},
    }
    text = json.dumps({"type": "FeatureCollection", "features": [feature]})
    ((_, finding),) = read_features(Finding, text.encode()).entries
    grown = finding.model_copy(update={"shape": finding.shape.model_validate(box(2, 3, 4.5, 5))})
    assert json.loads(write_features(Finding, [grown]))["features"][0]["bbox"] == [2, 3, 6.5, 8]
    gone = finding.model_copy(update={"shape": None})
    assert "bbox" not in json.loads(write_features(Finding, [gone]))["features"][0]


# --- numbers ----------------------------------------------------------------------------------------------------------

NUMBER = Column("um", "number", required=False, words="a number")


@given(FINITE)
def test_a_number_comes_back_exactly_in_no_more_letters_than_its_shortest_form(number):
    text = text_of(NUMBER, number)
    back = value_of(NUMBER, text)
    assert (back, str(back)) == (number, str(number))
    assert len(text) <= len(repr(number))
    assert float(text) == number
    assert not text.endswith(".0")


@pytest.mark.parametrize(("number", "text"), [(100.0, "100"), (0.1, "0.1"), (-0.0, "-0"), (1e22, "1e+22"), (2.50, "2.5")])
def test_numbers_as_they_are_written(number, text):
    assert text_of(NUMBER, number) == text
