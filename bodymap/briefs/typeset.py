"""The typesetter: a template of this package and data in, PDF or pictures out. No network, no fonts but the shipped one.

User text travels as JSON and is set as text; it is never read as markup. Pictures lie beside the template while it runs,
under the names the template asks for (`photographs.py` makes them ready).
"""

from __future__ import annotations

import json
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import ExitStack
from datetime import UTC, datetime
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import typst


def moment_of(printed_at: str) -> datetime:
    """The moment of an ISO 8601 date or date-time, in UTC where it states no offset.

    Raises:
        ValueError: it is none.
    """
    try:
        moment = datetime.fromisoformat(printed_at)
    except ValueError as error:
        raise ValueError(f"time of print: found {printed_at!r}, allowed: an ISO 8601 date or date-time") from error
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def pdf_of(template: str, data: Mapping[str, object], moment: datetime, photos: Mapping[str, bytes] | None = None) -> bytes:
    """A template filled with data, as a tagged PDF dated `moment`. `photos`: picture files by the names it asks for."""
    made = _compiled(template, data, photos or {}, format="pdf", timestamp=int(moment.timestamp()))
    return b"".join(made)


def archival_pdf_of(
    template: str, data: Mapping[str, object], moment: datetime, photos: Mapping[str, bytes] | None = None
) -> bytes:
    """As `pdf_of`, and made to ISO 19005-2 (PDF/A-2a), which is to be readable for good: fonts and colour inside, no script.

    Where a text holds what that standard forbids (a private character, for example), it is an ordinary tagged PDF.
    """
    how = {"format": "pdf", "timestamp": int(moment.timestamp())}
    try:
        made = _compiled(template, data, photos or {}, pdf_standards=["a-2a"], **how)
    except typst.TypstError:
        made = _compiled(template, data, photos or {}, **how)
    return b"".join(made)


def pictures_of(
    template: str, data: Mapping[str, object], ppi: float, photos: Mapping[str, bytes] | None = None
) -> list[bytes]:
    """The pages of a template filled with data, each as a PNG. `photos`: as for `pdf_of`."""
    return _compiled(template, data, photos or {}, format="png", ppi=ppi)


def _compiled(template: str, data: Mapping[str, object], photos: Mapping[str, bytes], **how: Any) -> list[bytes]:
    with ExitStack() as held:
        folder = Path(held.enter_context(as_file(files("bodymap.briefs"))))
        root = folder
        if photos:  # the typesetter reads nothing outside its root: template and pictures go there together
            root = Path(held.enter_context(tempfile.TemporaryDirectory(prefix="bodymap-print-")))
            for part in folder.glob("*.typ"):
                shutil.copyfile(part, root / part.name)
            for name, picture in photos.items():
                (root / Path(name).name).write_bytes(picture)
        made = typst.compile(
            root / template,
            root=root,
            font_paths=[folder / "fonts"],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
            **how,
        )
    return list(made) if isinstance(made, list) else [made]
