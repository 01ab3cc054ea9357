"""The entries of a journal in words: what each did to which thing, which ones are looked for, what changed between two."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bodymap.geometry.convert import to_shapely
from bodymap.model import KINDS, JournalEntry
from bodymap.model.shapes import Shape
from bodymap.units import mm_to_m

KIND_WORDS: Mapping[str, str] = {
    "vehicle": "vehicle",
    "drawing": "drawing",
    "outline": "outline",
    "part": "part",
    "zone": "zone",
    "cover": "cover",
    "datum": "datum",
    "coat": "coat",
    "stack": "stack",
    "layer": "layer",
    "area": "area",
    "finding": "finding",
    "line": "painted line",
    "reading": "film reading",
    "source": "source",
    "goal": "finish wanted",
    "step": "step of the plan",
    "signoff": "decision",
    "setting": "working figure",
    "media": "file",
    "beside": "what stands beside the rows of a file",
}
_NAMED = ("name", "title", "what", "action", "note")
_NAMED_OF = {"layer": ("coat_id",), "goal": ("coat_id",), "reading": ("um",), "stack": ("method",), "setting": ("value",)}
_UNIT_OF = {"reading": " µm"}
_LETTERS_MOST = 60
_SHAPE = "shape"
_MORE = "more"
NOTHING, WITHDRAWN = "not stated", "withdrawn"
Ident = tuple[str, str]


@dataclass(frozen=True)
class EntryWords:
    """One entry in words: `thing` names what it is about, `did` says what became of it, `entry` is the entry itself."""

    entry: JournalEntry
    thing: str
    did: str


@dataclass(frozen=True)
class Asked:
    """Which entries are looked for; what is left blank lets all through.

    Attributes:
        by: who wrote them, to the letter.
        kind: a kind of the record.
        about: letters of the thing's id or name, or of the reason; capitals do not count.
        since: the first day, ISO 8601.
    """

    by: str = ""
    kind: str = ""
    about: str = ""
    since: str = ""


@dataclass(frozen=True)
class Change:
    """One field that differs between two entries of a thing, as it was and as it came to be, in words."""

    field: str
    before: str
    after: str


def journal_words(journal: Sequence[JournalEntry]) -> tuple[EntryWords, ...]:
    """Every entry in words, in the order of the journal."""
    last: dict[Ident, JournalEntry] = {}
    told = []
    for entry in journal:
        before = last.get((entry.kind, entry.ident))
        last[entry.kind, entry.ident] = entry
        told.append(EntryWords(entry, _thing(entry, before), _did(entry, before)))
    return tuple(told)


def found(told: Sequence[EntryWords], asked: Asked) -> tuple[EntryWords, ...]:
    """The entries that are looked for, newest first."""
    letters = asked.about.casefold().strip()
    return tuple(
        one
        for one in reversed(told)
        if asked.by in ("", one.entry.by)
        and asked.kind in ("", one.entry.kind)
        and one.entry.at[:10] >= asked.since
        and letters in f"{one.entry.ident}\n{one.thing}\n{one.entry.why}".casefold()
    )


def of_same_thing(journal: Sequence[JournalEntry], entry: JournalEntry) -> tuple[JournalEntry, ...]:
    """Every entry of the thing that an entry is about, in the order of the journal."""
    return tuple(one for one in journal if (one.kind, one.ident) == (entry.kind, entry.ident))


def changes_between(before: JournalEntry | None, after: JournalEntry) -> tuple[Change, ...]:
    """What differs between two entries of one thing; None: all that the later one says.

    Raises:
        ValueError: they are of two things.
    """
    if before is not None and (before.kind, before.ident) != (after.kind, after.ident):
        raise ValueError(f"found entries of {before.kind} {before.ident} and of {after.kind} {after.ident}")
    old, new = (_said(entry) if entry else {} for entry in (before, after))
    names = [name for name in dict.fromkeys((*_columns(after.kind), *old, *new)) if old.get(name) != new.get(name)]
    changes = []
    for name in names:
        was = _words(old.get(name))
        now = WITHDRAWN if after.act == "withdraw" else _words(new.get(name))
        if was == now and name == _SHAPE:
            now = f"{now}; drawn otherwise"
        changes.append(Change(name.replace("_", " "), was, now))
    return tuple(changes)


def _columns(kind: str) -> Iterator[str]:
    return (name for name in KINDS[kind].model_fields if name != _MORE)


def _said(entry: JournalEntry) -> dict[str, Any]:
    """All fields of an entry, what it carries along from unknown columns among them."""
    body = dict(entry.body)
    return {**body.pop(_MORE, {}), **body} if isinstance(body.get(_MORE), Mapping) else body


def _thing(entry: JournalEntry, before: JournalEntry | None) -> str:
    body = entry.body or (before.body if before else {})
    kind = KIND_WORDS[entry.kind]
    keys = _NAMED_OF.get(entry.kind, _NAMED)
    name = next((_words(body[key]) + _UNIT_OF.get(entry.kind, "") for key in keys if body.get(key) not in (None, "")), "")
    name = name if len(name) <= _LETTERS_MOST else f"{name[: _LETTERS_MOST - 1]}…"
    said = f"{kind} {entry.ident}".strip()
    return f"{said} “{name}”" if name and name != entry.ident else said


def _did(entry: JournalEntry, before: JournalEntry | None) -> str:
    if entry.act == "withdraw":
        return WITHDRAWN
    if before is None:
        return "entered"
    if before.act == "withdraw":
        return "entered again"
    names = [change.field for change in changes_between(before, entry)]
    return f"amended: {', '.join(names)}" if names else "amended: its place in the order"


def _words(value: Any) -> str:
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, Mapping) and "type" in value and "coordinates" in value:
        return _shape_words(value)
    if isinstance(value, (list, tuple)):
        return "; ".join(map(str, value)) or NOTHING
    return str(value)


def _shape_words(value: Mapping[str, Any]) -> str:
    """A geometry by its kind, its size and where it lies, in drawing mm."""
    shape = to_shapely(Shape.model_validate(value))
    x0, y0, x1, y1 = shape.bounds
    place = f"x {x0:.1f} to {x1:.1f}, y {y0:.1f} to {y1:.1f} mm"
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        size = f"{shape.area / 100:.1f} cm²"
    elif shape.length:
        size = f"{mm_to_m(shape.length):.3f} m long"
    else:
        return f"point at x {x0:.1f}, y {y0:.1f} mm"
    return f"{shape.geom_type}, {size}, {place}"
