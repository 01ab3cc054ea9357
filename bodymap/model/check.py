"""What needs more than one row to be seen as wrong: ids that lead nowhere, keys twice, steps that cannot be done.

`reference_faults` says only what the open folder's description makes wrong. What is merely odd is no fault.
A row that is there but could not be read is handed in as `Unread`: what refers to it is not a fault of its own.
Whether a surface crosses itself is not asked here, because that needs the geometry engine.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from bodymap import progress
from bodymap.errors import Fault, Faults
from bodymap.model.coat import Coat
from bodymap.model.columns import columns_of
from bodymap.model.drawing import Drawing
from bodymap.model.entry import Entry
from bodymap.model.part import Part
from bodymap.model.plan import ONLY, Step
from bodymap.model.reading import Reading
from bodymap.model.record import KINDS, Record
from bodymap.model.shapes import Shape
from bodymap.model.signoff import Setting
from bodymap.model.source import MediaFile, Source
from bodymap.settings import in_force

# Ten kilometres: no vehicle is as large, so a figure beyond it is a slip (a wrong unit, a lost decimal point), and
# areas in mm² stay well inside what a double holds exactly.
COORDINATE_MOST_MM = 1e7
VEHICLE = "vehicle"
PHASES = ("as found", "after strip")
_LIST_MOST = 12
_SHOWN_MOST = 80

Where = Callable[[Entry], tuple[str, int]]


@dataclass(frozen=True)
class Unread:
    """A row that is there but could not be read.

    `ident` is its id as it stands there; empty: not even that can be told, so any id of this kind may be the one meant.
    """

    kind: str
    ident: str
    file: str
    row: int


# Which kinds of entry the ids in a field may speak of; no kind: anything with an id, or the word `vehicle`.
REFERENCES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "drawing": {"mirror_of": ("drawing",)},
    "outline": {"drawing_id": ("drawing",)},
    "part": {"first_coat": ("coat",)},
    "zone": {"drawing_id": ("drawing",), "part_id": ("part",)},
    "cover": {"zone_id": ("zone",), "part_id": ("part",)},
    "datum": {"drawing_id": ("drawing",)},
    "coat": {"looks_like": ("coat",)},
    "stack": {"zone_id": ("zone",)},
    "layer": {"stack_id": ("stack",), "coat_id": ("coat",)},
    "area": {"drawing_id": ("drawing",)},
    "finding": {"drawing_id": ("drawing",)},
    "line": {"drawing_id": ("drawing",)},
    "reading": {"zone_id": ("zone",)},
    "source": {"about": ()},
    "goal": {"zone_id": ("zone",), "coat_id": ("coat",)},
    "signoff": {"subject": ()},
}
# Fields beside these whose ids are asked for by a rule of their own below.
_BY_RULE: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "reading": {"phase": ("coat",)},
    "source": {"file": ("media",)},
    "step": {"target": ("part", "area", "zone", "coat"), "parts": ("part",)},
}
# Kinds of which what an entry says, and not only that it is there, decides whether what refers to it can stand.
CONTENT_MATTERS = (Part.KIND, MediaFile.KIND)
# What the target of a step is, by action, and whether it may be more than one.
_TARGETS: Mapping[str, tuple[str, bool]] = {
    "remove": ("part", False),
    "fit": ("part", False),
    "mask": ("area", False),
    "unmask": ("area", False),
    "strip": ("zone", True),
    "coat": ("coat", False),
}


def reference_faults(
    record: Record, where: Where, unread: Sequence[Unread] = (), step: progress.Step = progress.silent
) -> list[Fault]:
    """Everything wrong with a record that needs more than one row to be seen, in the order of the entries.

    Args:
        record: the record; where its vehicle could not be read, one in its place and an `Unread` for it.
        where: gives the file (or kind) and row of an entry, for the message.
        unread: rows that could not be read: they count as there, and are not faults of what refers to them.
        step: is told how far it is, and may stop it.
    """
    known = _Ids(record, unread)
    faults = [*_keys_twice(record, where, unread), *settings_faults(record.settings, where)]
    entries = tuple(record.entries())
    for entry in progress.counted(entries, len(entries), "Checking what refers to what", step):
        faults += faults_of_entry(entry, where, known)
    return faults


def faults_of_entry(entry: Entry, where: Where, known: Known) -> list[Fault]:
    """What is wrong with one entry among the others of its record, in the words of `reference_faults`."""
    file, row = where(entry)
    at = Fault(file, row, subject=entry.ident)
    extra = _OF_KIND.get(entry.KIND)
    return [
        *_blanks(entry, at),
        *_references(entry, at, known),
        *(extra(entry, at, known) if extra else ()),
        *_places(entry, at),
    ]


def settings_faults(settings: Sequence[Setting], where: Where) -> Iterator[Fault]:
    """Working figures of a record's own that make no sense."""
    try:
        in_force(settings)
    except Faults as error:
        for fault in error.faults:  # in_force counts rows from the header; here they are where they stand
            file, row = where(settings[fault.row - 2])
            yield replace(fault, file=file, row=row)


