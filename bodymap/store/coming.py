"""What will stand once changes are made: what the journal is about to say, laid over what stands in the file."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from bodymap.model.check import CONTENT_MATTERS
from bodymap.model.entry import Entry
from bodymap.model.journal import Act
from bodymap.model.part import Part
from bodymap.model.record import KINDS
from bodymap.model.source import MediaFile
from bodymap.store.standing import Key, Order, Stored, Thing, part_in, sha256_in


@dataclass(frozen=True)
class Said:
    """One change as the journal says it, but for who, when and why."""

    act: Act
    kind: str
    ident: str
    place: int
    entry: Entry | None = None
    body: Mapping[str, Any] = field(default_factory=dict)


class Coming:
    """The state to come, and what stands before it. It answers what the check of one entry asks (`model.check.Known`)."""

    def __init__(self, stored: Stored) -> None:
        self.stored = stored
        self._laid: dict[Key, Thing | None] = {}
        self._new: dict[Key, int] = {}
        self._used: dict[str, int] = {}

    def lay(self, said: Said) -> None:
        """Carries out one change."""
        key = (said.kind, said.ident)
        if said.entry is None:
            self._laid[key] = None
            return
        if not self.thing(*key):
            self._new[key] = len(self._new) + 1  # behind everything of the same place
        self._laid[key] = Thing(said.place, said.entry)
        number = said.place if said.entry.KEY else max(said.place, int(said.ident))
        self._used[said.kind] = max(self._used.get(said.kind, 0), number)

    def thing(self, kind: str, ident: str) -> Thing | None:
        """A thing as it will stand; None: there will be none. Raises RecordError on a row that is no such entry."""
        return self._laid[kind, ident] if (kind, ident) in self._laid else self.stored.thing(kind, ident)

    def order(self, kind: str, ident: str) -> Order:
        """Orders a thing that will stand among its kind: by place, and then by where it stood; what is new comes last."""
        thing, new = self.thing(kind, ident), self._new.get((kind, ident))
        place = thing.place if thing else 0
        return (place, 1, new) if new else (place, 0, *self.stored.order(kind, ident))

    def has(self, ident: str, kinds: tuple[str, ...]) -> bool:
        """Whether an id will be there among some kinds; no kinds: among all."""
        kinds = kinds or tuple(kind for kind, model in KINDS.items() if len(model.KEY) == 1)
        laid = tuple(kind for kind in kinds if (kind, ident) in self._laid)
        if any(self._laid[kind, ident] for kind in laid):
            return True
        left = tuple(kind for kind in kinds if kind not in laid)
        return bool(left) and self.stored.has(ident, left)

    def ids_of(self, kind: str) -> Collection[str]:
        """The ids of a kind."""
        ids = set(self.stored.ids_of(kind))
        for (of_kind, ident), thing in self._laid.items():
            if of_kind == kind:
                (ids.add if thing else ids.discard)(ident)
        return ids

    def part(self, ident: str) -> Part | None:
        """The part of that id, if it will be there."""
        return part_in(self.thing(Part.KIND, ident))

    def media_sha256(self, name: str) -> str | None:
        """The hash of the media file of that name, if it will be there."""
        return sha256_in(self.thing(MediaFile.KIND, name))

    def last_place(self, kind: str, ident: str) -> int | None:
        """The place a thing has or had in the file; None: there never was one."""
        return self.stored.last_place(kind, ident)

    def last_used(self, kind: str) -> int:
        """The greatest place a kind has had or gets, and the greatest number that is the ident of one without a key."""
        return max(self.stored.last_used(kind), self._used.get(kind, 0))

    def touched(self) -> Iterator[Key]:
        """Everything the changes can make wrong: what is changed, and what refers to it where that can break."""
        yield from self._laid
        breaking = [key for key in self._laid if self._can_break(key)]
        if breaking:
            yield from (key for key in dict.fromkeys(self.stored.referring(breaking)) if key not in self._laid)

    def _can_break(self, key: Key) -> bool:
        """What is new only mends; what goes can break what refers to it, and some kinds by what they say."""
        if len(KINDS[key[0]].KEY) != 1:
            return False
        was, will = self.stored.thing(*key), self._laid[key]
        return bool(was and not will) or (key[0] in CONTENT_MATTERS and was != will)
