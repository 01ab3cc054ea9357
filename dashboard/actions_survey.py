"""What the survey writes: new things only. A number that somebody else has taken is asked about, never written over."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pydantic import ValidationError

from bodymap.errors import BodymapError, ConflictError
from bodymap.exchange.photo import Photo
from bodymap.model import Entry, JournalEntry, MediaFile, Source
from bodymap.store.record_file import Put, RecordFile
from bodymap.views.numbering import next_like
from dashboard import actions, loaders
from dashboard.loaders import Opened
from dashboard.loaders.survey import used_idents

Build = Callable[[Opened], Sequence[Entry]]
_TURNS = 4
_FIRST = {"stack": "S01", "reading": "R0001", "finding": "F01", "line": "N01", "source": "Q1", "coat": "c1"}


def next_ident(now: Opened, kind: str, taken: Sequence[str] = ()) -> str:
    """The next id of a kind, one that never stood for anything else. `taken`: given already, and not saved yet."""
    same = [entry.ident for entry in now.record.of_kind(kind)]
    return next_like([*same, *taken], used_idents(now) | set(taken), _FIRST[kind])


def next_spot(now: Opened) -> str:
    """The next number for a spot."""
    spots = [one.spot for one in now.record.readings if one.spot]
    return next_like(spots, set(spots), "P001")


def save_new(now: Opened, build: Build, *, by: str, why: str) -> tuple[JournalEntry, ...]:
    """Write new things that belong together: all of them, or none.

    `build` makes them for the record as it stands; it is asked again where somebody else wrote at the same moment, so that
    numbers given by the program move on.

    Raises:
        ConflictError: a number that was typed is taken.
        BodymapError: what is written cannot stand.
    """
    for turn in range(_TURNS):
        entries = build(now)
        _check_free(now, entries)
        try:
            return actions.save(now, [Put(entry) for entry in entries], by=by, why=why, seen=now.revision)
        except ConflictError:
            if turn + 1 == _TURNS:
                raise
            now = loaders.opened()
    raise AssertionError("not reached")


def last_said(now: Opened, kind: str, ident: str) -> JournalEntry | None:
    """The last entry about a thing, if there is one."""
    return next((entry for entry in reversed(now.journal) if (entry.kind, entry.ident) == (kind, ident)), None)


def _check_free(now: Opened, entries: Sequence[Entry]) -> None:
    for entry in entries:
        said = last_said(now, entry.KIND, entry.ident)
        if said:
            raise ConflictError(f"{entry.KIND} {entry.ident} was put by {said.by} at {said.at}, entry {said.seq}")


def with_photo(now: Opened, photo: Photo, source: Source) -> tuple[Entry, ...]:
    """A source and the file of its photo, which is laid beside the record; one that is there already is not laid twice."""
    return with_file(now, photo.data, photo.suffix, photo.sha256, source)


def with_file(now: Opened, data: bytes, suffix: str, sha256: str, source: Source) -> tuple[Entry, ...]:
    """A source and its file."""
    if now.read_only:
        raise BodymapError(now.read_only)
    known = next((item for item in now.record.media if item.sha256 == sha256), None)
    item: MediaFile = known or RecordFile(now.path).add_media(f"{source.source_id}{suffix}", data)
    named = source.model_copy(update={"file": item.name, "sha256": sha256})
    return (named,) if known else (item, named)


def in_words(error: ValidationError) -> str:
    """What a form says that the record cannot hold."""
    told = (
        f"{'.'.join(map(str, one['loc']))}: found {one['input']!r}; allowed: {one['msg'].removeprefix('Value error, ')}"
        for one in error.errors()
    )
    return "; ".join(told)
