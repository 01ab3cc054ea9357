"""A record without names of persons: each person is called by a number, the same everywhere.

Names are what stands in the fields for them: by, owner. Where the same name, or the family name of it, stands in any
other text, it is replaced there too. What no field names is not known to be a name.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from bodymap.model import JournalEntry, MediaFile, Record, columns_of
from bodymap.model.entry import Entry
from bodymap.release.signing import name_key

_JOINTS = re.compile(r"\s*(?:[;,/&+]|\band\b)\s*")
_PART_LEAST = 3
_NAME_FIELDS = ("owner", "by")
# Texts that are words of the record itself, or are compared with such.
_NOT_PROSE = frozenset({"sha256", "phase", "value"})


@dataclass(frozen=True)
class People:
    """Names of persons and the labels that stand for them."""

    labels: dict[str, str]
    _whole: re.Pattern[str] | None
    _part: re.Pattern[str] | None
    _part_labels: dict[str, str]

    def without(self, text: str) -> str:
        """The text with every known name replaced by its label."""
        if self._whole is None:
            return text
        plain = unicodedata.normalize("NFC", text)
        # Some letters are alike to the pattern and not to the key: a person all the same.
        found = self._whole.sub(lambda match: self.labels.get(_key(match[0]), "a person"), plain)
        if self._part is not None:
            found = self._part.sub(lambda match: self._part_labels[match[0]], found)
        return text if found == plain else found

    def labelled(self, text: str) -> str:
        """A field for names as labels alone, whatever else stands in it."""
        return " and ".join(dict.fromkeys(self.labels.get(_key(piece), "a person") for piece in _pieces(text)))


def people_of(record: Record, journal: Iterable[JournalEntry] = (), also: Iterable[str] = ()) -> People:
    """Everybody who is named in a field for names, in the order in which the record and then its journal name them."""
    labels: dict[str, str] = {}
    spelled: dict[str, str] = {}
    for text in (*_named(record, journal), *also):
        pieces = _pieces(text)
        for name in pieces:
            labels.setdefault(_key(name), f"person {len(labels) + 1}")
            # A piece with a figure in it (a year, a street) is no name, unless it is all there is.
            if len(pieces) == 1 or not any(char.isdigit() for char in name):
                spelled.setdefault(_key(name), unicodedata.normalize("NFC", name))
    parts = _parts(spelled, labels)
    whole = sorted(spelled.values(), key=len, reverse=True)
    spaced = (r"\s+".join(map(re.escape, name.split())) for name in whole)
    return People(labels, _pattern(spaced, re.IGNORECASE), _pattern(map(re.escape, parts), re.NOFLAG), parts)


def _pattern(names: Iterable[str], flags: re.RegexFlag) -> re.Pattern[str] | None:
    joined = "|".join(sorted(names, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{joined})(?!\w)", flags) if joined else None


def _named(record: Record, journal: Iterable[JournalEntry]) -> Iterator[str]:
    for entry in record.entries():
        for field in _NAME_FIELDS:
            if value := getattr(entry, field, None):
                yield value
    for change in journal:
        yield change.by
        for field in _NAME_FIELDS:
            if isinstance(value := change.body.get(field), str):
                yield value


def _pieces(text: str) -> tuple[str, ...]:
    """The names in a field for names."""
    return tuple(piece.strip() for piece in _JOINTS.split(text) if piece.strip())


def _parts(spelled: dict[str, str], labels: dict[str, str]) -> dict[str, str]:
    """Words of names of several words that are written with a capital, each with the label of the first such name."""
    parts: dict[str, str] = {}
    for key, name in spelled.items():
        words = name.split()
        for word in words if len(words) > 1 else ():
            plain = word.strip(".,()“”\"'")
            if len(plain) >= _PART_LEAST and plain[:1].isupper():
                parts.setdefault(plain, labels[key])
    return parts


def _key(name: str) -> str:
    return name_key(unicodedata.normalize("NFC", name))


def record_without_names(record: Record, people: People) -> Record:
    """The same record with names replaced, unknown columns and members included. Ids stay as they are."""
    return Record.of(_entry(entry, people) for entry in record.entries())


def _entry(entry: Entry, people: People) -> Entry:
    changed: dict[str, Any] = {}
    for column in columns_of(type(entry)):
        value = getattr(entry, column.name)
        if column.name in entry.KEY and entry.KIND != MediaFile.KIND:
            continue
        if column.kind == "text" and isinstance(value, str) and column.name not in _NOT_PROSE:
            changed[column.name] = people.labelled(value) if column.name in _NAME_FIELDS else people.without(value)
    if entry.more:
        changed["more"] = _anywhere(entry.more, people.without)
    return entry.model_copy(update=changed)


def _anywhere(value: Any, plain: Callable[[str], str]) -> Any:
    """Nested plain data with every text in it replaced, names of members included."""
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, dict):
        return {plain(key): _anywhere(item, plain) for key, item in value.items()}
    return [_anywhere(item, plain) for item in value] if isinstance(value, (list, tuple)) else value


def journal_without_names(journal: Sequence[JournalEntry], people: People) -> tuple[JournalEntry, ...]:
    """The entries with names replaced, and without their content: to be shown, no longer a chain."""
    return tuple(
        entry.model_copy(
            update={
                "by": people.labelled(entry.by),
                "why": people.without(entry.why),
                "ident": people.without(entry.ident),
                "body": {},
            }
        )
        for entry in journal
    )
