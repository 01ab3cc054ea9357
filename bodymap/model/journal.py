"""The record's own history: one entry for each change, chained by SHA-256, written once and never edited.

The hash of an entry is taken over length-prefixed canonical bytes of the hash before it and of everything the entry
says, so any change to an entry, its order or its content is found by reading the chain again. Cutting off the tail is
not: that is why every print carries the count and the last hash.
"""

from __future__ import annotations

import hashlib
import re
import struct
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from bodymap.errors import RecordError
from bodymap.model.entry import Entry
from bodymap.model.record import KINDS, Record
from bodymap.model.source import Beside

Act = Literal["put", "withdraw"]
FIRST_HASH = "0" * 64
_DOUBLE = struct.Struct(">cd")
_POSITION = struct.Struct(">4sdcd")
_HEAD = re.compile(r"(\d+)\D+?([0-9a-fA-F]{6,64})")


class JournalEntry(BaseModel):
    """One change: who, when, why, what.

    `place` orders the entries of a kind; a later entry with the same kind and ident takes the place of an earlier one.
    `body` is the whole content of the thing as it stands from here on (its model as plain values); empty when withdrawn.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    seq: int
    at: str
    by: str
    why: str
    act: Act
    kind: str
    ident: str
    place: int
    body: dict[str, Any]
    before: str
    hash: str


class Head(BaseModel):
    """Where a journal stands: how many entries, and the hash of the last one."""

    model_config = ConfigDict(frozen=True)

    count: int
    hash: str

    @property
    def short(self) -> str:
        """For prints: count and the first twelve digits of the hash."""
        return f"{self.count}·{self.hash[:12]}"


def body_of(entry: Entry) -> dict[str, Any]:
    """The content of an entry as plain values (blank fields left out), in the form the journal keeps."""
    body = entry.model_dump(mode="python", exclude_none=True, exclude_defaults=True)
    if "shape" in body:
        body["shape"] = entry.shape.geojson()  # type: ignore[attr-defined]
    return {name: list(value) if isinstance(value, tuple) else value for name, value in body.items()}


def chained(before: str, **said: Any) -> JournalEntry:
    """A journal entry with its hash, following the entry whose hash is `before`."""
    return JournalEntry(before=before, hash=entry_hash(before, said), **said)


def entry_hash(before: str, said: Mapping[str, Any]) -> str:
    """SHA-256 (hex) over the hash before and everything an entry says but its own hash."""
    said = {name: value for name, value in said.items() if name not in ("before", "hash")}
    return hashlib.sha256(_canonical([before, dict(said)])).hexdigest()


def broken_links(entries: Iterable[JournalEntry], after: Head | None = None) -> Iterator[tuple[JournalEntry, str]]:
    """The entries that do not follow from the one before, each with what is wrong. Nothing: the chain holds.

    `after`: where the journal stood before these entries; None: they are all there are.
    """
    before, last = (after.hash, after.count) if after else (FIRST_HASH, 0)
    for entry in entries:
        if entry.seq != last + 1:
            yield entry, f"entry {entry.seq} follows entry {last}: entries are missing or out of order"
        if entry.before != before:
            yield entry, f"entry {entry.seq} does not follow the entry before it: that one was changed, removed or moved"
        if not _as_written(entry):
            yield entry, f"entry {entry.seq} ({entry.kind} {entry.ident}) is not what was written: its content was changed"
        before, last = entry.hash, entry.seq


def _as_written(entry: JournalEntry) -> bool:
    try:
        return entry_hash(entry.before, entry.model_dump(warnings=False)) == entry.hash
    except TypeError:  # bytes where text stood, which a damaged file may hold: nobody wrote that
        return False


def out_of_step(entries: Iterable[JournalEntry], record: Record) -> Iterator[str]:
    """Where a record is not what its journal comes to (the files of an open folder were changed by hand since).

    Each is one sentence that names the thing. An empty journal says nothing.
    """
    standing: dict[str, dict[str, JournalEntry]] = {kind: {} for kind in KINDS}
    begun = False
    for entry in entries:
        begun = True
        standing[entry.kind].pop(entry.ident, None)
        if entry.act == "put":
            standing[entry.kind][entry.ident] = entry
    for kind, model in KINDS.items() if begun else ():
        told = sorted(standing[kind].values(), key=lambda entry: entry.place)
        there = record.of_kind(kind)
        if model.KEY:
            yield from _keyed_out_of_step(kind, told, there)
        elif [entry.body for entry in told] != [body_of(entry) for entry in there]:
            yield f"{model.FILE}: not what the journal says"


def _keyed_out_of_step(kind: str, told: Sequence[JournalEntry], there: Sequence[Entry]) -> Iterator[str]:
    file = KINDS[kind].FILE or ("what stands beside the rows" if kind == Beside.KIND else kind)
    bodies = {entry.ident: entry.body for entry in told}
    found = {entry.ident: body_of(entry) for entry in there}
    yield from (
        f"{file}: {ident} is not what the journal says"
        for ident in found
        if ident in bodies and found[ident] != bodies[ident]
    )
    yield from (f"{file}: {ident} is in no journal entry" for ident in found if ident not in bodies)
    yield from (f"{file}: {ident} is gone; the journal has it" for ident in bodies if ident not in found)
    if list(found) != list(bodies) and set(found) == set(bodies) and KINDS[kind].FILE:
        yield f"{file}: not in the order of the journal"


def record_after(record: Record, journal: Sequence[JournalEntry], since: Sequence[JournalEntry]) -> Record:
    """The record once the entries `since` have followed those of `journal`, which it is the state of.

    The same as reading the whole state again, but only the kinds spoken of are put together anew.

    Raises:
        ValueError: an entry whose content is none of its kind.
    """
    touched = {entry.kind for entry in since}
    last: dict[str, dict[str, JournalEntry]] = {kind: {} for kind in touched}
    for entry in journal:
        if entry.kind in touched:
            last[entry.kind][entry.ident] = entry
    fields: dict[str, Any] = {}
    for kind in touched:
        stood = sorted((one for one in last[kind].values() if one.act == "put"), key=_in_place)
        things = {one.ident: (one, thing) for one, thing in zip(stood, record.of_kind(kind), strict=True)}
        for entry in since:
            if entry.kind == kind and entry.act == "put":
                things[entry.ident] = entry, KINDS[kind].model_validate(entry.body)
            elif entry.kind == kind:
                things.pop(entry.ident, None)
        fields[kind] = [thing for _, thing in sorted(things.values(), key=lambda one: _in_place(one[0]))]
    whole = [record.of_kind(kind) if kind not in touched else fields[kind] for kind in KINDS]
    return Record.of(chain.from_iterable(whole))


def _in_place(entry: JournalEntry) -> tuple[int, int]:
    return entry.place, entry.seq


def against_head(head: str, entries: Sequence[JournalEntry]) -> Iterator[str]:
    """What a journal has lost since a head (count and first digits of the hash) was printed.

    Raises:
        RecordError: `head` is no such head.
    """
    match = _HEAD.fullmatch(head.strip())
    if not match or not int(match[1]):
        raise RecordError(f"found the head {head!r}; allowed: count and hash as printed, such as 123·0123456789ab")
    count, start = int(match[1]), match[2].lower()
    if count > len(entries):
        yield f"the journal was cut: {count} entries were printed, {len(entries)} are left"
    elif not entries[count - 1].hash.startswith(start):
        yield f"entry {count} is not the one that was printed ({start}): the journal was written anew"


def head_of(entries: Iterable[JournalEntry]) -> Head:
    """Count and last hash of a journal."""
    count, last = 0, FIRST_HASH
    for entry in entries:
        count, last = count + 1, entry.hash
    return Head(count=count, hash=last)


def _canonical(value: Any) -> bytes:
    """Bytes that tell any two different values apart: a type letter, a length, the content."""
    out: list[bytes] = []
    _say(value, out.append)
    return b"".join(out)


def _say(value: Any, say: Callable[[bytes], None]) -> None:
    kind = type(value)
    if kind is str:
        say(_sized(b"s", value.encode("utf-8", "surrogatepass")))
    elif value is None:
        say(b"n")
    elif kind is float:
        say(_DOUBLE.pack(b"d", value))
    elif kind is list and len(value) == 2 and type(value[0]) is float and type(value[1]) is float:
        say(_POSITION.pack(b"l2:d", value[0], b"d", value[1]))  # a record is mostly positions: two steps in one
    elif isinstance(value, (list, tuple)):
        say(b"l%d:" % len(value))
        for item in value:
            _say(item, say)
    elif isinstance(value, Mapping):
        say(b"m%d:" % len(value))
        for name in sorted(value):
            _say(name, say)
            _say(value[name], say)
    else:
        _say_rarer(value, say)


def _say_rarer(value: Any, say: Callable[[bytes], None]) -> None:
    if isinstance(value, float):
        say(_DOUBLE.pack(b"d", value))
    elif isinstance(value, str):
        say(_sized(b"s", value.encode("utf-8", "surrogatepass")))
    elif isinstance(value, bool):
        say(b"t" if value else b"f")
    elif isinstance(value, int):
        say(_sized(b"i", str(value).encode()))
    else:
        raise TypeError(f"no canonical form for {type(value).__name__}")


def _sized(letter: bytes, content: bytes) -> bytes:
    return letter + b"%d:" % len(content) + content
