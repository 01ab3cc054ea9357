"""Evidence, and the files it lies in."""

from __future__ import annotations

import re
from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, Field

from bodymap.model.columns import Allowed, Date, Id, Ids, Text
from bodymap.model.entry import Entry

SourceKind = Literal["photo", "document", "drawing", "sample", "statement", "measurement"]
_NAME_WORDS = "a plain file name under media/: no / or \\, not beginning with a dot, at most 200 bytes"
_RESERVED = set('<>:"/\\|?*')
_NAME_MOST_BYTES = 200
# How the titles of two kinds of statement begin that the work itself leaves: they speak of no coat as it was found.
STEP_DONE = re.compile(r"\s*step\s+(\d+)\s+done\b", re.IGNORECASE)
LIES = "Where it lies:"


def _check_name(value: str) -> str:
    too_long = len(value.encode("utf-8", "replace")) > _NAME_MOST_BYTES
    if (
        not value
        or value.startswith(".")
        or value.endswith((".", " "))
        or too_long
        or any(char in _RESERVED or not char.isprintable() for char in value)
    ):
        raise ValueError(_NAME_WORDS)
    return value


MediaName = Annotated[str, AfterValidator(_check_name), Allowed("text", _NAME_WORDS)]
Sha256 = Annotated[str, Field(pattern="^[0-9a-f]{64}$"), Allowed("text", "64 of 0-9 a-f (SHA-256 of the file)")]


class Source(Entry):
    """A piece of evidence; `file` is its name under media/, `about` the ids it speaks of."""

    KIND: ClassVar[str] = "source"
    FILE: ClassVar[str] = "sources.csv"
    KEY: ClassVar[tuple[str, ...]] = ("source_id",)

    source_id: Id
    kind: SourceKind
    title: Text
    date: Date | None = None
    by: Text | None = None
    file: MediaName | None = None
    sha256: Sha256 | None = None
    rights: Text | None = None
    about: Ids = ()

    @property
    def tells_of_work(self) -> bool:
        """A statement of the work's own course (a step done, where a part lies): no evidence of the finish as found."""
        return self.kind == "statement" and (self.title.startswith(LIES) or STEP_DONE.match(self.title) is not None)


class MediaFile(Entry):
    """A file that lies beside the record, told by what is in it."""

    KIND: ClassVar[str] = "media"
    KEY: ClassVar[tuple[str, ...]] = ("name",)

    name: MediaName
    sha256: Sha256
    size_bytes: Annotated[int, Field(ge=0), Allowed("whole", "a whole number, 0 or greater")]


class Beside(Entry):
    """What stands in a file of the open folder beside its rows, by name in `more`; kept and written back.

    Of a GeoJSON file: the members of the collection. Of a CSV file: under `columns`, unknown columns where the rows alone
    do not tell them.
    """

    KIND: ClassVar[str] = "beside"
    KEY: ClassVar[tuple[str, ...]] = ("file",)

    file: Text
