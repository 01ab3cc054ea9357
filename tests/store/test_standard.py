"""The record file is an OGC GeoPackage (OGC 12-128, `spec/core/1_base.adoc`), by the standard and by a reader not ours.

The reader (GDAL through pyogrio) carries a second SQLite, so it runs in a process of its own.
"""

from __future__ import annotations

import json
import sqlite3
import struct
import subprocess
import sys
from contextlib import closing

import pytest
import shapely
from shapely.geometry import shape as geometry_of

from bodymap.model import KINDS
from bodymap.store.blobs import SRS_ID
from bodymap.store.record_file import Put, Withdraw
from tests.store.specimen import LATER, made, specimen

SPATIAL = {"outline", "zones", "datums", "areas", "findings", "lines"}
READ = """
import json, sys, warnings
warnings.simplefilter("error")
import pyogrio, shapely
told = {}
for name, kind in pyogrio.list_layers(sys.argv[1]):
    about = pyogrio.read_info(sys.argv[1], layer=name)
    meta, fids, shapes, values = pyogrio.raw.read(sys.argv[1], layer=name, return_fids=True)
    told[str(name)] = {
        "type": kind, "count": about["features"], "crs": about["crs"], "fid": about["fid_column"],
        "columns": {str(column): str(kind) for column, kind in zip(about["fields"], about["dtypes"])},
        "fids": [int(fid) for fid in fids],
        "wkt": None if shapes is None else [None if one is None else shapely.from_wkb(one).wkt for one in shapes],
        "first": {str(name): str(column[0]) for name, column in zip(meta["fields"], values) if len(column)},
    }
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    return made(tmp_path_factory.mktemp("standard"))


@pytest.fixture(scope="module")
def layers(file):
    return read_by_another(file.path)


def read_by_another(path):
    run = subprocess.run([sys.executable, "-c", READ, str(path)], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    assert run.stderr == ""
    return json.loads(run.stdout)


def test_requirements_1_and_2_the_first_bytes_say_what_it_is(file):
    data = file.path.read_bytes()
    assert data[:16] == b"SQLite format 3\x00"
    assert data[68:72] == b"GPKG"
    assert int.from_bytes(data[60:64], "big") == 10300  # user_version: GeoPackage 1.3.0


def test_requirements_6_and_7_the_database_is_sound(file):
    with closing(sqlite3.connect(file.path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_requirements_10_and_11_the_reference_systems_every_file_has(file):
    with closing(sqlite3.connect(file.path)) as connection:
        rows = connection.execute(
            "SELECT srs_id, organization, organization_coordsys_id, definition FROM gpkg_spatial_ref_sys"
        )
        known = {row[0]: row[1:] for row in rows}
    assert known[4326][:2] == ("EPSG", 4326)
    assert known[-1] == ("NONE", -1, "undefined")
    assert known[0] == ("NONE", 0, "undefined")


def test_views_keep_what_readers_take_types_and_ids_from(file):
    with closing(sqlite3.connect(file.path)) as connection:
        for (name,) in connection.execute("SELECT table_name FROM gpkg_contents").fetchall():
            columns = connection.execute(f'PRAGMA table_info("{name}")').fetchall()
            assert columns[0][1:3] == ("seq", "INTEGER")
            assert all(column[2] for column in columns), name  # a declared type: a direct column reference
            seqs = [seq for (seq,) in connection.execute(f'SELECT seq FROM "{name}"')]
            assert len(set(seqs)) == len(seqs)
        schema = " ".join(sql for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL"))
    assert "STRICT" not in schema.upper()
    assert "->>" not in schema


def test_geometry_blobs_carry_the_header_of_the_standard(file):
    with closing(sqlite3.connect(file.path)) as connection:
        for view in SPATIAL:
            for (blob,) in connection.execute(f"SELECT shape FROM {view} WHERE shape IS NOT NULL"):
                assert blob[:2] == b"GP"
                assert int.from_bytes(blob[4:8], "little", signed=True) == SRS_ID
                x_min, x_max, y_min, y_max = struct.unpack_from("<4d", blob, 8)  # clause 2.1.3.1.1: in this order
                assert shapely.from_wkb(blob[40:]).bounds == (x_min, y_min, x_max, y_max)


def test_another_program_lists_every_kind_and_nothing_else(layers):
    record = specimen()
    counts = {name: layer["count"] for name, layer in layers.items()}
    assert counts.pop("history") == sum(1 for _ in record.entries())
    assert counts == {name: len(getattr(record, name)) if name != "vehicle" else 1 for name in counts}
    assert len(counts) == len(KINDS)
    assert {name for name, layer in layers.items() if layer["type"]} == SPATIAL


def test_another_program_sees_millimetres(layers):
    for name in SPATIAL:
        assert 'UNIT["millimetre",0.001' in layers[name]["crs"], name
    assert layers["parts"]["crs"] is None


def test_another_program_reads_the_same_shapes_numbers_and_texts(layers):
    record = specimen()
    for name in SPATIAL:
        ours = [one.shape and geometry_of(one.shape.geojson()).wkt for one in getattr(record, name)]
        assert sorted(layers[name]["wkt"], key=str) == sorted(ours, key=str), name
        assert layers[name]["fid"] == "seq"
    assert layers["readings"]["first"]["um"] == "42.0"
    assert layers["readings"]["columns"]["um"] == "float64"
    assert layers["parts"]["columns"]["removable"] == "bool"
    assert layers["findings"]["columns"]["severity"] in ("int32", "int64")
    assert layers["history"]["columns"]["at"].startswith("datetime64")
    assert layers["layers"]["first"]["interface"] == "dirt;scratch"
    assert len(set(layers["readings"]["fids"])) == 2


def test_another_program_sees_what_stands_now(tmp_path):
    file = made(tmp_path)
    record = file.record()
    moved = record.area["keep"].model_copy(update={"margin": 7.5})
    file.append([Put(moved), Withdraw("finding", "dent")], by="Ben", why="measured again", at=LATER, expect=None)
    told = read_by_another(file.path)
    assert told["areas"]["first"]["margin"] == "7.5"
    assert told["areas"]["count"] == 1
    assert told["findings"]["count"] == 1


def test_reading_by_another_program_changes_nothing(tmp_path):
    file = made(tmp_path)
    before = file.path.read_bytes()
    read_by_another(file.path)
    assert file.path.read_bytes() == before
    assert file.verify() == ()


def test_another_program_cannot_write_into_a_view(tmp_path):
    file = made(tmp_path)
    with closing(sqlite3.connect(file.path)) as connection, pytest.raises(sqlite3.OperationalError, match="is a view"):
        connection.execute("UPDATE zones SET face = 'back'")
