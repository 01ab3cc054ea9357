"""Record files as older versions of the record made them: the specimen, and a second day."""

from __future__ import annotations

import gzip
from pathlib import Path

from bodymap.store.media import folder_of, lay
from bodymap.store.record_file import RecordFile
from tests.store.specimen import PHOTO, specimen

_VERSIONS = Path(__file__).with_name("versions")


def laid(version: int, folder: Path, name: str = "tricycle.gpkg") -> RecordFile:
    """The record file of an older version, with its media, in a folder."""
    path = folder / name
    path.write_bytes(gzip.decompress((_VERSIONS / f"version_{version}.gpkg.gz").read_bytes()))
    (item,) = specimen().media
    lay(folder_of(path), item, PHOTO)
    return RecordFile(path)
