"""What can go wrong with input, told so that it can be mended: what, where, found, allowed.

Every error of this package is a `BodymapError`. Anything wrong with a whole folder or file is collected first
and raised once, as `Faults`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class BodymapError(Exception):
    """Base class: something the user can read, understand and mend."""


# An id has 64 characters at most; what is longer is none, and would fill the page.
_SUBJECT_MOST = 80
# A file that is wrong throughout is told by its beginning; `faults` holds them all.
_TOLD_MOST = 100


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong in one place.

    Attributes:
        file: name of the file (or the kind of entry) the fault is in.
        row: line number in a CSV file (the header is row 1), feature number in a GeoJSON file (from 1); 0: the file.
        column: column or property; empty: the whole row.
        found: what stands there.
        allowed: what may stand there.
        subject: id of the thing the row speaks of, where it is known.
    """

    file: str
    row: int = 0
    column: str = ""
    found: str = ""
    allowed: str = ""
    subject: str = ""

    def __str__(self) -> str:
        where = [self.file]
        if self.row:
            where.append(f"{'feature' if self.file.endswith('.geojson') else 'row'} {self.row}")
        if self.subject:
            where[-1] += f" ({self.subject if len(self.subject) <= _SUBJECT_MOST else self.subject[:_SUBJECT_MOST] + '…'})"
        if self.column:
            where.append(self.column)
        return f"{', '.join(where)}: found {self.found}; allowed: {self.allowed}"


class Faults(BodymapError):
    """All faults of one input at once; `faults` has them in file and row order."""

    def __init__(self, what: str, faults: Iterable[Fault]) -> None:
        self.what = what
        self.faults = tuple(faults)
        count = len(self.faults)
        lines = "\n".join(f"  {fault}" for fault in self.faults[:_TOLD_MOST])
        if count > _TOLD_MOST:
            lines += f"\n  … and {count - _TOLD_MOST} more"
        super().__init__(f"{what}: {count} fault{'' if count == 1 else 's'}, nothing was written\n{lines}")


class RecordError(BodymapError):
    """A record file that cannot be opened, read or written as it is."""


class ConflictError(BodymapError):
    """Somebody else changed the same thing since it was read: nothing was overwritten."""
