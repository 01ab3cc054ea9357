"""A folder as one ZIP file, read back with Python's own reader and with the system's where there is one."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import zipfile

import pytest

from bodymap.exchange.bundle import zipped

FILES = {
    "index.html": b"<p>page</p>",
    "record/vehicle.csv": b"vehicle_id\r\nv\r\n",
    "media/a b ü.jpg": b"\xff\xd8" * 999,
}


def folder(place, at=None):
    for name, data in FILES.items():
        path = place / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        if at:
            os.utime(path, (at, at))
    (place / "empty").mkdir()
    return place


def test_every_file_comes_back_byte_for_byte_in_the_order_of_the_names(tmp_path):
    with zipfile.ZipFile(io.BytesIO(zipped(folder(tmp_path / "made")))) as bundle:
        assert bundle.testzip() is None
        assert bundle.namelist() == sorted(FILES)
        assert {name: bundle.read(name) for name in bundle.namelist()} == FILES


def test_the_bytes_do_not_depend_on_times_modes_or_the_place(tmp_path):
    first = folder(tmp_path / "one", at=1_000_000_000)
    second = folder(tmp_path / "deep" / "er", at=1_700_000_000)
    (second / "index.html").chmod(0o600)
    assert zipped(first) == zipped(second)
    (second / "index.html").write_bytes(b"<p>Page</p>")
    assert zipped(first) != zipped(second)


@pytest.mark.skipif(shutil.which("unzip") is None, reason="no unzip here")
def test_another_program_unpacks_it(tmp_path):
    packed = tmp_path / "file.zip"
    packed.write_bytes(zipped(folder(tmp_path / "made")))
    subprocess.run(["unzip", "-q", packed, "-d", tmp_path / "out"], check=True)
    assert (tmp_path / "out" / "record" / "vehicle.csv").read_bytes() == FILES["record/vehicle.csv"]
    assert (tmp_path / "out" / "index.html").stat().st_mode & 0o777 == 0o644
