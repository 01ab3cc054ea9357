"""What a record has to be before it is written: every id leads somewhere, every surface is usable, every file is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from bodymap.errors import Fault, Faults
from bodymap.geometry.validity import shape_fault
from bodymap.model.check import faults_of_entry, reference_faults, settings_faults
from bodymap.model.drawing import OutlineShape
from bodymap.model.entry import Entry
from bodymap.model.record import KINDS, Record
from bodymap.model.signoff import Setting
from bodymap.model.vehicle import Vehicle
from bodymap.progress import Step, counted, silent, stretch
from bodymap.store.coming import Coming
from bodymap.store.rows import shape_of, unstorable
from bodymap.store.standing import Key, Stored

_ORDER = {kind: number for number, kind in enumerate(KINDS)}


def whole_faults(record: Record, step: Step = silent) -> list[Fault]:
    """Everything that is wrong with a record about to be made. `step` is told how far it is, and may stop it."""
    entries, words = tuple(record.entries()), "Checking what stands"
    by_itself = entry_faults(counted(entries, len(entries), words, stretch(step, 0.0, 0.3)))
    return [*by_itself, *reference_faults(record, _where, step=stretch(step, 0.3, 1.0))]


def check_change(coming: Coming, changed: Iterable[Entry]) -> None:
    """A record about to be changed: what the change makes wrong.

    Looks at what is changed and at what refers to it. What was wrong before stays the business of `verify`: it is no
    reason to refuse other work.

    Raises:
        Faults: everything that is wrong then and was not before, and what is wrong with the changed entries themselves.
    """
    faults = list(entry_faults(changed))
    vehicles = coming.ids_of(Vehicle.KIND)
    if len(vehicles) != 1:
        found = ", ".join(sorted(vehicles, key=lambda ident: coming.order(Vehicle.KIND, ident))) or "none"
        faults.append(Fault(Vehicle.KIND, found=found, allowed="one vehicle"))
        raise Faults("the change", faults)
    touched = tuple(coming.touched())
    then = list(_faults_among(coming, touched))
    if then:
        stood = {(key, _but_for_words(fault)) for key, fault in _faults_among(coming.stored, touched)}
        faults += [fault for key, fault in then if (key, _but_for_words(fault)) not in stood]
    if faults:
        raise Faults("the change", faults)


def _faults_among(known: Coming | Stored, keys: Iterable[Key]) -> Iterator[tuple[Key, Fault]]:
    """Faults of some things as they stand in `known`, in the order in which the whole check tells them."""
    there = [(key, thing.entry) for key in keys if (thing := known.thing(*key))]
    there.sort(key=lambda one: (_ORDER[one[0][0]], known.order(*one[0])))
    for key, entry in there:
        if isinstance(entry, Setting):
            yield from ((key, fault) for fault in settings_faults((entry,), _where))
    for key, entry in there:
        yield from ((key, fault) for fault in faults_of_entry(entry, _where, known))


def _but_for_words(fault: Fault) -> Fault:
    """A fault without what is allowed instead: that may list ids, of which others come and go."""
    return replace(fault, allowed="")


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
