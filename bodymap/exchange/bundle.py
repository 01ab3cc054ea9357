"""A folder as one ZIP file: the same bytes for the same files, whenever and wherever it is packed."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from bodymap.progress import Step, each, silent

# The earliest moment a ZIP file can tell: a file's own time is no part of what is handed on.
_MOMENT = (1980, 1, 1, 0, 0, 0)
_REGULAR_FILE = 0o100644 << 16
_UNIX = 3


def zipped(folder: Path, step: Step = silent) -> bytes:
    """Every file in a folder and below it, by its path from the folder with `/` between, in the order of those names.

    `step` is told how far it is, and may stop it.
    """
    files = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as bundle:
        for name in each(sorted(files), "Packing the files", step):
            entry = zipfile.ZipInfo(name, _MOMENT)
            entry.create_system, entry.external_attr = _UNIX, _REGULAR_FILE
            entry.compress_type = zipfile.ZIP_DEFLATED
            bundle.writestr(entry, files[name].read_bytes())
    return packed.getvalue()
