"""What a change makes wrong is found from the changed things alone, exactly as by checking the whole record anew."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from bodymap.errors import Fault, Faults
from bodymap.model import KINDS, Coat, Drawing, MediaFile, Part, Record, Setting, Shape, Vehicle
from bodymap.model.check import COORDINATE_MOST_MM, fields_that_name, reference_faults
from bodymap.store.changes import Put, Withdraw, planned, write
from bodymap.store.checks import check_change, entry_faults
from bodymap.store.coming import Coming
from bodymap.store.differences import first_entries
from bodymap.store.schema import statements
from bodymap.store.standing import Stored, Thing, read_standing
from tests.store.specimen import AT, LATER, specimen
from tests.strategies import kept_records

FAR = Shape(type="Point", coordinates=(2 * COORDINATE_MOST_MM, 0.0))
NAMES = sorted({(kind, name) for of in KINDS if len(KINDS[of].KEY) == 1 for kind, name in fields_that_name(of)})
FILES = st.sampled_from(["yard.JPG", "gone.jpg"])
ID = re.compile("[A-Za-z0-9_-]{1,64}")
LISTS, NUMBERS = ("looks_like", "about", "target", "parts"), ("position", "step")


# --- the slow twin: everything there is, read and checked before and after ------------------------------------------------


def after(standing, said):
    """What stands once the changes are made: everything, each kind in the order of places."""
    now = {kind: dict(things) for kind, things in standing.items()}
    for one in said:
        if one.entry is None:
            del now[one.kind][one.ident]
        else:
            now[one.kind][one.ident] = Thing(one.place, one.entry)
    return {kind: dict(sorted(things.items(), key=lambda item: item[1].place)) for kind, things in now.items()}


def faults_of_all(standing):
    """Every fault of a whole record, with the thing it is in."""
    number = {id(thing.entry): (kind, ident) for kind, things in standing.items() for ident, thing in things.items()}
    keys = list(number.values())
    rows = {key: row for row, key in enumerate(keys)}
    record = Record.of(thing.entry for things in standing.values() for thing in things.values())
    found = reference_faults(record, lambda entry: (entry.KIND, rows[number[id(entry)]]))
    return [(keys[fault.row], replace(fault, row=0)) for fault in found]


def faults_by_whole_check(standing, said):
    then = after(standing, said)
    faults = list(entry_faults([one.entry for one in said if one.entry]))
    if len(then["vehicle"]) != 1:
        return [*faults, Fault("vehicle", found=", ".join(then["vehicle"]) or "none", allowed="one vehicle")]
    stood = {(key, replace(fault, allowed="")) for key, fault in faults_of_all(standing)}
    return faults + [fault for key, fault in faults_of_all(then) if (key, replace(fault, allowed="")) not in stood]


# --- records and changes that hold together or not ------------------------------------------------------------------------


def spoilt(draw, entry, ids):
    """An entry that says something else, which may be wrong."""
    more = {}
    for kind, name in NAMES:
        if kind == entry.KIND and name not in entry.KEY and draw(st.booleans()):
            some = draw(st.lists(FILES if name == "file" else ids, max_size=2, unique=True))
            more[name] = tuple(some) if name in LISTS else some[0] if some else getattr(entry, name)
    if isinstance(entry, Part):
        more["removable"] = draw(st.booleans())
    if isinstance(entry, MediaFile):
        more["sha256"] = draw(st.sampled_from("01")) * 64
    if isinstance(entry, Coat):
        more["um_low"] = draw(st.sampled_from([None, 1e6]))
    if isinstance(entry, Setting):
        more["value"] = draw(st.sampled_from(["none", entry.value]))
    if isinstance(entry, Drawing):
        more["name"] = draw(st.sampled_from(["Left", " "]))
    if getattr(entry, "shape", None) and draw(st.integers(0, 4)) == 0:
        more["shape"] = FAR
    return entry.model_copy(update=more)


@st.composite
def cases(draw):
    """A record, whole or not, and changes to it."""
    entries = list((draw(kept_records()).record if draw(st.booleans()) else specimen()).entries())
    known = dict.fromkeys(entry.ident for entry in entries if len(entry.KEY) == 1 and ID.fullmatch(entry.ident))
    ids = st.sampled_from([*known, "nowhere", "vehicle"])
    for number in draw(st.lists(st.integers(0, len(entries) - 1), max_size=3)):
        entries[number] = spoilt(draw, entries[number], ids)
    record = Record.of(entries)
    things = [(kind, entry.ident or str(n), entry) for kind in KINDS for n, entry in enumerate(record.of_kind(kind), 1)]
    changes = []
    for kind, ident, entry in draw(st.lists(st.sampled_from(things), min_size=1, max_size=4)):
        place = draw(st.none() | st.integers(0, 4))
        how = draw(st.sampled_from(["withdraw", "say", "say", "add"]))
        if how == "withdraw":
            changes.append(Withdraw(kind, ident))
        elif how == "say":
            changes.append(Put(spoilt(draw, entry, ids), place, None if entry.KEY else ident))
        else:
            new = spoilt(draw, entry, ids)
            key = {name: draw(FILES if kind == "media" else ids) for name in entry.KEY if name not in NUMBERS}
            changes.append(Put(new.model_copy(update=key), place))
    return record, changes


def stored(record):
    connection = sqlite3.connect(":memory:", isolation_level=None)
    for statement in statements():
        connection.execute(statement)
    write(connection, first_entries(record), by="Ann", why="", at=AT)
    return connection


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(cases())
def test_a_change_is_refused_exactly_when_the_whole_check_refuses_it_and_for_the_same(case):
    record, changes = case
    with closing(stored(record)) as connection:
        standing = read_standing(connection)
        coming = Coming(Stored(connection))
        try:
            said = planned(coming, changes)
        except Faults:
            event("withdrawn twice")
            return
        wanted = faults_by_whole_check(standing, said)
        event("refused" if wanted else "taken")
        try:
            check_change(coming, [one.entry for one in said if one.entry])
            found = []
        except Faults as told:
            found = list(told.faults)
        assert found == wanted
        if not wanted:
            write(connection, said, by="Ben", why="", at=LATER)
            assert read_standing(connection) == after(standing, said)


@pytest.mark.parametrize(("kind", "name"), NAMES)
def test_every_field_that_names_another_thing_is_found_from_it(kind, name):
    """That the way back from a thing to what names it leaves no field out: each is asked in a record that holds it."""
    record = specimen()
    held = [entry for entry in record.of_kind(kind) if getattr(entry, name, None)]
    with closing(stored(record)) as connection:
        found = set()
        for of in KINDS:
            gone = [(of, entry.ident) for entry in record.of_kind(of) if len(entry.KEY) == 1]
            found |= set(Stored(connection).referring(gone))
    spoken = {(kind, entry.ident) for entry in held if entry.KEY}
    assert spoken <= found


def test_the_vehicle_is_one():
    with closing(stored(specimen())) as connection:
        for changes in ([Withdraw("vehicle", "tricycle")], [Put(Vehicle(vehicle_id="other", name="Other"))]):
            coming = Coming(Stored(connection))
            said = planned(coming, changes)
            with pytest.raises(Faults, match="one vehicle") as told:
                check_change(coming, [one.entry for one in said if one.entry])
            assert list(told.value.faults) == faults_by_whole_check(read_standing(connection), said)
