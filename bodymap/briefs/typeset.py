"""The typesetter: a template of this package and data in, PDF or pictures out. No network, no fonts but the shipped one.

User text travels as JSON and is set as text; it is never read as markup.
"""

from __future__ import annotations

import json
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


def pdf_of(template: str, data: Mapping[str, object], moment: datetime) -> bytes:
    """A template filled with data, as a tagged PDF dated `moment`."""
    made = _compiled(template, data, format="pdf", timestamp=int(moment.timestamp()))
    return b"".join(made)


def pictures_of(template: str, data: Mapping[str, object], ppi: float) -> list[bytes]:
    """The pages of a template filled with data, each as a PNG."""
    return _compiled(template, data, format="png", ppi=ppi)


def _compiled(template: str, data: Mapping[str, object], **how: Any) -> list[bytes]:
    with ExitStack() as held:
        folder = Path(held.enter_context(as_file(files("bodymap.briefs"))))
        made = typst.compile(
            folder / template,
            root=folder,
            font_paths=[folder / "fonts"],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
            **how,
        )
    return list(made) if isinstance(made, list) else [made]
