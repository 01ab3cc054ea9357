"""What needs more than one row to be seen as wrong, asked of the model alone."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from bodymap.model import KINDS, Record, Vehicle, columns_of
from bodymap.model.check import REFERENCES, Unread, reference_faults
from tests.strategies import records

SLOW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
NOWHERE = "-".join(["nowhere"] * 8)


def by_ident(entry):
    """A place in words, as the record file has it: no rows."""
    return entry.KIND, 0


@SLOW
@given(records())
def test_a_whole_record_has_no_fault(record):
    assert reference_faults(record, by_ident) == []


@SLOW
@given(records(), st.data())
def test_every_id_that_leads_nowhere_is_found_and_only_that(record, data):
    kind = data.draw(st.sampled_from([kind for kind in REFERENCES if record.of_kind(kind)]))
    place = data.draw(st.integers(0, len(record.of_kind(kind)) - 1))
    name = data.draw(st.sampled_from(list(REFERENCES[kind])))
    entries = list(record.of_kind(kind))
    assume(name not in entries[place].KEY)  # a changed key is missed elsewhere as well
    value = (NOWHERE,) if isinstance(getattr(entries[place], name), tuple) else NOWHERE
    entries[place] = entries[place].model_copy(update={name: value})
    (fault,) = reference_faults(record.with_kind(kind, entries), by_ident)
    assert (fault.file, fault.column, fault.found, fault.subject) == (kind, name, repr(NOWHERE), entries[place].ident)


@SLOW
@given(records(), st.data())
def test_a_coat_taken_away_is_missed_by_everything_that_names_it(record, data):
    coat = data.draw(st.sampled_from(record.coats)).coat_id
    assume(coat not in {entry.ident for entry in record.entries() if entry.KIND != "coat" and len(entry.KEY) == 1})
    left = record.with_kind("coat", [other for other in record.coats if other.coat_id != coat])
    missed = {(fault.file, fault.subject, fault.column) for fault in reference_faults(left, by_ident)}
    # a slow twin: every field of every entry that can hold a coat_id and holds this one
    naming = {
        (entry.KIND, entry.ident, name)
        for entry in left.entries()
        for name in ("coat_id", "first_coat", "phase", "looks_like", "target", "subject", "about")
        if coat == getattr(entry, name, None) or coat in _tuple(getattr(entry, name, None))
        if (entry.KIND, name) != ("step", "target") or entry.action == "coat"
    }
    assert missed == naming
    unread = [Unread("coat", coat, "coats.csv", 7)]
    assert reference_faults(left, by_ident, unread) == []


def _tuple(value):
    return value if isinstance(value, tuple) else ()


def test_every_field_that_holds_ids_is_looked_after():
    """A field of ids is a key of its own, or a reference, or the step's: no new field may slip through."""
    special = {("step", "target"), ("step", "parts"), ("setting", "key")}
    for kind, model in KINDS.items():
        for column in columns_of(model):
            if column.kind in ("id", "ids") and (column.name,) != model.KEY:
                assert column.name in REFERENCES.get(kind, {}) or (kind, column.name) in special, (kind, column.name)


def test_the_message_says_the_kind_where_there_is_no_row():
    record = Record(vehicle=Vehicle(vehicle_id="v", name="  "))
    (fault,) = reference_faults(record, by_ident)
    assert str(fault) == "vehicle (v), name: found a blank; allowed: text"


@pytest.mark.parametrize("kind", ["cover", "layer", "goal", "outline", "signoff"])
def test_a_lost_row_of_a_kind_that_nothing_refers_to_excuses_nothing(kind):
    record = Record(vehicle=Vehicle(vehicle_id="v", name="v"))
    record = record.with_kind("signoff", [KINDS["signoff"](subject="gone", what="keep", by="x", on="2026")])
    assert len(reference_faults(record, by_ident, [Unread(kind, "", "x.csv", 0)])) == 1
    assert reference_faults(record, by_ident, [Unread("zone", "", "zones.geojson", 0)]) == []
