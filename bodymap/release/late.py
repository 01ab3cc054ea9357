"""What was entered after a zone was released to strip: its as-found evidence is closed from then on.

Such an entry stays readable and is marked "after release". The dates people write tell it; where there is a journal, its
order tells it too, whatever date the entry itself bears.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from bodymap.geometry.convert import to_shapely
from bodymap.model.journal import JournalEntry
from bodymap.model.record import Record
from bodymap.model.signoff import Signoff
from bodymap.release.signing import RELEASE, SIGNERS, is_after, name_key, released_on


@dataclass(frozen=True)
class Late:
    """An as-found entry made after its zone was released. `when`: its own date, or the journal's."""

    kind: str
    ident: str
    zone_id: str
    when: str


def after_release(record: Record, journal: Sequence[JournalEntry] = ()) -> tuple[Late, ...]:
    """The as-found entries of released zones that were made, or changed, after the release.

    Stacks, layers and as-found readings by their own dates. With the journal, also by the place of their entry in it, which
    no date written by hand can get round; findings and lines have no date of their own and are known by it alone.
    """
    late = {(one.kind, one.ident): one for one in _by_date(record)}
    for one in _written_after(record, journal):
        late.setdefault((one.kind, one.ident), one)
    return tuple(late.values())


def _by_date(record: Record) -> Iterator[Late]:
    for zone in record.zones:
        day = released_on(record, zone.zone_id)
        if day is None:
            continue
        for stack in record.stacks_of.get(zone.zone_id, ()):
            if is_after(stack.date, day):
                yield Late("stack", stack.stack_id, zone.zone_id, stack.date or "")
                for layer in record.layers_of.get(stack.stack_id, ()):
                    yield Late("layer", layer.ident, zone.zone_id, stack.date or "")
        for reading in record.readings_of.get(zone.zone_id, ()):
            if reading.phase in (None, "as found") and is_after(reading.taken, day):
                yield Late("reading", reading.reading_id, zone.zone_id, reading.taken or "")


def _written_after(record: Record, journal: Sequence[JournalEntry]) -> Iterator[Late]:
    """As-found entries of the record whose last journal entry comes after the second signature on their zone."""
    closed = _closed_at(record, journal)
    if not closed:
        return
    last = {(entry.kind, entry.ident): entry for entry in journal}
    for kind, ident, zones in _as_found(record, closed):
        entry = last.get((kind, ident))
        if entry is None:
            continue
        late = [zone for zone in zones if entry.seq > closed[zone]]
        if late:
            yield Late(kind, ident, late[0], entry.at)


def _closed_at(record: Record, journal: Iterable[JournalEntry]) -> dict[str, int]:
    """Number of the journal entry with the second name, by zone; only signatures that still stand."""
    standing = {
        (one.subject, name_key(one.by), one.on)
        for one in record.signoffs
        if one.what == RELEASE and one.subject in record.zone
    }
    names: dict[str, set[str]] = defaultdict(set)
    closed: dict[str, int] = {}
    for entry in journal:
        body = entry.body
        if entry.kind != Signoff.KIND or entry.act != "put" or body.get("what") != RELEASE:
            continue
        zone, name = str(body.get("subject")), name_key(str(body.get("by")))
        if (zone, name, body.get("on")) not in standing:
            continue
        names[zone].add(name)
        if len(names[zone]) == SIGNERS:
            closed.setdefault(zone, entry.seq)
    return closed


def _as_found(record: Record, closed: Mapping[str, int]) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """(kind, ident, zones) of what is as-found evidence of released zones."""
    for stack in record.stacks:
        if stack.zone_id in closed:
            yield "stack", stack.stack_id, (stack.zone_id,)
            for layer in record.layers_of.get(stack.stack_id, ()):
                yield "layer", layer.ident, (stack.zone_id,)
    for reading in record.readings:
        if reading.zone_id in closed and reading.phase in (None, "as found"):
            yield "reading", reading.reading_id, (reading.zone_id,)
    for kind, entries in (("finding", record.findings), ("line", record.lines)):
        for entry in entries:
            if entry.shape is not None:
                shape = to_shapely(entry.shape)
                yield kind, entry.ident, tuple(_touched(record, entry.drawing_id, shape, closed))


def _touched(record: Record, drawing_id: str, shape: BaseGeometry, closed: Mapping[str, int]) -> Iterator[str]:
    for zone in record.zones_on.get(drawing_id, ()):
        if zone.zone_id in closed and to_shapely(zone.shape).intersects(shape):
            yield zone.zone_id
