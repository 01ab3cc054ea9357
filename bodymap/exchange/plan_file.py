"""A plan by itself: one CSV file with the columns of steps.csv, to be run in place of a record's own steps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from bodymap.errors import BodymapError, Fault, Faults
from bodymap.exchange.tables import read_table
from bodymap.model import Entry, Record, Step
from bodymap.model.check import reference_faults


def read_plan(path: Path, record: Record) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The steps in a file, whose targets are things of a record; and what is odd in the file.

    Raises:
        Faults: everything wrong in it, also targets that the record has not.
        BodymapError: the file cannot be read.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BodymapError(f"{path}: {error.strerror or error}") from error
    return parse_plan(data, str(path), record)


def parse_plan(data: bytes, name: str, record: Record) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The same of the bytes of a file called `name`. Raises Faults."""
    content = read_table(Step, data)
    rows = {id(entry): row for row, entry in content.entries}
    steps = [entry for _, entry in content.entries if isinstance(entry, Step)]

    def where(entry: Entry) -> tuple[str, int]:
        return (entry.FILE if id(entry) in rows else "", rows.get(id(entry), 0))

    own = [fault for fault in reference_faults(record.with_kind(Step.KIND, steps), where) if fault.file == Step.FILE]
    faults = sorted([*content.faults, *own], key=lambda fault: fault.row)
    if faults:
        raise Faults(name, [_named(fault, Path(name).name) for fault in faults])
    return tuple(steps), tuple(content.notes)


def _named(fault: Fault, name: str) -> Fault:
    return replace(fault, file=name)