def fields_that_name(kind: str) -> Iterator[tuple[str, str]]:
    """Every kind and field of it in which an id of `kind` may stand: what may break when such a thing goes."""
    for fields in (REFERENCES, _BY_RULE):
        for referring, names in fields.items():
            for name, kinds in names.items():
                if kind in kinds or (not kinds and len(KINDS[kind].KEY) == 1):
                    yield referring, name


class Known(Protocol):
    """What the check of one entry asks about the record around it. Only kinds with a key of one field have ids."""

    def has(self, ident: str, kinds: tuple[str, ...]) -> bool:
        """Whether an id is there among some kinds; no kinds: among all."""

    def ids_of(self, kind: str) -> Collection[str]:
        """The ids of a kind."""

    def part(self, ident: str) -> Part | None:
        """The part of that id, if it is there."""

    def media_sha256(self, name: str) -> str | None:
        """The hash of the media file of that name, if it is there."""


class _Ids:
    """Which ids there are in a whole record, by kind, and of which kinds some cannot be told."""

    def __init__(self, record: Record, unread: Sequence[Unread]) -> None:
        self._record = record
        self._ids: dict[str, set[str]] = {kind: set() for kind in KINDS}
        for entry in record.entries():
            if len(entry.KEY) == 1:
                self._ids[entry.KIND].add(entry.ident)
        for row in unread:
            self._ids[row.kind].add(row.ident)
        self._open_kinds = {row.kind for row in unread if not row.ident and len(KINDS[row.kind].KEY) == 1}
        self._media = {media.name: media.sha256 for media in record.media}

    def has(self, ident: str, kinds: tuple[str, ...]) -> bool:
        """Whether an id is there among some kinds, or may be in a row that could not be read."""
        return any(kind in self._open_kinds or ident in self._ids[kind] for kind in kinds or KINDS)

    def ids_of(self, kind: str) -> Collection[str]:
        """The ids of a kind, as far as they could be read."""
        return self._ids[kind] - {""}

    def part(self, ident: str) -> Part | None:
        """The part of that id, if it is there."""
        return self._record.part.get(ident)

    def media_sha256(self, name: str) -> str | None:
        """The hash of the media file of that name, if it is there."""
        return self._media.get(name)


def _words(known: Known, kinds: tuple[str, ...]) -> str:
    """What an id among some kinds may be, in words."""
    if not kinds:
        return f"an id of this record, or {VEHICLE}"
    (kind,) = kinds
    model, ids = KINDS[kind], known.ids_of(kind)
    listed = f" ({', '.join(sorted(ids))})" if 0 < len(ids) <= _LIST_MOST else ""
    key = model.KEY[0]
    return f"{'an' if key[0] in 'aeiou' else 'a'} {key} of {model.FILE}{listed}"


def _keys_twice(record: Record, where: Where, unread: Sequence[Unread]) -> Iterator[Fault]:
    places: dict[tuple[str, str], list[tuple[str, int]]] = defaultdict(list)
    for entry in record.entries():
        if entry.KEY:
            places[entry.KIND, entry.ident].append(where(entry))
    for row in unread:
        if row.ident:
            places[row.kind, row.ident].append((row.file, row.row))
    for (kind, ident), found in places.items():
        if kind == VEHICLE:
            continue
        first, *others = sorted(found)
        for file, number in others:
            key = " + ".join(KINDS[kind].KEY)
            what = "feature" if file.endswith(".geojson") else "row"
            again = f"{ident!r} again" + (f", first in {what} {first[1]}" if first[1] else "")
            yield Fault(file, number, key, again, f"each {key} once", ident)


def _blanks(entry: Entry, at: Fault) -> Iterator[Fault]:
    for column in columns_of(type(entry)):
        if column.required and column.kind == "text" and not getattr(entry, column.name).strip():
            yield replace(at, column=column.name, found="a blank", allowed=column.words)


def _references(entry: Entry, at: Fault, known: Known) -> Iterator[Fault]:
    for name, kinds in REFERENCES.get(entry.KIND, {}).items():
        value = getattr(entry, name)
        for ident in value if isinstance(value, tuple) else (value,):
            if ident is None or (not kinds and ident == VEHICLE):
                continue
            if not known.has(ident, kinds):
                yield replace(at, column=name, found=repr(ident), allowed=_words(known, kinds))


