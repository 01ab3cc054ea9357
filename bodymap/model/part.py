"""Parts of the body, and which surfaces they hide."""

from __future__ import annotations

from typing import ClassVar, Literal

from bodymap.model.columns import Id, Text, YesNo
from bodymap.model.entry import Entry

Substrate = Literal["steel", "aluminium", "grp", "other"]


class Part(Entry):
    """A part of the body. `first_coat`: the first coat applied after the part came to the vehicle."""

    KIND: ClassVar[str] = "part"
    FILE: ClassVar[str] = "parts.csv"
    KEY: ClassVar[tuple[str, ...]] = ("part_id",)

    part_id: Id
    name: Text
    substrate: Substrate
    removable: YesNo
    first_coat: Id | None = None
    marks: Text | None = None


class Cover(Entry):
    """That a part hides a zone when both are on the vehicle; with `gap` mist can drift in."""

    KIND: ClassVar[str] = "cover"
    FILE: ClassVar[str] = "covers.csv"
    KEY: ClassVar[tuple[str, ...]] = ("zone_id", "part_id")

    zone_id: Id
    part_id: Id
    gap: YesNo | None = None

    @property
    def lets_mist_in(self) -> bool:
        """`gap`, which counts as no where it is not stated."""
        return bool(self.gap)
