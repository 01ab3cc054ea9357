"""What a record has to be before it is written: every id leads somewhere, every surface is usable, every file is there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bodymap.errors import Fault, Faults
from bodymap.geometry.validity import shape_fault
from bodymap.model.check import reference_faults
from bodymap.model.drawing import OutlineShape
from bodymap.model.entry import Entry
from bodymap.model.record import Record
from bodymap.model.vehicle import Vehicle
from bodymap.store.rows import shape_of, unstorable
from bodymap.store.standing import Standing, record_of


def whole_faults(record: Record) -> list[Fault]:
    """Everything that is wrong with a record about to be made."""
    return [*entry_faults(record.entries()), *reference_faults(record, _where)]


def check_change(before: Standing, now: Standing, changed: Iterable[Entry]) -> None:
    """A record about to be changed: what the change makes wrong.

    Raises:
        Faults: everything that is wrong now and was not before, and what is wrong with the changed entries themselves.
    """
    faults = list(entry_faults(changed))
    vehicles = len(now[Vehicle.KIND])
    if vehicles != 1:
        found = ", ".join(now[Vehicle.KIND]) or "none"
        faults.append(Fault(Vehicle.KIND, found=found, allowed="one vehicle"))
        raise Faults("the change", faults)
    after = reference_faults(record_of(now), _where)
    if after:
        stood = {replace(fault, row=0) for fault in reference_faults(record_of(before), _where)}
        faults += [fault for fault in after if replace(fault, row=0) not in stood]
    if faults:
        raise Faults("the change", faults)


def entry_faults(entries: Iterable[Entry]) -> Iterable[Fault]:
    """What is wrong with entries each by itself: what no record file holds, surfaces that are none."""
    for entry in entries:
        file, row = _where(entry)
        yield from unstorable(entry, file, row)
        shape = shape_of(entry)
        if shape is not None and entry.KIND != OutlineShape.KIND:  # an outline is looked at and never reckoned with
            wrong = shape_fault(shape)
            if wrong:
                yield Fault(
                    file, row, "shape", wrong, "a shape with extent whose boundary does not cross itself", entry.ident
                )


def _where(entry: Entry) -> tuple[str, int]:
    """The kind stands in for a file: a record file has no rows to point at."""
    return entry.KIND, 0