def _drawing(entry: Drawing, at: Fault, _known: Known) -> Iterator[Fault]:
    if entry.mirror_of == entry.drawing_id:
        yield replace(at, column="mirror_of", found="the drawing itself", allowed="the drawing_id of its left-right twin")


def _coat(entry: Coat, at: Fault, _known: Known) -> Iterator[Fault]:
    if entry.um_low is not None and entry.um_high is not None and entry.um_low > entry.um_high:
        yield replace(at, column="um_low", found=f"{entry.um_low:g}", allowed=f"at most um_high, {entry.um_high:g}")


def _reading(entry: Reading, at: Fault, known: Known) -> Iterator[Fault]:
    if entry.phase is not None and entry.phase not in PHASES and not known.has(entry.phase, ("coat",)):
        allowed = f"{', '.join(PHASES)} or {_words(known, ('coat',))}"
        yield replace(at, column="phase", found=repr(entry.phase[:_SHOWN_MOST]), allowed=allowed)


def _source(entry: Source, at: Fault, known: Known) -> Iterator[Fault]:
    if entry.file is None or not known.has(entry.file, ("media",)):
        if entry.file is not None:
            yield replace(at, column="file", found=f"{entry.file!r}, which is not there", allowed="a file under media/")
        return
    held = known.media_sha256(entry.file)
    if entry.sha256 and held and entry.sha256 != held:
        found = f"{entry.sha256}, but {entry.file} has another: the file is not the one that was recorded"
        yield replace(at, column="sha256", found=found, allowed=held)


def _step(entry: Step, at: Fault, known: Known) -> Iterator[Fault]:
    kind, _ = _TARGETS[entry.action]
    yield from _step_target(entry, at, known)
    for ident in entry.parts_beside:
        if not known.has(ident, ("part",)):
            first = "" if ident != ONLY else f" ({ONLY} stands first or not at all)"
            yield replace(at, column="parts", found=repr(ident), allowed=f"{_words(known, ('part',))}{first}")
    if entry.method is not None and entry.action != "strip":
        found = f"{entry.method!r} on a {entry.action} step"
        yield replace(at, column="method", found=found, allowed="a blank: only a strip step has a method")
    moved = entry.target if kind == "part" else ()
    for name, idents in (("target", moved), ("parts", entry.parts_beside)):
        for ident in idents:
            part = known.part(ident)
            if part is not None and not part.removable:
                found = f"{ident!r}, a part that is not removable"
                yield replace(at, column=name, found=found, allowed="a part whose removable is yes")


def _step_target(entry: Step, at: Fault, known: Known) -> Iterator[Fault]:
    kind, several = _TARGETS[entry.action]
    allowed = f"{_words(known, (kind,))}{', several with ; between' if several else ''}"
    if not entry.target:
        yield replace(at, column="target", found=f"{entry.action} without a target", allowed=allowed)
    if len(entry.target) > 1 and not several:
        found = f"{len(entry.target)} targets of one {entry.action}"
        yield replace(at, column="target", found=found, allowed=f"one: {allowed}")
    for ident in entry.target:
        if not known.has(ident, (kind,)):
            yield replace(at, column="target", found=repr(ident), allowed=f"for {entry.action}: {allowed}")


def _places(entry: Entry, at: Fault) -> Iterator[Fault]:
    """Wrong kind of geometry, and places no vehicle reaches."""
    shape = getattr(entry, "shape", None)
    if isinstance(shape, Shape):
        if entry.SHAPES and shape.type not in entry.SHAPES:
            words = next(column.words for column in columns_of(type(entry)) if column.kind == "shape")
            yield replace(at, column="geometry", found=f"a {shape.type}", allowed=words)
        far = max((abs(n) for n in _numbers(shape)), default=0.0)
        if far > COORDINATE_MOST_MM:
            yield replace(at, column="geometry", found=f"{far:g} mm", allowed=_REACH)
    for name in ("x", "y"):
        value = getattr(entry, name, None)
        if isinstance(value, float) and abs(value) > COORDINATE_MOST_MM:
            yield replace(at, column=name, found=f"{value:g} mm", allowed=_REACH)


def _numbers(shape: Shape) -> Iterator[float]:
    def within(value: Any) -> Iterator[float]:
        if isinstance(value, tuple):
            for item in value:
                yield from within(item)
        else:
            yield value

    yield from within(shape.coordinates)
    for part in shape.parts:
        yield from _numbers(part)


_REACH = f"drawing millimetres from {-COORDINATE_MOST_MM:.0f} to {COORDINATE_MOST_MM:.0f}"
_OF_KIND: Mapping[str, Callable[[Any, Fault, Known], Iterable[Fault]]] = {
    Drawing.KIND: _drawing,
    Coat.KIND: _coat,
    Reading.KIND: _reading,
    Source.KIND: _source,
    Step.KIND: _step,
}
